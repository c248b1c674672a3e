"""Starts of several fields chosen together, for their pieces share planks."""

import math
from collections.abc import Iterator, Sequence
from functools import reduce

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.bound import Priced, price_bound
from cutopt.planner.fixed.laid import Starts, lay_on
from cutopt.planner.fixed.order import Ranked
from cutopt.planner.fixed.pieces import Pieces, fewest_planks
from cutopt.planner.fixed.starts import FieldStarts
from cutopt.planner.fixed.worth import worth_of_starts
from cutopt.planner.limits import Stop
from cutopt.planner.problem import Problem

__all__ = ["combine", "improve"]

Ints = NDArray[np.int64]

# Starts of a field looked at beside starts of the others, and how often.
BESIDE = 48
PASSES = 3
# Combinations priced in all, fewer where each takes long; and after each improvement before giving up.
PRICED = 80
KINDS = 4000
MISSES = 16
CLOSE = 1e-6


def combine(problem: Problem, fields: Sequence[Ranked]) -> list[Starts]:
    """Return starts in order of promise: the best found, then those one change away.

    A field is judged beside those laid before and after it, half by planks shared freely and half by
    none shared.
    """
    places = [0] * len(fields)
    for _ in range(PASSES):
        before = list(places)
        for at in range(len(fields)):
            places[at] = int(_beside(problem, fields, places, at).argmin())
        if places == before:
            break
    changes: list[tuple[int, int, int]] = []
    for at in range(len(fields)):
        planks = _beside(problem, fields, places, at)
        changes += [(int(more), at, place) for place, more in enumerate(planks - planks[places[at]])]
    ordered = [places]
    for _, at, place in sorted(changes):
        if place != places[at]:
            ordered.append([*places[:at], place, *places[at + 1 :]])
        if len(ordered) == BESIDE:
            break
    return [
        tuple(int(field.starts[place]) for field, place in zip(fields, combination, strict=True))
        for combination in ordered
    ]


def _beside(problem: Problem, fields: Sequence[Ranked], places: list[int], at: int) -> Ints:
    """Judge the best starts of a field by its planks, with its neighbours where they stand."""
    mine = fields[at]
    best = list(range(min(BESIDE, len(mine.starts))))
    near = [other for other in (at - 1, at + 1) if 0 <= other < len(fields)]
    pieces = [mine.pieces.at(best), *(fields[other].pieces.at([places[other]]) for other in near)]
    return mine.planks[best] + fewest_planks(reduce(Pieces.beside, pieces), problem)


def improve(
    problem: Problem, fields: Sequence[FieldStarts], order: Sequence[Starts], stop: Stop
) -> list[Starts]:
    """Return starts in a better order, with others that following prices finds from the first.

    The prices of some starts say what any other start of a field would be worth at least, so only
    cheaper ones can be better; they are priced themselves, cheapest first.
    """
    found: dict[Starts, float] = {}
    near, best, misses = iter(order[:1]), math.inf, 0
    for _ in range(min(PRICED, KINDS // sum(len(field.kinds) for field in fields))):
        starts = next((one for one in near if one not in found), None)
        if starts is None or misses == MISSES or stop():
            break
        priced = price_bound(lay_on(problem, fields, starts), stop)
        found[starts] = priced.total / priced.prices.plank
        misses += 1
        if found[starts] < best - CLOSE:
            near, best, misses = _cheaper(fields, starts, priced), found[starts], 0
    better = sorted(found, key=lambda one: (found[one], one))
    return better + [starts for starts in order if starts not in found]


def _cheaper(fields: Sequence[FieldStarts], starts: Starts, priced: Priced) -> Iterator[Starts]:
    """Yield the combinations with one field's start changed that these prices find cheaper, cheapest first."""
    changes = []
    for at, field in enumerate(fields):
        worth = worth_of_starts(field, priced.prices, priced.segment_of)
        gain = worth[starts[at]] - worth
        changes += [(-int(gain[start]), at, int(start)) for start in np.flatnonzero(field.laid & (gain > 0))]
    for _, at, start in sorted(changes):
        yield (*starts[:at], start, *starts[at + 1 :])
