"""A fixed pattern that no start can keep within the rules: the start that breaks them least."""

from collections import defaultdict

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.clash.bend import eased, least_broken
from cutopt.planner.clash.parts import only
from cutopt.planner.clash.toll import lone_toll, piece_toll, total_toll
from cutopt.planner.fixed.laid import FixedProblem, lay_on
from cutopt.planner.fixed.starts import FieldStarts, field_starts
from cutopt.planner.limits import Stop
from cutopt.planner.problem import Problem

__all__ = ["on_pattern"]

Ints = NDArray[np.int64]

TRIED = 8
"""Starts, best by their pieces, of which the joints are looked at too."""


def on_pattern(problem: Problem, stop: Stop) -> FixedProblem:
    """Return the floor with each field on its pattern, begun where it breaks the rules least.

    Its runs have the ways of ``eased(problem)`` that lie on the pattern, joints rounded either way.
    """
    loose = eased(problem)
    groups: defaultdict[str, list[int]] = defaultdict(list)
    for index, run in enumerate(problem.runs):
        groups[run.field].append(index)
    fields = [field_starts(loose, tuple(group)) for group in groups.values()]
    starts = tuple(_least_broken(problem, field, stop) for field in fields)
    return lay_on(problem, fields, starts, rounding=True)


def _least_broken(problem: Problem, field: FieldStarts, stop: Stop) -> int:
    tolls = _piece_tolls(problem, field)
    laid = np.flatnonzero(field.laid)
    best = laid[np.argsort(tolls[laid], kind="stable")][:TRIED]
    runs = sorted(index for kind in field.kinds for index in kind.runs)

    def toll(start: int) -> int:
        floor = lay_on(problem, [field], (start,), rounding=True)
        part = only(floor, runs)
        return total_toll(part, eased(part), least_broken(part, stop, 0))

    return min((int(start) for start in best), key=toll)


def _piece_tolls(problem: Problem, field: FieldStarts) -> Ints:
    """Return, per start, what all runs fall short by themselves."""
    tolls = np.zeros(len(field), dtype=np.int64)
    for kind, way in zip(field.kinds, field.way, strict=True):
        if not kind.alone:
            ways = kind.ways.take(np.maximum(way, 0))
            alike = [run for run in kind.runs if not problem.asked[run]]
            tolls += len(alike) * piece_toll(problem, kind.runs[0], ways)
            tolls += sum(lone_toll(problem, run, ways) for run in kind.runs if problem.asked[run])
    return tolls
