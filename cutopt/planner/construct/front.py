"""Half-made plans of one stage as arrays, and the moves that carry them over one run."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.construct.draft import Source
from cutopt.planner.construct.pools import insert, last_of, shortest_fit, take
from cutopt.planner.nesting import NO_NESTING, Nesting
from cutopt.planner.problem import Choices, Problem
from cutopt.units import Ticks

__all__ = ["Front", "Moves", "apply_moves", "let_go"]

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]


@dataclass(slots=True, kw_only=True)
class Front:
    """Half-made plans, one a row: planks opened, joints of recent runs, planks that wait.

    ``first`` and ``last`` have one column a run still looked back to; the pools one a waiting
    plank: able to give a starter, an end piece, or both. With square ends a plank that can give
    one piece more is always in ``starts``. Waiting planks are numbers as ``nesting`` writes them.
    """

    planks: Ints
    first: Ints
    last: Ints
    starts: Ints
    ends: Ints
    boths: Ints
    nesting: Nesting = NO_NESTING

    @staticmethod
    def empty(places: int, nesting: Nesting) -> "Front":
        """Return one plan with nothing laid and room for ``places`` planks in each pool."""
        none, pool = np.zeros((1, 0), dtype=np.int64), np.zeros((1, places), dtype=np.int64)
        return Front(
            planks=np.zeros(1, dtype=np.int64),
            first=none,
            last=none,
            starts=pool,
            ends=pool,
            boths=pool,
            nesting=nesting,
        )

    def pick(self, keep: Ints) -> "Front":
        """Return only the plans that ``keep`` names, in that order."""
        return Front(
            planks=self.planks[keep],
            first=self.first[keep],
            last=self.last[keep],
            starts=self.starts[keep],
            ends=self.ends[keep],
            boths=self.boths[keep],
            nesting=self.nesting,
        )

    def with_columns(self, keep: list[int]) -> "Front":
        """Return the plans with only these columns of joints."""
        return Front(
            planks=self.planks,
            first=self.first[:, keep],
            last=self.last[:, keep],
            starts=self.starts,
            ends=self.ends,
            boths=self.boths,
            nesting=self.nesting,
        )

    def fingerprint(self, grain: Ticks = 1) -> Ints:
        """Return a number per plan, equal for plans that may go on alike, seen no closer than ``grain``."""
        joints, pools = [self.first, self.last], [self.starts, self.ends, self.boths]
        if self.nesting.scale > 1 and grain > 1:
            pools = [pool // self.nesting.scale for pool in pools]
        seen = np.concatenate(joints + pools, axis=1) // grain
        odd = np.random.default_rng(0).integers(1, 1 << 62, seen.shape[1]) * 2 + 1
        mixed = (seen ^ (seen >> 7)) * odd
        digest: Ints = (mixed ^ (mixed >> 31)).sum(axis=1)
        return digest


@dataclass(frozen=True, slots=True, kw_only=True)
class Moves:
    """Ways to go on: which plan, which way to lay the run, which sources (shape (moves, 2))."""

    plan: Ints
    way: Ints
    sources: Ints


def apply_moves(problem: Problem, front: Front, moves: Moves, index: int) -> tuple[Front, Bools]:
    """Return the plans after the moves, and which of them were possible."""
    choices = problem.choices[index].take(moves.way)
    ahead = front.pick(moves.plan)
    ahead.planks = ahead.planks + choices.wholes
    start_source, end_source = moves.sources[:, 0], moves.sources[:, 1]
    left, right = problem.nesting.kinds_of(index)
    own = end_source == Source.OWN
    valid = _cut_starter(problem, ahead, choices, start_source, left, own=own)
    valid &= _cut_end(problem, ahead, choices, end_source, right)
    valid &= _cut_single(problem, ahead, choices, start_source)
    offset = problem.runs[index].offset
    ahead.first = np.concatenate([ahead.first, (choices.first + offset)[:, None]], axis=1)
    ahead.last = np.concatenate([ahead.last, (choices.last + offset)[:, None]], axis=1)
    return ahead, valid


def _cut_starter(  # noqa: PLR0913 - a piece, its end and where it comes from
    problem: Problem, ahead: Front, choices: Choices, source: Ints, kind: int, *, own: Bools
) -> Bools:
    wanted = choices.starter > 0
    room = problem.plank - problem.loss - choices.starter
    fresh = wanted & (source == Source.FRESH)
    ahead.planks = ahead.planks + fresh
    written = problem.nesting.written
    _wait_for_end(problem, ahead, written(np.where(fresh & ~own, room, 0), kind))
    pooled = wanted & (source == Source.START_POOL)
    ahead.starts, valid = _cut_from(ahead, ahead.starts, choices.starter, pooled, kind)
    # A part in hand gives both pieces of a run where it has room for both.
    need = np.where(own, choices.starter + problem.loss + choices.end, choices.starter)
    waiting, valid_both = _cut_both(problem, ahead, need, wanted & (source == Source.BOTH_POOL))
    _wait_for_end(problem, ahead, written(np.where(own, 0, waiting)))
    return valid & valid_both


def _wait_for_end(problem: Problem, ahead: Front, planks: Ints) -> None:
    if problem.handed:
        ahead.ends = _with(problem, ahead.ends, planks, problem.shortest_end)
    else:
        ahead.starts = _with(problem, ahead.starts, planks, problem.shortest_end)


def _with(problem: Problem, pool: Ints, planks: Ints, shortest: Ticks) -> Ints:
    """Return a pool with the planks worth keeping besides: a short single piece fits any leftover."""
    nesting, useful = problem.nesting, min(shortest, problem.shortest_single)
    if nesting.scale == 1:
        return insert(pool, planks, useful)
    return insert(pool, np.where(nesting.middle(planks) >= useful, planks, 0), 1)


def _cut_end(problem: Problem, ahead: Front, choices: Choices, source: Ints, kind: int) -> Bools:
    wanted = choices.end > 0
    fresh = wanted & (source == Source.FRESH)
    ahead.planks = ahead.planks + fresh
    waiting = np.where(fresh, problem.plank - problem.loss - choices.end, 0)
    pooled = wanted & (source == Source.END_POOL)
    if problem.handed:
        ahead.ends, valid = _cut_from(ahead, ahead.ends, choices.end, pooled, kind)
    else:
        ahead.starts, valid = _cut_from(ahead, ahead.starts, choices.end, pooled, kind)
    from_both, valid_both = _cut_both(problem, ahead, choices.end, wanted & (source == Source.BOTH_POOL))
    shortest = problem.shortest_starter if problem.handed else problem.shortest_end
    planks = problem.nesting.written(waiting, kind) + problem.nesting.written(from_both)
    ahead.starts = _with(problem, ahead.starts, planks, shortest)
    return valid & valid_both


def _cut_single(problem: Problem, ahead: Front, choices: Choices, source: Ints) -> Bools:
    wanted = choices.single > 0
    valid = np.ones(len(wanted), dtype=bool)
    if not wanted.any():
        return valid
    fresh = wanted & (source == Source.FRESH)
    ahead.planks = ahead.planks + fresh
    size, scale = choices.single + problem.loss, problem.nesting.scale
    shortest = min(problem.shortest_starter, problem.shortest_end)
    for code, name in ((Source.START_POOL, "starts"), (Source.END_POOL, "ends"), (Source.BOTH_POOL, "boths")):
        pool = getattr(ahead, name)
        mine = wanted & (source == code)
        place = np.where(mine, shortest_fit(pool, choices.single * scale), -1)
        valid &= ~mine | (place >= 0)
        length = np.take_along_axis(pool, np.maximum(place, 0)[:, None], 1)[:, 0] // scale
        left = np.where(place >= 0, length - size, 0)
        left = np.where(fresh & (code == Source.BOTH_POOL), problem.plank - size, left)
        # Next to what is left lies a single piece now: nothing nests there.
        setattr(ahead, name, _with(problem, take(pool, place), problem.nesting.written(left), shortest))
    return valid


def _cut_from(ahead: Front, pool: Ints, need: Ints, mine: Bools, kind: int) -> tuple[Ints, Bools]:
    if not mine.any():
        return pool, np.ones(len(need), dtype=bool)
    usable = ahead.nesting.usable(pool, kind)
    place = np.where(mine, shortest_fit(pool, need * ahead.nesting.scale, usable), -1)
    return take(pool, place), ~mine | (place >= 0)


def _cut_both(problem: Problem, ahead: Front, need: Ints, mine: Bools) -> tuple[Ints, Bools]:
    """Cut from planks that have both factory ends; return what each can still give, and success."""
    none = np.zeros(len(need), dtype=np.int64)
    if not mine.any():
        return none, np.ones(len(need), dtype=bool)
    scale = ahead.nesting.scale
    place = np.where(mine, shortest_fit(ahead.boths, need * scale), -1)
    length = np.take_along_axis(ahead.boths, np.maximum(place, 0)[:, None], 1)[:, 0] // scale
    ahead.boths = take(ahead.boths, place)
    return np.where(place >= 0, length - need - problem.loss, none), ~mine | (place >= 0)


def let_go(front: Front, cap: int, values: Callable[[Front], tuple[Floats, Floats, Floats]]) -> Front:
    """Let go of the waiting planks worth least until no plan holds more than ``cap``.

    ``values`` gives, per plan, what the shortest plank of each pool is worth (infinite: none).
    """
    while True:
        pools = (front.starts, front.ends, front.boths)
        waits = [front.nesting.waits(pool) for pool in pools]
        over = sum(one.sum(axis=1) for one in waits) > cap
        if not over.any():
            return front
        least = np.argmin(np.stack(values(front)), axis=0)
        kept = [
            take(pool, np.where(over & (least == which), last_of(one), -1))
            for which, (pool, one) in enumerate(zip(pools, waits, strict=True))
        ]
        front = replace(front, starts=kept[0], ends=kept[1], boths=kept[2])
