"""What waiting planks are worth to the search, looked up by their usable length."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from cutopt.model.plan import Keeps
from cutopt.planner.bound.prices import PriceList, fillings
from cutopt.planner.construct.front import Front
from cutopt.planner.construct.pools import last_of
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
        starts, ends, boths = map(front.nesting.middle, (front.starts, front.ends, front.boths))
        total: Floats = self.start(starts).sum(axis=1) + self.end(ends).sum(axis=1)
        return total + self.both(boths).sum(axis=1) if boths.any() else total

    def rank(self, front: Front, trust: float) -> Floats:
        """Return the planks opened less the worth of those waiting, trusted only in part."""
        return front.planks - trust * self.waiting(front)

    def of_shortest(self, front: Front) -> tuple[Floats, Floats, Floats]:
        """Return, per plan, the worth of the shortest plank of each pool (infinite: none waits)."""

        def least(pool: Ints, value: Callable[[Ints], Floats]) -> Floats:
            last = last_of(front.nesting.waits(pool))
            shortest = np.take_along_axis(pool, np.maximum(last, 0)[:, None], axis=1)[:, 0]
            return np.where(last >= 0, value(front.nesting.middle(shortest)), np.inf)

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

    A plank may also be kept for later segments, at the best prices on the way less those of waiting at
    the borders between. Without ``thrift`` no plank can earn more at these prices.
    """
    step, plank, loss = problem.rules.cut_step, problem.plank, problem.loss
    lengths, both = _steps(problem), any(part.keeps is Keeps.BOTH for part in problem.hand)
    plain = (lengths + loss / 2) / (plank + loss)
    best = np.zeros((3, len(lengths)))
    waiting, passed = 0, list[int]()
    for later in _from(prices, segment):
        passed.append(later)
        earned = _earned(prices, passed, lengths, loss, step, both=both)
        best = np.maximum(best, (earned - waiting) / prices.plank)
        waiting += int(prices.border[later : later + 1].sum())
    starts, ends, boths = (_mixed(table, plain, thrift) for table in best)
    return Worth(step, starts, ends, boths, problem.handed)


def _from(prices: PriceList, segment: int) -> Iterator[int]:
    """Yield the segments from one on, once around where the first follows the last again."""
    segments = len(prices.start)
    around = len(prices.border) == segments
    yield from range(segment, segments)
    yield from range(segment if around else 0)


def _earned(  # noqa: PLR0913 - prices of some segments, and what planks are cut under
    prices: PriceList, segments: list[int], lengths: Ints, loss: Ticks, step: Ticks, *, both: bool
) -> Floats:
    """Return what planks can earn at the best prices of these segments: for starters, end pieces, both.

    ``both``: some wait with both ends, though no single pieces are cut.
    """
    starts = np.max([prices.of_starters(one, lengths) for one in segments], axis=0)
    ends = np.max([prices.of_ends(one, lengths) for one in segments], axis=0)
    singles: dict[Ticks, int] = {}
    for length, price in chain.from_iterable(prices.single[one].items() for one in segments):
        singles[length] = max(price, singles.get(length, 0))
    if not singles and not both:
        # No plank waits that has given single pieces only.
        return np.array([starts, ends, starts])
    sets = fillings(singles.items(), int(lengths[-1]) + loss, loss)
    starts, ends = (_with_singles(table, sets, loss, step) for table in (starts, ends))
    return np.array([starts, ends, _boths(starts, ends, loss // step)])


def _with_singles(table: Ints, sets: list[tuple[Ticks, int]], loss: Ticks, step: Ticks) -> Ints:
    """Return a table with single pieces cut first wherever that earns more."""
    best = table.copy()
    for used, worth in sets:
        first, shift = max(0, used - loss) // step, used // step
        left = np.maximum(np.arange(first, len(table)) - shift, 0)
        best[first:] = np.maximum(best[first:], worth + table[left])
    return best


def _mixed(price: Floats, plain: Floats, thrift: float) -> Floats:
    return np.where(price > 0, (1 - thrift) * price + thrift * plain, 0.0)


def _boths(starts: Ints, ends: Ints, loss: int) -> Ints:
    """Return the best starter with end piece for each length, in whole steps."""
    best = np.maximum(starts, ends)
    for starter in np.flatnonzero(np.diff(starts, prepend=0) > 0):
        used = min(int(starter) + loss, len(best))
        best[used:] = np.maximum(best[used:], starts[starter] + ends[: len(ends) - used])
    return best
