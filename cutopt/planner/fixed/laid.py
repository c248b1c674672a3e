"""A floor on its pattern: every run left only the ways that chosen starts allow."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.fixed.starts import FieldStarts, roundings_at
from cutopt.planner.problem import Choices, Problem

__all__ = ["FixedProblem", "Starts", "lay_on", "side_by_side"]

Ints = NDArray[np.int64]

Starts = tuple[int, ...]
"""A start (by number) for each field of a floor."""


@dataclass(frozen=True)
class FixedProblem(Problem):
    """A problem whose runs have the ``given`` ways only, by the job's row and the run within it."""

    given: Mapping[tuple[int, int], Choices]

    @cached_property
    def choices(self) -> tuple[Choices, ...]:
        """Per run, the ways to lay it; runs that are alike share one object."""
        return tuple(self.given[run.row, run.run] for run in self.runs)

    @cached_property
    def on_step(self) -> bool:
        """A pattern's joints are rounded to the cut step: no starter lies off it."""
        return True


def lay_on(
    problem: Problem, of_fields: Sequence[FieldStarts], starts: Starts, *, rounding: bool = False
) -> FixedProblem:
    """Return the problem left when each field begins its pattern at its start (by number).

    Joints are rounded up to the cut step; with ``rounding`` each run may round as it likes.
    """
    given: dict[tuple[int, int], Choices] = {}
    for field, start in zip(of_fields, starts, strict=True):
        for at, kind in enumerate(field.kinds):
            left = kind.ways.take(_ways(field, at, start, rounding=rounding))
            given |= {(run.row, run.run): left for run in (problem.runs[index] for index in kind.runs)}
    same = {one.name: getattr(problem, one.name) for one in fields(Problem)}
    return FixedProblem(**same, given=given)


def side_by_side(floors: Sequence[FixedProblem]) -> FixedProblem:
    """Return one floor whose rows hold the runs of several, with that many times the planks waiting.

    Made for prices only: the runs of a row touch nothing of their own any more.
    """
    first, times = floors[0], len(floors)
    runs, given = [], {}
    for index, run in enumerate(first.runs):
        for nth, floor in enumerate(floors):
            copy = replace(run, run=run.run * times + nth)
            runs.append(copy)
            given[copy.row, copy.run] = floor.choices[index]
    waiting = first.rules.max_waiting
    rules = replace(first.rules, max_waiting=None if waiting is None else waiting * times)
    return replace(first, runs=tuple(runs), rules=rules, given=given)


def _ways(field: FieldStarts, at: int, start: int, *, rounding: bool) -> Ints:
    """Return the ways a start leaves to a kind of run: in one piece where that can be, and on the pattern."""
    alone = np.arange(int(field.kinds[at].alone), dtype=np.int64)  # the one-piece way comes first
    way = field.way[at, start : start + 1]
    jointed = roundings_at(field, at, start) if rounding else way[way >= 0]
    return np.concatenate([alone, jointed])
