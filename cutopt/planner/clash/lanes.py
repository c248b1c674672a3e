"""The ways of a run in the order of their joints round the plank, and what one run forbids another.

The ways a run forbids another are always one arc of that order: a joint forbids every phase nearer
than the rule allows, joints a plank apart forbid the same phases, and where a stretch cuts some of
these short, what is left still adjoins the joint's own phase.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.joints import keep_apart
from cutopt.planner.problem import NO_JOINT, Bools, Ints, Problem
from cutopt.units import Ticks

__all__ = ["Arcs", "Circle", "Lane", "arcs_of", "kept_apart", "lane_of", "next_reached"]

Int32s = NDArray[np.int32]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Lane:
    """A run's ways with joints by rising phase; ``bare`` is the way without joints, or -1.

    ``first`` and ``last`` are joints from the field's origin, ``phase`` is ``first`` round the plank.
    """

    ways: Ints
    phase: Ints
    first: Ints
    last: Ints
    bare: int

    def __len__(self) -> int:
        """Count the ways with joints."""
        return len(self.ways)

    @property
    def slots(self) -> int:
        """Count the ways, and one place more for the way without joints, used or not."""
        return len(self.ways) + 1

    def way(self, slot: int) -> int:
        """Return the way that stands in a slot; the last slot is the way without joints."""
        return int(self.ways[slot]) if slot < len(self.ways) else self.bare


def lane_of(problem: Problem, run: int) -> Lane:
    """Return a run's ways round the plank."""
    choices, offset = problem.choices[run], problem.runs[run].offset
    jointed = np.flatnonzero(choices.first < NO_JOINT)
    bare = np.flatnonzero(choices.first >= NO_JOINT)
    phase = (choices.first[jointed] + offset) % problem.plank
    order = np.argsort(phase, kind="stable")
    ways = jointed[order]
    return Lane(
        ways=ways,
        phase=phase[order],
        first=choices.first[ways] + offset,
        last=choices.last[ways] + offset,
        bare=int(bare[0]) if len(bare) else -1,
    )


@dataclass(frozen=True, slots=True, eq=False)
class Arcs:
    """Arcs of slots ``start .. stop - 1``, counted on past the end where they go round; arrays agree."""

    start: Ints
    stop: Ints


def kept_apart(
    before: Lane, after: Lane, *, stretch: tuple[Ticks, Ticks], plank: Ticks, apart: Ticks
) -> Bools:
    """Return per way of each lane (with joints) whether they keep a distance in a stretch."""
    return keep_apart(
        before.first[:, None],
        before.last[:, None],
        after.first[None, :],
        after.last[None, :],
        stretch=stretch,
        plank=plank,
        apart=apart,
    )


def arcs_of(kept: Bools) -> Arcs:
    """Return per column the one arc of rows that is not kept (module docstring: there is one at most)."""
    lost = ~kept
    count = lost.sum(axis=0, dtype=np.int64)
    begins = lost & ~np.roll(lost, 1, axis=0)
    start = np.where(begins.any(axis=0), begins.argmax(axis=0), 0) if len(kept) else np.zeros_like(count)
    return Arcs(start, start + count)


class Circle:
    """Looks up the slots of a lane by their phase."""

    def __init__(self, lane: Lane, others: tuple[Lane, ...], plank: Ticks) -> None:
        """Prepare for positions made up of the phases of all the lanes."""
        phases = np.concatenate([lane.phase, *(other.phase for other in others)])
        self._unit = int(np.gcd.reduce(phases, initial=plank))
        self._round = plank // self._unit
        self._below = np.searchsorted(lane.phase // self._unit, np.arange(self._round + 1))
        self._slots = len(lane)

    def around(self, centre: Ints, apart: Ticks) -> Arcs:
        """Return the slots whose phase is nearer than ``apart`` to a phase."""
        half = (apart - 1) // self._unit
        if 2 * half + 1 >= self._round:
            return Arcs(np.zeros_like(centre), np.full_like(centre, self._slots))
        low = (centre // self._unit - half) % self._round
        high = low + 2 * half + 1
        turned = high > self._round
        stop = self._below[np.where(turned, high - self._round, high)] + turned * self._slots
        return Arcs(self._below[low], stop)


def next_reached(reached: Bools) -> Int32s:
    """Return per row and slot the first slot reached from there on, over two rounds.

    ``reached`` is rows x n slots; the answer rows x (2n + 1), with 4n and more where none is reached.
    """
    slots = reached.shape[1]
    once = np.where(reached, np.arange(slots, dtype=np.int32), np.int32(4 * slots + 1))
    twice = np.concatenate([once, once + slots], axis=1, dtype=np.int32)
    onwards = np.minimum.accumulate(twice[:, ::-1], axis=1)[:, ::-1]
    return np.concatenate([onwards, onwards[:, :1] + 2 * slots], axis=1, dtype=np.int32)
