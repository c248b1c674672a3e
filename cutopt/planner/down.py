"""Runs that lie already, and what they ask of runs to be laid.

Their joints may lie anywhere: an older floor may have planks of any length. What the rules ask of a run
to be laid by itself leaves some of its ways out (``Asked``); what they ask of two such runs together, the
stair-step with the run before them, hangs on the runs' link.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from cutopt.model.floor import DownRun, Run
from cutopt.model.job import Rules
from cutopt.planner.joints import FAR, closest_to
from cutopt.units import Ticks

__all__ = ["Asked", "AskedBy", "above", "asked_of", "phase_of"]

Ints = NDArray[np.int64]


class AskedBy(StrEnum):
    """The rules that hold against runs that lie already, by their names among the rules of a job."""

    STAGGER = "stagger"
    H_JOINT = "h_joint"
    STAIR_STEP = "stair_step"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What runs that lie already ask of one run: joints to keep away from, each from the run's left end.

    They count, as the run's own do, from ``low`` to ``high``. For the stair-step ``joints`` is one place,
    the phase at which the run would step alike; it counts everywhere.
    """

    rule: AskedBy
    joints: tuple[Ticks, ...]
    low: Ticks
    high: Ticks

    def wanted(self, rules: Rules) -> Ticks:
        """Return how far away the run's joints must be."""
        return int(getattr(rules, self.rule))

    def apart(self, first: Ints, last: Ints, plank: Ticks) -> Ints:
        """Return how far away the joints of each way are (``FAR``: none counts)."""
        if self.rule is not AskedBy.STAIR_STEP:
            return closest_to(self.joints, first, last, stretch=(self.low, self.high), plank=plank)
        turn = (first - self.joints[0]) % plank
        return np.where(first > last, FAR, np.minimum(turn, plank - turn))


def asked_of(run: Run, before: Iterable[Run], down: tuple[DownRun, ...], plank: Ticks) -> Iterator[Asked]:
    """Yield what is asked of a run; ``before`` are the runs to be laid that it touches.

    H-joint: of joints two rows away, whether or not the run between lies already. Stair-step: where
    both rows before lie already and each has one phase.
    """
    for nearest in above(run, down):
        yield from _apart(AskedBy.STAGGER, nearest, (run, nearest))
        for further in above(nearest, down):
            yield from _apart(AskedBy.H_JOINT, further, (run, nearest, further))
            phases = phase_of(further, plank), phase_of(nearest, plank)
            if phases[0] is not None and phases[1] is not None:
                alike = (2 * phases[1] - phases[0] - run.offset) % plank
                yield Asked(rule=AskedBy.STAIR_STEP, joints=(alike,), low=0, high=run.length)
    for middle in before:
        for further in above(middle, down):
            yield from _apart(AskedBy.H_JOINT, further, (run, middle, further))


def above(run: Run | DownRun, down: Iterable[DownRun]) -> Iterator[DownRun]:
    """Yield the runs that lie already in the row before and touch a run: their spans overlap."""
    for one in down:
        if (one.field, one.line) == (run.field, run.line - 1) and _overlap(one, run):
            yield one


def _overlap(one: Run | DownRun, other: Run | DownRun) -> bool:
    return min(one.right, other.right) > max(one.offset, other.offset)


def phase_of(run: DownRun, plank: Ticks) -> Ticks | None:
    """Return where the joints lie round the plank; ``None`` without joints or where they differ.

    Such a run breaks the chain of the stair-step, as one in a single piece does.
    """
    phases = {joint % plank for joint in run.joints}
    return phases.pop() if len(phases) == 1 else None


def _apart(rule: AskedBy, lies: DownRun, runs: tuple[Run | DownRun, ...]) -> Iterator[Asked]:
    """Yield what the joints of ``lies`` ask in the stretch common to all ``runs``, the first to be laid."""
    origin = runs[0].offset
    low, high = max(one.offset for one in runs), min(one.right for one in runs)
    joints = tuple(joint - origin for joint in lies.joints if low <= joint <= high)
    if joints:
        yield Asked(rule=rule, joints=joints, low=low - origin, high=high - origin)
