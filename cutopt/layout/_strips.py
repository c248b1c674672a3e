"""Rows cut out of a floor area, exactly.

The area's boundary is cut at the lines between rows. Within one row it falls into chains; two chain
ends that are neighbours on a line with floor between them belong to the same run, and so every
run is found without ever forming a polygon. Crossings of slanted walls are exact fractions.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor

from cutopt.layout._bands import Bands
from cutopt.layout._inset import Ring
from cutopt.units import Ticks

__all__ = ["Span", "cut_rows"]

_Exact = int | Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """The floor of one run. In ticks, ``area2`` in square ticks; ``height`` is across the row.

    ``left`` is the leftmost point rounded down; ``length`` the true span rounded up, so that no
    piece is too short and a run that fits one plank exactly still does. Slants are signed run-outs
    (x at the row's upper edge less x at its lower edge), their size what the end takes off the
    shorter long edge, rounded up.
    """

    left: Ticks
    length: Ticks
    left_slant: Ticks = 0
    right_slant: Ticks = 0
    area2: int
    height: Ticks


@dataclass(frozen=True, slots=True)
class _Wall:
    """A stretch of boundary within one row, in the direction of travel round the area."""

    chain: int
    x0: _Exact
    y0: Ticks
    x1: _Exact
    y1: Ticks
    lean: _Exact  # x gained per y


@dataclass(frozen=True, slots=True)
class _Edge:
    """A long edge of the floor in a row, along the row from left to right."""

    y: Ticks
    left: _Exact
    right: _Exact


@dataclass(slots=True)
class _Patch:
    """What belongs to one run: its walls and its long edges."""

    walls: list[_Wall] = field(default_factory=list)
    edges: list[_Edge] = field(default_factory=list)


class _Groups:
    """Chains known to bound the same floor (disjoint sets)."""

    def __init__(self) -> None:
        self._parent: dict[int, int] = {}

    def find(self, chain: int) -> int:
        while (up := self._parent.get(chain, chain)) != chain:
            self._parent[chain] = self._parent.get(up, up)
            chain = up
        return chain

    def join(self, one: int, other: int) -> None:
        self._parent[self.find(one)] = self.find(other)


def cut_rows(ring: Ring, bands: Bands) -> Iterator[tuple[int, Span]]:
    """Yield (row, span) for every run of one floor area, in no particular order.

    ``ring`` is simple and lies within the bands. The work grows with the number of times walls
    cross lines, not with rows times corners.
    """
    groups = _Groups()
    by_row: defaultdict[int, list[_Wall]] = defaultdict(list)
    for row, wall in _walls(ring, bands, groups):
        by_row[row].append(wall)
    for row, walls in by_row.items():
        edges = [
            *_line_edges(walls, bands.bottom(row), 1, groups),
            *_line_edges(walls, bands.top(row), -1, groups),
        ]
        for patch in _patches(walls, edges, groups):
            yield row, _span(patch)


def _walls(ring: Ring, bands: Bands, groups: _Groups) -> Iterator[tuple[int, _Wall]]:
    """Cut the boundary at the lines; stretches that meet between lines share a chain."""
    chain = 0
    for start, end in pairwise((*ring, ring[0])):
        chain += bands.is_edge(start[1])
        for nth, (row, piece) in enumerate(_cut_wall(start, end, bands)):
            chain += nth > 0
            yield row, _Wall(chain, *piece)
    if not bands.is_edge(ring[0][1]):
        groups.join(chain, 0)


_Piece = tuple[_Exact, Ticks, _Exact, Ticks, _Exact]


def _cut_wall(
    start: tuple[Ticks, Ticks], end: tuple[Ticks, Ticks], bands: Bands
) -> Iterator[tuple[int, _Piece]]:
    """Yield (row, piece) along one wall; a wall that lies on a line belongs to no row."""
    (x0, y0), (x1, y1) = start, end
    if y0 == y1:
        if not bands.is_edge(y0):
            yield bands.row_at(y0), (x0, y0, x1, y1, 0)
        return
    low, high = bands.row_at(min(y0, y1)), bands.row_at(max(y0, y1) - 1)
    rows = range(low, high + 1) if y0 < y1 else range(high, low - 1, -1)
    lean = 0 if x0 == x1 else Fraction(x1 - x0, y1 - y0)
    at: tuple[_Exact, Ticks] = start
    for row in rows:
        line = bands.top(row) if y0 < y1 else bands.bottom(row)
        to = end if row == rows[-1] else (x0 + lean * (line - y0), line)
        yield row, (*at, *to, lean)
        at = to


def _line_edges(walls: list[_Wall], line: Ticks, inside: int, groups: _Groups) -> list[tuple[int, _Edge]]:
    """Pair the chain ends on a line that have floor between them, and join their chains.

    ``inside`` is 1 where the row lies above the line, -1 below. Ends at one point are told apart by
    how they lean just inside the row: a corner of the walls that only touches the line parts the
    floor there, the tip of a wedge of floor does not.
    """
    ends = sorted(
        (wall.x0 if wall.y0 == line else wall.x1, inside * wall.lean, wall.chain)
        for wall in walls
        if line in (wall.y0, wall.y1)
    )
    found = []
    for (left, _, one), (right, _, other) in zip(ends[::2], ends[1::2], strict=True):
        groups.join(one, other)
        if left < right:
            found.append((one, _Edge(line, left, right)))
    return found


def _patches(walls: list[_Wall], edges: list[tuple[int, _Edge]], groups: _Groups) -> Iterable[_Patch]:
    """Sort the walls and long edges of one row into runs."""
    patches: defaultdict[int, _Patch] = defaultdict(_Patch)
    for wall in walls:
        patch = patches[groups.find(wall.chain)]
        patch.walls.append(wall)
        if wall.y0 == wall.y1:
            patch.edges.append(_Edge(wall.y0, min(wall.x0, wall.x1), max(wall.x0, wall.x1)))
    for chain, edge in edges:
        patches[groups.find(chain)].edges.append(edge)
    return patches.values()


def _span(patch: _Patch) -> Span:
    """Measure one run."""
    walls = patch.walls
    left = min(min(wall.x0, wall.x1) for wall in walls)
    right = max(max(wall.x0, wall.x1) for wall in walls)
    low = min(min(wall.y0, wall.y1) for wall in walls)
    high = max(max(wall.y0, wall.y1) for wall in walls)
    lower = [edge for edge in patch.edges if edge.y == low]
    upper = [edge for edge in patch.edges if edge.y == high]
    return Span(
        left=floor(left),
        length=ceil(right - left),
        left_slant=_slant([edge.left - left for edge in lower], [edge.left - left for edge in upper]),
        right_slant=-_slant([right - edge.right for edge in lower], [right - edge.right for edge in upper]),
        area2=round(sum((wall.x0 + wall.x1) * (wall.y1 - wall.y0) for wall in walls)),
        height=high - low,
    )


def _slant(lower: list[_Exact], upper: list[_Exact]) -> Ticks:
    """Return what an end takes off the shorter long edge, positive when it is the upper one.

    ``lower`` and ``upper`` say how far the long edges at the run's lowest and highest level stay
    behind its outermost point (empty where it only comes to a tip there: a wall along the row,
    to which pieces are ripped, takes nothing off their length).
    """
    by_lower, by_upper = min(lower, default=None), min(upper, default=None)
    if by_lower is None and by_upper is None:
        return 0
    if by_upper is None or (by_lower is not None and by_lower > by_upper):
        return -ceil(by_lower or 0)
    return ceil(by_upper)
