"""What slanted ends that lie side by side on a plank save of it."""

from collections.abc import Sequence
from itertools import pairwise

from cutopt.model.job import Ends
from cutopt.model.plan import CutPlank, End, LaidRun, Piece, Plan
from cutopt.model.slants import saved_by_nesting
from cutopt.units import Ticks

__all__ = ["saved_on"]


def saved_on(cut: CutPlank, pieces: Sequence[tuple[LaidRun, Piece]], plan: Plan) -> Ticks:
    """Return what the pieces of a plank, from its left end, save by nesting; strips hold ripped pieces only.

    It hangs on the slants alone, as long as every run is longer than they are.
    """
    if cut.strip is not None:
        return 0
    slants = [_slants(laid, piece, plan.plank.width) for laid, piece in pieces]
    if plan.plank.ends is Ends.SQUARE and len(pieces) > 1:
        # A piece with one factory end lies such that this end is outside.
        if _keeps(pieces[0][1]) == (False, True):
            slants[0] = slants[0][::-1]
        if _keeps(pieces[-1][1]) == (True, False):
            slants[-1] = slants[-1][::-1]
    return sum(
        saved_by_nesting(one[1], other[0], kerf=plan.plank.kerf, width=plan.plank.width)
        for one, other in pairwise(slants)
    )


def _slants(laid: LaidRun, piece: Piece, width: Ticks) -> tuple[Ticks, Ticks]:
    """Return the slants of a piece's ends that may nest."""
    left, right = laid.run.nests_in(width)
    return (left if piece is laid.pieces[0] else 0), (right if piece is laid.pieces[-1] else 0)


def _keeps(piece: Piece) -> tuple[bool, bool]:
    return piece.left is End.FACTORY, piece.right is End.FACTORY
