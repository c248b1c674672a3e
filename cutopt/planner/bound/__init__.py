"""Lower bounds on planks, valid for every plan the rules allow at the cut step."""

from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.bound.master import Demand, Shop, solve_prices
from cutopt.planner.bound.prices import PriceList
from cutopt.planner.bound.segments import segments
from cutopt.planner.bound.ways import ways_below, worth_of_ways
from cutopt.planner.problem import Problem

__all__ = ["Priced", "area_bound", "price_bound", "worth_of_ways"]

Ints = NDArray[np.int64]

# Where prices by segment may change: at so many changes of the whole floor's, and on a grid.
CHANGES = 96
COARSE = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """Prices and what they prove: every plan opens at least ``planks`` planks.

    Per run: its segment, and the least its pieces can be worth. ``given_back`` is the price of
    waiting at all borders, for as many planks as may wait.
    """

    prices: PriceList
    segment_of: tuple[int, ...]
    cheapest: tuple[int, ...]
    given_back: int

    @property
    def total(self) -> int:
        """The bound before rounding up, in price; ``prices.plank`` is one plank."""
        return sum(self.cheapest) - self.given_back

    @property
    def planks(self) -> int:
        """The bound in whole planks."""
        return -(-self.total // self.prices.plank)


def area_bound(problem: Problem) -> int:
    """Return the planks that the runs' lengths alone need."""
    return -(-sum(run.length for run in problem.runs) // problem.plank)


def price_bound(problem: Problem) -> Priced:
    """Return the best bound that prices prove, leaving out stagger and the order within segments.

    First the floor as one segment, at every length; then by segments, with prices that change
    where the first ones do and on a coarse grid between.
    """
    whole = _priced(problem, (0,) * len(problem.runs))
    segment_of = segments(problem)
    if not segment_of[-1]:
        return whole
    parted = _priced(problem, segment_of, lengths=_landmarks(problem, whole.prices), known=whole.planks)
    return max(whole, parted, key=lambda priced: priced.total / priced.prices.plank)


def _priced(
    problem: Problem, segment_of: tuple[int, ...], *, lengths: Ints | None = None, known: int = 0
) -> Priced:
    first: dict[int, int] = {}
    kinds = [first.setdefault(id(choices), index) for index, choices in enumerate(problem.choices)]
    ways = {index: ways_below(problem, index) for index in set(kinds)}
    alike = Counter(zip(segment_of, kinds, strict=True))
    demands = [
        Demand(count=count, segment=segment, ways=ways[kind]) for (segment, kind), count in alike.items()
    ]
    waiting = problem.rules.max_waiting
    shop = Shop(plank=problem.plank, loss=problem.loss, handed=problem.handed, waiting=waiting)
    prices = solve_prices(demands, shop, lengths, known)
    cheapest = {
        key: int(worth_of_ways(prices, demand.segment, demand.ways).min())
        for key, demand in zip(alike, demands, strict=True)
    }
    return Priced(
        prices=prices,
        segment_of=segment_of,
        cheapest=tuple(cheapest[key] for key in zip(segment_of, kinds, strict=True)),
        given_back=int(prices.border.sum()) * (waiting or 0),
    )


def _landmarks(problem: Problem, prices: PriceList) -> Ints:
    """Return lengths where prices change most, what these leave of a plank, and a coarse grid."""
    lengths, room = prices.lengths, problem.plank - problem.loss
    change = np.diff(prices.start, axis=1, prepend=0) + np.diff(prices.end, axis=1, prepend=0)
    changes = lengths[np.argsort(-change.sum(axis=0), kind="stable")[:CHANGES]]
    grid = lengths[:: max(1, len(lengths) // COARSE)]
    marks = np.concatenate([changes, grid, lengths[:1]])
    both = np.concatenate([marks, room - marks])
    return np.unique(both[(both >= lengths[0]) & (both <= lengths[-1])])
