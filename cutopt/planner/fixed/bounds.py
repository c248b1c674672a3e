"""Lower bounds on planks that hold wherever a fixed pattern starts.

One field's bound is that of its best start: the planks its pieces cannot do without. Fields start each
for itself and share planks, but a plank cut for several fields waits between them: counted once in
every field it serves, no plan's planks are more than the plan opens and those that may wait wherever
one field follows another.

Prices prove more where pieces are awkward (see ``cutopt.planner.bound.prices``): a plan opens at least as
many planks as its pieces are worth, and a field's pieces are worth no less than those of its cheapest
start. Good prices for all starts at once are found by fictitious play (Robinson, Annals of Mathematics
54, 1951, 296-301): prices answer the mean of the starts picked so far, the cheapest starts answer them.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.bound import area_bound, price_bound
from cutopt.planner.fixed.laid import Starts, lay_on, side_by_side
from cutopt.planner.fixed.order import least_pieces
from cutopt.planner.fixed.pieces import fewest_planks
from cutopt.planner.fixed.starts import FieldStarts
from cutopt.planner.fixed.worth import worth_of_starts
from cutopt.planner.limits import Stop
from cutopt.planner.problem import Problem

__all__ = ["bound_by_pieces", "bound_by_prices"]

Ints = NDArray[np.int64]

# Starts whose own prices are looked at, fewer where each takes long.
PRICED = 48
KINDS = 4000
# Answers of prices to starts at most, and runs that one linear program may have.
ANSWERS = 24
RUNS = 3000
NEVER = 1 << 60


def bound_by_pieces(problem: Problem, fields: Sequence[FieldStarts]) -> int:
    """Return planks that no plan goes below, whatever the starts and the rounding to the cut step.

    Where pieces may nest, nothing but their lengths is counted.
    """
    if problem.nesting.any:
        return area_bound(problem)
    planks = sum(int(_least_planks(problem, field).min()) for field in fields)
    changes = sum(before.field != after.field for before, after in pairwise(problem.runs))
    if not changes:
        return max(planks, area_bound(problem))
    if problem.rules.max_waiting is None:
        return area_bound(problem)
    return max(planks - changes * problem.rules.max_waiting, area_bound(problem))


def bound_by_prices(
    problem: Problem,
    fields: Sequence[FieldStarts],
    starts: Sequence[Starts],
    best: int,
    stop: Stop,
) -> int:
    """Return the bound that prices prove, which know of runs in one piece and of planks that wait.

    ``starts`` are promising ones. A bound of ``best`` planks ends the search for prices. Where pieces may
    nest, nothing is proved.
    """
    if problem.nesting.any:
        return 0
    if len(fields) == 1:
        return _start_by_start(problem, fields[0], best, stop)
    return _together(problem, fields, starts, best, stop)


def _start_by_start(problem: Problem, field: FieldStarts, best: int, stop: Stop) -> int:
    planks = _least_planks(problem, field)
    for start in np.argsort(planks, kind="stable")[: min(PRICED, KINDS // len(field.kinds))]:
        if planks[start] >= best or stop():
            break
        priced = price_bound(lay_on(problem, [field], (int(start),), rounding=True), stop)
        planks[start] = max(planks[start], priced.planks)
    return int(planks.min())


def _together(
    problem: Problem,
    fields: Sequence[FieldStarts],
    starts: Sequence[Starts],
    best: int,
    stop: Stop,
) -> int:
    picked, bound = list(starts), 0
    for _ in range(ANSWERS):
        if bound >= best or len(picked) * len(problem.runs) > RUNS or stop():
            break
        priced = price_bound(
            side_by_side([lay_on(problem, fields, one, rounding=True) for one in picked]), stop
        )
        segment_of = priced.segment_of[:: len(picked)]
        worth = [_if_possible(field, worth_of_starts(field, priced.prices, segment_of)) for field in fields]
        # The price of waiting is given back for one floor, not for all those side by side.
        total = sum(int(one.min()) for one in worth) - priced.given_back // len(picked)
        bound = max(bound, -(-total // priced.prices.plank))
        picked.append(tuple(int(one.argmin()) for one in worth))
    return bound


def _least_planks(problem: Problem, field: FieldStarts) -> Ints:
    return _if_possible(field, fewest_planks(least_pieces(field), problem))


def _if_possible(field: FieldStarts, amount: Ints) -> Ints:
    return np.where(field.possible, amount, NEVER)
