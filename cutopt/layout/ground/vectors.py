"""Directions and places on a plan: whole numbers wherever walls lie along the axes."""

from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from cutopt.model.rooms import Point, Ring, WallName

__all__ = ["Number", "Placing", "Vector", "Wall", "twice_area", "wall_of"]

Number = int | float
Vector = tuple[Number, Number]


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """How a room's own axes lie on the plan: turned by (cosine, sine), then moved."""

    turn: Vector = (1, 0)
    move: Vector = (0, 0)

    def __call__(self, point: Point) -> Point:
        """Return a place of the room as it lies on the plan, set on whole ticks."""
        (x, y), (cosine, sine), (right, up) = point, self.turn, self.move
        return round(x * cosine - y * sine + right), round(x * sine + y * cosine + up)

    def ring(self, corners: Ring) -> Ring:
        """Return an outline of the room as it lies on the plan."""
        return tuple(map(self, corners))


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """A wall from its first-named corner: unit vectors along it and out of the room, and its length."""

    start: Point
    along: Vector
    out: Vector
    length: Number

    def at(self, distance: Number, out: Number = 0) -> Vector:
        """Return the place at a distance along the wall, and so far out of the room."""
        return (
            self.start[0] + self.along[0] * distance + self.out[0] * out,
            self.start[1] + self.along[1] * distance + self.out[1] * out,
        )


def wall_of(corners: Ring, names: tuple[str, ...], wall: WallName) -> Wall:
    """Return a wall of an outline by the names of its corners, in either order."""
    sense = 1 if twice_area(corners) > 0 else -1
    ends = dict(zip(names, corners, strict=True))
    start, end = ends[wall[0]], ends[wall[1]]
    backwards = wall not in set(pairwise((*names, names[0])))
    along = _unit((end[0] - start[0], end[1] - start[1]))
    side = -sense if backwards else sense
    return Wall(
        start=start,
        along=along,
        out=(along[1] * side, -along[0] * side),
        length=hypot(end[0] - start[0], end[1] - start[1]),
    )


def _unit(vector: Point) -> Vector:
    x, y = vector
    if x == 0 or y == 0:
        return (x > 0) - (x < 0), (y > 0) - (y < 0)
    length = hypot(x, y)
    return x / length, y / length


def twice_area(ring: Ring) -> int:
    """Return twice the signed area of an outline, over 0 when it goes round counter-clockwise."""
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in pairwise((*ring, ring[0])))
