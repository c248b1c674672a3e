"""Which runs may share planks lengthwise.

A first row laid along a wall keeps the long edge that the second row joins, a last row the other one; the
rest of the plank's width goes to waste, or to a row at the other wall (geometry). A plank turned end for end
to get at its other edge swaps its ends as well; that is left out, so strips are not turned.
"""

from dataclasses import dataclass

from cutopt.model.floor import Run
from cutopt.model.job import Pattern, ShareRips
from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["Edges", "edges_of", "ripped_width"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Edges:
    """Runs of first rows and runs of last rows; each has one among the others that it may share a plank with."""

    firsts: tuple[int, ...]
    lasts: tuple[int, ...]


def ripped_width(run: Run) -> Ticks:
    """Return the width that a run's pieces are ripped to, at the wider end where that tapers."""
    return run.width if run.wide is None else run.wide


def edges_of(problem: Problem) -> Edges | None:
    """Return the runs that may share planks, ``None`` where none may.

    A row is ripped where it is narrower than a plank. The first row of a field that goes on from rows
    already laid needs both long edges, and a field of one row tells nothing of its edges. Rows of a
    fixed pattern do not share (rule book).
    """
    if problem.rules.share_rips is ShareRips.NO or problem.rules.pattern is not Pattern.RANDOM:
        return None
    lowest, highest = _outermost(problem)
    joined = {down.field for down in problem.down}
    firsts, lasts = [], []
    for index, run in enumerate(problem.runs):
        if ripped_width(run) >= problem.width or lowest[run.field] == highest[run.field]:
            continue
        if run.line == highest[run.field]:
            lasts.append(index)
        elif run.line == lowest[run.field] and run.field not in joined:
            firsts.append(index)
    return _sharing(problem, firsts, lasts)


def _outermost(problem: Problem) -> tuple[dict[str, int], dict[str, int]]:
    """Return the first and the last line laid in each field."""
    lowest: dict[str, int] = {}
    highest: dict[str, int] = {}
    for run in problem.runs:
        lowest[run.field] = min(run.line, lowest.get(run.field, run.line))
        highest[run.field] = max(run.line, highest.get(run.field, run.line))
    return lowest, highest


def _sharing(problem: Problem, firsts: list[int], lasts: list[int]) -> Edges | None:
    """Return those of either side that fit on a plank with the narrowest of the other."""

    def narrowest(indices: list[int]) -> Ticks:
        return min((ripped_width(problem.runs[index]) for index in indices), default=problem.width)

    def fitting(indices: list[int], other: Ticks) -> tuple[int, ...]:
        return tuple(
            index
            for index in indices
            if ripped_width(problem.runs[index]) + other + problem.loss <= problem.width
        )

    found = Edges(firsts=fitting(firsts, narrowest(lasts)), lasts=fitting(lasts, narrowest(firsts)))
    return found if found.firsts and found.lasts else None
