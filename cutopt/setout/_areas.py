"""Gross and net area, everything between them named."""

from collections.abc import Iterable
from math import hypot

import shapely

from cutopt.model.cutouts import FloorArea, NamedArea
from cutopt.model.floor import Area, Field, PlacedDoorway
from cutopt.model.plan import Plan
from cutopt.model.rooms import Ring
from cutopt.setout._chords import edges
from cutopt.setout._shapes import floor_of

__all__ = ["area2", "floor_area"]


def area2(ring: Ring) -> int:
    """Return twice the area of a ring, exactly (the surveyor's formula)."""
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in edges(ring)))


def floor_area(plan: Plan) -> FloorArea:
    """Return the area of all rooms and doorways, and what is taken off it.

    Rooms count from wall to wall, things by their outlines without gaps; a doorway counts, with its strip and what
    goes under its jambs, where any floor reaches into it.
    """
    ground = plan.ground
    doors = [
        door
        for door in ground.doorways
        if any(_reaches(field, door.opening) for field in ground.fields if field.name in door.fields)
    ]
    return FloorArea(
        rooms=_named((room.name, room.corners) for room in ground.rooms),
        doorways=tuple(NamedArea(name=door.name, area2=_doorway2(door)) for door in doors),
        strips=_named((door.name, door.strip) for door in doors if door.strip is not None),
        things=_named((thing.name, thing.corners) for thing in ground.things),
        net2=sum(laid.run.area2 for laid in plan.rows),
    )


def _named(rings: Iterable[tuple[str, Ring]]) -> tuple[NamedArea, ...]:
    return tuple(NamedArea(name=name, area2=area2(ring)) for name, ring in rings)


def _doorway2(door: PlacedDoorway) -> int:
    """Return twice the area of an opening and of the floor under its jambs."""
    (x0, y0), (x1, y1) = door.opening[:2]
    opening, width = area2(door.opening), hypot(x1 - x0, y1 - y0)
    return opening + round(opening * 2 * door.undercut / width) if width else opening


def _reaches(field: Field, opening: Ring) -> bool:
    """Say whether any floor of a field lies in an opening."""
    shape = shapely.Polygon([field.frame.to_rows(point) for point in opening])
    return any(shapely.area(shapely.intersection(_shape(area), shape)) > 0 for area in field.areas)


def _shape(area: Area) -> shapely.Geometry:
    return floor_of([(area.outer, area.holes)])
