"""Prices of pieces: a proof, in whole numbers, that no plan can open fewer planks.

Put a price on every piece so that nothing that can be cut from one plank is worth more than the
plank. Then every plan opens at least as many planks as its pieces are worth, and no plan's pieces
are worth less than each run laid in its cheapest way. This is linear-programming duality for the
pattern model of Gilmore and Gomory (Operations Research 9, 1961, 849-859); the linear program
only suggests the prices, what is claimed is recomputed here exactly.

The floor is laid in segments. A plank whose pieces lie in several segments waits at the borders
between them; as at most ``max_waiting`` planks may, waiting at a border can carry a price too:
such a plank may be worth that much more, and the bound gives the price back once for every place.
Where the floor repeats itself, storey by storey, so do its prices: the last segment is followed by the
first again.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutopt.units import Ticks

__all__ = ["PriceList", "fillings", "spans", "worth_of_part", "worth_of_plank"]

Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class PriceList:
    """Whole-number prices; ``plank`` is what a whole plank is worth.

    ``lengths`` (ascending, shape (N,)) are where prices change; ``start`` and ``end`` (shape
    (segments, N), rising along N) price starters and end pieces, ``single`` (one table a segment)
    single pieces, ``border`` (shape (segments - 1,), or (segments,) where the first segment follows the
    last again) waiting at the border after a segment. With square ends starters and end pieces share
    one price.
    """

    plank: int
    lengths: Ints
    start: Ints
    end: Ints
    single: tuple[dict[Ticks, int], ...]
    border: Ints

    def of_starters(self, segment: int, length: Ints) -> Ints:
        """Return the prices of starters (0 where length is 0)."""
        return _at(self.lengths, self.start[segment], length)

    def of_ends(self, segment: int, length: Ints) -> Ints:
        """Return the prices of end pieces (0 where length is 0)."""
        return _at(self.lengths, self.end[segment], length)

    def of_singles(self, segment: int, length: Ints) -> Ints:
        """Return the prices of single pieces (0 where length is 0)."""
        flat = [self.single[segment].get(int(one), 0) for one in length]
        return np.array(flat, dtype=np.int64)


def spans(segments: int, *, around: bool) -> Iterator[list[int]]:
    """Yield every stretch of segments that follow one another, once ``around`` at the most.

    Going on past a whole round only passes more borders.
    """
    for first in range(segments):
        last = first + segments if around else segments
        for stop in range(first + 1, last + 1):
            yield [segment % segments for segment in range(first, stop)]


def worth_of_plank(prices: PriceList, *, plank: Ticks, loss: Ticks) -> int:
    """Return the most that one plank can be cut into, in price, less what it pays for waiting.

    A plank gives at most one starter and one end piece (square ends: two pieces that keep a
    factory end) and any single pieces; m pieces of total length T need T + (m - 1) loss <= plank.
    """
    segments = len(prices.start)
    return max(
        _worth_within(prices, span, plank, loss) - int(prices.border[span[:-1]].sum())
        for span in spans(segments, around=len(prices.border) == segments)
    )


def _worth_within(prices: PriceList, span: list[int], plank: Ticks, loss: Ticks) -> int:
    """Return the worth of the best plank whose pieces all lie in these segments."""
    start, end = prices.start[span].max(axis=0), prices.end[span].max(axis=0)
    return _worth_of_cut(prices, span, (start, end), plank + loss, loss)


def worth_of_part(prices: PriceList, length: Ticks, loss: Ticks, *, starter: bool, end: bool) -> int:
    """Return the most that a part of a plank can be cut into, in price, waiting left aside.

    It gives a starter and an end piece as far as it keeps their factory ends (square ends: one piece for each
    end that it keeps), and any single pieces, of whatever segments.
    """
    every = list(range(len(prices.start)))
    tables = (prices.start.max(axis=0) * starter, prices.end.max(axis=0) * end)
    return _worth_of_cut(prices, every, tables, length + loss, loss)


def _worth_of_cut(
    prices: PriceList, span: list[int], tables: tuple[Ints, Ints], capacity: Ticks, loss: Ticks
) -> int:
    """Return the best starter, end piece and single pieces in a room that each takes its length and a loss of."""
    singles: dict[Ticks, int] = {}
    for table in (prices.single[segment] for segment in span):
        for length, price in table.items():
            singles[length] = max(price, singles.get(length, 0))
    return max(
        worth + _worth_of_pair(prices.lengths, *tables, capacity - used, loss)
        for used, worth in fillings(singles.items(), capacity, loss)
    )


def fillings(singles: Iterable[tuple[Ticks, int]], capacity: Ticks, loss: Ticks) -> list[tuple[Ticks, int]]:
    """Return (room used, worth) of the sets of single pieces no other set beats in both."""
    best = [(0, 0)]
    for length, price in singles:
        if price > 0:
            best = _frontier(_with_more(best, length + loss, price, capacity))
    return best


def _with_more(
    best: list[tuple[Ticks, int]], size: Ticks, price: int, capacity: Ticks
) -> Iterator[tuple[Ticks, int]]:
    for used, worth in best:
        for count in range((capacity - used) // size + 1):
            yield used + count * size, worth + count * price


def _frontier(sets: Iterable[tuple[Ticks, int]]) -> list[tuple[Ticks, int]]:
    kept: list[tuple[Ticks, int]] = []
    for used, worth in sorted(sets, key=lambda one: (one[0], -one[1])):
        if not kept or worth > kept[-1][1]:
            kept.append((used, worth))
    return kept


def _worth_of_pair(lengths: Ints, start: Ints, end: Ints, room: Ticks, loss: Ticks) -> int:
    """Return the best starter with end piece in ``room``, where each takes its length + loss."""
    fits = lengths + loss <= room
    used = np.append(np.int64(0), lengths[fits] + loss)
    worth = np.append(np.int64(0), start[fits])
    return int((worth + _at(lengths, end, room - used - loss)).max())


def _at(lengths: Ints, values: Ints, length: Ints) -> Ints:
    """Return a price that changes only at ``lengths``; shorter pieces are worth nothing."""
    place = np.searchsorted(lengths, length, side="right")
    found: Ints = np.append(np.int64(0), values)[place]
    return found
