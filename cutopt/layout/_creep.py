"""What is to be said of rows that take more or less than told: measured rows, and widths that vary."""

from collections.abc import Iterator

from cutopt.layout.stops import last_row
from cutopt.model.floor import RoomEdges
from cutopt.model.job import Job
from cutopt.units import Ticks, format_length

__all__ = ["creep"]

_FINE = 8
"""A thousandth of an inch or so: creep of one row is told to this, in ticks."""


def creep(edges: RoomEdges, job: Job) -> Iterator[str]:
    """Yield what measured rows come to over the floor, and within what the last row may lie."""
    plank = job.plank
    where = f'room "{edges.room}"'
    if plank.nominal_width is not None and plank.nominal_width != plank.width:
        more = plank.width - plank.nominal_width
        yield (
            f"{where}: as measured a row takes {format_length(abs(more), job.unit, _FINE)} "
            f"{'more' if more > 0 else 'less'} than the plank's width, {_length(abs(more) * edges.rows, job)} over "
            f"{edges.rows} rows; the rows are set out so"
        )
    if plank.width_tolerance and edges.rows > 1:
        ripped = edges.first_width < plank.width
        found = last_row(
            clear=edges.clear,
            pitch=plank.width,
            first=edges.first_width if ripped else None,
            tolerance=plank.width_tolerance,
        )
        rows = f"; there may be {found.fewest} to {found.most} rows" if found.may_differ(edges.rows) else ""
        yield (
            f"{where}: with planks up to {format_length(plank.width_tolerance, job.unit, _FINE)} wider or narrower "
            f"the last row may come out {_length(int(found.narrowest), job)} to {_length(int(found.widest), job)} "
            f"wide instead of {_length(edges.last_width, job)}{rows}; measure as you go"
        )


def _length(ticks: Ticks, job: Job) -> str:
    return format_length(ticks, job.unit, job.rules.cut_step)
