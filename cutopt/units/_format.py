"""Lengths and areas written the way the person with the tape reads them."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from cutopt.units._ticks import TICKS_PER_INCH, TICKS_PER_UNIT, Ticks, Unit

__all__ = ["format_area", "format_length"]

_SIXTY_FOURTH: Ticks = TICKS_PER_INCH // 64
_TENTH_MM: Ticks = 32
_SQUARE_FOOT_MM2 = Fraction(3048, 10) ** 2
_SQUARE_METRE_MM2 = 10**6


def format_length(ticks: Ticks, unit: Unit, step: Ticks | None = None, *, mark: bool = True) -> str:
    """Return a length as text: ``38-1/16"``, ``3' 2-1/16"`` (ft), ``968 mm``, ``96.8 cm``, ``0.968 m``.

    What the tape shows is written exactly: any 64th of an inch, any 0.1 mm, and any multiple of ``step`` (the
    cut step) that has a finite decimal. Anything else is written to the nearest ``step`` (else the nearest
    64th or 0.1 mm) behind a ``~``. Without the ``~`` :func:`parse_length` reads the same ticks back.
    ``mark=False`` leaves out a closing unit (``38-1/16``, ``968``) for tables that name it once; feet keep theirs.
    """
    if unit.is_metric:
        exact = ticks % _TENTH_MM == 0 or _on(step, ticks)
        shown = ticks if exact else _nearest(ticks, step or _TENTH_MM)
        text = _decimal(abs(shown), unit) + (f" {unit}" if mark else "")
    else:
        exact = ticks % _SIXTY_FOURTH == 0
        grid = step if step and step % _SIXTY_FOURTH == 0 else _SIXTY_FOURTH
        shown = ticks if exact else _nearest(ticks, grid)
        text = _feet(abs(shown)) if unit is Unit.FT else _inches(abs(shown)) + ('"' if mark else "")
    return ("" if exact else "~") + ("-" if shown < 0 else "") + text


def _on(step: Ticks | None, ticks: Ticks) -> bool:
    return bool(step) and ticks % (step or 1) == 0


def _nearest(ticks: Ticks, grid: Ticks) -> Ticks:
    return (2 * ticks + grid) // (2 * grid) * grid


def _decimal(ticks: Ticks, unit: Unit) -> str:
    """Return the length with no more digits than it has; the ticks of a unit divide a power of ten."""
    return f"{(Decimal(ticks) / TICKS_PER_UNIT[unit]).normalize():f}"


def _inches(ticks: Ticks) -> str:
    whole, rest = divmod(ticks, TICKS_PER_INCH)
    part = Fraction(rest, TICKS_PER_INCH)
    if not part:
        return str(whole)
    return f"{whole}-{part}" if whole else str(part)


def _feet(ticks: Ticks) -> str:
    feet, rest = divmod(ticks, TICKS_PER_UNIT[Unit.FT])
    return f"{feet}' {_inches(rest)}\"" if feet else f'{_inches(rest)}"'


def format_area(mm2: Fraction | float, unit: Unit) -> str:
    """Return square millimetres as ``18.67 sq ft`` for in and ft, ``2.17 m2`` for metric units."""
    size, name = (_SQUARE_METRE_MM2, "m2") if unit.is_metric else (_SQUARE_FOOT_MM2, "sq ft")
    hundredths = Fraction(mm2) / size * 100
    rounded = (Decimal(hundredths.numerator) / hundredths.denominator).to_integral_value(ROUND_HALF_UP)
    return f"{rounded.scaleb(-2):.2f} {name}"
