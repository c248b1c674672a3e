"""Areas, fractions and percentages as exercises tell them, and how a binary computer gets them wrong."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import ceil

from cutopt.model.teaching import Answer
from cutopt.units import Unit

__all__ = ["area", "by_float", "percent", "percent_slips", "plain", "tenths"]

_FIGURES = Decimal("0.001")
_TENTH = 10


def plain(number: int | Fraction) -> str:
    """Return a number with three decimals at most, behind a ``~`` where it has more."""
    exact = Fraction(number)
    shown = (Decimal(exact.numerator) / exact.denominator).quantize(_FIGURES, ROUND_HALF_UP)
    return ("" if Fraction(shown) == exact else "~") + f"{shown.normalize():f}"


def area(hundredths: int, unit: Unit) -> str:
    """Return hundredths of a sq ft or m2 as an area."""
    return f"{plain(Fraction(hundredths, 100))} {'m2' if unit.is_metric else 'sq ft'}"


def by_float(floor: int, added: int, box: int) -> int:
    """Return the boxes as binary fractions have them: 220 sq ft x 1.1 in boxes of 22 come to 12, not 11."""
    return ceil(floor / 100 * (1 + added / 100) / (box / 100))


def tenths(share: Fraction) -> int:
    """Return a share as hundredths of a percent, to the nearest tenth of a percent."""
    return (2 * 10**3 * share.numerator + share.denominator) // (2 * share.denominator) * 10


def percent(share: Fraction) -> str:
    """Return a share as a percent with one decimal."""
    return f"{Decimal(tenths(share)) / 100:.1f} %"


def percent_slips(right: int, *slips: tuple[Fraction, str]) -> tuple[tuple[Answer, str], ...]:
    """Return those slips that are told apart from the right answer, and from each other, by a tenth of a percent."""
    wrong: list[tuple[int, str]] = []
    for share, reason in slips:
        told = tenths(share)
        if told >= 0 and all(abs(told - other) >= _TENTH for other in (right, *(one for one, _ in wrong))):
            wrong.append((told, reason))
    return tuple(wrong)
