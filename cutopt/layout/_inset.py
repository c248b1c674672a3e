"""The floor area of an outline: every wall moved inward by the gap.

The area is the room less one zone along every wall, as deep as the gap, and one at every corner
that points into the room. Shapely subtracts them and sets the result on whole ticks: walls along
the axes come out exact, corners on slanted walls within half a tick, which is the precision of the
job file itself. (Shapely's own negative buffer is not used: it first smooths away jogs under 1 %
of the gap.)
"""

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from cutopt.errors import JobError, Problem
from cutopt.units import Ticks

__all__ = ["Corner", "Ring", "floor_areas", "tidy_ring"]

Corner = tuple[Ticks, Ticks]
Ring = tuple[Corner, ...]

_Points = NDArray[np.float64]

_WIDEST = 2**40
"""In ticks; below it a float is finer than a thousandth of a tick."""


def floor_areas(corners: Sequence[Corner], gap: Ticks, *, room: str) -> tuple[Ring, ...]:
    """Return what is left of an outline inside its gaps, as counter-clockwise rings in ticks.

    A narrow neck may part the room into several areas. Areas never have holes: what is taken off
    hangs together along the walls. The result depends neither on where the outline begins, nor
    which way round it goes, nor where it lies, nor on corners within a straight wall.

    Raises ``JobError`` when the outline is no simple polygon or nothing is left of it.
    """
    left, low = min((x for x, _ in corners), default=0), min((y for _, y in corners), default=0)
    ring = tidy_ring([(x - left, y - low) for x, y in corners])
    _refuse_unsound(ring, room)
    areas = (ring,) if gap == 0 else _inset(ring, gap)
    if not areas:
        raise JobError(nothing_left(room))
    return tuple(tuple((x + left, y + low) for x, y in area) for area in areas)


def _refuse_unsound(ring: Ring, room: str) -> None:
    """Refuse what is no simple polygon; ``ring`` lies at the origin, where floats are finest."""
    where = f'room "{room}"'
    if max(map(max, ring), default=0) > _WIDEST:
        raise JobError(
            Problem(what="the outline is thousands of km wide", where=where, remedy="check its units")
        )
    if not ring or not shapely.Polygon(ring).is_valid:
        raise JobError(
            Problem(
                what="the outline crosses or touches itself, or encloses nothing",
                where=where,
                remedy="give the corners in order, once round the room",
            )
        )


def nothing_left(room: str) -> Problem:
    """Say that a room vanishes inside its gaps."""
    return Problem(
        what="nothing is left of the room inside its gaps",
        where=f'room "{room}"',
        remedy="check its size, or make rules.gap smaller",
    )


def tidy_ring(corners: Sequence[Corner]) -> Ring:
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


def _moving(ring: list[Corner]) -> list[Corner]:
    """Keep one of corners that repeat, the last and the first being neighbours."""
    return [corner for at, corner in enumerate(ring) if corner != ring[at - 1]]


def _turning(ring: list[Corner]) -> list[Corner]:
    """Keep the corners at which the ring turns, as seen from the last one kept."""
    kept: list[Corner] = []
    for at, corner in enumerate(ring):
        before = kept[-1] if kept else ring[-1]
        if _cross(before, corner, ring[(at + 1) % len(ring)]) != 0:
            kept.append(corner)
    return kept


def _cross(a: Corner, b: Corner, c: Corner) -> int:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def _twice_area(ring: Sequence[Corner]) -> int:
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(ring, [*ring[1:], *ring[:1]], strict=True))


def _inset(ring: Ring, gap: Ticks) -> tuple[Ring, ...]:
    """Move all walls of a ring inward by ``gap``."""
    points = np.array(ring, dtype=np.float64)
    zones = shapely.union_all(shapely.polygons(_zones(points, float(gap))))
    rest = shapely.difference(shapely.Polygon(points), zones, grid_size=1.0)
    return tuple(
        tidy_ring([(round(x), round(y)) for x, y in area.exterior.coords]) for area in _polygons(rest)
    )


def _polygons(shape: shapely.Geometry) -> Iterator[shapely.Polygon]:
    """Yield the areas of a shape, without the lines and points a collapsed neck may leave."""
    for part in shapely.get_parts(shape):
        if isinstance(part, shapely.Polygon) and part.area > 0:
            yield part


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
