"""What the pieces of every start are worth at given prices."""

from collections import Counter
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.bound.prices import PriceList
from cutopt.planner.fixed.starts import FieldStarts
from cutopt.units import Ticks

__all__ = ["worth_of_starts"]

Ints = NDArray[np.int64]


def worth_of_starts(field: FieldStarts, prices: PriceList, segment_of: Sequence[int]) -> Ints:
    """Return per start the least that its pieces can be worth, whichever way joints are rounded.

    ``segment_of`` gives the segment of each run of the floor. The worth of a start that cannot lay all
    runs means nothing.
    """
    total = np.zeros(len(field), dtype=np.int64)
    for at, kind in enumerate(field.kinds):
        for segment, count in Counter(segment_of[run] for run in kind.runs).items():
            total += count * _of_kind(field, prices, at, segment)
    return total


def _of_kind(field: FieldStarts, prices: PriceList, at: int, segment: int) -> Ints:
    kind, whole = field.kinds[at], field.circle.plank

    def of_pieces(prices_of: Ints, length: Ints) -> Ints:
        return np.where(length == whole, prices.plank, prices_of)

    starter, end = field.starter[at], field.end[at]
    split: Ints = (
        field.between[at] * prices.plank
        + of_pieces(prices.of_starters(segment, starter), starter)
        + of_pieces(prices.of_ends(segment, end), end)
    )
    if not kind.alone:
        return split
    single: Ticks = kind.run.length
    alone = prices.plank if single == whole else int(prices.of_singles(segment, np.array([single]))[0])
    return np.where(starter < whole, np.minimum(split, alone), alone)
