"""Rows laid piece by piece, their joints, and a small picture of them."""

from collections.abc import Iterator, Sequence
from itertools import accumulate, product
from random import Random

from cutopt.model.words import Line, Table
from cutopt.teach.topics._tape import shown, size
from cutopt.units import Ticks, Unit

__all__ = ["closest", "joints", "laid", "picture", "piece_table", "plank_length"]

_WIDE = 64
_PLANKS = ((36, 900), (48, 1200), (48, 1220), (60, 1380), (72, 1820))


def plank_length(random: Random, unit: Unit) -> Ticks:
    """Return a plank length of the trade."""
    return size(*random.choice(_PLANKS), unit)


def laid(first: Ticks, row: Ticks, plank: Ticks) -> tuple[Ticks, ...]:
    """Return the pieces of a row that starts with ``first``, goes on in whole planks and ends with what is left."""
    pieces: list[Ticks] = []
    left = row
    while left > 0:
        pieces.append(min(plank if pieces else first, left))
        left -= pieces[-1]
    return tuple(pieces)


def joints(pieces: Sequence[Ticks]) -> tuple[Ticks, ...]:
    """Return where the joints of a row lie, from its left end."""
    return tuple(accumulate(pieces))[:-1]


def closest(one: Sequence[Ticks], other: Sequence[Ticks]) -> Ticks:
    """Return how far the closest joints of two rows lie apart."""
    return min(abs(here - there) for here, there in product(one, other))


def piece_table(rows: Sequence[Sequence[Ticks]], unit: Unit) -> Table:
    """Return the pieces of rows, a line each."""
    most = max(map(len, rows))
    lines = [
        (str(number), *(shown(piece, unit) for piece in row), *[""] * (most - len(row)))
        for number, row in enumerate(rows, start=1)
    ]
    head = ("row", *(f"piece {number}" for number in range(1, most + 1)))
    return Table((head, *lines), frozenset(range(most + 1)))


def picture(rows: Sequence[Sequence[Ticks]]) -> Iterator[Line]:
    """Yield rows as lines of dashes with a bar at every joint, to scale along the row, the last row on top."""
    across = max(map(sum, rows))
    for number, row in reversed(tuple(enumerate(rows, start=1))):
        marks = {round(place * _WIDE / across) for place in accumulate(row, initial=0)}
        yield Line(f"  row {number:>2} " + "".join("|" if at in marks else "-" for at in range(_WIDE + 1)))
