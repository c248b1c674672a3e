"""Slanted ends that face each other on a plank: how far the parts may be moved into each other.

Two parts are told by where their facing ends lie on the plank's lower and upper edge, their outermost points
touching. What lies open between them on both edges they can be moved closer, less what a cut between slants
takes more than a square one; being straight, the ends are nowhere closer than on one of the edges.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import isqrt

from cutopt.check._ledger import Ledger, Used
from cutopt.model.job import Ends
from cutopt.model.plan import CutPlank, End, Piece
from cutopt.units import Ticks

__all__ = ["Nests", "lies_turned", "nests_on", "saved_among"]


@dataclass(frozen=True, slots=True)
class Nests:
    """What nesting saves on a plank, and what its last cut takes, which may follow the steepest slant."""

    saved: Ticks
    last_cut: Ticks


def nests_on(cut: CutPlank, uses: Sequence[Used], ledger: Ledger) -> Nests:
    """Return what nests of the pieces of a plank, given from its left end. Strips hold ripped pieces only."""
    kerf, width = ledger.plan.plank.kerf, ledger.plan.plank.width
    saved, last_cut = 0, kerf
    for right_slant, left_slant in _facing(cut, uses, ledger):
        open_by = _open_by(right_slant, left_slant)
        gain = open_by - (_sawn(kerf, open_by, width) - kerf)
        if open_by and gain > 0:
            saved += gain
            last_cut = max(last_cut, *(_sawn(kerf, slant, width) for slant in (right_slant, left_slant)))
    return Nests(saved, last_cut)


def saved_among(uses: Sequence[Used], ledger: Ledger) -> Ticks:
    """Return what nesting saves among all pieces of a plank, or of a strip, in the order its list has them."""
    cut = ledger.listed.get(uses[0].piece.plank)
    by_id = {used.piece.id: used for used in uses}
    if cut is None or sorted(cut.pieces) != sorted(by_id):
        return 0
    return nests_on(cut, [by_id[name] for name in cut.pieces], ledger).saved


def lies_turned(piece: Piece, *, first: bool, last: bool, handed: bool) -> bool:
    """Say whether a piece lies on its plank the other way round than it is laid.

    With square ends one with one factory end lies the way that this end comes to lie outside.
    """
    left, right = piece.left is End.FACTORY, piece.right is End.FACTORY
    if handed or left == right or first == last:
        return False
    return right if first else left


def _facing(cut: CutPlank, uses: Sequence[Used], ledger: Ledger) -> Iterator[tuple[Ticks, Ticks]]:
    """Yield the slants of each two ends that face each other: right end of one, left end of the next."""
    if cut.strip is not None:
        return
    handed = ledger.plan.plank.ends is Ends.HANDED
    lying = []
    for nth, used in enumerate(uses):
        ends = _mitres(used, ledger.plan.plank.width)
        turned = lies_turned(used.piece, first=nth == 0, last=nth == len(uses) - 1, handed=handed)
        # Half a turn changes sides, not the sign.
        lying.append(ends[::-1] if turned else ends)
    for one, other in pairwise(lying):
        yield one[1], other[0]


def _mitres(used: Used, width: Ticks) -> tuple[Ticks, Ticks]:
    """Return the slants of a piece's ends that are straight from edge to edge of an unripped plank, else 0."""
    run, piece = used.laid.run, used.piece
    if run.width != width or run.wide is not None:
        return 0, 0
    at_left, at_right = piece == used.laid.pieces[0], piece == used.laid.pieces[-1]
    return (
        piece.left_slant if run.left_mitre and at_left and abs(piece.left_slant) < run.length else 0,
        piece.right_slant if run.right_mitre and at_right and abs(piece.right_slant) < run.length else 0,
    )


def _open_by(right_slant: Ticks, left_slant: Ticks) -> Ticks:
    """Return how much is open at the narrowest between two ends whose outermost points touch."""
    ends_at = min(0, -right_slant), min(0, right_slant)  # on the lower and the upper edge
    begins_at = max(0, -left_slant), max(0, left_slant)
    return min(begin - end for begin, end in zip(begins_at, ends_at, strict=True))


def _sawn(kerf: Ticks, slant: Ticks, width: Ticks) -> Ticks:
    """Return what a saw takes along the plank, rounded up, where its line runs out by ``slant`` across it."""
    along2 = kerf * kerf * (width * width + slant * slant)
    ticks = isqrt(along2) // width
    return ticks if ticks * ticks * width * width >= along2 else ticks + 1
