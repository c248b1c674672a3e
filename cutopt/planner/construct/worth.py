"""What waiting planks are worth to the search, looked up by their usable length."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.bound.prices import PriceList
from cutopt.planner.construct.front import Front
from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["Worth", "area_worth", "best_of", "plain_worth", "worth_at"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Worth:
    """Tables over whole cut steps, in planks, by what a waiting plank can still give."""

    step: Ticks
    starts: Floats
    ends: Floats
    boths: Floats
    handed: bool

    def start(self, length: Ints) -> Floats:
        """Return the worth of planks that can still give a starter (square: either piece)."""
        return self._at(self.starts, length)

    def end(self, length: Ints) -> Floats:
        """Return the worth of planks that can still give an end piece."""
        return self._at(self.ends, length)

    def both(self, length: Ints) -> Floats:
        """Return the worth of planks that have given single pieces only."""
        return self._at(self.boths, length)

    def after_starter(self, length: Ints) -> Floats:
        """Return the worth of what a cut starter leaves of a fresh plank."""
        return self.end(length) if self.handed else self.start(length)

    def after_end(self, length: Ints) -> Floats:
        """Return the worth of what a cut end piece leaves of a fresh plank."""
        return self.start(length)

    def waiting(self, front: Front) -> Floats:
        """Return per plan the worth of all its waiting planks."""
        total: Floats = self.start(front.starts).sum(axis=1) + self.end(front.ends).sum(axis=1)
        return total + self.both(front.boths).sum(axis=1) if front.boths.any() else total

    def rank(self, front: Front, trust: float) -> Floats:
        """Return the planks opened less the worth of those waiting, trusted only in part."""
        return front.planks - trust * self.waiting(front)

    def of_shortest(self, front: Front) -> tuple[Floats, Floats, Floats]:
        """Return, per plan, the worth of the shortest plank of each pool (infinite: none waits)."""

        def least(pool: Ints, value: Callable[[Ints], Floats]) -> Floats:
            count = (pool > 0).sum(axis=1)
            shortest = np.take_along_axis(pool, np.maximum(count - 1, 0)[:, None], axis=1)[:, 0]
            return np.where(count > 0, value(shortest), np.inf)

        return least(front.starts, self.start), least(front.ends, self.end), least(front.boths, self.both)

    def _at(self, table: Floats, length: Ints) -> Floats:
        found: Floats = table[np.maximum(length, 0) // self.step]
        return found


def plain_worth(problem: Problem) -> Worth:
    """Return worth tables by length alone, half a cut's loss going with either part of a plank."""
    loss, lengths = problem.loss, _steps(problem)
    single, whole = problem.shortest_single, problem.plank + loss
    part = (lengths + loss / 2) / whole
    starts = np.where(lengths >= min(problem.shortest_starter, single), part, 0.0)
    ends = np.where(lengths >= min(problem.shortest_end, single), part, 0.0)
    shortest = min(problem.shortest_starter, problem.shortest_end, single)
    boths = np.where(lengths >= shortest, (lengths + loss) / whole, 0.0)
    return Worth(problem.rules.cut_step, starts, ends, boths, problem.handed)


def best_of(one: Worth, *others: Worth) -> Worth:
    """Return tables in which a plank is worth the most that any of these say."""
    tables = [one, *others]
    return Worth(
        one.step,
        np.max([table.starts for table in tables], axis=0),
        np.max([table.ends for table in tables], axis=0),
        np.max([table.boths for table in tables], axis=0),
        one.handed,
    )


def area_worth(problem: Problem) -> Worth:
    """Return worth tables that are never below what waiting planks can still be cut into, by length."""
    share = (_steps(problem) + problem.rules.cut_step) / problem.plank
    return Worth(problem.rules.cut_step, share, share, share, problem.handed)


def _steps(problem: Problem) -> Ints:
    return np.arange(problem.plank // problem.rules.cut_step + 2, dtype=np.int64) * problem.rules.cut_step


def worth_at(problem: Problem, prices: PriceList, segment: int, *, thrift: float = 0.0) -> Worth:
    """Return worth tables for planks that wait in a segment, mixed with plain length by ``thrift``.

    A plank may also be kept for a later segment, at that segment's price less that of waiting at
    the borders between.
    """
    step, plank, loss = problem.rules.cut_step, problem.plank, problem.loss
    lengths = _steps(problem)
    plain = (lengths + loss / 2) / (plank + loss)
    starts = _mixed(_best_kept(prices, segment, prices.of_starters, lengths), plain, thrift)
    ends = _mixed(_best_kept(prices, segment, prices.of_ends, lengths), plain, thrift)
    return Worth(step, starts, ends, _boths(starts, ends, -(-loss // step)), problem.handed)


def _best_kept(prices: PriceList, segment: int, price: Callable[[int, Ints], Ints], lengths: Ints) -> Floats:
    best, waiting, segments = np.zeros(len(lengths)), 0, len(prices.start)
    around = len(prices.border) == segments
    for later in range(segment, segment + segments if around else segments):
        best = np.maximum(best, (price(later % segments, lengths) - waiting) / prices.plank)
        waiting += int(prices.border[later % segments : later % segments + 1].sum())
    return best


def _mixed(price: Floats, plain: Floats, thrift: float) -> Floats:
    return np.where(price > 0, (1 - thrift) * price + thrift * plain, 0.0)


def _boths(starts: Floats, ends: Floats, loss: int) -> Floats:
    """Return the best starter with end piece for each length, in whole steps."""
    best = np.maximum(starts, ends)
    for starter in np.flatnonzero(np.diff(starts, prepend=0.0) > 0):
        used = min(int(starter) + loss, len(best))
        best[used:] = np.maximum(best[used:], starts[starter] + ends[: len(ends) - used])
    return best
