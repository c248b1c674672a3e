"""The floor of a plan as shapes: what is parted into rows, and how much of it lies where.

The layout finds runs by following walls with exact fractions. Here each band between two lines is cut
out of the areas as a polygon, in floating point, and measured. Places in what is returned are from the
field's origin, in ticks.

Floats are fine enough for that. Corners are whole ticks, and a crossing of a wall with a line is right
to some units in the last place: of the field's size, a millionth of a tick for floors up to kilometres.
Areas are as good as that times the height of the band, for each corner.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely

from cutopt.model.floor import Area, Field, Frame, Ground
from cutopt.model.rooms import Point, Ring
from cutopt.units import Ticks

__all__ = [
    "Edge",
    "FieldFloor",
    "Part",
    "beyond_ends2",
    "closeness",
    "floor_of",
    "floor_outside",
    "pieces_area2",
    "what_is_unsound",
]

_ULPS = 2.0**-46
_LEAST_NOISE = 2.0**-20

Edge = tuple[float, float]
"""A stretch of a long edge, from left to right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A connected part of the floor between two lines; where it only hangs together in a point, two.

    ``lower`` and ``upper`` are its long edges, at its lowest and highest level, ``low`` and ``high``.
    ``noise`` is how far places may be out, ``noise2`` twice an area. ``shape`` lies at ``origin``.
    """

    shape: shapely.Polygon
    origin: Point
    line: int
    left: float
    right: float
    low: float
    high: float
    area2: float
    lower: tuple[Edge, ...]
    upper: tuple[Edge, ...]
    noise: float
    noise2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldFloor:
    """The floor of a field: twice its area in square ticks, and its parts by line."""

    area2: float
    parts: dict[int, list[Part]]


def what_is_unsound(areas: Sequence[Area]) -> str:
    """Say what is wrong with areas that cross or touch themselves or each other; nothing where they are good."""
    if not areas:
        return "no areas"
    x, y = _origin(areas)
    try:
        floor = _floor(areas, x, y)
    except (ValueError, shapely.errors.GEOSException):
        return "rings of fewer than three corners"
    if not shapely.is_valid(floor):
        reason = shapely.is_valid_reason(floor)
        return reason.split("[", maxsplit=1)[0].lower()
    return ""


def floor_of(field: Field) -> FieldFloor:
    """Cut the sound areas of a field at its lines, which rise."""
    x, y = _origin(field.areas)
    floor = _floor(field.areas, x, y)
    left, _, right, _ = floor.bounds
    lines = [line - y for line in field.lines]
    bands = shapely.box([left - 1], lines[:-1], [right + 1], lines[1:])
    cut, which = shapely.get_parts(shapely.intersection(floor, bands), return_index=True)
    parts: dict[int, list[Part]] = {}
    for shape, band in zip(cut, which, strict=True):
        if isinstance(shape, shapely.Polygon) and shape.area > 0:
            line = int(band) + 1
            part = _part(shape, line, (lines[band], lines[band + 1]), (x, y))
            parts.setdefault(line, []).append(part)
    return FieldFloor(area2=2 * floor.area, parts=parts)


def _origin(areas: Sequence[Area]) -> Point:
    """Return the lowest x and y; measured from there, floats are finest."""
    corners = [corner for area in areas for corner in area.outer] or [(0, 0)]
    return min(x for x, _ in corners), min(y for _, y in corners)


def _floor(areas: Sequence[Area], x: int, y: int) -> shapely.MultiPolygon:
    return shapely.MultiPolygon(
        [
            shapely.Polygon(_moved(area.outer, x, y), [_moved(hole, x, y) for hole in area.holes])
            for area in areas
        ]
    )


def _moved(ring: Ring, x: int, y: int) -> list[tuple[int, int]]:
    return [(corner[0] - x, corner[1] - y) for corner in ring]


def _part(shape: shapely.Polygon, line: int, band: Point, origin: Point) -> Part:
    left, low, right, high = shape.bounds
    x, y = origin
    noise = max(_LEAST_NOISE, _ULPS * max(abs(x), abs(x + right), abs(y), abs(y + high)))
    rings = [shapely.get_coordinates(ring).tolist() for ring in (shape.exterior, *shape.interiors)]
    corners = sum(map(len, rings))
    return Part(
        shape=shape,
        origin=origin,
        line=line,
        left=x + left,
        right=x + right,
        low=y + low,
        high=y + high,
        area2=2 * shape.area,
        lower=tuple(_edges(rings, low, x, noise)),
        upper=tuple(_edges(rings, high, x, noise)),
        noise=noise,
        noise2=4 * _ULPS * max(right, high) * corners * (band[1] - band[0]),
    )


def _edges(rings: list[list[list[float]]], level: float, x: int, noise: float) -> Iterator[Edge]:
    """Yield the long edges at a level; those of a part lie on one level beside each other."""
    for ring in rings:
        for (x0, y0), (x1, y1) in pairwise(ring):
            if x0 != x1 and max(abs(y0 - level), abs(y1 - level)) <= noise:
                yield x + min(x0, x1), x + max(x0, x1)


def pieces_area2(part: Part, spans: Sequence[Edge]) -> list[float]:
    """Return twice the floor of a part under each of several pieces, given by their left and right ends."""
    x, y = part.origin
    lefts, rights = [left - x for left, _ in spans], [right - x for _, right in spans]
    boxes = shapely.box(lefts, [part.low - y], rights, [part.high - y])
    areas: list[float] = shapely.area(shapely.intersection(part.shape, boxes)).tolist()
    return [2 * area for area in areas]


def beyond_ends2(part: Part) -> tuple[float, float]:
    """Return twice the floor of a part that lies left of its long edges' left ends, seen in one straight line.

    And the same of their right ends. Without long edges on both levels all of it does.
    """
    if not (part.lower and part.upper):
        return part.area2, part.area2
    x, y = part.origin
    low, high, left, right = part.low - y, part.high - y, part.left - x - 1, part.right - x + 1
    begins = [min(start for start, _ in edges) - x for edges in (part.lower, part.upper)]
    ends = [max(stop for _, stop in edges) - x for edges in (part.lower, part.upper)]
    from_left = shapely.Polygon([(begins[0], low), (right, low), (right, high), (begins[1], high)])
    to_right = shapely.Polygon([(left, low), (ends[0], low), (ends[1], high), (left, high)])
    beyond = shapely.area(shapely.difference(part.shape, [from_left, to_right]))
    return 2 * float(beyond[0]), 2 * float(beyond[1])


def closeness(field: Field, corners: Ring) -> tuple[float, float]:
    """Return how far the floor of a field stays from an outline on the plan, and how much lies on it.

    Corners are set on whole ticks of the rows' axes, so both are out by as much.
    """
    x, y = _origin(field.areas)
    floor, outline = _floor(field.areas, x, y), _on_rows(field.frame, corners, x, y)
    return shapely.distance(floor, outline), shapely.intersection(floor, outline).area


def floor_outside(field: Field, ground: Ground, spare: Ticks) -> float:
    """Return how much floor of a field lies neither in its rooms nor in a doorway of theirs.

    Walls and jambs are taken ``spare`` further out, jambs by what the floor goes under them as well.
    """
    x, y = _origin(field.areas)
    rooms = [
        _on_rows(field.frame, room.corners, x, y).buffer(spare, join_style="mitre")
        for room in ground.rooms
        if room.field == field.name
    ]
    openings = [
        _on_rows(field.frame, doorway.opening, x, y).buffer(spare + doorway.undercut, join_style="mitre")
        for doorway in ground.doorways
        if field.name in doorway.fields
    ]
    outside = shapely.difference(_floor(field.areas, x, y), shapely.union_all([*rooms, *openings]))
    return outside.area


def _on_rows(frame: Frame, corners: Ring, x: int, y: int) -> shapely.Polygon:
    return shapely.Polygon(_moved(tuple(map(frame.to_rows, corners)), x, y))
