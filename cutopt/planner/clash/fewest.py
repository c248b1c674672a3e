"""Chains of runs laid with the fewest breaches there can be: all pairs of ways, row by row.

As in ``chain``, but each pair (way of the row before, way of this row) is kept with the fewest breaches
of any laying of all rows so far that ends in it. What two later runs forbid a run are two arcs of its
ways round the plank, so going on asks for the least number over all ways, outside either arc, and
outside both: a table of least numbers over runs of 1, 2, 4, ... ways answers that (Bender and
Farach-Colton, "The LCA problem revisited", 2000).
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.clash.chain import Chain
from cutopt.planner.clash.lanes import Arcs, Circle, arcs_of
from cutopt.planner.clash.parts import is_chain
from cutopt.planner.clash.toll import BREACH, Joints, lone_toll, step_toll, triple_toll
from cutopt.planner.limits import Stop
from cutopt.planner.problem import NO_JOINT, Link, Problem, TripleLink

__all__ = ["fewest_breaches"]

Ints = NDArray[np.int64]
Counts = NDArray[np.uint8]

NEVER = 100
"""More breaches, above the fewest, than any pair that matters has: two rows on, any pair can follow any."""

MOST_BYTES = 150_000_000
"""Floors whose counts take more memory are not looked at."""


def fewest_breaches(problem: Problem, loose: Problem, stop: Stop) -> tuple[int, ...] | None:
    """Return ways of ``loose`` that break the rules of ``problem`` as seldom as can be.

    ``loose`` is the floor with all its ways. ``None`` where ``stop`` said so, or the floor is no chain or
    too large.
    """
    sizes = [len(choices) + 1 for choices in loose.choices]
    if not is_chain(problem) or sum(a * b for a, b in pairwise(sizes)) > MOST_BYTES:
        return None
    return _Fewest(problem, Chain(loose)).run(stop)


@dataclass(frozen=True, slots=True, eq=False)
class _Least:
    """Least numbers over any stretch of each row of a table, rows going round."""

    levels: NDArray[np.uint8]
    length: int

    @classmethod
    def of(cls, table: Counts) -> "_Least":
        length = table.shape[1]
        levels = [np.concatenate([table, table], axis=1)]
        reach = 1
        while 2 * reach <= length:
            here = levels[-1].copy()
            np.minimum(here[:, :-reach], here[:, reach:], out=here[:, :-reach])
            levels.append(here)
            reach *= 2
        return cls(np.stack(levels), length)

    def over(self, rows: Ints, start: Ints, count: Ints) -> Counts:
        """Return the least of ``count`` numbers from ``start`` on, in each of the rows; of none: ``NEVER``."""
        level = np.frexp(np.maximum(count, 1).astype(np.float64))[1] - 1
        start = start % self.length
        last = start + count - (1 << level)
        least = np.minimum(self.levels[level, rows, start], self.levels[level, rows, np.maximum(last, 0)])
        return np.where(count > 0, least, np.uint8(NEVER))


@dataclass(frozen=True, slots=True, eq=False)
class _Fewest:
    """A chain of runs: the problem whose rules count, and the loose one whose ways are taken."""

    problem: Problem
    chain: Chain

    def run(self, stop: Stop) -> tuple[int, ...] | None:
        """Return one way for every run, ``None`` when stopped."""
        if len(self.problem.runs) == 1:
            return (int(lone_toll(self.problem, 0, self.chain.problem.choices[0]).argmin()),)
        counts = [_lowered(self._pieces(0)[:, None] + self._pair(1))]
        for run in range(2, len(self.problem.runs)):
            if stop():
                return None
            (triple,) = self.problem.triples_to[run]
            counts.append(_lowered(self._onwards(counts[-1], triple) + self._pair(run)))
        return self._trace(counts)

    def _pieces(self, run: int) -> Counts:
        """Return how often the ways of a run break rules by themselves, by slot; ``NEVER``: no such way."""
        lane = self.chain.lane(run)
        tolls = lone_toll(self.problem, run, self.chain.problem.choices[run])
        bare = 0 if lane.bare >= 0 else NEVER
        return np.append(tolls[lane.ways] // BREACH, bare).astype(np.uint8)

    def _pair(self, run: int) -> Counts:
        """Return the breaches of a run by itself and with the run before, by their slots."""
        (link,) = self.problem.links_to[run]
        near = np.zeros((self.chain.lane(link.before).slots, self.chain.lane(run).slots), dtype=np.uint8)
        stretch = link.low, link.high
        near[:-1, :-1] = ~self.chain.apart(link.before, run, stretch, self.problem.rules.stagger)
        near[:-1, :-1] += self._steps(link)
        return near + self._pieces(run)

    def _steps(self, link: Link) -> Counts:
        """Return how often ways with joints of two touching runs step like the runs that lie before them."""
        before, after = self._joints(link.before), self._joints(link.after)
        tolls = step_toll(self.problem, link, before.column(), after)[:-1, :-1]
        return (tolls // BREACH).astype(np.uint8)

    def _onwards(self, counts: Counts, triple: TripleLink) -> Counts:
        """Return the fewest breaches up to the middle run and by all three, by the slots of middle and last."""
        first = self.chain.lane(triple.first)
        shape = counts.shape[1], self.chain.lane(triple.last).slots
        bare = np.broadcast_to(counts[-1][:, None], shape)
        if not len(first):
            return bare
        least = _Least.of(counts[:-1].T)
        arcs = self._h_arcs(triple), self._step_arcs(triple)
        outside = _outside(least, arcs[0]), _outside(least, arcs[1])
        whichever = counts[:-1].min(axis=0)[:, None]
        keeping_one = np.minimum(*outside) + 1
        keeping_both = np.minimum(bare, _outside_both(least, arcs, outside))
        best: Counts = np.minimum(keeping_both, np.minimum(keeping_one, whichever + 2))
        return best

    def _h_arcs(self, triple: TripleLink) -> Arcs:
        """Return the ways of the first run that each slot of the last forbids by the H-joint."""
        stretch = triple.low, triple.high
        arcs = arcs_of(self.chain.apart(triple.first, triple.last, stretch, self.problem.rules.h_joint))
        return Arcs(np.append(arcs.start, 0)[None, :], np.append(arcs.stop, 0)[None, :])

    def _step_arcs(self, triple: TripleLink) -> Arcs:
        """Return the ways of the first run that each pair of slots of the others forbids by the stair-step."""
        first, middle, last = map(self.chain.lane, (triple.first, triple.middle, triple.last))
        start = np.zeros((middle.slots, last.slots), dtype=np.int64)
        stop = np.zeros_like(start)
        if self.problem.rules.stair_step:
            circle = Circle(first, (middle, last), self.problem.plank)
            centre = 2 * middle.phase[:, None] - last.phase[None, :]
            arcs = circle.around(centre, self.problem.rules.stair_step)
            start[:-1, :-1], stop[:-1, :-1] = arcs.start, arcs.stop
        return Arcs(start, stop)

    def _trace(self, counts: list[Counts]) -> tuple[int, ...]:
        """Return the ways, found from the last row back; among equals the smallest breaches."""
        before, after = divmod(int(counts[-1].argmin()), counts[-1].shape[1])
        slots = [after, before]
        for run in range(len(self.problem.runs) - 1, 1, -1):
            (triple,) = self.problem.triples_to[run]
            tolls = self._tolls(triple, slots[-1], slots[-2])
            slots.append(int((tolls + BREACH * counts[run - 2][:, slots[-1]].astype(np.int64)).argmin()))
        return tuple(self.chain.lane(run).way(slot) for run, slot in enumerate(reversed(slots)))

    def _tolls(self, triple: TripleLink, middle: int, last: int) -> Ints:
        """Return what each slot of the first run adds to one slot each of the next two."""
        one = [
            self._joints(run).pick(np.array([slot]))
            for run, slot in ((triple.middle, middle), (triple.last, last))
        ]
        return triple_toll(self.problem, triple, self._joints(triple.first), *one)

    def _joints(self, run: int) -> Joints:
        """Return the joints of a run by slot."""
        lane = self.chain.lane(run)
        return Joints(np.append(lane.first, NO_JOINT), np.append(lane.last, -NO_JOINT))


def _lowered(counts: Counts) -> Counts:
    """Count from the fewest on: only differences matter, and small ones alone."""
    lowered: Counts = np.minimum(counts - counts.min(), np.uint8(NEVER))
    return lowered


def _outside(least: _Least, arcs: Arcs) -> Counts:
    """Return the least number outside an arc, for each row of a table."""
    rows = np.arange(least.levels.shape[1])[:, None]
    return least.over(rows, arcs.stop, least.length - (arcs.stop - arcs.start))


def _outside_both(least: _Least, arcs: tuple[Arcs, Arcs], outside: tuple[Counts, Counts]) -> Counts:
    """Return the least number outside two arcs: in what lies between the end of each and the next start."""
    rows = np.arange(least.levels.shape[1])[:, None]
    one, other = arcs
    both = np.minimum(
        least.over(rows, one.stop, _free(one, other, least.length)),
        least.over(rows, other.stop, _free(other, one, least.length)),
    )
    # Where there is but one arc, what lies outside it.
    both = np.where(other.stop == other.start, outside[0], both)
    return np.where(one.stop == one.start, outside[1], both)


def _free(here: Arcs, there: Arcs, around: int) -> Ints:
    """Return how many slots after the end of an arc lie in neither arc."""
    inside = (here.stop - there.start) % around < there.stop - there.start
    ahead = np.minimum(around - (here.stop - here.start), (there.start - here.stop) % around)
    free: Ints = np.where(inside, 0, ahead)
    return free
