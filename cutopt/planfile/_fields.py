"""Typed reading of JSON tables: every problem is gathered with its place, nothing stops at the first."""

import math
import re
import unicodedata
from decimal import Decimal
from difflib import get_close_matches
from enum import StrEnum
from fractions import Fraction
from typing import Any, Final, TypeVar

from cutopt.errors import PlanFileError, Problem
from cutopt.model.rooms import Point, Ring
from cutopt.units import MAX_LENGTH

__all__ = ["MOST", "Fields", "Report", "shown"]

MOST: Final = MAX_LENGTH
"""The largest whole number read: a length of 1000 km, and far more planks than were ever made."""

_LONGEST_SHOWN = 60
_FEWEST_CORNERS = 3
_MOST_CORNERS = 100_000
_CORNER = "write a corner as [x, y], whole ticks"
_DEGREES = re.compile(r"-?\d{1,40}(/\d{1,40})?", re.ASCII)
_SHARE = re.compile(r"\d{1,18}(/\d{1,18}|\.\d{1,18})?", re.ASCII)
_UNSAFE = ("Cc", "Cs", "Zl", "Zp")
_BIDI_CONTROLS = frozenset("\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")

E = TypeVar("E", bound=StrEnum)


class Report:
    """Every problem of one file in the order found; ``where`` names the file."""

    def __init__(self, where: str) -> None:
        """Start with nothing wrong."""
        self.where = where
        self.problems: list[Problem] = []

    def add(self, what: str, place: str, remedy: str) -> None:
        """Note a problem at a place of the file, such as ``rows[2].pieces[1].length``."""
        where = f"{self.where}: {place}" if place else self.where
        self.problems.append(Problem(what=what, where=where, remedy=remedy))

    def raise_if_any(self) -> None:
        """Raise PlanFileError with every problem noted."""
        if self.problems:
            raise PlanFileError(*self.problems)


def shown(value: object) -> str:
    """Return a value of the file on one short line, as JSON writes it."""
    match value:
        case dict():
            return "a table"
        case list():
            return f"a list of {len(value)}"
        case bool():
            return str(value).lower()
        case None:
            return "null"
        case float() if math.isinf(value):
            return "a number beyond all measure"
    text = ascii(value) if isinstance(value, str) else str(value)
    return text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 3] + "..."


class Fields:
    """One table of the file and its place in it.

    Every getter returns the value, or notes a problem and returns a stand-in of the same type, so
    that reading goes on; ``default`` is what a missing key means (without it the key must be there).
    Keys nobody asks for are tolerated (design: unknown keys may be added).
    """

    def __init__(self, values: dict[str, Any], place: str, report: Report) -> None:
        """Read ``values``, found at ``place``, telling ``report`` what is wrong."""
        self._values = values
        self._place = place
        self._report = report

    def __contains__(self, key: str) -> bool:
        """Whether the table has the key."""
        return key in self._values

    def place(self, key: str) -> str:
        """Return the place of a key, as shown to a person."""
        return f"{self._place}.{key}" if self._place else key

    def wrong(self, key: str, remedy: str, what: str | None = None) -> None:
        """Note that the value of ``key`` will not do."""
        found = f"{shown(self._values.get(key))} will not do"
        self._report.add(what or found, self.place(key), remedy)

    def whole(self, key: str, *, least: int = -MOST, most: int = MOST, default: int | None = None) -> int:
        """Return a whole number from ``least`` to ``most``."""
        value = self._get(key, default)
        # bool is an int to Python, not to a person
        if type(value) is int and least <= value <= most:
            return value
        if value is not _ABSENT:
            self.wrong(key, f"write a whole number{_range(least, most)}")
        return max(least, 1)

    def whole_or_null(self, key: str, *, least: int) -> int | None:
        """Return a whole number, or ``None`` for ``null``."""
        if key in self._values and self._values[key] is None:
            return None
        return self.whole(key, least=least)

    def number(self, key: str) -> float:
        """Return a finite number."""
        value = self._get(key, None)
        if type(value) in (int, float) and math.isfinite(value):
            return float(value)
        if value is not _ABSENT:
            self.wrong(key, "write a finite number")
        return 0.0

    def share(self, key: str, default: Fraction) -> Fraction:
        """Return an exact number of 0 or more, written as ``"1/50"``, ``"0.02"`` or a whole number."""
        value = self._get(key, default)
        if isinstance(value, Fraction):
            return value
        text = str(value) if type(value) is int else value
        if isinstance(text, str) and _SHARE.fullmatch(text) and not re.search(r"/0+$", text):
            return Fraction(text)
        self.wrong(key, 'write an exact number of 0 or more as text, such as "1/50" or "0.02"')
        return default

    def degrees(self, key: str) -> Fraction:
        """Return an angle in degrees, written as ``"45"`` or ``"45/2"``; 0 where there is none."""
        value = self._get(key, "0")
        if isinstance(value, str) and _DEGREES.fullmatch(value) and not re.search(r"/0+$", value):
            return Fraction(value)
        self.wrong(key, 'write the degrees as a whole number or a fraction in text, such as "45/2"')
        return Fraction(0)

    def price(self, key: str) -> Decimal | None:
        """Return an amount of money, or ``None`` where there is none."""
        if key not in self._values:
            return None
        value = self._values[key]
        if isinstance(value, str) and re.fullmatch(r"\d{1,18}(\.\d{1,18})?", value, re.ASCII):
            return Decimal(value)
        self.wrong(key, 'write the amount as text, such as "61.50"')
        return None

    def flag(self, key: str, *, default: bool | None = None) -> bool:
        """Return true or false."""
        value = self._get(key, default)
        if isinstance(value, bool):
            return value
        if value is not _ABSENT:
            self.wrong(key, "write true or false")
        return False

    def text(self, key: str, default: str | None = None) -> str:
        """Return a text fit to be shown: no control characters but line breaks and tabs."""
        value = self._get(key, default)
        if isinstance(value, str):
            if value.isprintable() or all(map(_showable, value)):
                return value
            self.wrong(key, "leave out control characters and halves of characters")
        elif value is not _ABSENT:
            self.wrong(key, "write a text in double quotes")
        return ""

    def choice(self, key: str, choices: type[E], default: E | None = None) -> E:
        """Return one of a closed set of words."""
        value = self._get(key, default)
        members = choices._value2member_map_
        if isinstance(value, str) and value in members:
            return choices(value)
        words = [str(choice) for choice in choices]
        if value is not _ABSENT:
            self.wrong(key, f"{_nearest(value, words)}use one of {', '.join(words)}")
        return next(iter(choices))

    def table(self, key: str) -> "Fields":
        """Return the table under ``key``; where there is none, a stand-in that notes nothing more."""
        value = self._get(key, None)
        if isinstance(value, dict):
            return Fields(value, self.place(key), self._report)
        if value is not _ABSENT:
            self.wrong(key, "write a table in braces")
        return Fields({}, self.place(key), Report(""))

    def tables(self, key: str) -> list["Fields"]:
        """Return the tables of a list; places count from 1."""
        return [
            Fields(entry, place, self._report)
            for place, entry in self._entries(key)
            if self._is(entry, dict, place, "write a table in braces")
        ]

    def texts(self, key: str) -> tuple[str, ...]:
        """Return the texts of a list."""
        return tuple(
            entry
            for place, entry in self._entries(key)
            if self._is(entry, str, place, "write a text in double quotes")
        )

    def wholes(self, key: str, *, most_entries: int) -> tuple[int, ...]:
        """Return the whole numbers of a list with at most so many entries."""
        entries = self._entries(key)
        if len(entries) > most_entries:
            self.wrong(key, f"list at most {most_entries} numbers")
            return ()
        return tuple(
            entry
            for place, entry in entries
            if self._tell(_is_place(entry), entry, place, "write a whole number (lengths in ticks)")
        )

    def corner(self, key: str) -> Point:
        """Return a place, (x, y) in ticks."""
        value = self._get(key, None)
        fits = value is _ABSENT or self._tell(_is_corner(value), value, self.place(key), _CORNER)
        return (value[0], value[1]) if fits and value is not _ABSENT else (0, 0)

    def ring(self, key: str) -> Ring:
        """Return the corners of an outline, (x, y) in ticks."""
        return self._ring(self.place(key), self._get(key, None))

    def rings(self, key: str) -> tuple[Ring, ...]:
        """Return the outlines of a list."""
        return tuple(self._ring(place, entry) for place, entry in self._entries(key))

    def _ring(self, place: str, value: object) -> Ring:
        if value is _ABSENT:
            return ()
        enough = isinstance(value, list) and _FEWEST_CORNERS <= len(value) <= _MOST_CORNERS
        remedy = f"list {_FEWEST_CORNERS} to {_MOST_CORNERS} corners as [x, y]"
        if not (self._tell(enough, value, place, remedy) and isinstance(value, list)):
            return ()
        return tuple(
            (entry[0], entry[1])
            for nth, entry in enumerate(value, 1)
            if self._tell(
                _is_corner(entry), entry, f"{place}[{nth}]", "write a corner as [x, y], whole ticks"
            )
        )

    def _entries(self, key: str) -> list[tuple[str, Any]]:
        value = self._get(key, None)
        if isinstance(value, list):
            place = self.place(key)
            return [(f"{place}[{nth}]", entry) for nth, entry in enumerate(value, 1)]
        if value is not _ABSENT:
            self.wrong(key, "write a list in square brackets")
        return []

    def _is(self, entry: object, wanted: type, place: str, remedy: str) -> bool:
        return self._tell(isinstance(entry, wanted), entry, place, remedy)

    def _tell(self, fits: bool, entry: object, place: str, remedy: str) -> bool:  # noqa: FBT001 - the verdict
        if not fits:
            self._report.add(f"{shown(entry)} will not do", place, remedy)
        return fits

    def _get(self, key: str, default: object) -> Any:  # noqa: ANN401 - whatever JSON holds
        if key in self._values:
            return self._values[key]
        if default is not None:
            return default
        self._report.add(f'the key "{key}" is missing', self._place, self._missing_remedy(key))
        return _ABSENT

    def _missing_remedy(self, key: str) -> str:
        close = get_close_matches(key, self._values, n=1)
        return f'is "{close[0]}" meant for it?' if close else "add it, or write the plan file anew"


class _Absent:
    """The value of a key that is not there."""


_ABSENT = _Absent()


def _is_place(value: object) -> bool:
    # bool is an int to Python, not to a person
    return type(value) is int and -MOST <= value <= MOST


def _is_corner(value: object) -> bool:
    return isinstance(value, list) and len(value) == len(("x", "y")) and all(map(_is_place, value))


def _range(least: int, most: int) -> str:
    if most < MOST:
        return f" from {least} to {most}"
    return f" of {least} or more" if least > -MOST else " (lengths in ticks)"


def _nearest(value: object, words: list[str]) -> str:
    close = get_close_matches(value.casefold(), words, n=1) if isinstance(value, str) else []
    return f'did you mean "{close[0]}"? ' if close else ""


def _showable(glyph: str) -> bool:
    return glyph in "\n\t" or (unicodedata.category(glyph) not in _UNSAFE and glyph not in _BIDI_CONTROLS)
