"""Where on a layout breaches lie: the joints or the piece concerned, else the whole run."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise, product
from typing import TypeAlias

from cutopt.model.judgement import Breach
from cutopt.model.plan import LaidRun, Plan
from cutopt.units import Ticks

__all__ = ["JointAt", "Spot", "spots_of"]

JointAt: TypeAlias = tuple[LaidRun, Ticks]
"""A joint: the run it lies in, and its place from the field's origin."""

_OF_PIECES = frozenset({"minimum piece", "cut step"})
"""Rules whose breaches lie in a piece; their place is its left end."""

_OF_OUTER_ROWS = "H-joint"
_MOST_OTHERS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where a breach lies. ``run`` is ``None`` where it has no place at all.

    ``joints`` are those concerned, that of the breach's own place first. Without any it lies from ``left`` to ``right``,
    in ticks from the field's origin; ``whole``: all along the run.
    """

    breach: Breach
    run: LaidRun | None = None
    joints: tuple[JointAt, ...] = ()
    left: Ticks = 0
    right: Ticks = 0
    whole: bool = False

    @property
    def middle(self) -> Ticks:
        """Where its number goes, from the field's origin."""
        return self.joints[0][1] if self.joints else (self.left + self.right) // 2


_Rows: TypeAlias = dict[int, list[LaidRun]]


def spots_of(plan: Plan, breaches: Sequence[Breach]) -> tuple[Spot, ...]:
    """Return where each breach lies, in their order."""
    rows: defaultdict[int, list[LaidRun]] = defaultdict(list)
    for row in plan.rows:
        rows[row.run.row].append(row)
    return tuple(_spot(breach, dict(rows), plan.plank.length) for breach in breaches)


def _spot(breach: Breach, rows: _Rows, plank: Ticks) -> Spot:
    row = breach.row if breach.row is not None else next(reversed(breach.rows), None)
    runs = rows.get(row, []) if row is not None else []
    run = next((one for one in runs if one.run.run == (breach.run or 1)), next(iter(runs), None))
    if run is None:
        return Spot(breach=breach)
    at = run.run.offset
    if breach.row is None or breach.place is None:
        return Spot(breach=breach, run=run, left=at, right=run.run.right, whole=True)
    if breach.rule in _OF_PIECES:
        left, right = _piece_from(run, at + breach.place)
        return Spot(breach=breach, run=run, left=left, right=right)
    joint = (run, min(at + breach.place, run.run.right))
    others = [rows.get(number, []) for number in _others(breach)]
    return Spot(breach=breach, run=run, joints=(joint, *_partners(joint, others, plank)))


def _piece_from(run: LaidRun, left: Ticks) -> tuple[Ticks, Ticks]:
    """Return from where to where the piece lies that begins next to a place."""
    ends = list(accumulate((piece.length for piece in run.pieces), initial=run.run.offset))
    return min(pairwise(ends), key=lambda piece: abs(piece[0] - left), default=(left, left))


def _others(breach: Breach) -> list[int]:
    """Return the other rows whose joints the rule compares, from the nearest."""
    rows = [row for row in breach.rows if row != breach.row]
    return rows[:1] if breach.rule == _OF_OUTER_ROWS else rows[::-1]


def _partners(joint: JointAt, others: Sequence[Sequence[LaidRun]], plank: Ticks) -> tuple[JointAt, ...]:
    """Return the joints that a joint is compared with: the nearest, or two on which it goes on most evenly."""
    run, at = joint
    found = [
        [
            (one, place)
            for one in runs
            if one.run.field == run.run.field
            for place in _joints(one)
            if abs(place - at) <= plank * nth
        ]
        for nth, runs in enumerate(others, 1)
    ]
    if not found or not all(found) or len(found) > _MOST_OTHERS:
        return ()

    def apart(chain: tuple[JointAt, ...]) -> tuple[Ticks, Ticks]:
        near = abs(chain[0][1] - at)
        return (abs(at - 2 * chain[0][1] + chain[1][1]), near) if len(chain) > 1 else (near, 0)

    return min(product(*found), key=apart)


def _joints(run: LaidRun) -> list[Ticks]:
    return list(accumulate((piece.length for piece in run.pieces), initial=run.run.offset))[1:-1]
