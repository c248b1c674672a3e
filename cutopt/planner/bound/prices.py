"""Prices of pieces: a proof, in whole numbers, that no plan can open fewer planks.

Put a price on every piece so that nothing that can be cut from one plank is worth more than the
plank. Then every plan opens at least as many planks as its pieces are worth, and no plan's pieces
are worth less than each run laid in its cheapest way. This is linear-programming duality for the
pattern model of Gilmore and Gomory (Operations Research 9, 1961, 849-859); the linear program
only suggests the prices, what is claimed is recomputed here exactly.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutopt.units import Ticks

__all__ = ["PriceList", "Steps", "worth_of_plank"]

Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False, slots=True)
class Steps:
    """A price that never falls with length and changes only at the given lengths.

    ``lengths`` ascend; a piece shorter than the first is worth nothing.
    """

    lengths: Ints
    values: Ints

    def at(self, length: Ints) -> Ints:
        """Return the prices of pieces of these lengths."""
        place = np.searchsorted(self.lengths, length, side="right")
        padded: Ints = np.append(np.int64(0), self.values)[place]
        return padded


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class PriceList:
    """Prices for starters, end pieces and single pieces; ``plank`` is what a whole plank is worth.

    With square ends starters and end pieces share one price (``start is end``).
    """

    plank: int
    start: Steps
    end: Steps
    single: dict[Ticks, int]

    def singles_at(self, length: Ints) -> Ints:
        """Return the prices of single pieces (0 where length is 0)."""
        flat = [self.single.get(int(one), 0) for one in length.ravel()]
        return np.array(flat, dtype=np.int64).reshape(length.shape)


def worth_of_plank(prices: PriceList, *, plank: Ticks, loss: Ticks) -> int:
    """Return the most that one plank can be cut into, in price.

    A plank gives at most one starter and one end piece (square ends: two pieces that keep a
    factory end) and any single pieces; m pieces of total length T need T + (m - 1) loss <= plank.
    """
    return max(
        worth + _worth_of_pair(prices, plank + loss - used, loss)
        for used, worth in singles_in_plank(prices.single.items(), capacity=plank + loss, loss=loss)
    )


def singles_in_plank(
    singles: Iterable[tuple[Ticks, int]], *, capacity: Ticks, loss: Ticks
) -> list[tuple[Ticks, int]]:
    """Return (room used, worth) of the sets of single pieces no other set beats in both."""
    best = [(0, 0)]
    for length, price in singles:
        if price > 0:
            best = _frontier(_with_more(best, length + loss, price, capacity))
    return best


def _with_more(
    best: list[tuple[Ticks, int]], size: Ticks, price: int, capacity: Ticks
) -> Iterable[tuple[Ticks, int]]:
    for used, worth in best:
        for count in range((capacity - used) // size + 1):
            yield used + count * size, worth + count * price


def _frontier(sets: Iterable[tuple[Ticks, int]]) -> list[tuple[Ticks, int]]:
    kept: list[tuple[Ticks, int]] = []
    for used, worth in sorted(sets, key=lambda one: (one[0], -one[1])):
        if not kept or worth > kept[-1][1]:
            kept.append((used, worth))
    return kept


def _worth_of_pair(prices: PriceList, room: Ticks, loss: Ticks) -> int:
    """Return the best starter with end piece in ``room``, where each piece takes its length + loss."""
    fits = prices.start.lengths + loss <= room
    starters = np.append(np.int64(0), prices.start.lengths[fits] + loss)
    worth = np.append(np.int64(0), prices.start.values[fits])
    return int((worth + prices.end.at(room - starters - loss)).max())
