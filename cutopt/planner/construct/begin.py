"""Where a search begins: nothing laid, and the parts in hand in the pools."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.construct.front import Front
from cutopt.planner.construct.in_hand import pools_in_hand
from cutopt.planner.construct.worth import Worth
from cutopt.planner.problem import Problem

__all__ = ["begin"]

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]

# Ways to choose which parts wait, where more could than may, and how far chance leads from those worth most.
CHOICES = 24
CHANCE = 0.3


def begin(problem: Problem, worth: Worth, random: np.random.Generator) -> Front:
    """Return plans with nothing laid: one, or some that differ in which of the parts wait, where not all may.

    ``worth`` tells what a part is worth before the first run.
    """
    empty = Front.empty(problem.pool_places, problem.nesting)
    if not problem.hand:
        return empty
    pools = pools_in_hand(problem)
    numbers = [np.array([number for number, _ in pool], dtype=np.int64) for pool in pools]
    chosen = np.array(list(_chosen(problem, worth, numbers, random)))
    kept = np.split(chosen, np.cumsum([len(one) for one in numbers])[:-1], axis=1)
    filled = [_filled(pool, keep, problem.pool_places) for pool, keep in zip(numbers, kept, strict=True)]
    plans = empty.pick(np.zeros(len(chosen), dtype=np.int64))
    plans.starts, plans.ends, plans.boths = filled
    return plans


def _filled(numbers: Ints, keep: Bools, places: int) -> Ints:
    """Return a pool of so many places per plan with the parts it keeps, longest first."""
    pool = np.zeros((len(keep), places), dtype=np.int64)
    pool[:, : len(numbers)] = -np.sort(-np.where(keep, numbers, 0), axis=1)
    return pool


def _chosen(
    problem: Problem, worth: Worth, pools: list[Ints], random: np.random.Generator
) -> Iterator[Bools]:
    """Yield, per plan to begin with, which parts of all pools there are."""
    numbers = np.concatenate(pools)
    values = (worth.start, worth.end, worth.both)
    lengths = map(problem.nesting.middle, pools)
    worths = np.concatenate([value(one) for value, one in zip(values, lengths, strict=True)])
    waits = problem.nesting.waits(numbers)
    if waits.sum() <= problem.waiting_cap:
        yield np.ones(len(numbers), dtype=np.bool_)
        return
    for nth in range(CHOICES):
        leaning: Floats = worths + CHANCE * nth / CHOICES * random.random(len(numbers))
        ranked = np.argsort(np.where(waits, -leaning, np.inf), kind="stable")
        keep = ~waits
        keep[ranked[: problem.waiting_cap]] = True
        yield keep
