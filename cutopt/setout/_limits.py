"""Run limits and the movement of floating floors."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from cutopt.model.cutouts import Axis
from cutopt.model.floor import Run
from cutopt.model.job import LayoutSpec, PlankKind
from cutopt.model.plan import Plan
from cutopt.model.setout import Movement, RunLimit
from cutopt.setout._runs import rooms_of
from cutopt.units import Ticks

__all__ = ["Lines", "breaks", "movements", "over_limits"]

Lines = Mapping[str, Sequence[Ticks]]
"""Where the lines between the rows of each field are, as far as known."""

_FIXED = {PlankKind.GLUE_DOWN_VINYL, PlankKind.SOLID_STRIP}


def breaks(extent: Ticks, limit: Ticks) -> int:
    """Return how many breaks at least keep every part within the limit (both over 0)."""
    return -(-extent // limit) - 1


def over_limits(parts: Iterable[Sequence[Run]], layout: LayoutSpec, lines: Lines) -> Iterator[RunLimit]:
    """Yield what is larger than the product's run limits, of each part of the floor that hangs together.

    Along the planks the longest run counts, across them all rows of the part from first to last.
    """
    for part in parts:
        if layout.run_limit_along is not None:
            longest = max(run.length for run in part)
            if longest > layout.run_limit_along:
                yield _limit(part, Axis.ALONG, longest, longest, layout.run_limit_along)
        if layout.run_limit_across is not None:
            extent = _across(part, lines)
            if extent > layout.run_limit_across:
                straight = _straight_across(part, lines)
                yield _limit(part, Axis.ACROSS, extent, straight, layout.run_limit_across)


def _limit(part: Sequence[Run], axis: Axis, extent: Ticks, straight: Ticks, limit: Ticks) -> RunLimit:
    rooms = part if axis is Axis.ACROSS else [run for run in part if run.length > limit]
    return RunLimit(
        field=part[0].field,
        rooms=rooms_of(rooms),
        axis=axis,
        extent=extent,
        straight=straight,
        limit=limit,
        breaks=breaks(extent, limit),
    )


def _across(part: Sequence[Run], lines: Lines) -> Ticks:
    """Return the breadth of all rows of a part together."""
    first, last = min(run.line for run in part), max(run.line for run in part)
    known = lines.get(part[0].field)
    if known is not None:
        return known[last] - known[first - 1]
    widths = _widths(part)
    return sum(widths.values())


def _widths(part: Iterable[Run]) -> dict[int, Ticks]:
    """Return how wide each line is at its widest."""
    widths: dict[int, Ticks] = {}
    for run in part:
        widths[run.line] = max(widths.get(run.line, 0), run.wide or run.width)
    return widths


def _straight_across(part: Sequence[Run], lines: Lines) -> Ticks:
    """Return the breadth of the most rows that lie side by side without a jog: all meet one line across."""
    known, widths = lines.get(part[0].field), _widths(part)
    width = {line: widths[line] if known is None else known[line] - known[line - 1] for line in widths}
    longest = 0
    for x in sorted({run.offset for run in part}):
        passed = sorted({run.line for run in part if run.offset <= x < run.right})
        together, before = 0, None
        for line in passed:
            together = width[line] + (together if before == line - 1 else 0)
            longest, before = max(longest, together), line
    return longest


def movements(parts: Iterable[Sequence[Run]], plan: Plan, layout: LayoutSpec) -> Iterator[Movement]:
    """Yield what the rows of each part may grow by, for floors that float and whose movement is told.

    Source: an inspector's count of rows times movement against both gaps (flooringdoctor.com, "the reason behind
    T-moldings": 78 rows of 1/64 in are 1-7/32 in against 2 x 1/4 in).
    """
    if not layout.movement or plan.plank.kind in _FIXED:
        return
    for part in parts:
        rows = max(run.line for run in part) - min(run.line for run in part) + 1
        yield Movement(
            field=part[0].field,
            rooms=rooms_of(part),
            rows=rows,
            per_row=layout.movement,
            gaps=2 * plan.rules.gap,
        )
