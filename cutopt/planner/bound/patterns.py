"""What one plank can be cut into: at most one starter, one end piece, and single pieces between.

Prices here are the linear program's own (floats, shares of a plank): they only choose columns.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.bound.prices import spans
from cutopt.units import Ticks

__all__ = ["NO_PIECE", "Pattern", "Piece", "Prices", "first_patterns", "paying_parts", "paying_patterns"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

# A piece of a pattern: the segment it is laid in, and its length.
Piece = tuple[int, Ticks]
NO_PIECE: Piece = (0, 0)

# How many new patterns a stretch of segments may add in a round, and what they must gain.
BEST = 10
PAYS = 1e-7


@dataclass(frozen=True, slots=True)
class Pattern:
    """One plank's cut: starter, end piece (or NO_PIECE), single pieces with their counts.

    ``borders`` are those between segments at which the plank waits.
    """

    starter: Piece
    end: Piece
    singles: tuple[tuple[Piece, int], ...] = ()
    borders: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Prices:
    """The program's duals, laid out as in :class:`~cutopt.planner.bound.prices.PriceList`."""

    lengths: Ints
    start: Floats
    end: Floats
    single: dict[Piece, float]
    border: Floats

    def mixed_with(self, other: "Prices") -> "Prices":
        """Return the prices half-way to another list over the same lengths and pieces."""
        return Prices(
            lengths=self.lengths,
            start=(self.start + other.start) / 2,
            end=(self.end + other.end) / 2,
            single={piece: (price + other.single[piece]) / 2 for piece, price in self.single.items()},
            border=(self.border + other.border) / 2,
        )


@dataclass(frozen=True, slots=True)
class _Filling:
    """Single pieces for one plank: the room they use, each with its loss, and their price."""

    used: Ticks
    worth: float
    singles: tuple[tuple[Piece, int], ...]


def first_patterns(
    lengths: Ints, segments: int, singles: list[Piece], *, plank: Ticks, loss: Ticks
) -> Iterator[Pattern]:
    """Yield, within each segment, the planks without single pieces that no other covers, and plain ones."""
    partner = np.searchsorted(lengths, plank - loss - lengths, side="right") - 1
    for segment in range(segments if len(lengths) else 0):
        yield Pattern((segment, int(lengths[-1])), NO_PIECE)
        yield Pattern(NO_PIECE, (segment, int(lengths[-1])))
        for place, other in enumerate(partner):
            covered = place + 1 < len(partner) and partner[place + 1] == other
            if other >= 0 and not covered:
                yield Pattern((segment, int(lengths[place])), (segment, int(lengths[other])))
    for segment, length in singles:
        count = (plank + loss) // (length + loss)
        yield Pattern(NO_PIECE, NO_PIECE, (((segment, length), count),))


def paying_patterns(prices: Prices, *, plank: Ticks, loss: Ticks) -> Iterator[Pattern]:
    """Yield planks worth more than their cost at these prices, for every stretch of segments."""
    segments = len(prices.start)
    for span in spans(segments, around=len(prices.border) == segments):
        yield from _paying_within(prices, span, plank, loss, 1)


def paying_parts(  # noqa: PLR0913 - a part, and what it costs
    prices: Prices, length: Ticks, loss: Ticks, *, starter: bool, end: bool, cost: float
) -> Iterator[Pattern]:
    """Yield cuts of a part with these ends that are worth more than ``cost``, each within one segment."""
    ends = replace(prices, start=prices.start * starter, end=prices.end * end)
    for segment in range(len(prices.start)):
        yield from islice(_paying_within(ends, [segment], length, loss, cost), 1)


def _paying_within(
    prices: Prices, span: list[int], plank: Ticks, loss: Ticks, own: float
) -> Iterator[Pattern]:
    cost = own + float(prices.border[span[:-1]].sum())
    best_start, best_end = prices.start[span], prices.end[span]
    singles: dict[Ticks, tuple[float, Piece]] = {}
    for piece, price in prices.single.items():
        if piece[0] in span:
            singles[piece[1]] = max((price, piece), singles.get(piece[1], (0.0, piece)))
    lengths = np.append(np.int64(0), prices.lengths)
    start, end = np.append(0.0, best_start.max(axis=0)), np.append(0.0, best_end.max(axis=0))
    found = [
        option
        for filling in _fillings(singles, plank + loss, loss)
        for option in _best_around(filling, lengths, start, end, plank + loss - filling.used, loss)
        if option[0] > cost + PAYS
    ]
    found.sort(key=lambda option: -option[0])
    for _, filling, place, partner in found[:BEST]:
        starter = _piece(prices.lengths, best_start, span, place)
        other = _piece(prices.lengths, best_end, span, partner)
        pieces = [starter, other, *dict(filling.singles)]
        yield Pattern(starter, other, filling.singles, _borders(span, pieces))


def _borders(span: list[int], pieces: list[Piece]) -> tuple[int, ...]:
    """Return the segments of a stretch after which a plank with these pieces still waits."""
    used = [span.index(segment) for segment, length in pieces if length]
    return tuple(span[min(used) : max(used)])


def _piece(lengths: Ints, duals: Floats, span: list[int], place: int) -> Piece:
    """Return the piece at ``place`` (0: none) in the segment that pays most for it."""
    if place == 0:
        return NO_PIECE
    return span[int(duals[:, place - 1].argmax())], int(lengths[place - 1])


def _fillings(singles: dict[Ticks, tuple[float, Piece]], capacity: Ticks, loss: Ticks) -> list[_Filling]:
    best = [_Filling(0, 0.0, ())]
    for length, (price, piece) in singles.items():
        if price > 0:
            best = _undominated(_with_more(best, piece, price, length + loss, capacity))
    return best


def _with_more(
    best: list[_Filling], piece: Piece, price: float, size: Ticks, capacity: Ticks
) -> Iterator[_Filling]:
    for filling in best:
        yield filling
        for count in range(1, (capacity - filling.used) // size + 1):
            used, worth = filling.used + count * size, filling.worth + count * price
            yield _Filling(used, worth, (*filling.singles, (piece, count)))


def _undominated(fillings: Iterator[_Filling]) -> list[_Filling]:
    kept: list[_Filling] = []
    for filling in sorted(fillings, key=lambda one: (one.used, -one.worth)):
        if not kept or filling.worth > kept[-1].worth + PAYS:
            kept.append(filling)
    return kept


def _best_around(  # noqa: PLR0913, PLR0917 - the parts of one plank
    filling: _Filling, lengths: Ints, start: Floats, end: Floats, room: Ticks, loss: Ticks
) -> Iterator[tuple[float, _Filling, int, int]]:
    """Yield (worth, filling, place of starter, place of end piece) of the best fits around a filling."""
    sizes = np.where(lengths > 0, lengths + loss, 0)
    left = room - sizes[sizes <= room]
    partner = np.maximum(np.searchsorted(lengths[1:], left - loss, side="right"), 0)
    worth = start[: len(left)] + end[partner]
    most = np.argsort(-worth, kind="stable")[: BEST // 2]
    for place in most:
        yield filling.worth + float(worth[place]), filling, int(place), int(partner[place])
