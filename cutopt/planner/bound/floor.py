"""Lower bounds on planks, valid for every plan the rules allow at the cut step."""

from collections import Counter
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.bound.in_hand import Hand
from cutopt.planner.bound.master import Demand, Shop, given_back, solve_prices
from cutopt.planner.bound.prices import PriceList
from cutopt.planner.bound.segments import follows_itself, segments
from cutopt.planner.bound.ways import ways_below, worth_of_ways
from cutopt.planner.limits import Stop, never
from cutopt.planner.problem import Choices, Problem
from cutopt.units import Ticks

__all__ = ["Priced", "area_bound", "area_reason", "lengths_below", "local_prices", "price_bound"]

Ints = NDArray[np.int64]

# More kinds of run than this are sampled.
MOST_KINDS = 72
# More kinds of parts in hand than this make prices slow to find.
MANY_PARTS = 12
# More prices than this take too long.
FULL = 6000
# Where prices by segment may change: at so many changes of the whole floor's, and on a grid.
CHANGES = 96
COARSE = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """Prices and what they prove: every plan opens at least ``planks`` fresh planks.

    Per run: its segment, and the least its pieces can be worth. ``given_back`` is the price of
    waiting at all borders, for as many planks as may wait, and what parts in hand are worth at the most.
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
        return max(0, -(-self.total // self.prices.plank))


def area_bound(problem: Problem) -> int:
    """Return the fresh planks that the runs' lengths alone need, less the lengths of parts in hand that may wait."""
    return max(0, -(-(sum(lengths_below(problem)) - Hand.of(problem).length) // problem.plank))


def lengths_below(problem: Problem) -> list[Ticks]:
    """Return per run the least of planks' lengths that its pieces use up between them."""
    reliefs = map(problem.nesting.reliefs_of, range(len(problem.runs)))
    return [run.length - left - right for run, (left, right) in zip(problem.runs, reliefs, strict=True)]


def area_reason(planks: int, *, hand: bool = False) -> str:
    """Return why the runs' lengths ask for so many planks, besides parts in ``hand`` or not, in a user's words."""
    if hand:
        return f"with every part in hand used up, the rows' lengths alone still fill {planks} planks"
    return f"the rows' lengths alone fill {planks} planks"


def price_bound(problem: Problem, stop: Stop = never) -> Priced:
    """Return the best bound that prices prove, leaving out stagger and the order within segments.

    First the floor as one segment; then by segments, where that makes too many prices with prices
    that change only where the first ones do and on a coarse grid between. When ``stop`` says so, the
    bound is what the prices found by then prove. Runs that lie already are left out as well.
    """
    problem = replace(problem, down=())
    # Where any number may wait, length guides the search well enough: prices are for the bound alone.
    by_area = area_bound(problem)
    known = by_area if problem.rules.max_waiting is None else 0
    whole = _priced(problem, (0,) * len(problem.runs), known=known, stop=stop)
    segment_of = segments(problem)
    if not any(segment_of) or stop():
        return whole
    small = len(whole.prices.lengths) * (max(segment_of) + 1) * (1 + problem.handed) <= FULL
    lengths = None if small else _landmarks(problem, whole.prices)
    parted = _priced(problem, segment_of, lengths=lengths, known=max(whole.planks, by_area), stop=stop)
    return max(whole, parted, key=lambda priced: priced.total / priced.prices.plank)


def local_prices(problem: Problem, segment_of: tuple[int, ...], *, stop: Stop = never) -> list[PriceList]:
    """Return one price list a segment, as if no plank were carried from one to the next.

    They guide a search better than prices for the whole floor, which promise every waiting plank
    its best use anywhere; but they prove nothing. Once ``stop`` says so they are taken as they are by then.
    """
    by_segment: dict[int, list[int]] = {}
    for index, segment in enumerate(segment_of):
        by_segment.setdefault(segment, []).append(index)
    seen: dict[frozenset[tuple[Choices, int]], PriceList] = {}
    lists = []
    for runs in by_segment.values():
        alike = frozenset(Counter(problem.choices[index] for index in runs).items())
        if alike not in seen:
            demands = _demands(problem, [(0, index) for index in runs])
            seen[alike] = solve_prices(_sample(list(demands.values())), _shop(problem), stop=stop)
        lists.append(seen[alike])
    return lists


def _demands(problem: Problem, runs: list[tuple[int, int]]) -> dict[tuple[int, Choices], Demand]:
    """Return the demands of (segment, run) pairs, those laid in the same ways put together."""
    alike = Counter((segment, problem.choices[index]) for segment, index in runs)
    ways = {problem.choices[index]: ways_below(problem, index) for _, index in reversed(runs)}
    return {
        (segment, choices): Demand(count=count, segment=segment, ways=ways[choices])
        for (segment, choices), count in alike.items()
    }


def _sample(demands: list[Demand]) -> list[Demand]:
    """Return fewer demands that stand for all, where there are very many.

    Prices are valid for every run, whichever runs they were made for; so a sample costs no more
    than a little of the bound.
    """
    if len(demands) <= MOST_KINDS:
        return demands
    ordered = sorted(demands, key=lambda demand: (demand.segment, _size(demand)))
    per_group = -(-len(ordered) // MOST_KINDS)
    groups = [list(group) for _, group in groupby(ordered, key=lambda demand: demand.segment)]
    parts = [group[at : at + per_group] for group in groups for at in range(0, len(group), per_group)]
    return [replace(part[len(part) // 2], count=sum(one.count for one in part)) for part in parts]


def _size(demand: Demand) -> tuple[int, int]:
    """Return what puts demands in the order of their runs' lengths."""
    ways = demand.ways
    return int(ways.wholes.max(initial=0)), int((ways.starter + ways.end + ways.single).min(initial=0))


def _shop(problem: Problem, segment_of: tuple[int, ...] = (0,)) -> Shop:
    """Return the shop for prices by these segments; each border counts as often as the rows pass it."""
    last = segment_of[-1] if not follows_itself(segment_of) else max(segment_of) + 1
    passed = Counter(one for one, other in pairwise(segment_of) if one != other)
    cap = problem.rules.max_waiting or 0
    return Shop(
        plank=problem.plank,
        loss=problem.loss,
        handed=problem.handed,
        borders=tuple(cap * passed[border] for border in range(last)),
        hand=Hand.of(problem),
    )


def _priced(
    problem: Problem,
    segment_of: tuple[int, ...],
    *,
    lengths: Ints | None = None,
    known: int = 0,
    stop: Stop = never,
) -> Priced:
    demands = _demands(problem, list(zip(segment_of, range(len(segment_of)), strict=True)))
    sample, shop = _sample(list(demands.values())), _shop(problem, segment_of)
    found = []
    if len(shop.hand.count) > MANY_PARTS:
        # So many make a slow program: prices found without them come first.
        found.append(solve_prices(sample, replace(shop, hand=Hand()), lengths, known, stop))
    found.append(solve_prices(sample, shop, lengths, known, stop))
    proved = (_proved(problem, segment_of, demands, shop, prices) for prices in found)
    return max(proved, key=lambda priced: priced.total / priced.prices.plank)


def _proved(
    problem: Problem,
    segment_of: tuple[int, ...],
    demands: dict[tuple[int, Choices], Demand],
    shop: Shop,
    prices: PriceList,
) -> Priced:
    """Return what prices prove of a floor."""
    cheapest = {
        key: int(worth_of_ways(prices, demand.segment, demand.ways).min()) for key, demand in demands.items()
    }
    return Priced(
        prices=prices,
        segment_of=segment_of,
        cheapest=tuple(cheapest[key] for key in zip(segment_of, problem.choices, strict=True)),
        given_back=given_back(prices, shop),
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
