"""The clear width across the rows divided into rows: whole rows, a remainder, and who gets it."""

from dataclasses import dataclass

from cutopt.errors import JobError, Problem
from cutopt.model.job import EdgePolicy
from cutopt.units import Ticks

__all__ = ["Bands", "divide"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bands:
    """Rows stacked from ``base`` up, all ``full`` wide but the first and the last. In ticks.

    Rows count from 0; a row of ``count`` 1 is both first and last and ``last`` wide. ``balanced`` tells
    that a whole row was given up and the first and the last share its width.
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

    def plank_rows(self, kerf: Ticks) -> int:
        """Return how many rows of planks are opened at best: a first and a last row that fit share theirs.

        Balanced edges never share, being remainder + width together; so halves (remainder / 2 at both,
        and a whole row more between) are never laid with fewer rows of planks than balanced edges:
        with as many where the two strips and the cut fit one plank, else with one more.
        """
        shares = self.count > 1 and self.first + self.last + kerf <= self.full
        return self.count - shares


def divide(  # noqa: PLR0913 - a width, a plank, and the ways to share what is left
    *,
    base: Ticks,
    clear: Ticks,
    width: Ticks,
    min_rip: Ticks,
    policy: EdgePolicy = EdgePolicy.AUTO,
    first_width: Ticks | None = None,
    where: str = "",
) -> Bands:
    """Divide a ``clear`` width (over 0) into rows of planks ``width`` wide.

    Less than one plank is one ripped row, and without a remainder all rows are whole. Else, by policy:

    - auto: whole rows and the remainder last, unless that is under ``min_rip``, a sliver: then balance.
    - balance: one whole row is given up, however large the remainder, and first and last row share
      what is left, (remainder + width) / 2 each. Source: verydays.com, how-to on border rows (boards of
      4 in with 1 in left over give 2-1/2 in each).
    - full first, full last: a whole row at that wall, the remainder at the other, be it a sliver.
    - halves: remainder / 2 at both, all whole rows kept between (a remainder of one tick stays whole).
    - stops: as auto; where the first row ends is found from the stops and told as ``first_width``.

    Of an odd number of ticks the first row gets the odd one. A ``first_width`` goes before any policy:
    whole rows follow it, and what remains is last; a width that is all first row is one row.

    Raises ``JobError``, with its place ``where``, when the first row cannot be ``first_width`` wide.
    """
    whole, remainder = divmod(clear, width)
    balanced = False
    if first_width is not None:
        _refuse_first(first_width, clear, width, where)
        first, last, between = _from_first(first_width, clear, width)
    elif whole == 0:
        first, last, between = 0, clear, 0
    elif remainder == 0:
        first, last, between = (width, width, whole - 2) if whole > 1 else (0, width, 0)
    else:
        policy = _settled(policy, remainder, min_rip)
        balanced = policy is EdgePolicy.BALANCE
        first, last, between = _shared(policy, whole, remainder, width)
    return Bands(
        base=base,
        full=width,
        count=between + (2 if first else 1),
        first=first or last,
        last=last,
        remainder=remainder,
        balanced=balanced,
    )


def _refuse_first(first: Ticks, clear: Ticks, width: Ticks, where: str) -> None:
    if not 0 < first <= width:
        raise JobError(
            Problem(
                what="the first row cannot be as wide as asked",
                where=where,
                remedy="give a first width over 0 and at most the plank's width",
            )
        )
    if first > clear:
        raise JobError(
            Problem(
                what="the first row as asked is wider than the floor inside its gaps",
                where=where,
                remedy="give a smaller first width, or leave it out",
            )
        )


def _from_first(first: Ticks, clear: Ticks, width: Ticks) -> tuple[Ticks, Ticks, int]:
    """Return first row (0: there is but one row), last row, and how many whole ones lie between."""
    if first == clear:
        return 0, clear, 0
    between, last = divmod(clear - first, width)
    return (first, last, between) if last else (first, width, between - 1)


def _settled(policy: EdgePolicy, remainder: Ticks, min_rip: Ticks) -> EdgePolicy:
    """Return what a policy that looks at the remainder comes to."""
    if policy in (EdgePolicy.AUTO, EdgePolicy.STOPS):
        return EdgePolicy.FULL_FIRST if remainder >= min_rip else EdgePolicy.BALANCE
    if policy is EdgePolicy.HALVES and remainder == 1:
        return EdgePolicy.FULL_FIRST
    return policy


def _shared(policy: EdgePolicy, whole: int, remainder: Ticks, width: Ticks) -> tuple[Ticks, Ticks, int]:
    """Return first row, last row, and how many whole ones lie between."""
    match policy:
        case EdgePolicy.BALANCE:
            both = remainder + width
            return both - both // 2, both // 2, whole - 1
        case EdgePolicy.HALVES:
            return remainder - remainder // 2, remainder // 2, whole
        case EdgePolicy.FULL_LAST:
            return remainder, width, whole - 1
        case _:
            return width, remainder, whole - 1
