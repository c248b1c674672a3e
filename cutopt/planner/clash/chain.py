"""Floors where every run touches only the run before it and the next: all pairs of ways, row by row.

For each row: which pairs (way of the row before, way of this row) some laying of all rows so far
ends in. That is exact, so an empty set is a proof. Going on to a pair (b, c) needs one way ``a``
that reaches ``b`` and lies outside two arcs (see ``lanes``): what ``c`` forbids by the H-joint
rule, and what ``b`` and ``c`` forbid by the stair-step rule. The next way reached after an arc
answers that, so a row costs about the square of the number of ways, not the cube.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.clash.answer import Answer, Verdict
from cutopt.planner.clash.lanes import Arcs, Circle, Lane, arcs_of, kept_apart, lane_of, next_reached
from cutopt.planner.joints import keep_apart, keep_phases, keep_step
from cutopt.planner.limits import Stop
from cutopt.planner.problem import Bools, Link, Problem, TripleLink
from cutopt.units import Ticks

__all__ = ["MOST_WAYS", "Chain", "decide_chain"]

MOST_WAYS = 3000
"""Pairs of more ways than that take too much memory and time (a cut step of 0.5 mm has fewer)."""


@dataclass(frozen=True, slots=True, eq=False)
class _Reached:
    """Pairs of slots that some laying of all rows so far ends in, eight to a byte."""

    bits: NDArray[np.uint8]
    columns: int

    @classmethod
    def of(cls, pairs: Bools) -> "_Reached":
        return cls(np.packbits(pairs, axis=1), pairs.shape[1])

    def pairs(self) -> Bools:
        return np.unpackbits(self.bits, axis=1, count=self.columns).astype(np.bool_)


@dataclass(slots=True, eq=False)
class Chain:
    """A floor and what has been worked out about its runs; runs that are alike share it."""

    problem: Problem
    lanes: dict[tuple[object, ...], Lane] = field(default_factory=dict)
    kept: dict[tuple[object, ...], Bools] = field(default_factory=dict)

    def kind(self, run: int) -> tuple[object, ...]:
        """Return what makes runs alike: the same ways at the same place."""
        return self.problem.runs[run].offset, self.problem.choices[run]

    def lane(self, run: int) -> Lane:
        """Return a run's ways round the plank."""
        kind = self.kind(run)
        if kind not in self.lanes:
            self.lanes[kind] = lane_of(self.problem, run)
        return self.lanes[kind]

    def apart(self, before: int, after: int, stretch: tuple[Ticks, Ticks], apart: Ticks) -> Bools:
        """Return which ways with joints of two runs keep a distance."""
        key = self.kind(before), self.kind(after), stretch, apart
        if key not in self.kept:
            lanes = self.lane(before), self.lane(after)
            if len(self.kept) > len(self.problem.runs):
                self.kept.clear()
            self.kept[key] = kept_apart(*lanes, stretch=stretch, plank=self.problem.plank, apart=apart)
        return self.kept[key]

    def steps(self, link: Link) -> Bools:
        """Return which ways with joints of two touching runs step unlike the runs that lie before them."""
        first = self.lane(link.before).first[:, None], self.lane(link.after).first[None, :]
        apart = self.problem.rules.stair_step
        return keep_phases(link.phases, *first, plank=self.problem.plank, apart=apart)

    def pairs(self, link: Link) -> Bools:
        """Return which slots of two touching runs keep the stagger, and the step with what lies before."""
        before, after = self.lane(link.before), self.lane(link.after)
        kept = np.zeros((before.slots, after.slots), dtype=np.bool_)
        stagger = self.problem.rules.stagger
        kept[:-1, :-1] = self.apart(link.before, link.after, (link.low, link.high), stagger)
        kept[:-1, :-1] &= self.steps(link)
        kept[-1, :] = before.bare >= 0
        kept[:, -1] = after.bare >= 0
        kept[-1, -1] &= before.bare >= 0
        return kept


def decide_chain(problem: Problem, stop: Stop) -> Verdict:
    """Return whether a chain of runs can be laid; undecided only when ``stop`` ends it."""
    chain = Chain(problem)
    reached: list[_Reached] = []
    for pairs in _rows(chain, stop):
        if not pairs.bits.any():
            return Verdict(answer=Answer.IMPOSSIBLE, upto=len(reached) + min(1, len(problem.runs) - 1))
        reached.append(pairs)
    if len(reached) < max(1, len(problem.runs) - 1):
        return Verdict(answer=Answer.UNDECIDED)
    return Verdict(answer=Answer.POSSIBLE, ways=_trace(chain, reached))


def _rows(chain: Chain, stop: Stop) -> Iterator[_Reached]:
    """Yield the pairs reached after the second run, the third, and so on."""
    problem = chain.problem
    if len(problem.runs) == 1:
        lane = chain.lane(0)
        yield _Reached.of(np.array([[True] * len(lane) + [lane.bare >= 0]]))
        return
    pairs = chain.pairs(problem.links[0])
    latest = _Reached.of(pairs)
    yield latest
    before: tuple[object, ...] = ()
    settled = False
    for run in range(2, len(problem.runs)):
        if stop():
            return
        step = _step_kind(chain, run)
        # Rows alike to the row before cannot change what no longer changed there.
        settled = settled and step == before
        if not settled:
            after = _onwards(chain, pairs, problem.triples_to[run][0])
            settled = step == before and np.array_equal(after, pairs)
            pairs, before = after, step
            latest = _Reached.of(pairs)
        yield latest


def _step_kind(chain: Chain, run: int) -> tuple[object, ...]:
    (link,), (triple,) = chain.problem.links_to[run], chain.problem.triples_to[run]
    kinds = tuple(map(chain.kind, (triple.first, triple.middle, triple.last)))
    return *kinds, link.low, link.high, link.phases, triple.low, triple.high


def _live(pairs: Bools) -> Bools:
    """Return which slots of the later run any pair ends in."""
    return np.asarray(pairs.any(axis=0))


def _onwards(chain: Chain, pairs: Bools, triple: TripleLink) -> Bools:
    """Return the pairs (middle, last) reached from the pairs (first, middle)."""
    (link,) = chain.problem.links_to[triple.last]
    onwards = chain.pairs(link)
    onwards &= _live(pairs)[:, None]
    onwards[:, :-1] &= pairs[-1, :, None] | _from_jointed(chain, pairs[:-1], onwards[:, :-1], triple)
    return onwards


def _from_jointed(chain: Chain, pairs: Bools, wanted: Bools, triple: TripleLink) -> Bools:
    """Return which wanted pairs are reached from a first run that has joints."""
    first, middle, last = (chain.lane(run) for run in (triple.first, triple.middle, triple.last))
    rules, plank = chain.problem.rules, chain.problem.plank
    if not len(first) or not (rules.h_joint or rules.stair_step):
        return np.broadcast_to(_live(pairs)[:, None], wanted.shape)
    stretch = (triple.low, triple.high)
    h_arcs = arcs_of(chain.apart(triple.first, triple.last, stretch, rules.h_joint))
    following = next_reached(pairs.T)
    candidate = following[:, h_arcs.stop]
    found = wanted & (candidate < h_arcs.start + len(first))
    if rules.stair_step:
        rows, columns = np.nonzero(found[:-1])
        circle = Circle(first, (middle, last), plank)
        centre = 2 * middle.phase[rows] - last.phase[columns]
        steps = circle.around(centre, rules.stair_step)
        limit = h_arcs.start[columns] + len(first)
        found[rows, columns] = _outside(following, rows, candidate[rows, columns], steps, limit)
    return found


def _outside(
    following: NDArray[np.int32],
    rows: NDArray[np.int64],
    candidate: NDArray[np.int32],
    steps: Arcs,
    limit: NDArray[np.int64],
) -> Bools:
    """Return where a slot from ``candidate`` on and under ``limit`` is reached outside a second arc."""
    slots = following.shape[1] // 2
    into = (candidate - steps.start) % slots
    free = into >= steps.stop - steps.start
    # Else go on from the end of the second arc, up to where it begins anew.
    ahead = np.minimum(candidate - into + steps.stop - steps.start, limit)
    again = following[rows, ahead]
    kept: Bools = free | ((again < limit) & (again < candidate - into + slots))
    return kept


def _trace(chain: Chain, reached: list[_Reached]) -> tuple[int, ...]:
    """Return one laying, found from the last row back."""
    before, after = (int(slot[0]) for slot in np.nonzero(reached[-1].pairs()))
    if len(chain.problem.runs) == 1:
        return (chain.lane(0).way(after),)
    slots = [after, before]
    for triple, pairs in zip(
        [chain.problem.triples_to[run][0] for run in range(len(chain.problem.runs) - 1, 1, -1)],
        reached[-2::-1],
        strict=True,
    ):
        column = pairs.pairs()[:, slots[-1]]
        slots.append(int(np.flatnonzero(column & _leads_on(chain, triple, slots[-1], slots[-2]))[0]))
    return tuple(chain.lane(run).way(slot) for run, slot in enumerate(reversed(slots)))


def _leads_on(chain: Chain, triple: TripleLink, middle: int, last: int) -> Bools:
    """Return which slots of the first run go with one slot each of the next two."""
    lanes = [chain.lane(run) for run in (triple.first, triple.middle, triple.last)]
    goes = np.ones(lanes[0].slots, dtype=np.bool_)
    if last == len(lanes[2]):
        return goes
    rules, plank = chain.problem.rules, chain.problem.plank
    goes[:-1] = keep_apart(
        lanes[0].first,
        lanes[0].last,
        lanes[2].first[last],
        lanes[2].last[last],
        stretch=(triple.low, triple.high),
        plank=plank,
        apart=rules.h_joint,
    )
    if middle < len(lanes[1]) and rules.stair_step:
        phases = lanes[0].phase, lanes[1].phase[middle], lanes[2].phase[last]
        goes[:-1] &= keep_step(*phases, plank=plank, apart=rules.stair_step)
    return goes
