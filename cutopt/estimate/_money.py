"""Prices to the cent."""

from decimal import Decimal
from fractions import Fraction
from math import floor

__all__ = ["price_and_tax"]

_CENTS = 100


def price_and_tax(boxes: int, box_price: Decimal, tax: Fraction) -> tuple[Decimal, Decimal]:
    """Return the price of boxes and the tax on it, each rounded to the cent, half a cent up."""
    price = _to_cent(boxes * Fraction(box_price))
    return price, _to_cent(Fraction(price) * tax)


def _to_cent(amount: Fraction) -> Decimal:
    return Decimal(floor(amount * _CENTS + Fraction(1, 2))).scaleb(-2)
