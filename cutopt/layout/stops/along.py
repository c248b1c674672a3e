"""Stops along the rows: where the joints of a fixed pattern lie best against the ends of all runs."""

from collections import defaultdict
from collections.abc import Sequence

from cutopt.layout.stops.solve import solve
from cutopt.model.floor import Run
from cutopt.model.job import Pattern, PlankSpec, Rules
from cutopt.model.rooms import StopSide
from cutopt.model.stops import StopLine, StopsSolution
from cutopt.units import Ticks

__all__ = ["along"]

_PARTS = {Pattern.HALF: 2, Pattern.THIRD: 3}


def along(runs: Sequence[Run], plank: PlankSpec, rules: Rules) -> StopsSolution | None:
    """Return the place of the joints that makes the shortest end piece of a field longest.

    With ``half`` and ``third`` one place decides all joints: the rows are shifted against each other by their
    share of a plank. Each place where runs end is a stop, once for every such shift that meets it; wanted is a
    minimum piece. ``None`` for other patterns, which choose row by row, and without a run longer than a plank.
    """
    if rules.pattern not in _PARTS:
        return None
    parts = _PARTS[rules.pattern]
    met: defaultdict[tuple[StopSide, Ticks], set[Ticks]] = defaultdict(set)
    for run in runs:
        if run.length > plank.length:
            shift = plank.length * (run.line % parts) // parts
            met[StopSide.AFTER, run.offset + abs(run.left_slant)].add(shift)
            met[StopSide.BEFORE, run.right - abs(run.right_slant)].add(shift)
    stops = [
        StopLine(
            name="left ends" if side is StopSide.AFTER else "right ends",
            side=side,
            low=at,
            high=at,
            min_rip=rules.min_piece,
            phases=tuple(sorted(shifts)),
        )
        for (side, at), shifts in sorted(met.items())
    ]
    return solve(stops, plank.length) if stops else None
