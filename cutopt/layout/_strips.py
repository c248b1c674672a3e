"""Rows cut out of a floor area, exactly.

The area's boundary is cut at the lines between rows. Within one row it falls into chains; two chain
ends that are neighbours on a line with floor between them belong to the same run, and so every
run is found without ever forming a polygon. Crossings of slanted walls are exact fractions.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import pairwise

from cutopt.layout._bands import Bands
from cutopt.layout._spans import Edge, Exact, Patch, Span, Wall, measure
from cutopt.model.floor import Area
from cutopt.model.rooms import Ring
from cutopt.units import Ticks

__all__ = ["cut_rows"]


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


def cut_rows(area: Area, bands: Bands) -> Iterator[tuple[int, Span]]:
    """Yield (row, span) for every run of one floor area, in no particular order.

    The area's rings are simple and lie within the bands. The work grows with the number of times walls
    cross lines, not with rows times corners.
    """
    if (sides := _rectangle(area, bands)) is not None:
        yield from _square_rows(*sides, bands)
        return
    groups = _Groups()
    by_row: defaultdict[int, list[Wall]] = defaultdict(list)
    chain = 0
    for ring in (area.outer, *area.holes):
        first = chain
        for row, wall in _walls(ring, bands, chain):
            by_row[row].append(wall)
            chain = wall.chain
        if not bands.is_edge(ring[0][1]):
            groups.join(first, chain)  # the ring was only cut there to be written down
        chain += 1
    for row, walls in by_row.items():
        low, high = bands.bottom(row), bands.top(row)
        edges = [*_line_edges(walls, low, 1, groups), *_line_edges(walls, high, -1, groups)]
        _join_inner(walls, groups)
        for patch in _patches(walls, edges, groups):
            yield row, measure(patch, low, high)


def _rectangle(area: Area, bands: Bands) -> tuple[Ticks, Ticks] | None:
    """Return the left and right side of a floor that is a rectangle and fills the bands, ``None`` for any other."""
    xs, ys = {x for x, _ in area.outer}, {y for _, y in area.outer}
    square = not area.holes and len(area.outer) == 4 and len(xs) == len(ys) == 2  # noqa: PLR2004 - a rectangle's
    fills = (min(ys), max(ys)) == (bands.bottom(0), bands.top(bands.count - 1))
    return (min(xs), max(xs)) if square and fills else None


def _square_rows(left: Ticks, right: Ticks, bands: Bands) -> Iterator[tuple[int, Span]]:
    """Yield the rows of such a rectangle: nothing there needs to be measured."""
    for row in range(bands.count):
        width, low = bands.width(row), bands.bottom(row)
        yield (
            row,
            Span(
                left=left,
                length=right - left,
                area2=2 * (right - left) * width,
                height=width,
                lower=((left, right),),
                upper=((left, right),),
                low=low,
                high=low + width,
            ),
        )


def _join_inner(walls: list[Wall], groups: _Groups) -> None:
    """Join what lies wholly within a run's floor, such as a vent narrower than the row, to that run.

    Of each group of chains that goes round clockwise, the leftmost point has its run's floor at its left:
    the nearest wall there (one that it touches, if any) belongs to the run, or to another such thing that
    has found it.
    """
    by_group: defaultdict[int, list[Wall]] = defaultdict(list)
    for wall in walls:
        by_group[groups.find(wall.chain)].append(wall)
    if len(by_group) == 1:
        return
    inner = [own for own in by_group.values() if _twice_area(own) < 0]
    for own in sorted(inner, key=lambda found: min(min(wall.x0, wall.x1) for wall in found)):
        x, y = min(min((wall.x0, wall.y0), (wall.x1, wall.y1)) for wall in own)
        group = groups.find(own[0].chain)
        at_left = [
            (wall.x0 + wall.lean * (y - wall.y0), wall.lean, wall.chain)
            for wall in walls
            if min(wall.y0, wall.y1) <= y < max(wall.y0, wall.y1) and groups.find(wall.chain) != group
        ]
        groups.join(group, max(found for found in at_left if found[0] <= x)[-1])


def _twice_area(walls: Iterable[Wall]) -> Exact:
    return sum((wall.x0 + wall.x1) * (wall.y1 - wall.y0) for wall in walls)


def _walls(ring: Ring, bands: Bands, chain: int) -> Iterator[tuple[int, Wall]]:
    """Cut a ring at the lines; stretches that meet between lines share a chain, numbered on from ``chain``.

    The first and the last chain are one where the ring does not begin on a line; that is not told here.
    """
    for start, end in pairwise((*ring, ring[0])):
        chain += bands.is_edge(start[1])
        for nth, (row, piece) in enumerate(_cut_wall(start, end, bands)):
            chain += nth > 0
            yield row, Wall(chain, *piece)


_Piece = tuple[Exact, Ticks, Exact, Ticks, Exact]


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
    at: tuple[Exact, Ticks] = start
    for row in rows:
        line = bands.top(row) if y0 < y1 else bands.bottom(row)
        to = end if row == rows[-1] else (x0 + lean * (line - y0), line)
        yield row, (*at, *to, lean)
        at = to


def _line_edges(walls: list[Wall], line: Ticks, inside: int, groups: _Groups) -> list[tuple[int, Edge]]:
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
            found.append((one, Edge(line, left, right)))
    return found


def _patches(walls: list[Wall], edges: list[tuple[int, Edge]], groups: _Groups) -> Iterable[Patch]:
    """Sort the walls and long edges of one row into runs."""
    patches: defaultdict[int, Patch] = defaultdict(Patch)
    for wall in walls:
        patch = patches[groups.find(wall.chain)]
        patch.walls.append(wall)
        if wall.y0 == wall.y1:
            patch.edges.append(Edge(wall.y0, min(wall.x0, wall.x1), max(wall.x0, wall.x1)))
    for chain, edge in edges:
        patches[groups.find(chain)].edges.append(edge)
    return patches.values()
