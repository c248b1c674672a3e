"""Waste factors of rooms of many sizes, as a table to pin to the wall."""

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from cutopt.model.estimate import Figure, RoomCell
from cutopt.model.pricing import Shape
from cutopt.model.words import Block, Heading, Line, Table
from cutopt.sheet._text import WIDTH, count, para, width_of
from cutopt.sheet.estimate._told import per_cent
from cutopt.units import Unit, format_length

__all__ = ["waste_table_words"]

_HABIT = Fraction(1, 10)


def waste_table_words(cells: Sequence[RoomCell], unit: Unit) -> list[Block]:
    """Return, shape by shape, the waste factor as laid of every room, and where the habit of 10 % errs."""
    if not cells:
        return []
    blocks: list[Block] = [
        Heading("Waste factors by room"),
        para(
            "Waste as laid, in percent, by the room's length along the rows (to the right) and across them (down). "
            "With 10 % on top of the net area, - is short of what the order here holds, + buys a box or more too "
            "many; ? cannot be planned."
        ),
    ]
    for shape in dict.fromkeys(cell.shape for cell in cells):
        blocks += _shape(shape, [cell for cell in cells if cell.shape is shape], unit)
    return blocks


def _shape(shape: Shape, cells: Sequence[RoomCell], unit: Unit) -> Iterator[Block]:
    for table in _tables(shape, cells, unit):
        yield Line()
        yield table
    yield from (para(text, first="  - ") for text in (*_habits(cells), *_failed(cells)))


def _tables(shape: Shape, cells: Sequence[RoomCell], unit: Unit) -> Iterator[Table]:
    """Yield the rooms of a shape in as many tables beside one another as lines of 80 columns take."""
    first, *columns = _columns(shape, cells, unit)
    while columns:
        fitting = _fitting([first, *columns])
        rows = zip(first, *columns[:fitting], strict=True)
        yield Table(tuple(rows), frozenset(range(1, fitting + 1)))
        columns = columns[fitting:]


def _columns(shape: Shape, cells: Sequence[RoomCell], unit: Unit) -> Iterator[list[str]]:
    """Yield the lengths across, then for each length along the waste of its rooms; titles first."""
    found = {(cell.along, cell.across): cell for cell in cells}
    across = sorted({cell.across for cell in cells})
    yield [shape.value, *(format_length(ticks, unit) for ticks in across)]
    for along in sorted({cell.along for cell in cells}):
        yield [f"{format_length(along, unit)} ", *(_cell(found.get((along, ticks))) for ticks in across)]


def _fitting(columns: Sequence[Sequence[str]]) -> int:
    """Return how many columns stand beside the first on a line, at least one."""
    used = fitting = 0
    for nth, column in enumerate(columns):
        used += 2 + max(map(width_of, column))
        if used <= WIDTH:
            fitting = nth
    return max(1, fitting)


def _cell(cell: RoomCell | None) -> str:
    if cell is None:
        return ""
    return "? " if cell.figure is None else per_cent(cell.figure.as_laid) + _sign(cell.figure)


def _sign(figure: Figure) -> str:
    over = _over(figure, _HABIT)
    return "-" if over < 0 else "+" if over > 0 else " "


def _over(figure: Figure, share: Fraction) -> int:
    """Return how many boxes too many a habit buys; below 0: short."""
    return next((habit.boxes - figure.boxes for habit in figure.habits if habit.share == share), 0)


def _habits(cells: Sequence[RoomCell]) -> Iterator[str]:
    figures = [cell.figure for cell in cells if cell.figure is not None]
    for habit in figures[0].habits if figures else ():
        overs = [_over(figure, habit.share) for figure in figures]
        short, over = sum(one < 0 for one in overs), sum(one > 0 for one in overs)
        yield (
            f"{float(habit.share * 100):g} % on top: short in {short} of {count(len(figures), 'room')}, "
            f"too many in {over}, right in {len(figures) - short - over}"
        )


def _failed(cells: Sequence[RoomCell]) -> Iterator[str]:
    reasons = Counter(cell.failed.why for cell in cells if cell.failed is not None)
    for why, rooms in reasons.items():
        yield f"?: {why} in {count(rooms, 'room')}"
