"""Creep: rows that take a little more or less than told, and what that leaves for the last one."""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from cutopt.units import Ticks

__all__ = ["LastRow", "last_row", "measured_pitch"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LastRow:
    """What the last row may come to, in (parts of) ticks, and how many rows there may be in all.

    Where the number of rows may change, the last one may be anything from nothing (``narrowest`` 0, not
    quite reached) to a whole row.
    """

    narrowest: Fraction
    widest: Fraction
    fewest: int
    most: int

    def may_differ(self, rows: int) -> bool:
        """Tell whether there may be more or fewer than the ``rows`` that were planned."""
        return not self.fewest == self.most == rows


def measured_pitch(rows: int, measure: Ticks) -> Fraction:
    """Return what one row takes, in ticks, where ``rows`` (over 0) laid rows measure ``measure``."""
    return Fraction(measure, rows)


def last_row(
    *, clear: Ticks, pitch: Fraction | Ticks, first: Ticks | None = None, tolerance: Ticks = 0
) -> LastRow:
    """Return the range of the last row over rows that each take ``pitch``, ``tolerance`` more or less.

    ``clear`` is the width of all rows together, ``pitch`` what one takes as told or as measured. A
    ``first`` row ripped to a measure does not vary; ``None``: it is whole and varies as the others do.
    All rows are thought out the same way, which is the worst: rows 1/16 in over gain 1 in in 16.

    Raises ``ValueError`` when the tolerance leaves no width or the first row leaves none for a last one.
    """
    rest = Fraction(clear - (first or 0))
    thin, thick = Fraction(pitch - tolerance), Fraction(pitch + tolerance)
    if thin <= 0 or thick < thin or rest <= 0:
        raise ValueError("rows need a width, and some of it is left for the last one")
    ripped = 0 if first is None else 1
    fewest, most = ceil(rest / thick), ceil(rest / thin)
    at_thick, at_thin = rest - (fewest - 1) * thick, rest - (most - 1) * thin
    # With rows of rest / fewest the last one is just whole; any thinner, and a further row begins.
    return LastRow(
        narrowest=at_thick if fewest == most else Fraction(0),
        widest=at_thin if fewest == most else max(at_thin, rest / fewest),
        fewest=fewest + ripped,
        most=most + ripped,
    )
