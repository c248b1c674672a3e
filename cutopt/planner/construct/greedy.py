"""Cutting pieces that are already chosen: every piece from the shortest waiting plank that fits."""

from bisect import bisect_left, insort
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from cutopt.planner.construct.draft import Draft, Source, Step
from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["cut_thriftily"]

_AHEAD = 4
"""Rows looked ahead for each plank that may wait, when one too many waits."""


def cut_thriftily(problem: Problem, ways: Sequence[int]) -> Draft:
    """Return the plan that lays every run its given way and saves planks as it goes.

    Each piece comes from the shortest waiting plank that fits, else from a fresh one. Where more wait
    than may, those the next rows can use least are let go. It takes a time in proportion to the runs.
    Nothing is nested.
    """
    pieces = [_Pieces.of(problem, run, way) for run, way in enumerate(ways)]
    shop = _Shop(problem)
    steps = [shop.lay(pieces, run, way) for run, way in enumerate(ways)]
    return Draft(planks=shop.opened, steps=tuple(steps), nested=False)


@dataclass(frozen=True, slots=True)
class _Pieces:
    """What a run is laid from; 0 where there is no such piece to cut."""

    starter: Ticks
    end: Ticks
    single: Ticks
    wholes: int

    @classmethod
    def of(cls, problem: Problem, run: int, way: int) -> "_Pieces":
        choices = problem.choices[run]
        found = (choices.starter, choices.end, choices.single, choices.wholes)
        return cls(*(int(values[way]) for values in found))


@dataclass(slots=True)
class _Shop:
    """Planks that wait, by what they can still give, each pool from the shortest; planks opened so far."""

    problem: Problem
    opened: int = 0
    starts: list[Ticks] = field(default_factory=list)
    ends: list[Ticks] = field(default_factory=list)
    boths: list[Ticks] = field(default_factory=list)

    @property
    def _end_pool(self) -> list[Ticks]:
        """The planks that can give an end piece: with square ends the same as for starters."""
        return self.ends if self.problem.handed else self.starts

    def lay(self, pieces: Sequence[_Pieces], run: int, way: int) -> Step:
        """Cut the pieces of one run; only planks that later runs may use go on waiting."""
        now = pieces[run]
        start = end = Source.NONE
        own = 0
        self.opened += now.wholes
        if now.single:
            start = self._cut_single(now.single)
        if now.starter:
            start, own = self._cut_starter(now.starter)
        if now.end:
            end = self._cut_end(now.end, own)
        if own and end is not Source.OWN:
            insort(self._end_pool, own)
        if self.problem.last_of_row[run]:
            self._let_go(pieces[run + 1 : run + 1 + _AHEAD * (self.problem.waiting_cap + 1)])
        waiting = tuple(tuple(reversed(pool)) for pool in (self.starts, self.ends, self.boths))
        return Step(way=way, start=start, end=end, waiting=waiting)

    def _rest(self, length: Ticks, *used: Ticks) -> Ticks:
        """Return what a plank can still give after these pieces (nothing: 0)."""
        return max(0, length - sum(used) - self.problem.loss * len(used))

    def _open(self, *used: Ticks) -> Ticks:
        self.opened += 1
        return self._rest(self.problem.plank, *used)

    def _cut_starter(self, length: Ticks) -> tuple[Source, Ticks]:
        """Return where a starter is cut from, and what its plank can still give at the other end."""
        if _take(self.starts, length):
            return Source.START_POOL, 0
        both = _take(self.boths, length)
        if both:
            return Source.BOTH_POOL, self._rest(both, length)
        return Source.FRESH, self._open(length)

    def _cut_end(self, length: Ticks, own: Ticks) -> Source:
        """Return where an end piece is cut from; ``own`` is what the run's starter left of its plank."""
        pool = self._end_pool
        fit = _shortest(pool, length)
        if own >= length and (not fit or own < fit):
            return Source.OWN
        if _take(pool, length):
            return Source.END_POOL
        both = _take(self.boths, length)
        rest = self._rest(both, length) if both else self._open(length)
        if rest:
            insort(self.starts, rest)
        return Source.BOTH_POOL if both else Source.FRESH

    def _cut_single(self, length: Ticks) -> Source:
        pools = {
            Source.START_POOL: self.starts,
            Source.END_POOL: self.ends,
            Source.BOTH_POOL: self.boths,
        }
        fits = {source: fit for source, pool in pools.items() if (fit := _shortest(pool, length))}
        source = min(fits, key=lambda one: fits[one], default=Source.FRESH)
        pool = pools.get(source, self.boths)
        rest = self._rest(_take(pool, length), length) if fits else self._open(length)
        if rest:
            insort(pool, rest)
        return source

    def _let_go(self, ahead: Sequence[_Pieces]) -> None:
        """Keep no more planks than may wait: those that fit most of the pieces to come."""
        pools = (self.starts, self.ends, self.boths)
        over = sum(map(len, pools)) - self.problem.waiting_cap
        if over <= 0:
            return
        wanted = [sorted(self._wanted(ahead, pool is self.starts, pool is self.boths)) for pool in pools]
        uses = sorted(
            (bisect_left(sizes, length + 1), length, nth)
            for nth, (pool, sizes) in enumerate(zip(pools, wanted, strict=True))
            for length in pool
        )
        for _, length, nth in uses[:over]:
            pools[nth].remove(length)

    def _wanted(self, ahead: Sequence[_Pieces], starts: bool, both: bool) -> Iterator[Ticks]:  # noqa: FBT001
        """Yield the pieces to come that a plank of a pool could give."""
        for pieces in ahead:
            if pieces.single:
                yield pieces.single
            if pieces.starter and (starts or both):
                yield pieces.starter
            if pieces.end and (not starts or both or not self.problem.handed):
                yield pieces.end


def _shortest(pool: list[Ticks], length: Ticks) -> Ticks:
    """Return the shortest plank of a pool that is long enough (none: 0)."""
    place = bisect_left(pool, length)
    return pool[place] if place < len(pool) else 0


def _take(pool: list[Ticks], length: Ticks) -> Ticks:
    """Take the shortest plank that is long enough out of a pool (none: 0)."""
    place = bisect_left(pool, length)
    return pool.pop(place) if place < len(pool) else 0
