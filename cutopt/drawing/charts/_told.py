"""Figures as they are written on charts."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from cutopt.model.job import PlankSpec
from cutopt.units import Unit, format_length

__all__ = ["percent", "size_of"]


def percent(share: Fraction) -> str:
    """Return a share as ``8.3 %``, rounded half up."""
    tenths = (Decimal(share.numerator * 1000) / share.denominator).to_integral_value(ROUND_HALF_UP)
    return f"{tenths.scaleb(-1):.1f} %"


def size_of(plank: PlankSpec, unit: Unit) -> str:
    """Return a plank as length by width and how many are in a box."""
    length, width = format_length(plank.length, unit), format_length(plank.width, unit)
    return f"{length} x {width}, {plank.per_box} a box"
