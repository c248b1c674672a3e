"""What is found wrong while a job file is read: gathered whole, raised once."""

import json
import unicodedata
from decimal import Decimal
from difflib import get_close_matches
from typing import Never

from cutopt.errors import JobError, Problem

__all__ = ["Report", "nearest", "one_of", "printable", "shown", "step", "visible"]

_LONGEST_SHOWN = 60
_LARGEST_SHOWN_BITS = 200
_UNSAFE_CATEGORIES = ("Cc", "Cs", "Zl", "Zp")
_BIDI_CONTROLS = frozenset("\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Report:
    """Every problem of one file, in the order found. ``where`` names the file."""

    def __init__(self, where: str) -> None:
        """Start with nothing wrong."""
        self._where = where
        self._problems: list[Problem] = []

    def beside(self, where: str) -> "Report":
        """Return a report of another file, whose problems are told together with these."""
        other = Report(where)
        other._problems = self._problems
        return other

    def add(self, what: str, place: str, remedy: str) -> None:
        """Note a problem at a place of the file, such as ``room[2].rows[1].length``."""
        where = f"{self._where}: {place}" if place else self._where
        self._problems.append(Problem(what=what, where=where, remedy=remedy))

    def refuse(self, what: str, place: str, remedy: str) -> Never:
        """Note a problem past which nothing can be read, and raise."""
        self.add(what, place, remedy)
        raise JobError(*self._problems)

    def raise_if_any(self) -> None:
        """Raise JobError with every problem noted."""
        if self._problems:
            raise JobError(*self._problems)


def step(place: str, key: str) -> str:
    """Return the place one key further in; a key that is no plain word stands in quotes."""
    word = key if key.isascii() and key.replace("_", "").replace("-", "").isalnum() else shown(key)
    return f"{place}.{word}" if place else word


def printable(glyph: str) -> bool:
    """Whether a character may reach a terminal: no control, no line break, no change of direction."""
    return unicodedata.category(glyph) not in _UNSAFE_CATEGORIES and glyph not in _BIDI_CONTROLS


def shown(value: object) -> str:
    """Return a value of the file on one short line, as TOML writes it, control characters escaped."""
    if isinstance(value, int) and value.bit_length() > _LARGEST_SHOWN_BITS:
        return "a number of very many digits"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    text = _quoted(value) if isinstance(value, str) else str(value)
    # TOML writes true, nan and 1e9 in small letters, Python does not
    return _shortened(text.lower() if isinstance(value, bool | Decimal) else text)


def visible(text: str) -> str:
    """Return a text whole, its control characters escaped."""
    return "".join(glyph if printable(glyph) else _escaped(glyph) for glyph in text)


def _quoted(text: str) -> str:
    safe = visible(text[: 2 * _LONGEST_SHOWN])
    if '"' in safe and "'" not in safe:
        return f"'{safe}'"
    return '"' + safe.replace('"', '\\"') + '"'


def _escaped(glyph: str) -> str:
    return json.dumps(glyph)[1:-1] if ord(glyph) < ord("\x7f") else f"\\u{ord(glyph):04x}"


def _shortened(text: str) -> str:
    return text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 4] + "..." + text[-1]


def nearest(word: str, words: tuple[str, ...]) -> str:
    """Return a question naming the likeliest valid word, or nothing."""
    folded = {known.casefold(): known for known in words}
    close = get_close_matches(word.casefold(), folded, n=1)
    return f'did you mean "{folded[close[0]]}"? ' if close else ""


def one_of(words: tuple[str, ...]) -> str:
    """Return the valid words as a phrase."""
    return "use one of " + ", ".join(f'"{word}"' for word in words)
