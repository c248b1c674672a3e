"""The fewest planks that fixed pieces can be cut from, for many starts at once.

Once a pattern's start is chosen the pieces are known, and two of them share a plank when their lengths
and one loss fit it. Such a graph has a threshold form: with hands, a starter fits every end piece up
to some length; with square ends a piece over half the room fits only pieces up to what it leaves, and
any two of the others fit. So the planks saved follow from counting (König's and Hall's theorems: what
cannot be paired is the largest surplus of long pieces over the short ones that fit them), and a start
costs one sort.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.problem import Problem

__all__ = ["Pieces", "fewest_planks"]

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Pieces:
    """Pieces of runs over a plank, per kind of run (``count`` of them) and start; and the single ones.

    ``starter`` and ``end`` have shape (kinds, starts) and give a whole plank as its length, ``between``
    the whole planks between. ``single`` and ``single_count`` (one entry a kind) are runs within a plank:
    taken as one piece, which never asks for more than two.
    """

    starter: Ints
    end: Ints
    between: Ints
    count: Ints
    single: Ints
    single_count: Ints

    def at(self, starts: Ints | list[int]) -> "Pieces":
        """Return the pieces of some starts alone."""
        return replace(
            self,
            starter=self.starter[:, starts],
            end=self.end[:, starts],
            between=self.between[:, starts],
        )

    def beside(self, other: "Pieces") -> "Pieces":
        """Return these pieces, each start's together with the one start of ``other``."""
        return Pieces(
            starter=_stacked(self.starter, other.starter),
            end=_stacked(self.end, other.end),
            between=_stacked(self.between, other.between),
            count=np.concatenate([self.count, other.count]),
            single=np.concatenate([self.single, other.single]),
            single_count=np.concatenate([self.single_count, other.single_count]),
        )


def _stacked(one: Ints, other: Ints) -> Ints:
    return np.concatenate([one, np.broadcast_to(other, (len(other), one.shape[1]))])


def fewest_planks(pieces: Pieces, problem: Problem) -> Ints:
    """Return, per start, a number of planks that no plan with these pieces goes below.

    Without single pieces and with any number of planks waiting it is reached.
    """
    return np.maximum(_paired(pieces, problem), _by_length(pieces, problem))


def _by_length(pieces: Pieces, problem: Problem) -> Ints:
    """Count planks by length alone, each piece with the loss of one cut."""
    loss = problem.loss
    long = pieces.starter + pieces.end + 2 * loss + pieces.between * (problem.plank + loss)
    single = int((pieces.single_count * (pieces.single + loss)).sum())
    total = (pieces.count[:, None] * long).sum(axis=0) + single
    planks: Ints = -(-total // (problem.plank + loss))
    return planks


def _paired(pieces: Pieces, problem: Problem) -> Ints:
    """Count planks for runs over a plank with as many pieces as possible sharing one."""
    room, runs = problem.plank - problem.loss, int(pieces.count.sum())
    count = pieces.count[:, None]
    between: Ints = (count * pieces.between).sum(axis=0)
    if problem.handed:
        return between + runs + _alone((pieces.starter, count), (room - pieces.end, count))
    both = np.concatenate([pieces.starter, pieces.end])
    count = np.concatenate([count, count])
    long = 2 * both > room
    alone = _alone((both, count * long), (room - both, count * ~long))
    # Long pieces pair with short ones as far as they can, the short ones left over among themselves.
    many = (count * long).sum(axis=0)
    short_left = 2 * runs - many - (many - alone)
    planks: Ints = between + many - (-short_left // 2)
    return planks


def _alone(pieces: tuple[Ints, Ints], partners: tuple[Ints, Ints]) -> Ints:
    """Return how many pieces find no partner: their (length, count), and what partners allow, with counts."""
    # Partners first: among equals they are counted before the pieces they can take.
    length = np.concatenate([partners[0], pieces[0]])
    weight = np.concatenate([partners[0] * 0 - partners[1], pieces[0] * 0 + pieces[1]])
    order = np.argsort(-length, axis=0, kind="stable")
    surplus: Ints = np.take_along_axis(weight, order, axis=0).cumsum(axis=0).max(axis=0, initial=0)
    return surplus
