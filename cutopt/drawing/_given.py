"""A place for rows that have none: stacked by line, as their widths and offsets say."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from cutopt.model.floor import Area, Field, Frame, Run
from cutopt.model.plan import Plan
from cutopt.model.rooms import Ring
from cutopt.units import Ticks

__all__ = ["given_fields"]

_ROWS_APART = 3


def given_fields(runs: Sequence[Run], plan: Plan) -> Iterator[Field]:
    """Yield a field for each field name of the runs, the next one above the last."""
    by_field: defaultdict[str, list[Run]] = defaultdict(list)
    for run in runs:
        by_field[run.field].append(run)
    base = max((line for field in plan.ground.fields for line in field.lines), default=0)
    for name, in_field in by_field.items():
        lines = _lines(in_field, base, plan.plank.width)
        yield Field(
            name=name,
            rooms=tuple(dict.fromkeys(run.room for run in in_field)),
            frame=Frame(),
            areas=tuple(Area(outer=_outline(run, lines[run.line - 1], lines[run.line])) for run in in_field),
            lines=lines,
        )
        base = lines[-1] + _ROWS_APART * plan.plank.width


def _lines(runs: Sequence[Run], base: Ticks, width: Ticks) -> tuple[Ticks, ...]:
    """Return the lines between rows; a line without a run is a plank wide."""
    widths = {run.line: run.width for run in runs}
    lines = [base]
    for line in range(1, max(widths) + 1):
        lines.append(lines[-1] + widths.get(line, width))
    return tuple(lines)


def _outline(run: Run, low: Ticks, high: Ticks) -> Ring:
    """Return a run as a quadrilateral; a slant is x at the upper edge less x at the lower."""
    left, right = run.offset, run.right
    return (
        (left + max(0, -run.left_slant), low),
        (right - max(0, run.right_slant), low),
        (right - max(0, -run.right_slant), high),
        (left + max(0, run.left_slant), high),
    )
