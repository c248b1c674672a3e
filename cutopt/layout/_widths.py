"""How wide a run is from place to place, exactly."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

__all__ = ["Boundary", "widths_between"]

Exact = int | Fraction


@dataclass(frozen=True, slots=True)
class Boundary:
    """A stretch of a floor's boundary that is not across the row, the floor at its left as one goes."""

    x0: Exact
    y0: Exact
    x1: Exact
    y1: Exact

    @property
    def slope(self) -> Fraction:
        """How far it rises along the row."""
        return Fraction(self.y1 - self.y0) / Fraction(self.x1 - self.x0)


def widths_between(
    boundaries: Iterable[Boundary], core: tuple[Exact, Exact], full: int
) -> tuple[Exact, Exact] | None:
    """Return the greatest and the least width of the floor between two places along the row.

    ``None`` where it is ``full`` wide on some stretch. Between two corners the width is a straight line;
    it is swept from left to right as level and slope, each boundary adding to both while it lasts.
    """
    changes: dict[Exact, list[tuple[Fraction, Fraction]]] = {core[0]: [], core[1]: []}
    for line in boundaries:
        sign = 1 if line.x1 < line.x0 else -1
        slope = sign * line.slope
        level = sign * Fraction(line.y0) - slope * line.x0
        for x, way in ((min(line.x0, line.x1), 1), (max(line.x0, line.x1), -1)):
            changes.setdefault(x, []).append((way * level, way * slope))
    level = slope = Fraction(0)
    found: list[Fraction] = []
    for here, after in pairwise(sorted(changes)):
        for more_level, more_slope in changes[here]:
            level, slope = level + more_level, slope + more_slope
        if here < core[0] or after > core[1]:
            continue
        ends = level + slope * here, level + slope * after
        if min(ends) >= full:
            return None
        found += ends
    return (max(found), min(found)) if found else None
