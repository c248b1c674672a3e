"""Check diagonals: from corner to corner of a room."""

from collections.abc import Iterator
from itertools import combinations
from math import hypot

import shapely
from shapely import Geometry

from cutopt.model.rooms import ThingKind
from cutopt.model.setout import Diagonal
from cutopt.setout._site import Site, SiteRoom

__all__ = ["diagonals"]

_PER_ROOM = 2
_MOST_CORNERS = 60


def diagonals(site: Site) -> tuple[Diagonal, ...]:
    """Return the two longest lengths from corner to corner of every room that nothing stands in the way of.

    In a rectangle they are its diagonals, alike where it is square; what the tape shows otherwise is
    how far the room is from its drawing. Rooms of very many corners have none.
    """
    return tuple(diagonal for room in site.rooms for diagonal in _of_room(site, room))


def _of_room(site: Site, room: SiteRoom) -> list[Diagonal]:
    if len(room.ring) > _MOST_CORNERS:
        return []
    found: list[Diagonal] = []
    clear = _clear(site, room)
    for diagonal, (start, end) in sorted(_pairs(room), key=lambda pair: -pair[0].length):
        if _sees(clear, room.ring[start], room.ring[end]):
            found.append(diagonal)
        if len(found) == _PER_ROOM:
            break
    return sorted(found, key=lambda diagonal: (diagonal.start, diagonal.end))


def _pairs(room: SiteRoom) -> Iterator[tuple[Diagonal, tuple[int, int]]]:
    corners, names = len(room.ring), room.placed.names
    for start, end in combinations(range(corners), 2):
        if end - start not in (1, corners - 1):
            (x0, y0), (x1, y1) = room.ring[start], room.ring[end]
            length = round(hypot(x1 - x0, y1 - y0))
            yield (
                Diagonal(room=room.placed.name, start=names[start], end=names[end], length=length),
                (start, end),
            )


def _clear(site: Site, room: SiteRoom) -> Geometry:
    things = [
        shapely.Polygon(thing.ring)
        for thing in site.things
        if thing.placed.room == room.placed.name and thing.placed.kind is not ThingKind.VENT
    ]
    # A tick to spare: corners on slanted walls are set on whole ticks.
    walls = shapely.buffer(shapely.Polygon(room.ring), 1, join_style="mitre")
    return shapely.difference(walls, shapely.union_all(things))


def _sees(clear: Geometry, start: tuple[int, int], end: tuple[int, int]) -> bool:
    return bool(shapely.covers(clear, shapely.LineString([start, end])))
