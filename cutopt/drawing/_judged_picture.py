"""A layout as text with its breaches: their numbers below their rows, where they are."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from textwrap import wrap

from cutopt.drawing._picture import MOST_LINES, Ruler, drawn_row, picture, things_in
from cutopt.drawing._spots import Spot, spots_of
from cutopt.model.judgement import Breach
from cutopt.model.plan import LaidRun, Plan

__all__ = ["judged_picture"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Band:
    """A field's rows by number, with the columns for row numbers and for places along the rows."""

    rows: dict[int, list[LaidRun]]
    margin: int
    ruler: Ruler


def judged_picture(plan: Plan, breaches: Sequence[Breach], width: int = 80) -> str:
    """Return every field with breaches as plain text, at most ``width`` columns wide: the first row at the bottom.

    Below a row its breaches stand as ``(3)`` where they are, those that have no place along it behind ``row``. Of more than
    40 rows only those with breaches and their neighbours are shown.
    """
    if not breaches or not plan.rows:
        return picture(plan, min(width, 78)) if plan.rows else ""
    spots = spots_of(plan, breaches)
    fields = dict.fromkeys(row.run.field for row in plan.rows)
    lines = [line for field in fields for line in _field(plan, field, spots, width)]
    unplaced = [f"({spot.breach.number})" for spot in spots if spot.run is None]
    if unplaced:
        lines += wrap(f"Of no one row: {', '.join(unplaced)}.", width)
    if "..." in "".join(lines):
        lines += wrap("Rows without a breach in them or beside them are left out.", width)
    lines += wrap("The first row is at the bottom; (1) marks where breach 1 is, below its row.", width)
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _field(plan: Plan, field: str, spots: Sequence[Spot], width: int) -> Iterator[str]:
    """Yield the rows of a field with breaches, each with its marks; a blank line parts it from the next field."""
    here = [spot for spot in spots if spot.run is not None and spot.run.run.field == field]
    if not here:
        return
    band = _band(plan, field, width)
    numbers = list(band.rows)
    shown = set(numbers) if len(numbers) <= MOST_LINES else _concerned(numbers, here)
    left_out = 0
    for number in reversed(numbers):
        if number not in shown:
            left_out += 1
            continue
        yield from _gap(left_out, band.margin)
        left_out = 0
        yield from _row(plan, number, band)
        yield from _marks([spot for spot in here if spot.run in band.rows[number]], band)
    yield from _gap(left_out, band.margin)
    yield ""


def _band(plan: Plan, field: str, width: int) -> _Band:
    rows: dict[int, list[LaidRun]] = {}
    for row in plan.rows:
        if row.run.field == field:
            rows.setdefault(row.run.row, []).append(row)
    runs = [row.run for found in rows.values() for row in found]
    margin = max(len(str(number)) for number in rows) + 1
    left, right = min(run.offset for run in runs), max(run.right for run in runs)
    return _Band(
        rows=rows, margin=margin, ruler=Ruler(left=left, right=right, columns=max(2, width - margin))
    )


def _concerned(numbers: Sequence[int], spots: Sequence[Spot]) -> set[int]:
    """Return the rows with breaches and those next to them."""
    concerned = {row for spot in spots for row in spot.breach.rows}
    concerned |= {spot.run.run.row for spot in spots if spot.run is not None}
    return {
        number
        for nth, number in enumerate(numbers)
        if concerned.intersection(numbers[max(0, nth - 1) : nth + 2])
    }


def _gap(left_out: int, margin: int) -> Iterator[str]:
    if left_out:
        rows = "1 row" if left_out == 1 else f"{left_out} rows"
        yield f"{' ' * margin}... {rows}"


def _row(plan: Plan, number: int, band: _Band) -> Iterator[str]:
    rows = band.rows[number]
    run = rows[0].run
    field = next((field for field in plan.ground.fields if field.name == run.field), None)
    things = things_in(plan, field, run.line) if field else ()
    yield f"{number:>{band.margin - 1}} " + drawn_row(rows, band.ruler, things)


def _marks(spots: Sequence[Spot], band: _Band) -> Iterator[str]:
    """Yield the lines below a row: each number below its place, on the first line where it has room."""
    columns, margin = band.ruler.columns, " " * band.margin
    lines: list[str] = []
    labels = [(band.ruler.column(spot.middle), f"({spot.breach.number})") for spot in spots if not spot.whole]
    for column, label in sorted(labels):
        start = min(max(0, column - len(label) // 2), max(0, columns - len(label)))
        free = (nth for nth, line in enumerate(lines) if len(line) < start)
        nth = next(free, len(lines))
        lines[nth : nth + 1] = [(lines[nth] if nth < len(lines) else "").ljust(start) + label]
    whole = [f"({spot.breach.number})" for spot in spots if spot.whole]
    if whole:
        lines += wrap(f"row {' '.join(whole)}", columns)
    yield from (margin + line for line in lines)
