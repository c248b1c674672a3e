"""Where slanted ends lie side by side on a plank, so that one slanted cut parts both pieces."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from cutopt.model.job import PlankSpec
from cutopt.model.plan import End, LaidRun, Piece
from cutopt.model.slants import saved_by_nesting
from cutopt.units import Ticks

__all__ = ["Placed", "overlap"]


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece and the run it is laid in."""

    laid: LaidRun
    piece: Piece

    @property
    def width(self) -> Ticks:
        """What it takes of the width of its plank: the run's wider end."""
        run = self.laid.run
        return run.width if run.wide is None else run.wide

    def slants(self, width: Ticks) -> tuple[Ticks, Ticks]:
        """Return the slants of its left and right end as laid that may nest, 0 where one may not."""
        left, right = self.laid.run.nests_in(width)
        pieces = self.laid.pieces
        return (left if self.piece is pieces[0] else 0, right if self.piece is pieces[-1] else 0)


def overlap(pieces: Sequence[Placed], plank: PlankSpec) -> Ticks:
    """Return by how much pieces, given from the plank's left end, lie within one another's length.

    That is the lesser slant wherever two slants nest. What the slanted cut takes more than a square one is no
    part of it: it is sawn away.
    """
    lying = [_lying(one, nth, len(pieces), plank) for nth, one in enumerate(pieces)]
    facing = [(left[1], right[0]) for left, right in pairwise(lying)]
    return sum(
        min(map(abs, pair)) for pair in facing if saved_by_nesting(*pair, kerf=plank.kerf, width=plank.width)
    )


def _lying(one: Placed, nth: int, count: int, plank: PlankSpec) -> tuple[Ticks, Ticks]:
    """Return the slants as they lie on the plank: half a turn changes their sides and keeps their signs.

    A piece that keeps one factory end lies the way that this end is the plank's own: with square ends it may be turned.
    """
    slants = one.slants(plank.width)
    left, right = (end is End.FACTORY for end in (one.piece.left, one.piece.right))
    first, last = nth == 0, nth == count - 1
    if left == right or first == last:
        return slants
    return slants[::-1] if (right if first else left) else slants
