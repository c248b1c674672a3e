"""Which starts to try first: those whose pieces need the fewest planks."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.fixed.pieces import Pieces, fewest_planks
from cutopt.planner.fixed.starts import FieldStarts
from cutopt.planner.problem import Problem

__all__ = ["in_order", "laid_pieces", "least_pieces", "smallest_pieces"]

Ints = NDArray[np.int64]

# Starts of a field looked at beside starts of the others, and how often.
BESIDE = 48
PASSES = 3


@dataclass(frozen=True, slots=True, eq=False)
class _Ranked:
    """The best starts of a field, best first: their numbers, pieces, and planks when nothing is shared."""

    starts: Ints
    pieces: Pieces
    planks: Ints


def in_order(problem: Problem, fields: Sequence[FieldStarts]) -> list[tuple[int, ...]]:
    """Return the starts that lay all runs (one a field) in order of promise.

    Fewest planks first; among equals fewest cut pieces, then the longest smallest piece. Where there
    are several fields, only combinations one change away from the best found.
    """
    if len(fields) == 1:
        return [(int(start),) for start in _rank(problem, fields[0]).starts]
    return _together(problem, [_rank(problem, field, BESIDE) for field in fields])


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


def _rank(problem: Problem, field: FieldStarts, most: int | None = None) -> _Ranked:
    pieces = laid_pieces(field)
    planks = fewest_planks(pieces, problem)
    cut = (pieces.starter < problem.plank).astype(np.int64) + (pieces.end < problem.plank)
    cuts = (pieces.count[:, None] * cut).sum(axis=0)
    order = np.lexsort((-smallest_pieces(field, pieces), cuts, planks))
    best = order[field.laid[order]][:most]
    return _Ranked(best, pieces.at(best), planks[best])


def _together(problem: Problem, fields: list[_Ranked]) -> list[tuple[int, ...]]:
    """Improve the starts field by field, judging half by planks shared freely and half by none shared."""
    places = [0] * len(fields)
    found: dict[tuple[int, ...], int] = {}
    for _ in range(PASSES):
        for at, field in enumerate(fields):
            others = [one for one in range(len(fields)) if one != at]
            fixed = reduce(Pieces.beside, (fields[one].pieces.at([places[one]]) for one in others))
            shared = fewest_planks(field.pieces.beside(fixed), problem)
            apart = field.planks + sum(int(fields[one].planks[places[one]]) for one in others)
            for place, planks in enumerate(shared + apart):
                found.setdefault((*places[:at], place, *places[at + 1 :]), int(planks))
            places[at] = int((shared + apart).argmin())
    best = sorted(found, key=lambda combination: (found[combination], combination))
    return [
        tuple(int(field.starts[place]) for field, place in zip(fields, combination, strict=True))
        for combination in best
    ]
