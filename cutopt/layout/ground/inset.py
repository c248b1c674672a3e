"""The floor inside its gaps: every wall moved inward, every fixed thing outward.

The area is the floor less one zone along every wall, as deep as the gap, and one at every corner
that points into the floor; things are taken off with zones of their own. Shapely subtracts them and sets the result on whole ticks: walls along
the axes come out exact, corners on slanted walls within half a tick, which is the precision of the
job file itself. (Shapely's own negative buffer is not used: it first smooths away jogs under 1 %
of the gap.)
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.polygon import orient

from cutopt.errors import Problem
from cutopt.model.floor import Area
from cutopt.model.rooms import Point, Ring
from cutopt.units import Ticks

__all__ = ["Obstacle", "clear_areas", "nothing_left", "tidy_ring", "what_is_unsound"]

_Points = NDArray[np.float64]

_PINCHES = tuple(2**size for size in range(10))
"""How far floor is taken off round a point, in ticks, round by round: along a thin wedge the next point is near."""

_WIDEST = 2**40
"""In ticks; below it a float is finer than a thousandth of a tick."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """A thing to keep clear of, and the gap kept to it."""

    corners: Ring
    gap: Ticks


def clear_areas(floors: Sequence[Ring], gap: Ticks, obstacles: Sequence[Obstacle] = ()) -> tuple[Area, ...]:
    """Return what is left of a floor inside its gaps and clear of what stands on it, in ticks.

    ``floors`` are outlines that make up one floor: rooms and the doorways between them. A narrow neck, or
    a thing from wall to wall, may part it into several areas; none may be left. The result depends
    neither on where an outline begins, nor which way round it goes, nor where it lies, nor on corners
    within a straight wall. Without gaps and things, the one outline of a single room is returned as it is.
    """
    left = min(x for ring in floors for x, _ in ring)
    low = min(y for ring in floors for _, y in ring)
    moved = [tidy_ring([(x - left, y - low) for x, y in ring]) for ring in floors]
    things = [
        Obstacle(corners=tidy_ring([(x - left, y - low) for x, y in thing.corners]), gap=thing.gap)
        for thing in obstacles
    ]
    things = [thing for thing in things if thing.corners]  # one under a tick thin has none left
    if len(moved) == 1 and gap == 0 and not things:
        areas: tuple[Area, ...] = (Area(outer=moved[0]),)
    else:
        areas = tuple(_inset(moved, gap, things))
    return tuple(
        Area(outer=_moved(area.outer, left, low), holes=tuple(_moved(hole, left, low) for hole in area.holes))
        for area in areas
    )


def _moved(ring: Ring, right: Ticks, up: Ticks) -> Ring:
    return tuple((x + right, y + up) for x, y in ring)


def what_is_unsound(ring: Ring, room: str) -> Problem | None:
    """Return what keeps an outline from being a simple polygon."""
    where = f'room "{room}"'
    left, low = min((x for x, _ in ring), default=0), min((y for _, y in ring), default=0)
    tidy = tidy_ring([(x - left, y - low) for x, y in ring])
    if max(map(max, tidy), default=0) > _WIDEST:
        return Problem(what="the outline is thousands of km wide", where=where, remedy="check its units")
    if tidy and shapely.Polygon(tidy).is_valid:
        return None
    return Problem(
        what="the outline crosses or touches itself, or encloses nothing",
        where=where,
        remedy="give the corners in order, once round the room",
    )


def nothing_left(room: str) -> Problem:
    """Say that a room vanishes inside its gaps."""
    return Problem(
        what="nothing is left of the room inside its gaps",
        where=f'room "{room}"',
        remedy="check its size, or make rules.gap smaller",
    )


def tidy_ring(corners: Sequence[Point]) -> Ring:
    """Return a ring counter-clockwise from its lowest, then leftmost corner, without idle corners.

    Repeated corners and corners within a straight wall are dropped.
    """
    ring = list(corners)
    while ring and len(kept := _turning(_moving(ring))) < len(ring):
        ring = kept
    if _twice_area(ring) < 0:
        ring.reverse()
    start = min(range(len(ring)), key=lambda at: (ring[at][1], ring[at][0]), default=0)
    return tuple(ring[start:] + ring[:start])


def _moving(ring: list[Point]) -> list[Point]:
    """Keep one of corners that repeat, the last and the first being neighbours."""
    return [corner for at, corner in enumerate(ring) if corner != ring[at - 1]]


def _turning(ring: list[Point]) -> list[Point]:
    """Keep the corners at which the ring turns, as seen from the last one kept."""
    kept: list[Point] = []
    for at, corner in enumerate(ring):
        before = kept[-1] if kept else ring[-1]
        if _cross(before, corner, ring[(at + 1) % len(ring)]) != 0:
            kept.append(corner)
    return kept


def _cross(a: Point, b: Point, c: Point) -> int:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def _twice_area(ring: Sequence[Point]) -> int:
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(ring, [*ring[1:], *ring[:1]], strict=True))


def _inset(floors: Sequence[Ring], gap: Ticks, things: Sequence[Obstacle]) -> Iterator[Area]:
    """Yield the areas left when all walls are moved inward by ``gap``, and things outward by theirs."""
    floor = shapely.union_all([shapely.Polygon(ring) for ring in floors], grid_size=1.0)
    walls = [(ring, gap) for part in _polygons(floor) for ring in _rings(part)]
    # Seen from the floor, one goes round a thing clockwise.
    walls += [(thing.corners[::-1], thing.gap) for thing in things]
    taken = [
        zone
        for ring, depth in walls
        if depth
        for zone in shapely.get_parts(shapely.polygons(_zones(_points(ring), float(depth))))
    ]
    taken += [shapely.Polygon(thing.corners) for thing in things]
    rest = _parted(shapely.difference(floor, shapely.union_all(taken), grid_size=1.0))
    for part in _polygons(rest):
        outer, *holes = _rings(part)
        tidy_holes = (tidy_ring(hole)[::-1] for hole in holes)
        yield Area(outer=tidy_ring(outer), holes=tuple(hole for hole in tidy_holes if hole))


def _parted(rest: shapely.Geometry) -> shapely.Geometry:
    """Part the floor where it only hangs together in a point: no plank reaches through there.

    A small square is taken off at every corner that two stretches of its boundary share.
    """
    for size in _PINCHES:
        times = Counter(corner for part in _polygons(rest) for ring in _rings(part) for corner in set(ring))
        times.update(
            corner
            for part in _polygons(rest)
            for ring in _rings(part)
            for corner, n in Counter(ring).items()
            if n > 1
        )
        pinches = sorted(corner for corner, n in times.items() if n > 1)
        if not pinches:
            break
        squares = [shapely.box(x - size, y - size, x + size, y + size) for x, y in pinches]
        rest = shapely.difference(rest, shapely.union_all(squares), grid_size=1.0)
    return rest


def _rings(part: shapely.Polygon) -> Iterator[Ring]:
    """Yield the outline of a floor, counter-clockwise, and its holes, clockwise."""
    yield _whole(part.exterior.coords)
    for hole in part.interiors:
        yield _whole(hole.coords)


def _whole(coords: Iterable[Sequence[float]]) -> Ring:
    """Return a closed line as a ring of whole ticks."""
    points = tuple((round(x), round(y)) for x, y in coords)
    return points[:-1]


def _points(ring: Ring) -> _Points:
    return np.array(ring, dtype=np.float64)


def _polygons(shape: shapely.Geometry) -> Iterator[shapely.Polygon]:
    """Yield the areas of a shape, without the lines and points a collapsed neck may leave."""
    for part in shapely.get_parts(shape):
        if isinstance(part, shapely.Polygon) and part.area > 0:
            yield orient(part)


def _zones(points: _Points, gap: float) -> _Points:
    """Return the quadrilaterals to take off, (zones, 4, 2), of a counter-clockwise ring (n, 2)."""
    ends = np.roll(points, -1, axis=0)
    along = ends - points
    along /= np.hypot(along[:, 0], along[:, 1])[:, None]
    inward = gap * np.stack([-along[:, 1], along[:, 0]], axis=1)
    walls = np.stack([points, ends, ends + inward, points + inward], axis=1)
    return np.concatenate([walls, *_corner_zones(points, gap * along, inward)])


def _corner_zones(points: _Points, along: _Points, inward: _Points) -> tuple[_Points, _Points, _Points]:
    """Return what to take off at the corners that point into the room.

    Up to a square corner the two moved walls run on until they meet. At a sharper one they would
    meet far away, so each is only run on by one gap; at a square corner the two are the same.
    """
    back, back_in = np.roll(along, 1, axis=0), np.roll(inward, 1, axis=0)
    dot = np.einsum("ij,ij->i", back, along)
    into_room = back[:, 0] * along[:, 1] - back[:, 1] * along[:, 0] < 0
    blunt, sharp = into_room & (dot >= 0), into_room & (dot < 0)

    at, before, after = points[blunt], back_in[blunt], inward[blunt]
    square = np.einsum("ij,ij->i", before, before)
    meet = (before + after) * (square / (square + dot[blunt]))[:, None]
    mitres = np.stack([at, at + after, at + meet, at + before], axis=1)

    at = points[sharp]
    return mitres, _cap(at, back[sharp], back_in[sharp]), _cap(at, -along[sharp], inward[sharp])


def _cap(at: _Points, onward: _Points, inward: _Points) -> _Points:
    """Return the squares by which moved walls run on past the corner ``at``."""
    return np.stack([at, at + onward, at + onward + inward, at + inward], axis=1)
