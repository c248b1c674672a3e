"""Lengths as they are drawn for an exercise: always on the tape, so that every answer is exact."""

import re
from collections.abc import Iterable
from random import Random
from typing import TypeVar

from cutopt.model.words import Labels, Para
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks, Unit, format_length

__all__ = ["drawn", "given", "grain", "listed", "only", "para", "shown", "size", "step", "steps"]

_BREAK = re.compile(r"(?<!') (?!(?:mm|cm|m|in)\b|%)")
"""Blanks between words, but for those within a length such as 5' 3" or 900 mm."""

_Item = TypeVar("_Item")


def grain(unit: Unit) -> Ticks:
    """Return the finest that an exercise is told in: 1/16 in or 1 mm."""
    return TICKS_PER_MM if unit.is_metric else TICKS_PER_INCH // 16


def size(inches: int, mm: int, unit: Unit) -> Ticks:
    """Return a size of the trade, which is another one on a metric tape."""
    return mm * TICKS_PER_MM if unit.is_metric else inches * TICKS_PER_INCH


def step(grade: int, unit: Unit) -> Ticks:
    """Return how round the numbers of a grade are: 1 in, 1/2 in, 1/16 in; or 10, 5 and 1 mm."""
    parts = {1: (1, 10), 2: (2, 5), 3: (16, 1)}[grade]
    return parts[1] * TICKS_PER_MM if unit.is_metric else TICKS_PER_INCH // parts[0]


def drawn(random: Random, low: Ticks, high: Ticks, step: Ticks) -> Ticks:
    """Return a multiple of ``step`` from ``low`` to ``high``, both of which may be drawn."""
    return random.randint(-(-low // step), high // step) * step


def only(answers: Iterable[_Item]) -> _Item:
    """Return the one answer there is; raises ValueError where there are none or several."""
    (answer,) = set(answers)
    return answer


def shown(ticks: Ticks, unit: Unit) -> str:
    """Return the length as the tape shows it."""
    return format_length(ticks, unit)


def listed(lengths: Iterable[Ticks], unit: Unit) -> str:
    """Return lengths one after the other, parted by commas."""
    return ", ".join(format_length(length, unit) for length in lengths)


def para(text: str, first: str = "", rest: str = "") -> Para:
    """Return a paragraph whose lines end between words, never within a length."""
    return Para(tuple(_BREAK.split(text)), first, rest)


def given(*rows: tuple[str, str]) -> Labels:
    """Return what is given: a label and its text a line."""
    return Labels(tuple((label, tuple(_BREAK.split(text))) for label, text in rows))


def steps(*texts: str) -> tuple[Para, ...]:
    """Return the working, its steps numbered."""
    return tuple(para(text, f"{number:>2}. ", "    ") for number, text in enumerate(texts, start=1))
