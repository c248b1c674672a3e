"""Lengths and areas read from the ways people write them.

The notations are those met on trade forums, in diaries and in estimating guides: feet and inches with marks or words, a hyphen or a space before the fraction, straight and
curly marks, primes, two single marks for inches, one-glyph fractions, decimals, metric units.
"""

import re
import unicodedata
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from cutopt.units._numbers import BareLengthError, LengthError, exact_number, written_number
from cutopt.units._ticks import MAX_LENGTH, TICKS_PER_UNIT, Ticks, Unit

__all__ = ["Measure", "parse_area", "parse_length", "parse_measure", "unit_word"]

_MAX_TEXT = 64
_INCHES_PER_FOOT = 12
_MAX_AREA_MM2 = 10**12

_UNIT_WORDS = {
    Unit.FT: ("'", "ft", "foot", "feet"),
    Unit.IN: ('"', "in", "inch", "inches"),
    Unit.MM: ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    Unit.CM: ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    Unit.M: ("m", "metre", "metres", "meter", "meters"),
}
_UNIT_BY_WORD = {word: unit for unit, words in _UNIT_WORDS.items() for word in words}

_AREA_MM2 = {
    **dict.fromkeys(
        ("sq ft", "sqft", "s/f", "sf", "ft2", "ft^2", "square feet", "square foot"),
        Fraction(3048, 10) ** 2,
    ),
    **dict.fromkeys(
        ("m2", "m^2", "sq m", "sqm", "square metres", "square metre", "square meters", "square meter"),
        Fraction(10**6),
    ),
    **dict.fromkeys(("sq in", "in2", "in^2", "square inches", "square inch"), Fraction(254, 10) ** 2),
}

_SAME_MARK = {
    **dict.fromkeys("\u2018\u2019\u02b9\u02bc\u2032\u2035\u00b4`", "'"),
    **dict.fromkeys("\u201c\u201d\u201f\u02ba\u2033\u2036\u301d\u301e", '"'),
    **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-"),
    **dict.fromkeys("\u2044\u2215", "/"),
}

_NUMBER = r"(?:(?:\d+(?:-|\ +))?\d+/\d+|\d+\.?\d*|\.\d+)"
_LENGTH = re.compile(
    rf"(?:(?P<feet>{_NUMBER})\ *(?:'|(?:feet|foot|ft)\.?(?![a-z]))\ *-?\ *)?"
    rf"(?:(?P<number>{_NUMBER})\ *(?P<unit>\"|[a-z]+\.?)?)?",
    re.ASCII,
)
_AREA = re.compile(r"(\d+\.?\d*|\.\d+)\ *([a-z/^ .]+2?)", re.ASCII)

_EXAMPLES = "write it like 12' 5-1/2\", 12 ft 5 1/2 in, 149.5 in, 3.79 m or 3790 mm"


class Measure(NamedTuple):
    """A length in ticks and the unit it was written in."""

    ticks: Ticks
    unit: Unit


def parse_length(value: object, unit: Unit | None = None) -> Ticks:
    """Return a length, text or number, in whole ticks.

    A text without a unit and a number take ``unit``. A value between two ticks goes to the nearest one, so it
    is off by half a tick (1/640 mm) at most: that, and nothing more, is rounding here. 1/64 in, 0.1 mm and
    every multiple of them are exact.

    Raises
    ------
    BareLengthError
        When neither the text nor ``unit`` names a unit.
    LengthError
        When it is no length, negative, not finite, or over 1000 km; both are a ValueError.

    """
    return parse_measure(value, unit).ticks


def parse_measure(value: object, unit: Unit | None = None) -> Measure:
    """Return a length as :func:`parse_length` does, with the unit its text names (feet before inches)."""
    if isinstance(value, str):
        return _read_text(value, unit)
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal | Fraction):
        raise LengthError("is not a length", _EXAMPLES)
    return _bare(exact_number(value), unit)


def unit_word(text: str) -> Unit | None:
    """Return the unit a word such as ``inches`` stands for, or None."""
    return _UNIT_BY_WORD.get(text.strip().casefold().rstrip("."))


def _read_text(text: str, unit: Unit | None) -> Measure:
    plain = _plain(text)
    found = _LENGTH.fullmatch(plain)
    if not plain or found is None:
        raise _why_not(plain)
    feet, number, word = found["feet"], found["number"], found["unit"]
    if feet is not None:
        return _in_ticks(_feet_and_inches(feet, number, word), Unit.FT)
    if word is not None:
        named = unit_word(word)
        if named is None:
            raise LengthError("names no unit known here", "use in, ft, mm, cm or m")
        return _in_ticks(written_number(number), named)
    if unit is Unit.FT and "/" in number:
        raise BareLengthError("is a bare fraction in a ft job", "say which it is: 1/2 in or 1/2 ft")
    return _bare(written_number(number), unit)


def _plain(text: str) -> str:
    """Bring look-alike marks, dashes, spaces and one-glyph fractions to their plain form."""
    if len(text) > _MAX_TEXT:
        raise LengthError("is too long for a length", _EXAMPLES)
    plain = "".join(_SAME_MARK.get(glyph) or _spelled_out(glyph) for glyph in text.strip())
    return " ".join(plain.replace("''", '"').replace("- ", "-").split()).casefold()


def _spelled_out(glyph: str) -> str:
    """Return a one-glyph fraction as " 5/8", any kind of space as a space, the rest as it is."""
    kind, _, codes = unicodedata.decomposition(glyph).partition(" ")
    if kind == "<fraction>":
        return " " + "".join(chr(int(code, 16)) for code in codes.split()).replace("\u2044", "/")
    return " " if glyph.isspace() else glyph


def _feet_and_inches(feet: str, inches: str | None, word: str | None) -> Fraction:
    whole_feet = written_number(feet)
    if inches is None:
        return whole_feet
    if word is not None and unit_word(word) is not Unit.IN:
        raise LengthError("puts another unit beside feet", "only inches follow feet")
    if whole_feet.denominator != 1:
        raise LengthError("has a part of a foot and inches", "give whole feet before inches")
    rest = written_number(inches)
    if rest >= _INCHES_PER_FOOT:
        raise LengthError(
            "has 12 inches or more beside feet", "carry them over into feet, or give inches alone"
        )
    return whole_feet + rest / _INCHES_PER_FOOT


def _bare(number: Fraction, unit: Unit | None) -> Measure:
    if unit is None:
        raise BareLengthError("has no unit", "name the unit: 12 in, 3.79 m, 12' 5\"")
    return _in_ticks(number, unit)


def _in_ticks(number: Fraction, unit: Unit) -> Measure:
    ticks = number * TICKS_PER_UNIT[unit]
    if ticks > MAX_LENGTH:
        raise LengthError("is over 1000 km", "check the number and its unit")
    return Measure(round(ticks), unit)


def _why_not(plain: str) -> LengthError:
    """Return the reason for the commonest slips, or a general one."""
    if plain.startswith("-"):
        return LengthError("is negative", "a length is 0 or more: check the sign")
    if re.match(r"[+-]?(nan|inf|infinity)\b", plain):
        return LengthError("is not a finite number", "give a number that a tape can show")
    if "," in plain:
        return LengthError(
            "has a comma", "write decimals with a point and thousands without a mark: 3.79 m, 3790 mm"
        )
    return LengthError("is not a length", _EXAMPLES)


def parse_area(text: str) -> Fraction:
    """Return an area such as ``18.67 sq ft``, ``24 sf``, ``24 s/f`` or ``2.17 m2`` in square millimetres, exactly.

    Raises LengthError when it is none, or over a million square metres.
    """
    plain = " ".join(text.strip().replace("\u00b2", "2").split()).casefold() if len(text) <= _MAX_TEXT else ""
    found = _AREA.fullmatch(plain)
    size = _AREA_MM2.get(found[2].replace(".", "").strip()) if found else None
    if found is None or size is None:
        raise LengthError("is not an area", "write it like 18.67 sq ft or 2.17 m2")
    area = written_number(found[1]) * size
    if area > _MAX_AREA_MM2:
        raise LengthError("is over a million m2", "check the number and its unit")
    return area
