"""What stands round and in the floor: walls, doorways, transition strips, fixed things."""

from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from cutopt.drawing._draft import Draft
from cutopt.drawing._hatch import hatch
from cutopt.drawing._scene import Line, Style
from cutopt.model.floor import Ground, PlacedDoorway, PlacedThing

__all__ = ["STRIP", "THING", "THING_HATCH", "WALL", "draw_house"]

WALL = Style(width=1.4)
STRIP = Style(width=0.5, fill=0.35)
THING = Style(width=0.9, fill=1.0)
THING_HATCH = Style(width=0.3)
_BARE = Style(width=0, stroke=None, fill=1.0)
_HATCHES = ((45.0, 3.5), (135.0, 3.5))


def draw_house(draft: Draft, ground: Ground) -> None:
    """Draw walls, doorways and things; their places are taken for texts, doorways excepted."""
    openings = shapely.union_all([_paper(draft, doorway.opening) for doorway in ground.doorways])
    for room in ground.rooms:
        wall = draft.view.shape(shapely.LinearRing(room.corners))
        draft.stroke("walls", shapely.difference(wall, openings.buffer(0.01)), WALL)
    for doorway in ground.doorways:
        _draw_doorway(draft, doorway)
    for thing in ground.things:
        _draw_thing(draft, thing)
    for item in draft.items["walls"]:
        for part in item.parts if isinstance(item, Line) else ():
            draft.board.take(*map(shapely.LineString, pairwise(part)))


def _paper(draft: Draft, corners: tuple[tuple[int, int], ...]) -> BaseGeometry:
    return draft.view.shape(shapely.Polygon(corners))


def _draw_doorway(draft: Draft, doorway: PlacedDoorway) -> None:
    """Draw the jambs; the opening runs along the first room's wall and back along the far side."""
    corners = doorway.opening
    jambs = shapely.MultiLineString([corners[1:3], (corners[-1], corners[0])])
    draft.stroke("doorways", draft.view.shape(jambs), WALL)
    if doorway.strip is not None:
        strip = shapely.intersection(_paper(draft, doorway.strip), draft.window)
        draft.shape("doorways", strip, STRIP)
        draft.board.take(strip)


def _draw_thing(draft: Draft, thing: PlacedThing) -> None:
    shape = shapely.intersection(_paper(draft, thing.corners), draft.window)
    draft.shape("things", shape, THING)
    for degrees, apart in _HATCHES:
        draft.stroke("things", hatch(shape, degrees=degrees, apart=apart), THING_HATCH)
