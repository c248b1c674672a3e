"""The pieces worth most in one plank."""

from collections import Counter
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.limits import Stop
from cutopt.planner.packing.pieces import Pieces

__all__ = ["can_price", "planks_by"]

Ints = NDArray[np.int64]

# Cells of the table: more take too long.
MOST_CELLS = 10_000_000


def can_price(pieces: Pieces) -> bool:
    """Say whether planks worth most are found in fair time."""
    return sum(_copies(pieces.counts, pieces.room).values()) * pieces.room <= MOST_CELLS


def planks_by(prices: dict[int, int], pieces: Pieces, stop: Stop) -> Iterator[list[int]]:
    """Yield planks worth most at these prices, each cut from the pieces that those before left.

    The first, worth most of all, is yielded even where ``stop`` says so.
    """
    left = Counter(pieces.counts)
    while left:
        plank = _worth_most(prices, _copies(left, pieces.room), pieces.room)
        yield plank
        left -= Counter(plank)
        if stop():
            return


def _copies(counts: dict[int, int], room: int) -> dict[int, int]:
    """Return how many of each size one plank can hold."""
    return {size: min(count, room // size) for size, count in counts.items()}


def _worth_most(prices: dict[int, int], copies: dict[int, int], room: int) -> list[int]:
    """Return the pieces worth most in one plank, longest first (dynamic programming, one copy a step)."""
    worth: Ints = np.zeros(room + 1, dtype=np.int64)
    steps = []
    for size, count in copies.items():
        for _ in range(count):
            with_it = worth[:-size] + prices[size]
            pays = with_it > worth[size:]
            worth[size:][pays] = with_it[pays]
            steps.append((size, pays))
    plank, at = [], room
    for size, pays in reversed(steps):
        if at >= size and pays[at - size]:
            plank.append(size)
            at -= size
    return plank[::-1]
