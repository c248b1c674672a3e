"""Fewer cuts: joints moved a little where that leaves a plank whole."""

from collections import Counter
from dataclasses import replace

from cutopt.model.job import Pattern
from cutopt.model.plan import Laid, Part, PieceCut
from cutopt.planner.placed import Placed, first_joint
from cutopt.planner.problem import Problem

__all__ = ["with_whole_planks"]

Pieces = tuple[PieceCut, ...]


def with_whole_planks(problem: Problem, laid: Laid) -> Laid:
    """Return the same plan with fewer cuts where a plank gives one starter or end piece and nothing else.

    The run's joints move by what is trimmed from that plank, so it stays whole and the piece at the other
    end, cut anyway, comes out shorter: no plank more, no place for waiting more. Runs move one after
    another, and only where all rules still hold.
    """
    if problem.rules.pattern is not Pattern.RANDOM:
        return laid
    uses = Counter(piece.plank for pieces in laid for piece in pieces)
    # A part in hand is no whole plank, however little is cut from it.
    alone = frozenset(plank for plank, pieces in uses.items() if pieces == 1 and plank >= 0)
    joints = Placed(problem, [first_joint(pieces) for pieces in laid])
    return tuple(_moved(problem, joints, run, pieces, alone) for run, pieces in enumerate(laid))


def _moved(problem: Problem, joints: Placed, run: int, pieces: Pieces, alone: frozenset[int]) -> Pieces:
    """Return a run with one plank whole that was not, where its joints can move so far."""
    starter, end = pieces[0], pieces[-1]
    # What is left for the other piece once one is a whole plank.
    shorter = starter.length + end.length - problem.plank
    if (starter.part, end.part) != (Part.STARTER, Part.END) or shorter <= 0:
        return pieces
    if end.plank in alone and joints.may_move(run, shorter):
        return (replace(starter, length=shorter), *pieces[1:-1], _whole(problem, end))
    if starter.plank in alone and joints.may_move(run, problem.plank):
        return (_whole(problem, starter), *pieces[1:-1], replace(end, length=shorter))
    return pieces


def _whole(problem: Problem, piece: PieceCut) -> PieceCut:
    return replace(piece, part=Part.WHOLE, length=problem.plank)
