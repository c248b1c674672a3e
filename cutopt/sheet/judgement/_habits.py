"""Habits of a layout in plain words: the figure, and what it means."""

from collections.abc import Iterator
from fractions import Fraction

from cutopt.model.job import Pattern, Rules
from cutopt.model.judgement import Habits, Repeat
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._text import clean
from cutopt.sheet.estimate._told import percent
from cutopt.sheet.judgement._told import hundredths

__all__ = ["habit_texts"]

_Reading = tuple[tuple[Fraction, str], ...]
_NEAR: _Reading = (
    (Fraction(0), "none crowds the least allowed"),
    (Fraction(1, 4), "few crowd the least allowed"),
    (Fraction(1, 2), "a good part keeps close to the least allowed"),
    (Fraction(1), "most keep close to the least allowed, so one slip of the saw breaks the rule"),
)
_ALIKE: _Reading = (
    (Fraction(0), "no row copies one close by"),
    (Fraction(1, 4), "few rows copy one close by"),
    (Fraction(1, 2), "many rows copy one close by"),
    (Fraction(1), "most rows copy one close by, and the eye runs along them"),
)
_REGULAR: _Reading = (
    (Fraction(1, 3), "no pattern shows"),
    (Fraction(2, 3), "rows lean to one shift"),
    (Fraction(1), "one shift rules, and a pattern shows"),
)
"""Readings up to a share, that share included: our own words for what the figures show."""


def habit_texts(habits: Habits, rules: Rules, lengths: Lengths) -> Iterator[str]:
    """Yield every habit that could be measured, as a sentence."""
    for first, last, kind in habits.clusters:
        yield (
            f"Rows {first} to {last}: all {clean(kind)} short. Short pieces in a patch by one wall make it "
            "look like scraps; put longer ones between them."
        )
    for repeat in habits.repeats:
        yield _repeat(repeat)
    if habits.near is not None:
        limit = lengths.show(3 * rules.stagger // 2)
        yield (
            f"{percent(habits.near)} of the joint pairs in neighbouring rows are closer than {limit}, "
            f"one and a half times the stagger: {_read(habits.near, _NEAR)}."
        )
    if habits.regularity is not None:
        yield _regular(habits.regularity, rules.pattern)
    if habits.alike is not None:
        yield (
            f"{percent(habits.alike)} of the rows have their joints where a row up to three before has them: "
            f"{_read(habits.alike, _ALIKE)}."
        )


def _repeat(repeat: Repeat) -> str:
    every = "in every row" if repeat.period == 1 else f"every {repeat.period} rows"
    return (
        f"From row {repeat.first} on the joints come again {every}, {repeat.times} times over: "
        "the eye finds such a rhythm across a room."
    )


def _regular(share: Fraction, pattern: Pattern) -> str:
    reading = _read(share, _REGULAR)
    if pattern is not Pattern.RANDOM:
        reading += f" (the {pattern} pattern asks for one)"
    return (
        f"Shifts from row to row are {hundredths(share)} regular (0 as even as chance makes them, "
        f"1 one shift throughout): {reading}."
    )


def _read(share: Fraction, readings: _Reading) -> str:
    return next((words for most, words in readings if share <= most), readings[-1][1])
