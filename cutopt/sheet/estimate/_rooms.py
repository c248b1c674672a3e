"""Waste factors of rooms of many sizes, as a table to pin to the wall."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cutopt.model.estimate import Figure, RoomCell
from cutopt.model.pricing import Shape
from cutopt.model.words import Block, Heading, Line, Table
from cutopt.sheet._text import count, para
from cutopt.sheet.estimate._told import percent
from cutopt.units import Ticks, Unit, format_length

__all__ = ["waste_table_words"]

_COLUMNS = 7
"""Columns of one table, so that it fits a line."""

_HABIT = Fraction(1, 10)


def waste_table_words(cells: Sequence[RoomCell], unit: Unit) -> list[Block]:
    """Return, shape by shape, the waste factor as laid of every room, and where the habit of 10 % errs."""
    if not cells:
        return []
    blocks: list[Block] = [
        Heading("Waste factors by room"),
        para(
            "Waste as laid, in percent, by the room's length along the rows (to the right) and across them (down). "
            "With 10 % on top of the net area, - is short of what the order here holds, + buys a box too many; "
            "? cannot be planned."
        ),
    ]
    for shape in dict.fromkeys(cell.shape for cell in cells):
        blocks += _shape(shape, [cell for cell in cells if cell.shape is shape], unit)
    return blocks


def _shape(shape: Shape, cells: Sequence[RoomCell], unit: Unit) -> Iterator[Block]:
    along = sorted({cell.along for cell in cells})
    for first in range(0, len(along), _COLUMNS):
        yield Line()
        yield Table(
            tuple(_rows(shape, cells, along[first : first + _COLUMNS], unit)),
            frozenset(range(1, _COLUMNS + 1)),
        )
    yield from (para(text, first="  - ") for text in _habits(cells))


def _rows(
    shape: Shape, cells: Sequence[RoomCell], along: Sequence[Ticks], unit: Unit
) -> Iterator[tuple[str, ...]]:
    found = {(cell.along, cell.across): cell for cell in cells}
    yield (shape.value, *(format_length(ticks, unit) for ticks in along))
    for across in sorted({cell.across for cell in cells}):
        row = [found.get((ticks, across)) for ticks in along]
        yield (format_length(across, unit), *(_cell(cell) for cell in row))


def _cell(cell: RoomCell | None) -> str:
    if cell is None:
        return ""
    if cell.figure is None:
        return "?"
    return percent(cell.figure.as_laid).removesuffix(" %") + _sign(cell.figure)


def _sign(figure: Figure) -> str:
    over = _over(figure, _HABIT)
    return "-" if over < 0 else "+" if over > 0 else " "


def _over(figure: Figure, share: Fraction) -> int:
    """Return how many boxes too many a habit buys; below 0: short."""
    return next((habit.boxes - figure.boxes for habit in figure.habits if habit.share == share), 0)


def _habits(cells: Sequence[RoomCell]) -> Iterator[str]:
    figures = [cell.figure for cell in cells if cell.figure is not None]
    if not figures:
        return
    for habit in figures[0].habits:
        overs = [_over(figure, habit.share) for figure in figures]
        short, over = sum(one < 0 for one in overs), sum(one > 0 for one in overs)
        yield (
            f"{float(habit.share * 100):g} % on top: short in {short} of {count(len(figures), 'room')}, "
            f"a box or more too many in {over}, right in {len(figures) - short - over}"
        )
