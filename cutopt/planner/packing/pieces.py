"""The pieces to pack, and what planks they are cut from."""

import math
from collections import Counter
from dataclasses import dataclass

from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["Pieces", "pieces_of", "size_in"]


@dataclass(frozen=True, slots=True)
class Pieces:
    """How many pieces of each size are needed, longest first, from planks of ``room``.

    Sizes are in units of ``unit`` ticks and include one cut's loss each, as the room does: so pieces
    fit a plank where their sizes do.
    """

    room: int
    counts: dict[int, int]
    unit: Ticks

    @property
    def total(self) -> int:
        """All sizes together."""
        return sum(size * count for size, count in self.counts.items())

    @property
    def by_length(self) -> int:
        """The planks that the sizes alone ask for."""
        return -(-self.total // self.room)

    def each(self) -> list[int]:
        """Return the size of every piece, longest first."""
        return [size for size, count in self.counts.items() for _ in range(count)]


def pieces_of(problem: Problem, unit: Ticks | None = None, *, longer: bool = True) -> Pieces:
    """Return the pieces of a floor of single pieces, in the largest unit that divides them all.

    In a coarser ``unit`` the pieces are made longer, so that what fits does fit, or else shorter, so that
    what does not fit does not.
    """
    sizes = Counter(run.length + problem.loss for run in problem.runs)
    unit = unit or math.gcd(*sizes)
    room, counts = (problem.plank + problem.loss) // unit, Counter[int]()
    for size, count in sorted(sizes.items(), reverse=True):
        counts[size_in(unit, size, room) if longer else size // unit] += count
    del counts[0]  # shorter than a unit, rounded to nothing
    return Pieces(room, dict(counts), unit)


def size_in(unit: Ticks, size: Ticks, room: int) -> int:
    """Return a size in units, rounded up; a piece nearly as long as the plank has it to itself."""
    return min(room, -(-size // unit))
