"""Lower bounds on planks, valid for every plan the rules allow at the cut step."""

from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.bound.master import Demand, solve_prices
from cutopt.planner.bound.prices import PriceList
from cutopt.planner.bound.ways import Ways, ways_below
from cutopt.planner.problem import Problem

__all__ = ["Priced", "area_bound", "price_bound"]

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """Prices and what they prove: every plan opens at least ``planks`` planks.

    ``total`` / ``prices.plank`` is the same bound before rounding up.
    """

    prices: PriceList
    total: int

    @property
    def planks(self) -> int:
        """The bound, rounded up to whole planks."""
        return -(-self.total // self.prices.plank)


def area_bound(problem: Problem) -> int:
    """Return the planks that the runs' lengths alone need."""
    return -(-sum(run.length for run in problem.runs) // problem.plank)


def price_bound(problem: Problem) -> Priced:
    """Return the bound that good prices prove, leaving out stagger and the order of rows."""
    alike = Counter(_kinds(problem))
    ways = {index: ways_below(problem, index) for index in alike}
    demands = [Demand(count=count, ways=ways[index]) for index, count in alike.items()]
    prices = solve_prices(demands, plank=problem.plank, loss=problem.loss, handed=problem.handed)
    total = sum(demand.count * int(worth_of_ways(prices, demand.ways).min()) for demand in demands)
    return Priced(prices=prices, total=total)


def worth_of_ways(prices: PriceList, ways: Ways) -> Ints:
    """Return what the pieces of each way to lay a run are worth."""
    worth: Ints = (
        ways.wholes * prices.plank
        + prices.start.at(ways.starter)
        + prices.end.at(ways.end)
        + prices.singles_at(ways.single)
    )
    return worth


def _kinds(problem: Problem) -> list[int]:
    """Return per run the index of the first run that is laid in the same ways."""
    first: dict[int, int] = {}
    return [first.setdefault(id(choices), index) for index, choices in enumerate(problem.choices)]
