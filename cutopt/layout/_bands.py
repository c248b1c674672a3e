"""The clear width across the rows divided into rows: whole rows, a remainder, balanced edges."""

from dataclasses import dataclass

from cutopt.units import Ticks

__all__ = ["Bands", "divide"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bands:
    """Rows stacked from ``base`` up, all ``full`` wide but the first and the last. In ticks.

    Rows count from 0; a row of ``count`` 1 is both first and last and ``last`` wide.
    """

    base: Ticks
    full: Ticks
    count: int
    first: Ticks
    last: Ticks
    remainder: Ticks
    balanced: bool

    @property
    def clear(self) -> Ticks:
        """The width of all rows together."""
        return self.bottom(self.count - 1) + self.last - self.base

    def bottom(self, row: int) -> Ticks:
        """Return the lower edge of a row (``row`` below ``count``)."""
        return self.base if row == 0 else self.base + self.first + (row - 1) * self.full

    def top(self, row: int) -> Ticks:
        """Return the upper edge of a row."""
        return self.bottom(row) + self.width(row)

    def width(self, row: int) -> Ticks:
        """Return how wide a row is."""
        if row == self.count - 1:
            return self.last
        return self.first if row == 0 else self.full

    def row_at(self, y: Ticks) -> int:
        """Return the row that holds the tick just above ``y``; ``y`` is inside the rows."""
        above_first = y - self.base - self.first
        return 0 if above_first < 0 else 1 + above_first // self.full

    def is_edge(self, y: Ticks) -> bool:
        """Tell whether ``y`` is a line between rows, or the outer edge of the first or last."""
        row = self.row_at(y)
        return y in (self.bottom(row), self.top(row))


def divide(*, base: Ticks, clear: Ticks, width: Ticks, min_rip: Ticks) -> Bands:
    """Divide a ``clear`` width (over 0) into rows of planks ``width`` wide.

    A remainder under ``min_rip`` would be a sliver, so one whole row is given up and first and
    last row share what is left, (remainder + width) / 2 each. Source: verydays.com, how-to on
    border rows (boards of 4 in with 1 in left over give 2-1/2 in each). Of an odd number of ticks
    the first row gets the odd one. Less than one plank is one ripped row.
    """
    whole, remainder = divmod(clear, width)
    if whole == 0:
        first, last, count = clear, clear, 1
    elif remainder == 0:
        first, last, count = width, width, whole
    elif remainder >= min_rip:
        first, last, count = width, remainder, whole + 1
    else:
        first, last, count = (remainder + width + 1) // 2, (remainder + width) // 2, whole + 1
    return Bands(
        base=base,
        full=width,
        count=count,
        first=first,
        last=last,
        remainder=remainder,
        balanced=whole > 0 and 0 < remainder < min_rip,
    )
