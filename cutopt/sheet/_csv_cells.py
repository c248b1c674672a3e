"""Cells of a table for spreadsheets: text that cannot act as a formula, and exact decimal numbers."""

from decimal import Decimal
from fractions import Fraction

from cutopt.sheet._text import clean
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks, Unit

__all__ = ["number_cell", "quotient_cell", "text_cell", "unit_of"]

# Cells that begin so are run as formulas by spreadsheets (OWASP, "CSV Injection"); the wide forms too.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
_TICKS = {
    "in": TICKS_PER_INCH,
    "mm": TICKS_PER_MM,
    "cm": 10 * TICKS_PER_MM,
    "m": 1000 * TICKS_PER_MM,
}
_DIGITS = Decimal("0.000001")


def unit_of(unit: Unit) -> str:
    """Return the unit that a column of lengths is in: inches for a job in feet."""
    return "in" if unit is Unit.FT else str(unit)


def text_cell(text: str) -> str:
    """Return a text on one line; one that a spreadsheet would run as a formula behind an apostrophe."""
    line = clean(text)
    return f"'{line}" if line.startswith(_FORMULA) else line


def number_cell(ticks: Ticks, unit: str) -> str:
    """Return a length as a decimal number in a unit, to a millionth."""
    return quotient_cell(Fraction(ticks, _TICKS[unit]))


def quotient_cell(value: Fraction) -> str:
    """Return a number as a decimal, to a millionth, without needless digits."""
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    return f"{exact.quantize(_DIGITS).normalize():f}"
