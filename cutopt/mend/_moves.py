"""All joints of a run moved along together: what pieces it is laid from then."""

from collections.abc import Iterator
from dataclasses import dataclass

from cutopt.mend._lines import run_joints
from cutopt.model.job import Lay
from cutopt.model.plan import LaidRun, Plan
from cutopt.units import TICKS_PER_INCH, Ticks

__all__ = ["Move", "moves"]

_USUAL_STEP: Ticks = TICKS_PER_INCH // 16
# A finer step is made coarser: nobody reads a tape to the thousandth part of a plank.
_MOST_STEPS = 4096


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A run's joints after a move, from its left end, rising; ``size`` is how far they moved.

    ``of`` tells by its place which joint of before each one is, ``None`` for one that is new. ``starter`` is the first
    piece laid.
    """

    laid: LaidRun
    size: Ticks
    joints: tuple[Ticks, ...]
    of: tuple[int | None, ...]
    starter: Ticks

    @property
    def shortest(self) -> Ticks:
        """The shorter of the two pieces at the walls."""
        edges = (0, *self.joints, self.laid.run.length)
        return min(edges[1] - edges[0], edges[-1] - edges[-2])


def moves(plan: Plan, laid: LaidRun) -> Iterator[Move]:
    """Yield every other place of a run's joints, at most a plank's length away, whose starter lies on the cut step.

    All joints move by the same length. A piece at a wall that would be longer than a plank gives a whole plank; one that
    would have no length is gone, and the next piece is the one at the wall. A starter of a whole plank is on the step.
    """
    plank, step = plan.plank.length, _step(plan)
    backwards = plan.rules.lay is Lay.RIGHT_TO_LEFT
    old = run_joints(laid)
    reach = plank // 2 if _regular(laid, plank) else plank
    for way in _ways(laid, old, plank=plank, step=step, backwards=backwards):
        if not 0 < abs(way) <= reach:
            continue
        joints, of = _moved(old, way, laid.run.length, plank)
        edges = (0, *joints, laid.run.length)
        starter = edges[-1] - edges[-2] if backwards else edges[1]
        if joints and (starter % step == 0 or starter == plank) and joints != old:
            yield Move(laid=laid, size=abs(way), joints=joints, of=of, starter=starter)


def _step(plan: Plan) -> Ticks:
    step = plan.rules.cut_step or _USUAL_STEP
    return step * max(1, -(-plan.plank.length // (step * _MOST_STEPS)))


def _regular(laid: LaidRun, plank: Ticks) -> bool:
    """Say whether whole planks lie between the pieces at the walls: then a plank's length further all is as before."""
    return all(piece.length == plank for piece in laid.pieces[1:-1])


def _ways(
    laid: LaidRun, old: tuple[Ticks, ...], *, plank: Ticks, step: Ticks, backwards: bool
) -> list[Ticks]:
    """Return how far to the right joints may move so that one of them, or one a plank before, begins on the step."""
    ahead = [laid.run.length - joint for joint in reversed(old)] if backwards else list(old)
    starters = [ahead[0] - plank, ahead[0], *(joint for joint in ahead[1:] if joint <= 2 * plank)]
    further: set[Ticks] = set()
    for residue in {-starter % step for starter in starters}:
        further.update(range((residue + plank) % step - plank, plank + 1, step))
    further.update(plank - starter for starter in starters)
    return sorted(-way if backwards else way for way in further)


def _moved(
    old: tuple[Ticks, ...], way: Ticks, length: Ticks, plank: Ticks
) -> tuple[tuple[Ticks, ...], tuple[int | None, ...]]:
    """Return the joints moved to the right by ``way``, and which of the old ones they are."""
    found: list[tuple[Ticks, int | None]] = [(joint + way, nth) for nth, joint in enumerate(old)]
    while found[0][0] > plank:
        found.insert(0, (found[0][0] - plank, None))
    while length - found[-1][0] > plank:
        found.append((found[-1][0] + plank, None))
    inside = [(joint, nth) for joint, nth in found if 0 < joint < length]
    return tuple(joint for joint, _ in inside), tuple(nth for _, nth in inside)
