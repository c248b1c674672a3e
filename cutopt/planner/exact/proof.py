"""A plan from the solver, held against the planner's own rule functions."""

from collections import defaultdict

import numpy as np

from cutopt.model.plan import Laid, Part, PieceCut
from cutopt.planner.clash.tries import fitting_ways
from cutopt.planner.improve import peak_waiting
from cutopt.planner.problem import Problem

__all__ = ["is_plan"]


def is_plan(problem: Problem, laid: Laid, target: int) -> bool:
    """Say whether runs of starter and end piece, two pieces a plank at most, make a plan of so few planks."""
    planks: defaultdict[int, list[PieceCut]] = defaultdict(list)
    for piece in (piece for pieces in laid for piece in pieces):
        planks[piece.plank].append(piece)
    most = problem.rules.max_waiting
    return (
        len(planks) <= target
        and all(_can_be_cut(problem, pieces) for pieces in planks.values())
        and _can_be_laid(problem, laid)
        and (most is None or peak_waiting(problem, laid) <= most)
    )


def _can_be_cut(problem: Problem, pieces: list[PieceCut]) -> bool:
    length = sum(piece.length for piece in pieces) + (len(pieces) - 1) * problem.loss
    two_sides = not problem.handed or len({piece.part for piece in pieces}) == len(pieces)
    return len(pieces) <= 2 and two_sides and length <= problem.plank  # noqa: PLR2004 - a plank's ends


def _can_be_laid(problem: Problem, laid: Laid) -> bool:
    ways: list[int] = []
    for run, pieces, choices in zip(problem.runs, laid, problem.choices, strict=True):
        way = np.flatnonzero(choices.first == pieces[0].length)
        if sum(piece.length for piece in pieces) != run.length or not len(way):
            return False
        if any((piece.part is Part.WHOLE) != (piece.length == problem.plank) for piece in pieces):
            return False
        if not fitting_ways(problem, ways)[way[0]]:
            return False
        ways.append(int(way[0]))
    return True
