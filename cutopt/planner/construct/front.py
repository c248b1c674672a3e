"""Half-made plans of one stage as arrays, and the moves that carry them over one run."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.construct.draft import Source
from cutopt.planner.construct.pools import insert, shortest_fit, take
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
    one piece more is always in ``starts``.
    """

    planks: Ints
    first: Ints
    last: Ints
    starts: Ints
    ends: Ints
    boths: Ints

    @staticmethod
    def empty(places: int) -> "Front":
        """Return one plan with nothing laid and room for ``places`` planks in each pool."""
        none, pool = np.zeros((1, 0), dtype=np.int64), np.zeros((1, places), dtype=np.int64)
        return Front(
            planks=np.zeros(1, dtype=np.int64), first=none, last=none, starts=pool, ends=pool, boths=pool
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
        )

    def fingerprint(self, grain: Ticks = 1) -> Ints:
        """Return a number per plan, equal for plans that may go on alike, seen no closer than ``grain``."""
        seen = np.concatenate([self.first, self.last, self.starts, self.ends, self.boths], axis=1) // grain
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
    valid = _cut_starter(problem, ahead, choices, start_source, own=end_source == Source.OWN)
    valid &= _cut_end(problem, ahead, choices, end_source)
    valid &= _cut_single(problem, ahead, choices, start_source)
    offset = problem.runs[index].offset
    ahead.first = np.concatenate([ahead.first, (choices.first + offset)[:, None]], axis=1)
    ahead.last = np.concatenate([ahead.last, (choices.last + offset)[:, None]], axis=1)
    return ahead, valid


def _cut_starter(problem: Problem, ahead: Front, choices: Choices, source: Ints, *, own: Bools) -> Bools:
    wanted = choices.starter > 0
    room = problem.plank - problem.loss - choices.starter
    fresh = wanted & (source == Source.FRESH)
    ahead.planks = ahead.planks + fresh
    _wait_for_end(problem, ahead, np.where(fresh & ~own, room, 0))
    ahead.starts, valid = _cut_from(ahead.starts, choices.starter, wanted & (source == Source.START_POOL))
    waiting, valid_both = _cut_both(problem, ahead, choices.starter, wanted & (source == Source.BOTH_POOL))
    _wait_for_end(problem, ahead, waiting)
    return valid & valid_both


def _wait_for_end(problem: Problem, ahead: Front, length: Ints) -> None:
    if problem.handed:
        ahead.ends = insert(ahead.ends, length, _useful(problem, problem.shortest_end))
    else:
        ahead.starts = insert(ahead.starts, length, _useful(problem, problem.shortest_end))


def _useful(problem: Problem, shortest: Ticks) -> Ticks:
    """Return the shortest length worth keeping: a short single piece fits any leftover."""
    return min(shortest, problem.shortest_single)


def _cut_end(problem: Problem, ahead: Front, choices: Choices, source: Ints) -> Bools:
    wanted = choices.end > 0
    fresh = wanted & (source == Source.FRESH)
    ahead.planks = ahead.planks + fresh
    waiting = np.where(fresh, problem.plank - problem.loss - choices.end, 0)
    pooled = wanted & (source == Source.END_POOL)
    if problem.handed:
        ahead.ends, valid = _cut_from(ahead.ends, choices.end, pooled)
    else:
        ahead.starts, valid = _cut_from(ahead.starts, choices.end, pooled)
    from_both, valid_both = _cut_both(problem, ahead, choices.end, wanted & (source == Source.BOTH_POOL))
    shortest = problem.shortest_starter if problem.handed else problem.shortest_end
    ahead.starts = insert(ahead.starts, waiting + from_both, _useful(problem, shortest))
    return valid & valid_both


def _cut_single(problem: Problem, ahead: Front, choices: Choices, source: Ints) -> Bools:
    wanted = choices.single > 0
    valid = np.ones(len(wanted), dtype=bool)
    if not wanted.any():
        return valid
    fresh = wanted & (source == Source.FRESH)
    ahead.planks = ahead.planks + fresh
    size = choices.single + problem.loss
    shortest = _useful(problem, min(problem.shortest_starter, problem.shortest_end))
    for code, name in ((Source.START_POOL, "starts"), (Source.END_POOL, "ends"), (Source.BOTH_POOL, "boths")):
        pool = getattr(ahead, name)
        mine = wanted & (source == code)
        place = np.where(mine, shortest_fit(pool, choices.single), -1)
        valid &= ~mine | (place >= 0)
        left = np.where(
            place >= 0, np.take_along_axis(pool, np.maximum(place, 0)[:, None], 1)[:, 0] - size, 0
        )
        left = np.where(fresh & (code == Source.BOTH_POOL), problem.plank - size, left)
        setattr(ahead, name, insert(take(pool, place), left, shortest))
    return valid


def _cut_from(pool: Ints, need: Ints, mine: Bools) -> tuple[Ints, Bools]:
    if not mine.any():
        return pool, np.ones(len(need), dtype=bool)
    place = np.where(mine, shortest_fit(pool, need), -1)
    return take(pool, place), ~mine | (place >= 0)


def _cut_both(problem: Problem, ahead: Front, need: Ints, mine: Bools) -> tuple[Ints, Bools]:
    """Cut from planks that have both factory ends; return what each can still give, and success."""
    none = np.zeros(len(need), dtype=np.int64)
    if not mine.any():
        return none, np.ones(len(need), dtype=bool)
    place = np.where(mine, shortest_fit(ahead.boths, need), -1)
    length = np.take_along_axis(ahead.boths, np.maximum(place, 0)[:, None], 1)[:, 0]
    ahead.boths = take(ahead.boths, place)
    return np.where(place >= 0, length - need - problem.loss, none), ~mine | (place >= 0)


def let_go(front: Front, cap: int, values: Callable[[Front], tuple[Floats, Floats, Floats]]) -> Front:
    """Let go of the waiting planks worth least until no plan holds more than ``cap``.

    ``values`` gives, per plan, what the shortest plank of each pool is worth (infinite: none).
    """
    while True:
        pools = (front.starts, front.ends, front.boths)
        counts = [(pool > 0).sum(axis=1) for pool in pools]
        over = sum(counts) > cap
        if not over.any():
            return front
        least = np.argmin(np.stack(values(front)), axis=0)
        kept = [
            take(pool, np.where(over & (least == which), count - 1, -1))
            for which, (pool, count) in enumerate(zip(pools, counts, strict=True))
        ]
        front = replace(front, starts=kept[0], ends=kept[1], boths=kept[2])
