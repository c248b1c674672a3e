"""Numbers as people write them on a tape, read exactly."""

from decimal import Context, Decimal
from fractions import Fraction

__all__ = ["BareLengthError", "LengthError", "exact_number", "written_number"]

_MAX_MAGNITUDE = 30
"""Powers of ten beyond which a number is no measure; keeps 1e999999999 from filling the memory."""


class LengthError(ValueError):
    """A length (or area) that cannot be read.

    ``what`` is what is wrong, to be read after the value found ("is negative");
    ``remedy`` is what would help.
    """

    def __init__(self, what: str, remedy: str) -> None:
        """Keep both halves of the message."""
        super().__init__(f"{what} - {remedy}")
        self.what = what
        self.remedy = remedy


class BareLengthError(LengthError):
    """A number without a unit, where none is known."""


def exact_number(value: float | Decimal | Fraction) -> Fraction:
    """Return the number as written: a float counts as its shortest decimal, so 0.1 is 1/10.

    Raises
    ------
    LengthError
        When it is NaN, infinite, negative or beyond any measure.

    """
    if isinstance(value, float):
        value = Decimal(repr(value))
    if isinstance(value, Decimal):
        value = _bounded_decimal(value)
    if value < 0:
        raise LengthError("is negative", "a length is 0 or more: check the sign")
    return Fraction(value)


def _bounded_decimal(value: Decimal) -> Fraction:
    if not value.is_finite():
        raise LengthError("is not a finite number", "give a number that a tape can show")
    if value and value.adjusted() > _MAX_MAGNITUDE:
        value = Decimal(10**_MAX_MAGNITUDE).copy_sign(value)
    if value and value.adjusted() < -_MAX_MAGNITUDE:
        value = Decimal(0)
    return Fraction(Context(prec=3 * _MAX_MAGNITUDE).plus(value))


def written_number(text: str) -> Fraction:
    """Return ``149.5``, ``.5``, ``3/4``, ``3-1/4`` or ``3 1/4`` as an exact number.

    The text is known to have one of these shapes. Raises LengthError for a fraction that no tape shows.
    """
    if "/" not in text:
        return Fraction(Decimal(text))
    *whole, part = text.replace("-", " ").split()
    above, below = (int(figure) for figure in part.split("/"))
    if below == 0:
        raise LengthError("divides by zero", "the lower number of a fraction is 2 or more")
    if whole and above >= below:
        raise LengthError(
            f"has {above}/{below} beside a whole number",
            "the fraction stays under one; add the whole part up",
        )
    return sum((Fraction(figure) for figure in whole), Fraction(above, below))
