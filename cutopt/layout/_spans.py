"""One run measured: its span, its area and what its ends take off the pieces there. All exact."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil, floor

from cutopt.layout._widths import Boundary, widths_between
from cutopt.units import Ticks

__all__ = ["SQUARE", "Edge", "Exact", "Patch", "RunEnd", "Span", "Stretch", "Wall", "measure"]

Exact = int | Fraction

Stretch = tuple[Exact, Exact]
"""Part of a line between rows, from left to right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunEnd:
    """How a run ends. ``slant`` is its signed run-out in ticks: x at the upper edge less x at the lower.

    Its size is what the end takes off the shorter long edge, rounded up. ``along`` says that it is
    not one wall across the row that does so, but one that runs along it for a while (a jog, or a
    wall flatter than 45 degrees that leaves the row on the way). ``mitre`` says that it is one straight
    wall, from the line below the row to the line above it.
    """

    slant: Ticks = 0
    along: bool = False
    mitre: bool = False


SQUARE = RunEnd()
"""A wall square to the row."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """The floor of one run. In ticks, ``area2`` in square ticks; ``height`` is across the row.

    ``left`` is the leftmost point rounded down; ``length`` the true span rounded up, so that no
    piece is too short and a run that fits one plank exactly still does. ``lower`` and ``upper`` are the
    stretches of the lines below and above on which it has floor. ``low`` and ``high`` bound it across.
    ``widths`` are its widest and narrowest width between its slanted ends, where it nowhere fills the row.
    """

    left: Ticks
    length: Ticks
    area2: int
    height: Ticks
    left_end: RunEnd = SQUARE
    right_end: RunEnd = SQUARE
    lower: tuple[Stretch, ...] = ()
    upper: tuple[Stretch, ...] = ()
    low: Ticks = 0
    high: Ticks = 0
    widths: tuple[Ticks, Ticks] | None = None


@dataclass(frozen=True, slots=True)
class Wall:
    """A stretch of boundary within one row, in the direction of travel round the area."""

    chain: int
    x0: Exact
    y0: Ticks
    x1: Exact
    y1: Ticks
    lean: Exact  # x gained per y


@dataclass(frozen=True, slots=True)
class Edge:
    """A long edge of the floor in a row, along the row from left to right."""

    y: Ticks
    left: Exact
    right: Exact


@dataclass(slots=True)
class Patch:
    """What belongs to one run: its walls and its long edges."""

    walls: list[Wall] = field(default_factory=list)
    edges: list[Edge] = field(default_factory=list)


def measure(patch: Patch, bottom: Ticks, top: Ticks) -> Span:
    """Measure one run between its outermost points and between its lowest and highest level.

    Its row lies between the lines ``bottom`` and ``top``.
    """
    walls = patch.walls
    left = min(min(wall.x0, wall.x1) for wall in walls)
    right = max(max(wall.x0, wall.x1) for wall in walls)
    low = min(min(wall.y0, wall.y1) for wall in walls)
    high = max(max(wall.y0, wall.y1) for wall in walls)
    lower = [edge for edge in patch.edges if edge.y == low]
    upper = [edge for edge in patch.edges if edge.y == high]
    left_behind = _Behind.of([edge.left - left for edge in lower], [edge.left - left for edge in upper])
    right_behind = _Behind.of([right - edge.right for edge in lower], [right - edge.right for edge in upper])
    height = high - low
    core = left + left_behind.most, right - right_behind.most
    return Span(
        left=floor(left),
        length=ceil(right - left),
        area2=round(sum((wall.x0 + wall.x1) * (wall.y1 - wall.y0) for wall in walls)),
        height=height,
        lower=tuple((edge.left, edge.right) for edge in patch.edges if edge.y == bottom),
        upper=tuple((edge.left, edge.right) for edge in patch.edges if edge.y == top),
        low=low,
        high=high,
        widths=widths(patch, bottom, top, core),
        left_end=RunEnd(
            slant=left_behind.slant,
            along=left_behind.one_sided
            and any(_runs_along(wall, left, left + left_behind.most, height) for wall in walls),
            mitre=left_behind.has_edges
            and any((wall.y0, wall.y1) == (top, bottom) and left in (wall.x0, wall.x1) for wall in walls),
        ),
        right_end=RunEnd(
            slant=-right_behind.slant,
            along=right_behind.one_sided
            and any(_runs_along(wall, right - right_behind.most, right, height) for wall in walls),
            mitre=right_behind.has_edges
            and any((wall.y0, wall.y1) == (bottom, top) and right in (wall.x0, wall.x1) for wall in walls),
        ),
    )


@dataclass(frozen=True, slots=True)
class _Behind:
    """How far a run's long edges stay behind its outermost point at one end.

    They are the edges at its lowest and highest level; ``None`` where it only comes to a tip there:
    a wall along the row, to which pieces are ripped, takes nothing off their length.
    """

    lower: Exact | None
    upper: Exact | None

    @staticmethod
    def of(lower: Sequence[Exact], upper: Sequence[Exact]) -> "_Behind":
        return _Behind(min(lower, default=None), min(upper, default=None))

    @property
    def most(self) -> Exact:
        """What the end takes off the shorter long edge."""
        return max(self.lower or 0, self.upper or 0)

    @property
    def has_edges(self) -> bool:
        """Whether the run comes to a tip neither at its lowest nor at its highest level."""
        return self.lower is not None and self.upper is not None

    @property
    def one_sided(self) -> bool:
        """Whether something is taken off one long edge and nothing off the other."""
        return self.most > 0 and 0 in (self.lower, self.upper)

    @property
    def slant(self) -> Ticks:
        """The same as ``most``, rounded up, and negative when it is taken off the lower edge."""
        size = ceil(self.most)
        return -size if (self.lower or 0) > (self.upper or 0) else size


def widths(patch: Patch, bottom: Ticks, top: Ticks, core: tuple[Exact, Exact]) -> tuple[Ticks, Ticks] | None:
    """Return the widest and narrowest width of a run over ``core``, rounded outwards to ticks.

    ``None`` where the run is as wide as its row on some stretch: what narrows it elsewhere is a notch.
    """
    if core[0] >= core[1] or all(wall.lean == 0 and wall.y0 != wall.y1 for wall in patch.walls):
        return None
    boundaries = [Boundary(wall.x0, wall.y0, wall.x1, wall.y1) for wall in patch.walls if wall.x0 != wall.x1]
    boundaries += [
        Boundary(edge.left, bottom, edge.right, bottom) for edge in patch.edges if edge.y == bottom
    ]
    boundaries += [Boundary(edge.right, top, edge.left, top) for edge in patch.edges if edge.y == top]
    found = widths_between(boundaries, core, top - bottom)
    return None if found is None else (ceil(found[0]), floor(found[1]))


def _runs_along(wall: Wall, left: Exact, right: Exact, height: Ticks) -> bool:
    """Tell whether a wall between two points runs along the row, and not from edge to edge across it."""
    west, east = (wall.x0, wall.x1) if wall.x0 < wall.x1 else (wall.x1, wall.x0)
    rise = abs(wall.y1 - wall.y0)
    return west < right and east > left and rise < height and east - west > rise
