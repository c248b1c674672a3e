"""The pieces of each start, and the starts in order: those whose pieces need the fewest planks first."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.fixed.pieces import Pieces, fewest_planks
from cutopt.planner.fixed.starts import FieldStarts
from cutopt.planner.problem import Problem

__all__ = ["Ranked", "laid_pieces", "least_pieces", "rank_starts", "smallest_pieces"]

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Ranked:
    """The best starts of a field, best first: their numbers, pieces, and planks when nothing is shared."""

    starts: Ints
    pieces: Pieces
    planks: Ints


def rank_starts(problem: Problem, field: FieldStarts) -> Ranked:
    """Rank the starts that lay all runs of a field.

    Fewest planks first; among equals one rounding for all joints, fewest cut pieces, then the longest
    smallest piece.
    """
    pieces = laid_pieces(field)
    planks = fewest_planks(pieces, problem)
    cut = (pieces.starter < problem.plank).astype(np.int64) + (pieces.end < problem.plank)
    cuts = (pieces.count[:, None] * cut).sum(axis=0)
    order = np.lexsort((-smallest_pieces(field, pieces), cuts, ~field.even, planks))
    best = order[field.laid[order]]
    return Ranked(best, pieces.at(best), planks[best])


def laid_pieces(field: FieldStarts) -> Pieces:
    """Return the pieces that each start lays, joints rounded up (of no meaning where it lays none)."""
    starter, end = np.array(field.starter), np.array(field.end)
    for at, kind in enumerate(field.kinds):
        found, way = field.way[at] >= 0, field.way[at]
        if found.any():
            starter[at] = np.where(found, kind.ways.first[way], starter[at])
            end[at] = np.where(found, kind.run.length - kind.ways.last[way], end[at])
    length = np.array([[kind.run.length] for kind in field.kinds])
    return _pieces(field, starter, end, (length - starter - end) // field.circle.plank)


def least_pieces(field: FieldStarts) -> Pieces:
    """Return the least pieces that any rounding of each start asks for."""
    return _pieces(field, field.starter, field.end, field.between)


def _pieces(field: FieldStarts, starter: Ints, end: Ints, between: Ints) -> Pieces:
    alone = np.array([kind.alone for kind in field.kinds])
    count = np.array([len(kind.runs) for kind in field.kinds], dtype=np.int64)
    length = np.array([kind.run.length for kind in field.kinds], dtype=np.int64)
    return Pieces(
        starter=starter[~alone],
        end=end[~alone],
        between=between[~alone],
        count=count[~alone],
        single=length[alone],
        single_count=count[alone],
    )


def smallest_pieces(field: FieldStarts, pieces: Pieces) -> Ints:
    """Return, per start, the shortest starter or end piece, measured on its shorter long edge."""
    long = [kind.run for kind in field.kinds if not kind.alone]
    left = np.array([[abs(run.left_slant)] for run in long], dtype=np.int64).reshape(-1, 1)
    right = np.array([[abs(run.right_slant)] for run in long], dtype=np.int64).reshape(-1, 1)
    shortest: Ints = np.minimum(
        (pieces.starter - left).min(axis=0, initial=field.circle.plank),
        (pieces.end - right).min(axis=0, initial=field.circle.plank),
    )
    return shortest
