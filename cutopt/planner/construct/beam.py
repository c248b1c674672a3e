"""Beam search over runs: many half-made plans side by side, the most promising kept.

A half-made plan is judged by the planks it has opened less what its waiting planks are still
worth at the bound's prices, so a plan that only does what the linear program would do loses
nothing. The arrays hold all plans of one stage, so that numpy works on them at once.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.construct.begin import begin
from cutopt.planner.construct.draft import Draft, Source, Step
from cutopt.planner.construct.front import Front, Moves, apply_moves, let_go
from cutopt.planner.construct.pools import fit_each, shortest_fit_each
from cutopt.planner.construct.worth import Worth
from cutopt.planner.joints import keep_apart, keep_phases, keep_step
from cutopt.planner.limits import Stop, never
from cutopt.planner.nesting import STRAIGHT, Nesting
from cutopt.planner.problem import NO_JOINT, Choices, Problem
from cutopt.units import Ticks

__all__ = ["Hope", "Temper", "search"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

NEVER = np.inf
# Moves looked at closely, for each plan that will be kept.
CANDIDATES = 4


@dataclass(frozen=True, slots=True)
class Temper:
    """How one search leans.

    ``width`` plans are kept at each run. ``noise`` (share of a plank) shuffles near equals. Plans
    whose lengths differ by less than ``grain`` ticks or so count as of one kind, of which the best is
    kept first. ``fade``: waiting planks keep ``rest / (rest + fade)`` of their worth with ``rest``
    runs to go.
    """

    width: int = 64
    noise: float = 0.02
    grain: Ticks = 1
    fade: float = 1.0
    seed: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Hope:
    """The least that half-made plans still cost, by the bound's prices.

    ``worths[i]`` values planks waiting after run ``i``; ``rest[i]`` bounds the planks that the
    runs after it need when nothing waits.
    """

    worths: Sequence[Worth]
    rest: Sequence[float]

    def ahead(self, front: Front, index: int) -> Floats:
        """Return per plan the least number of planks that the runs after ``index`` will open."""
        ahead: Floats = np.maximum(0.0, self.rest[index] - self.worths[index].waiting(front))
        return ahead


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stage:
    """What led to each plan kept after one run."""

    parent: Ints
    way: Ints
    sources: Ints
    front: Front

    def pick(self, keep: Ints) -> "_Stage":
        return _Stage(
            parent=self.parent[keep],
            way=self.way[keep],
            sources=self.sources[keep],
            front=self.front.pick(keep),
        )


def search(  # noqa: PLR0913 - a search, its guide, its aim and its limits
    problem: Problem,
    guides: Sequence[Worth],
    *,
    hope: Hope,
    at_most: int,
    temper: Temper,
    stop: Stop = never,
) -> Draft | None:
    """Return a plan of at most ``at_most`` planks, or ``None`` when the search ends without one.

    ``guides[i]`` ranks planks that wait after run ``i``. ``None`` proves nothing.
    """
    random = np.random.default_rng(temper.seed)
    front = first = begin(problem, guides[0], random)
    stages: list[_Stage] = []
    window: list[int] = []
    for index in range(len(problem.runs)):
        if stop():
            return None
        trust = (len(problem.runs) - index - 1) / (len(problem.runs) - index - 1 + temper.fade)
        worth = guides[index]
        moves = _moves(problem, worth, front, index, window, trust, temper, random)
        stage = _advance(problem, worth, front, moves, index)
        front = stage.front
        hopeful = front.planks + hope.ahead(front, index) <= at_most + 1e-6
        kept = _keep_best(front, worth.rank(front, trust), hopeful, temper, random)
        if not len(kept):
            return None
        stages.append(stage.pick(kept))
        front, window = _forget(problem, stages[-1].front, [*window, index], index)
    return _trace(first, stages)


def _moves(  # noqa: PLR0913, PLR0917 - the one place where all of a stage meets
    problem: Problem,
    worth: Worth,
    front: Front,
    index: int,
    window: list[int],
    trust: float,
    temper: Temper,
    random: np.random.Generator,
) -> Moves:
    """Return the moves worth a closer look, over all plans, ways to lay the run, and sources."""
    choices = problem.choices[index]
    legal = _legal(problem, front, index, window)
    base = worth.rank(front, trust)[:, None] + choices.wholes
    base = base + temper.noise * random.random(base.shape)
    base[~legal] = NEVER
    costs, sources = [], []
    for source, cost in _source_costs(problem, worth, front, index, trust):
        costs.append(base + cost)
        sources.append(source)
    ranks = np.stack(costs)
    wanted = CANDIDATES * temper.width
    flat = ranks.ravel()
    best = np.argpartition(flat, wanted)[:wanted] if len(flat) > wanted else np.arange(len(flat))
    best = np.sort(best[flat[best] < NEVER])
    combo, plan, way = np.unravel_index(best, ranks.shape)
    return Moves(plan=plan, way=way, sources=np.array(sources, dtype=np.int64).reshape(-1, 2)[combo])


def _legal(problem: Problem, front: Front, index: int, window: list[int]) -> Bools:
    """Return, per plan and way, whether the joints keep stagger, H-joint and stair-step."""
    choices, offset = problem.choices[index], problem.runs[index].offset
    first, last = choices.first + offset, choices.last + offset
    rules, plank = problem.rules, problem.plank
    legal = np.ones((len(front.planks), len(choices)), dtype=bool)
    for link in problem.links_to[index]:
        at = window.index(link.before)
        legal &= keep_apart(
            front.first[:, at, None],
            front.last[:, at, None],
            first,
            last,
            stretch=(link.low, link.high),
            plank=plank,
            apart=rules.stagger,
        )
        if link.phases and rules.stair_step:
            before = front.first[:, at, None]
            legal &= keep_phases(link.phases, before, first, plank=plank, apart=rules.stair_step)
    for triple in problem.triples_to[index]:
        outer, inner = window.index(triple.first), window.index(triple.middle)
        if rules.h_joint and triple.low <= triple.high:
            legal &= keep_apart(
                front.first[:, outer, None],
                front.last[:, outer, None],
                first,
                last,
                stretch=(triple.low, triple.high),
                plank=plank,
                apart=rules.h_joint,
            )
        if rules.stair_step:
            ends = front.first[:, outer, None], front.first[:, inner, None]
            unbroken = (ends[0] < NO_JOINT // 2) & (ends[1] < NO_JOINT // 2) & (first < NO_JOINT // 2)
            legal &= ~unbroken | keep_step(*ends, first, plank=plank, apart=rules.stair_step)
    return legal


def _source_costs(
    problem: Problem, worth: Worth, front: Front, index: int, trust: float
) -> Iterator[tuple[tuple[Source, Source], Floats]]:
    """Yield what each pair of sources (starter or single piece, end piece) costs per plan and way."""
    choices, nesting = problem.choices[index], front.nesting
    room, kinds = problem.plank - problem.loss, nesting.kinds_of(index)
    alone = choices.single > 0
    rests = [
        np.where(length > 0, room - length + nesting.relief[kind], 0)
        for length, kind in zip(_cut(choices), kinds, strict=True)
    ]
    starts = {
        Source.FRESH: np.where(choices.starter > 0, 1 - trust * worth.after_starter(rests[0]), 0.0),
        Source.START_POOL: _from_pool(
            _Pool.of(nesting, front.starts, worth.start), choices.starter, kinds[0], trust
        ),
    }
    end_pool, end_worth = (front.ends, worth.end) if problem.handed else (front.starts, worth.start)
    ends = {
        Source.FRESH: np.where(choices.end > 0, 1 - trust * worth.after_end(rests[1]), 0.0),
        Source.END_POOL: _from_pool(_Pool.of(nesting, end_pool, end_worth), choices.end, kinds[1], trust),
    }
    boths = _Pool.of(nesting, front.boths, worth.both)
    if front.boths.any():
        starts[Source.BOTH_POOL] = _from_pool(boths, choices.starter, STRAIGHT, trust)
        ends[Source.BOTH_POOL] = _from_pool(boths, choices.end, STRAIGHT, trust)
    one_pool = {(Source.BOTH_POOL, Source.BOTH_POOL): (boths, (STRAIGHT, STRAIGHT))}
    if not problem.handed:
        one_pool[Source.START_POOL, Source.END_POOL] = (_Pool.of(nesting, front.starts, worth.start), kinds)
    for start, start_cost in starts.items():
        for end, end_cost in ends.items():
            if (start, end) in one_pool:
                cost = _two_from_pool(*one_pool[start, end], choices, trust)
            else:
                cost = start_cost + end_cost
            yield (start, end), np.where(alone, NEVER, cost)
    both_cut = (choices.starter > 0) & (choices.end > 0)
    shared = both_cut & (choices.starter + choices.end <= room + nesting.saved[kinds])
    yield (Source.FRESH, Source.OWN), np.where(shared & ~alone, 1.0, NEVER)
    if problem.hand and front.boths.any():
        cost = _from_pool(boths, choices.starter + problem.loss + choices.end, STRAIGHT, trust)
        yield (Source.BOTH_POOL, Source.OWN), np.where(both_cut & ~alone, cost, NEVER)
    if alone.any():
        yield (
            (Source.FRESH, Source.NONE),
            np.where(alone, 1 - trust * worth.both(room - choices.single), NEVER),
        )
        for source, pool, value in (
            (Source.START_POOL, front.starts, worth.start),
            (Source.END_POOL, front.ends, worth.end),
            (Source.BOTH_POOL, front.boths, worth.both),
        ):
            yield (
                (source, Source.NONE),
                np.where(
                    alone,
                    _single_from_pool(problem, _Pool.of(nesting, pool, value), choices.single, trust),
                    NEVER,
                ),
            )


def _cut(choices: Choices) -> tuple[Ints, Ints]:
    return choices.starter, choices.end


@dataclass(frozen=True, slots=True, eq=False)
class _Pool:
    """Waiting planks of one sort, and what they are worth."""

    nesting: Nesting
    planks: Ints
    value: Callable[[Ints], Floats]

    @classmethod
    def of(cls, nesting: Nesting, planks: Ints, value: Callable[[Ints], Floats]) -> "_Pool":
        """Return a pool without the places that are empty in all plans."""
        return cls(nesting, planks[:, : max(1, int((planks > 0).sum(axis=1).max()))], value)

    def places(self, need: Ints, kind: int) -> Ints:
        """Return, per plan and per piece with a kind of end, the place of the shortest plank that fits."""
        return fit_each(self.planks, need * self.nesting.scale, self.nesting.usable(self.planks, kind))

    def shortest(self, need: Ints, kind: int) -> Ints:
        """Return the shortest planks that fit themselves (0: none)."""
        usable = self.nesting.usable(self.planks, kind)
        return shortest_fit_each(self.planks, need * self.nesting.scale, usable)

    def worth(self, planks: Ints) -> Floats:
        """Return what waiting planks are worth."""
        return self.value(self.nesting.middle(planks))


def _from_pool(pool: _Pool, need: Ints, kind: int, trust: float) -> Floats:
    """Return the worth given up by taking the shortest waiting plank that fits (never: none does)."""
    plank = pool.shortest(need, kind)
    return np.where((plank > 0) & (need > 0), trust * pool.worth(plank), NEVER)


def _two_from_pool(pool: _Pool, kinds: tuple[int, int], choices: Choices, trust: float) -> Floats:
    """Return the worth given up by taking a starter and an end piece from two planks of one pool."""
    places = [pool.places(need, kind) for need, kind in zip(_cut(choices), kinds, strict=True)]
    # The starter takes the shortest that fits; where the end piece wants the same, the next longer (which
    # is of no use where only the shorter nests: that is seen when the move is made).
    places[1] = np.where(places[0] == places[1], places[1] - 1, places[1])
    planks = [np.take_along_axis(pool.planks, np.maximum(place, 0), axis=1) for place in places]
    fits = (places[0] >= 0) & (places[1] >= 0) & (choices.starter > 0) & (choices.end > 0)
    return np.where(fits, trust * (pool.worth(planks[0]) + pool.worth(planks[1])), NEVER)


def _single_from_pool(problem: Problem, pool: _Pool, need: Ints, trust: float) -> Floats:
    plank = pool.shortest(need, STRAIGHT)
    left = np.maximum(plank // pool.nesting.scale - need - problem.loss, 0)
    return np.where(plank > 0, trust * (pool.worth(plank) - pool.value(left)), NEVER)


def _advance(problem: Problem, worth: Worth, front: Front, moves: Moves, index: int) -> _Stage:
    ahead, valid = apply_moves(problem, front, moves, index)
    keep = np.flatnonzero(valid)
    ahead = ahead.pick(keep)
    if problem.last_of_row[index]:
        ahead = let_go(ahead, problem.waiting_cap, worth.of_shortest)
    return _Stage(front=ahead, parent=moves.plan[keep], way=moves.way[keep], sources=moves.sources[keep])


def _keep_best(
    front: Front, rank: Floats, hopeful: Bools, temper: Temper, random: np.random.Generator
) -> Ints:
    """Return the best plans: first the best of each kind, then others, but no two that go on alike.

    Without kinds a cut moved by a hair makes a whole front of one plan.
    """
    noisy = rank + temper.noise * random.random(len(rank))
    order = np.argsort(noisy, kind="stable")
    order = order[hopeful[order]]
    order = order[_firsts(front.fingerprint()[order])]
    best = _firsts(front.fingerprint(temper.grain)[order])
    others = np.delete(np.arange(len(order)), best)
    kept: Ints = order[np.concatenate([best, others])[: temper.width]]
    return kept


def _firsts(kinds: Ints) -> Ints:
    """Return the places where a kind occurs for the first time, ascending."""
    _, first = np.unique(kinds, return_index=True)
    return np.sort(first)


def _forget(problem: Problem, front: Front, window: list[int], index: int) -> tuple[Front, list[int]]:
    """Drop the joints of runs that no later run looks back to."""
    needed = [place for place, run in enumerate(window) if problem.last_look[run] > index]
    return front.with_columns(needed), [window[place] for place in needed]


def _trace(first: Front, stages: list[_Stage]) -> Draft:
    """Walk back from the best finished plan to its moves."""
    at = int(stages[-1].front.planks.argmin())
    planks = int(stages[-1].front.planks[at])
    steps: list[Step] = []
    for stage in reversed(stages):
        front = stage.front
        start, end = (Source(int(source)) for source in stage.sources[at])
        steps.append(Step(way=int(stage.way[at]), start=start, end=end, waiting=_waiting(front, at)))
        at = int(stage.parent[at])
    return Draft(planks=planks, steps=tuple(reversed(steps)), begun=_waiting(first, at))


def _waiting(front: Front, at: int) -> tuple[tuple[int, ...], ...]:
    """Return the planks that wait in one plan, pool by pool."""
    pools = (front.starts, front.ends, front.boths)
    return tuple(tuple(int(length) for length in pool[at] if length) for pool in pools)
