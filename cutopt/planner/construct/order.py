"""Other orders to plan rooms in, where any number of planks may wait.

When a plank is cut for two rooms it does not matter which of them is laid first, unless somebody
counts the planks that wait. Then a search may take the rooms as it likes.
"""

from dataclasses import dataclass, replace
from itertools import groupby

import numpy as np

from cutopt.model.plan import Laid
from cutopt.planner.problem import Problem

__all__ = ["Order", "as_laid", "shuffled"]


@dataclass(frozen=True, slots=True)
class Order:
    """A floor with its fields in another order; ``runs[i]`` is where its run ``i`` stood before."""

    problem: Problem
    runs: tuple[int, ...]

    def restore(self, laid: Laid) -> Laid:
        """Return what was laid, run by run, in the order of before."""
        back = dict(zip(self.runs, laid, strict=True))
        return tuple(back[index] for index in range(len(laid)))


def as_laid(problem: Problem) -> Order:
    """Return the floor in its own order."""
    return Order(problem, tuple(range(len(problem.runs))))


def shuffled(problem: Problem, seed: int) -> Order:
    """Return the floor with its fields shuffled; in its own order where waiting planks are counted."""
    if problem.rules.max_waiting is not None:
        return as_laid(problem)
    indices = range(len(problem.runs))
    fields = [list(group) for _, group in groupby(indices, key=lambda index: problem.runs[index].field)]
    shuffle = np.random.default_rng(seed).permutation(len(fields))
    runs = tuple(index for place in shuffle for index in fields[place])
    return Order(replace(problem, runs=tuple(problem.runs[index] for index in runs)), runs)
