"""What one plank can be cut into: at most one starter, one end piece, and single pieces between.

With square ends the two lists of lengths are one and the same.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutopt.units import Ticks

__all__ = ["Pattern", "first_patterns", "paying_patterns"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

# How many new patterns a round may add, and how much better than a plank's cost they must be.
BEST = 12
PAYS = 1e-7


@dataclass(frozen=True, slots=True)
class Pattern:
    """One plank's cut: a starter and an end piece (0 = none), and single pieces with counts."""

    starter: Ticks
    end: Ticks
    singles: tuple[tuple[Ticks, int], ...] = ()


@dataclass(frozen=True, slots=True)
class _Filling:
    """Single pieces for one plank: the room they use, each with its loss, and their price."""

    used: Ticks
    worth: float
    singles: tuple[tuple[Ticks, int], ...]


def first_patterns(
    starts: Ints, ends: Ints, singles: list[Ticks], *, plank: Ticks, loss: Ticks
) -> Iterator[Pattern]:
    """Yield every plank without single pieces that no other such plank covers, and plain fillings."""
    yield from (Pattern(0, int(length)) for length in ends[-1:])
    yield from (Pattern(int(length), 0) for length in starts[-1:])
    room = np.searchsorted(ends, plank - loss - starts, side="right") - 1
    for place, partner in enumerate(room):
        covered = place + 1 < len(room) and room[place + 1] == partner
        if partner >= 0 and not covered:
            yield Pattern(int(starts[place]), int(ends[partner]))
    for length in singles:
        yield Pattern(0, 0, ((length, (plank + loss) // (length + loss)),))


def paying_patterns(
    starts: tuple[Ints, Floats],
    ends: tuple[Ints, Floats],
    singles: dict[Ticks, float],
    *,
    plank: Ticks,
    loss: Ticks,
) -> list[Pattern]:
    """Return the planks worth most above their cost of 1 at these prices; none without singles."""
    if not singles:
        return []
    found = [
        _best_around(filling, starts, ends, room=plank + loss - filling.used, loss=loss)
        for filling in _fillings(singles, plank + loss, loss)
    ]
    paying = [(worth, pattern) for worth, pattern in found if worth > 1 + PAYS]
    paying.sort(key=lambda one: -one[0])
    return [pattern for _, pattern in paying[:BEST]]


def _fillings(singles: dict[Ticks, float], capacity: Ticks, loss: Ticks) -> list[_Filling]:
    best = [_Filling(0, 0.0, ())]
    for length, price in singles.items():
        if price > 0:
            best = _undominated(_with_more(best, length, price, capacity, loss))
    return best


def _with_more(
    best: list[_Filling], length: Ticks, price: float, capacity: Ticks, loss: Ticks
) -> Iterator[_Filling]:
    for filling in best:
        yield filling
        for count in range(1, (capacity - filling.used) // (length + loss) + 1):
            yield _Filling(
                filling.used + count * (length + loss),
                filling.worth + count * price,
                (*filling.singles, (length, count)),
            )


def _undominated(fillings: Iterator[_Filling]) -> list[_Filling]:
    kept: list[_Filling] = []
    for filling in sorted(fillings, key=lambda one: (one.used, -one.worth)):
        if not kept or filling.worth > kept[-1].worth + PAYS:
            kept.append(filling)
    return kept


def _best_around(
    filling: _Filling, starts: tuple[Ints, Floats], ends: tuple[Ints, Floats], *, room: Ticks, loss: Ticks
) -> tuple[float, Pattern]:
    """Return the filling with the starter and end piece that add most in the room left."""
    lengths = np.append(np.int64(0), starts[0])
    sizes = np.where(lengths > 0, lengths + loss, 0)
    fits = sizes <= room
    lengths, left = lengths[fits], room - sizes[fits]
    partner = np.searchsorted(ends[0], left - loss, side="right")
    worth = np.append(0.0, starts[1])[fits] + np.append(0.0, ends[1])[partner]
    best = int(worth.argmax())
    end = int(np.append(np.int64(0), ends[0])[partner[best]])
    return filling.worth + float(worth[best]), Pattern(int(lengths[best]), end, filling.singles)
