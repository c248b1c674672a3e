"""Shares, money and areas as an estimator reads them, and tables that fit a line."""

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from cutopt.model.estimate import Figure
from cutopt.model.words import Table
from cutopt.sheet._text import WIDTH, count, shorten, width_of
from cutopt.units import Unit, format_area, format_length

__all__ = [
    "apportioned",
    "at_least",
    "box_price",
    "boxes_of",
    "fitted",
    "money",
    "per_cent",
    "percent",
    "plank_size",
    "round_half_up",
    "size",
    "total_price",
]

_CENTS = -2
_BETWEEN = 2
"""Blanks between the columns of a table."""


def per_cent(share: Fraction) -> str:
    """Return a share in percent without the sign, rounded half up to a tenth: ``8.3``."""
    return f"{Decimal(round_half_up(share * 1000)).scaleb(-1):.1f}"


def percent(share: Fraction) -> str:
    """Return a share as ``8.3 %``, rounded half up."""
    return f"{per_cent(share)} %"


def round_half_up(value: Fraction) -> int:
    """Return the nearest whole number, a half upwards."""
    return int((Decimal(value.numerator) / value.denominator).to_integral_value(ROUND_HALF_UP))


def apportioned(parts: Sequence[Fraction], total: int) -> list[int]:
    """Return parts as whole numbers that add up to ``total``, which is less than 1 away from their sum.

    Each is rounded down; what is then missing goes by ones to those that lost most (the method of largest
    remainders, known from seats in a parliament). What is a whole number stays as it is.
    """
    found = [int(part // 1) for part in parts]
    by_loss = sorted(range(len(parts)), key=lambda nth: (found[nth] - parts[nth], nth))
    for nth in by_loss[: total - sum(found)]:
        found[nth] += 1
    return found


def boxes_of(number: int) -> str:
    """Return a number of boxes with its noun."""
    return count(number, "box", "boxes")


def money(amount: Decimal) -> str:
    """Return an amount with two decimals."""
    return f"{amount:.2f}"


def box_price(figure: Figure) -> str:
    """Return the price of a box with the decimals it was told with, two at least; nothing without one."""
    price = figure.plank.box_price
    if price is None:
        return ""
    exponent = price.as_tuple().exponent
    return f"{price:f}" if isinstance(exponent, int) and exponent < _CENTS else money(price)


def total_price(figure: Figure) -> Decimal | None:
    """Return the price with tax, where boxes are priced."""
    return None if figure.price is None else figure.price + (figure.tax or Decimal(0))


def size(mm2: Fraction, unit: Unit) -> str:
    """Return an area in the unit's square feet or metres."""
    return format_area(mm2, unit)


def plank_size(figure: Figure) -> str:
    """Return a plank as length by width and how many are in a box."""
    plank, unit = figure.plank, figure.unit
    return f"{format_length(plank.length, unit)} x {format_length(plank.width, unit)}, {plank.per_box} a box"


def at_least(figure: Figure) -> str:
    """Return what is known of the fewest planks."""
    return "proven fewest" if figure.proven else f"at least {figure.bound} needed"


def fitted(rows: Sequence[Sequence[str]], *, left: Sequence[int] = (), indent: int = 2) -> Table:
    """Return rows, the column titles first, as a table no wider than a line: names in the first column are cut.

    All other columns but those of ``left`` are set to the right.
    """
    others = [max(map(width_of, column)) for column in list(zip(*rows, strict=True))[1:]]
    room = WIDTH - indent - sum(others) - _BETWEEN * len(others)
    cut = tuple((shorten(row[0], room), *row[1:]) for row in rows)
    return Table(cut, frozenset(range(1, len(others) + 1)) - frozenset(left), indent)
