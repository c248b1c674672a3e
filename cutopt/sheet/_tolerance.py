"""How far walls may be out: what all of them may at once, and the rows that allow least."""

from collections.abc import Sequence

from cutopt.model.plan import Plan
from cutopt.model.tolerance import Allowance, RowTolerance, common_tolerance
from cutopt.model.words import Block, Heading, Line, Para, Table
from cutopt.sheet._text import count, para
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks, Unit, format_length

__all__ = ["allowed", "tolerance"]

_SHOWN = 10
_HEADS = ("row", "shorter", "longer", "piece", "what breaks beyond the lesser")
_HOW = (
    "The last piece of a row is marked in place against its wall and takes up the error; all else is cut as "
    "told. Every row may be out by what stands here, all of them at once: no rule breaks, and no rest gets too "
    "short for a later row. Where a wall is out by more, plan what is left anew before you cut."
)


def tolerance(told: Sequence[RowTolerance], plan: Plan) -> list[Block]:
    """Return the section on how far walls may be out; nothing where nothing is told.

    Amounts are rounded down, to a sixteenth of an inch or a millimetre, so that each of them holds.
    """
    if not told:
        return []
    tightest = sorted(told, key=lambda one: one.least)[:_SHOWN]
    others = len(told) - len(tightest)
    return [
        Heading("How far walls may be out"),
        para(_common(told, plan.unit), first="  "),
        para(_HOW, first="  "),
        Line(),
        Table((_HEADS, *(_cells(one, plan.unit) for one in tightest)), frozenset({1, 2})),
        *_rest(others),
    ]


def _rest(others: int) -> list[Para]:
    return (
        [para(f"The other {count(others, 'row allows', 'rows allow')} no less.", first="  ")]
        if others
        else []
    )


def allowed(one: RowTolerance, unit: Unit) -> str:
    """Return how far one run may be out, for the head of its row."""
    shorter, longer = (_amount(way.ticks, unit) for way in (one.shorter, one.longer))
    return f"may be {shorter} shorter or {longer} longer"


def _common(told: Sequence[RowTolerance], unit: Unit) -> str:
    least = common_tolerance(tuple(told))
    if least >= _finest(unit):
        return f"Every row may be {_amount(least, unit)} longer or shorter than planned, all at once."
    many = sum(one.least < _finest(unit) for one in told)
    return (
        f"Measure before you cut: {count(many, 'row')} may not be out by as much as "
        f"{_amount(_finest(unit), unit)}."
    )


def _finest(unit: Unit) -> Ticks:
    """Return the finest step that a wall is measured to."""
    return TICKS_PER_MM if unit.is_metric else TICKS_PER_INCH // 16


def _amount(ticks: Ticks, unit: Unit) -> str:
    """Return an amount, rounded down to what a tape shows."""
    finest = _finest(unit)
    if 0 < ticks < finest:
        return f"< {format_length(finest, unit)}"
    return format_length(ticks // finest * finest, unit, finest)


def _cells(one: RowTolerance, unit: Unit) -> tuple[str, ...]:
    """Return a row of the table: what breaks is what does the way in which the run may be out by less."""
    lesser: Allowance = min(one.longer, one.shorter, key=lambda way: way.ticks)
    shorter, longer = (_amount(way.ticks, unit) for way in (one.shorter, one.longer))
    return one.name, shorter, longer, lesser.piece, lesser.breaks
