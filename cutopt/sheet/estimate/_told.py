"""Shares, money and areas as an estimator reads them."""

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from cutopt.model.estimate import Figure
from cutopt.units import Unit, format_area, format_length

__all__ = ["at_least", "money", "percent", "plank_size", "shares", "size"]

_TENTH = Fraction(1, 1000)


def percent(share: Fraction) -> str:
    """Return a share as ``8.3 %``, rounded half up."""
    return _tenths(round_half_up(share / _TENTH))


def round_half_up(value: Fraction) -> int:
    """Return the nearest whole number, a half upwards."""
    return int((Decimal(value.numerator) / value.denominator).to_integral_value(ROUND_HALF_UP))


def _tenths(tenths: int) -> str:
    return f"{Decimal(tenths).scaleb(-1):.1f} %"


def shares(parts: Sequence[Fraction], whole: Fraction) -> list[str]:
    """Return parts of a whole (nothing: no shares) as percentages that add up as they are shown.

    Each is rounded down to a tenth; the tenths missing in the sum go to those that lost most (largest remainders).
    """
    exact = [part / whole / _TENTH for part in parts]
    down = [int(one // 1) for one in exact]
    missing = round_half_up(sum(exact, Fraction(0))) - sum(down)
    order = sorted(range(len(exact)), key=lambda nth: (down[nth] - exact[nth], nth))
    for nth in order[:missing]:
        down[nth] += 1
    return [_tenths(tenths) for tenths in down]


def money(amount: Decimal) -> str:
    """Return an amount with two decimals."""
    return f"{amount:.2f}"


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
