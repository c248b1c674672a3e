"""A floor on its pattern: every run left only the ways that chosen starts allow."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.fixed.starts import FieldStarts, Kind, rests_of
from cutopt.planner.problem import Choices, Problem

__all__ = ["FixedProblem", "lay_on"]

Ints = NDArray[np.int64]


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
    problem: Problem, fields: Sequence[FieldStarts], starts: Sequence[int], *, rounding: bool = False
) -> FixedProblem:
    """Return the problem left when each field begins its pattern at its start (by number).

    Joints are rounded up to the cut step; with ``rounding`` each run may round as it likes.
    """
    given: dict[tuple[int, int], Choices] = {}
    for field, start in zip(fields, starts, strict=True):
        for at, kind in enumerate(field.kinds):
            left = kind.ways.take(_ways(field, kind, at, start, rounding=rounding))
            given |= {(run.row, run.run): left for run in (problem.runs[index] for index in kind.runs)}
    return FixedProblem(
        runs=problem.runs,
        plank=problem.plank,
        loss=problem.loss,
        handed=problem.handed,
        rules=problem.rules,
        given=given,
    )


def _ways(field: FieldStarts, kind: Kind, at: int, start: int, *, rounding: bool) -> Ints:
    """Number the ways a start leaves to a kind: in one piece where that is one, and on the pattern."""
    alone = np.arange(int(kind.alone), dtype=np.int64)  # the one-piece way comes first
    way = field.way[at, start]
    jointed = np.array([way] if way >= 0 else [], dtype=np.int64)
    if rounding:
        ways, rests = rests_of(kind, int(field.direction[start]), field.circle)
        off = (rests - field.rest[start]) % field.circle.whole
        jointed = ways[off <= field.circle.grid]
    return np.concatenate([alone, jointed])
