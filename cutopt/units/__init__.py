"""Lengths as whole ticks, and their many notations.

One tick is 1/320 mm, so 1 mm = 320, 1 in = 8128 and 1/64 in = 127 ticks exactly: every length
of the trade is a whole number and no rule is ever decided by a rounded one.
"""

from cutopt.units._format import format_area, format_length
from cutopt.units._numbers import BareLengthError, LengthError, exact_number
from cutopt.units._parse import Measure, parse_area, parse_length, parse_measure, unit_word
from cutopt.units._ticks import MAX_LENGTH, TICKS_PER_INCH, TICKS_PER_MM, Ticks, Unit

__all__ = [
    "MAX_LENGTH",
    "TICKS_PER_INCH",
    "TICKS_PER_MM",
    "BareLengthError",
    "LengthError",
    "Measure",
    "Ticks",
    "Unit",
    "exact_number",
    "format_area",
    "format_length",
    "parse_area",
    "parse_length",
    "parse_measure",
    "unit_word",
]
