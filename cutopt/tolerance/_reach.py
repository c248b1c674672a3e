"""Runs as seen in the direction of laying: the end that a wall may move is always the far one."""

from collections import defaultdict
from dataclasses import dataclass
from itertools import accumulate

from cutopt.model.floor import DownRun
from cutopt.model.job import Lay
from cutopt.model.plan import LaidRun, Piece, Plan
from cutopt.units import Ticks

__all__ = ["Line", "Reach", "in_order_laid", "lines"]

Line = tuple[str, int]
"""A row of a field."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """A run from ``near`` to ``far`` and its joints, rising in the direction of laying.

    ``index`` is its place in the plan; ``None`` for a run that lies already, whose walls are as they are.
    ``number`` counts it within its row, ``touches`` are the numbers of those it touches in the line before.
    """

    index: int | None
    number: int
    near: Ticks
    far: Ticks
    joints: tuple[Ticks, ...]
    touches: tuple[int, ...] | None = None


def in_order_laid(laid: LaidRun, plan: Plan) -> tuple[Piece, ...]:
    """Return the pieces of a run, the starter first."""
    return laid.pieces[::-1] if plan.rules.lay is Lay.RIGHT_TO_LEFT else laid.pieces


def lines(plan: Plan) -> dict[Line, list[Reach]]:
    """Return all runs by line, those that lie already among them."""
    found: defaultdict[Line, list[Reach]] = defaultdict(list)
    for index, laid in enumerate(plan.rows):
        found[laid.run.field, laid.run.line].append(_laid(index, laid, plan))
    for run in plan.down:
        found[run.field, run.line].append(_down(run, plan))
    return dict(found)


def _laid(index: int, laid: LaidRun, plan: Plan) -> Reach:
    run, pieces = laid.run, in_order_laid(laid, plan)
    near = -run.right if _backwards(plan) else run.offset
    places = tuple(accumulate((piece.length for piece in pieces), initial=near))
    return Reach(
        index=index,
        number=run.run,
        near=near,
        far=near + run.length,
        joints=places[1:-1],
        touches=run.touches,
    )


def _down(run: DownRun, plan: Plan) -> Reach:
    backwards = _backwards(plan)
    near = -run.right if backwards else run.offset
    joints = tuple(-joint for joint in reversed(run.joints)) if backwards else run.joints
    return Reach(index=None, number=0, near=near, far=near + run.length, joints=joints)


def _backwards(plan: Plan) -> bool:
    return plan.rules.lay is Lay.RIGHT_TO_LEFT
