"""Lower bounds on planks that hold wherever a fixed pattern starts.

With one field the bound is that of its best start: the planks its pieces cannot do without. Several
fields start each for itself but share planks, so their pieces are priced by one list (see
``cutopt.planner.bound.prices``): every plan opens at least as many planks as its pieces are worth,
and a field's pieces are worth no less than those of its cheapest start. Good lists are found by
fictitious play (Robinson, Annals of Mathematics 54, 1951, 296-301): prices answer the mean of all
starts picked so far, the cheapest starts answer the prices.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.bound import price_bound
from cutopt.planner.bound.master import Demand, Shop, solve_prices
from cutopt.planner.bound.prices import PriceList
from cutopt.planner.bound.segments import segments
from cutopt.planner.bound.ways import ways_below
from cutopt.planner.fixed.laid import FixedProblem, lay_on
from cutopt.planner.fixed.order import least_pieces
from cutopt.planner.fixed.pieces import fewest_planks
from cutopt.planner.fixed.starts import FieldStarts
from cutopt.planner.problem import Problem

__all__ = ["bound_by_pieces", "bound_by_prices", "bound_start_by_start"]

Ints = NDArray[np.int64]

# Lists that are tried at most, and demands that one linear program may have.
LISTS = 24
DEMANDS = 1500
# Starts whose own prices are looked at.
PRICED = 48
NEVER = 1 << 40


def bound_by_pieces(problem: Problem, field: FieldStarts) -> Ints:
    """Return, per start of a floor's only field, planks that no rounding of it goes below."""
    return np.where(field.possible, fewest_planks(least_pieces(field), problem), NEVER)


def bound_start_by_start(
    problem: Problem, field: FieldStarts, planks: Ints, best: int, stop: Callable[[], bool]
) -> int:
    """Return the bound of a floor's only field, starts under ``best`` planks judged by their own prices."""
    for start in np.argsort(planks, kind="stable")[:PRICED]:
        if planks[start] >= best or stop():
            break
        priced = price_bound(lay_on(problem, [field], [int(start)], rounding=True))
        planks[start] = max(planks[start], priced.planks)
    return int(planks.min())


def bound_by_prices(
    problem: Problem,
    fields: Sequence[FieldStarts],
    starts: tuple[int, ...],
    best: int,
    stop: Callable[[], bool],
) -> int:
    """Return a bound for all starts of all fields, by price lists that answer ``starts`` first."""
    segment_of = segments(problem)
    tables = [_Table(field, segment_of) for field in fields]
    demands: list[Demand] = []
    bound = 0
    for played in range(1, LISTS + 1):
        demands += _demands(lay_on(problem, fields, starts, rounding=True), segment_of)
        if played > 1 and (len(demands) > DEMANDS or stop()):
            break
        prices = solve_prices(demands, _shop(problem, played))
        worth = [table.worth(prices) for table in tables]
        given_back = int(prices.border.sum()) * (problem.rules.max_waiting or 0)
        total = sum(int(one.min()) for one in worth) - given_back
        bound = max(bound, -(-total // prices.plank))
        if bound >= best:
            break
        starts = tuple(int(one.argmin()) for one in worth)
    return bound


def _shop(problem: Problem, played: int) -> Shop:
    """Return what planks are cut under when the floor is laid ``played`` times side by side."""
    waiting = problem.rules.max_waiting
    return Shop(
        plank=problem.plank,
        loss=problem.loss,
        handed=problem.handed,
        waiting=None if waiting is None else waiting * played,
    )


def _demands(problem: FixedProblem, segment_of: tuple[int, ...]) -> list[Demand]:
    alike = Counter(zip(segment_of, problem.choices, strict=True))
    index_of = {choices: index for index, choices in enumerate(problem.choices)}
    return [
        Demand(count=count, segment=segment, ways=ways_below(problem, index_of[choices]))
        for (segment, choices), count in alike.items()
    ]


@dataclass(frozen=True, slots=True)
class _Table:
    """A field's starts, and the segments of its runs."""

    field: FieldStarts
    segment_of: tuple[int, ...]

    def worth(self, prices: PriceList) -> Ints:
        """Return per start the least its pieces can be worth."""
        total = np.zeros(len(self.field), dtype=np.int64)
        for at, kind in enumerate(self.field.kinds):
            for segment, count in Counter(self.segment_of[run] for run in kind.runs).items():
                total += count * self._of_kind(prices, at, segment)
        return np.where(self.field.possible, total, np.iinfo(np.int64).max // 2)

    def _of_kind(self, prices: PriceList, at: int, segment: int) -> Ints:
        field, kind = self.field, self.field.kinds[at]
        starter, end = field.starter[at], field.end[at]
        split: Ints = (
            field.between[at] * prices.plank
            + np.where(starter == field.circle.plank, prices.plank, prices.of_starters(segment, starter))
            + np.where(end == field.circle.plank, prices.plank, prices.of_ends(segment, end))
        )
        if not kind.alone:
            return split
        single = int(kind.ways.single[0])
        alone = int(prices.of_singles(segment, np.array([single]))[0]) if single else prices.plank
        return np.where(starter <= field.circle.plank, np.minimum(split, alone), alone)
