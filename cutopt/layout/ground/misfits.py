"""What does not fit on a plan: rooms that overlap, things outside their room, doorways that lead nowhere."""

from collections.abc import Iterator, Sequence

import shapely

from cutopt.errors import Problem
from cutopt.layout.ground.place import MATCH, Opening, Placed, where

__all__ = ["misfits"]

_SPECK = 320**2
"""Area that rounding alone may make up, in square ticks: a square millimetre."""

_ROUNDED = 2
"""Half of what two walls that should meet may overlap by, once their corners are on whole ticks."""


def misfits(placed: Sequence[Placed], openings: Sequence[Opening]) -> list[Problem]:
    """Return everything on a plan that is not where it can be."""
    shapes = [shapely.Polygon(one.corners) for one in placed]
    if not all(shape.is_valid for shape in shapes):
        return []  # an unsound outline is refused by itself
    return [
        *_overlaps(placed, shapes),
        *_outside(placed, shapes),
        *_astray(placed, shapes, openings),
        *_crossing(placed, openings),
    ]


def _overlaps(placed: Sequence[Placed], shapes: Sequence[shapely.Polygon]) -> Iterator[Problem]:
    pairs = shapely.STRtree(shapes).query(shapes, predicate="intersects").T
    for one, other in sorted((int(one), int(other)) for one, other in pairs if one < other):
        if placed[one].plan == placed[other].plan and _overlap(shapes[one], shapes[other]):
            yield Problem(
                what=f"it overlaps room {placed[one].room.name} on the plan",
                where=f'room "{placed[other].room.name}"',
                remedy="check at = [x, y], and the doorways that place it",
            )


def _shared(one: shapely.Geometry, other: shapely.Geometry) -> float:
    return float(shapely.intersection(one, other).area)


def _overlap(one: shapely.Geometry, other: shapely.Geometry) -> bool:
    """Tell whether two shapes overlap by more than corners set on whole ticks may make them, however long."""
    shared = shapely.intersection(one, other)
    return bool(shared.area > _SPECK and shapely.buffer(shared, -_ROUNDED).area > 0)


def _outside(placed: Sequence[Placed], shapes: Sequence[shapely.Polygon]) -> Iterator[Problem]:
    for one, shape in zip(placed, shapes, strict=True):
        for thing in one.room.fixed:
            outline = shapely.Polygon(one.placing.ring(thing.corners))
            far = _shared(outline, shape) <= min(_SPECK, outline.area / 2)
            if far or shapely.difference(outline, _within(shape)).area > _SPECK:
                yield Problem(
                    what=f"{thing.name} {'lies outside' if far else 'sticks out of'} the room",
                    where=f'room "{one.room.name}"',
                    remedy="check at, size and outline of the thing: they are in the room's own axes",
                )


def _within(shape: shapely.Polygon) -> shapely.Geometry:
    """Return a room with what its walls may be out by: things at a wall are not measured to the tick."""
    return shapely.buffer(shape, MATCH, join_style="mitre")


def _astray(
    placed: Sequence[Placed], shapes: Sequence[shapely.Polygon], openings: Sequence[Opening]
) -> Iterator[Problem]:
    """Yield doorways whose far side is not at the other room's wall, or that cross a room."""
    by_name = {one.room.name: shape for one, shape in zip(placed, shapes, strict=True)}
    for opening in openings:
        rooms = opening.doorway.rooms
        if len(rooms) > 1:
            far = shapely.LineString(opening.far)
            if (
                far.length
                and shapely.hausdorff_distance(_near_part(by_name[rooms[1]].exterior, far), far) > MATCH
            ):
                yield Problem(
                    what=f"its far side does not lie on a wall of {rooms[1]}",
                    where=where(opening.doorway),
                    remedy="check its wall, its depth, and where the rooms lie",
                )
        through = shapely.Polygon([*opening.near, *opening.far[::-1]])
        plan = next(one.plan for one in placed if one.room.name == rooms[0])
        for one, shape in zip(placed, shapes, strict=True):
            if one.plan == plan and one.room.name not in rooms and _overlap(through, shape):
                yield Problem(
                    what=f"it passes through room {one.room.name}",
                    where=where(opening.doorway),
                    remedy="check its wall, its depth, and where the rooms lie",
                )


def _crossing(placed: Sequence[Placed], openings: Sequence[Opening]) -> Iterator[Problem]:
    """Yield doorways that lie on one before them."""
    plan_of = {one.room.name: one.plan for one in placed}
    through = [shapely.Polygon([*opening.near, *opening.far[::-1]]) for opening in openings]
    for nth, opening in enumerate(openings):
        for before in range(nth):
            same = plan_of[opening.doorway.rooms[0]] == plan_of[openings[before].doorway.rooms[0]]
            if same and _overlap(through[before], through[nth]):
                yield Problem(
                    what=f"it overlaps {where(openings[before].doorway)}",
                    where=where(opening.doorway),
                    remedy="check their walls and their distances from the corners",
                )


def _near_part(boundary: shapely.Geometry, line: shapely.LineString) -> shapely.Geometry:
    """Return the stretch of a boundary close by a line; the line's middle where there is none."""
    near = shapely.intersection(boundary, shapely.buffer(line, MATCH, cap_style="flat"))
    return near if not near.is_empty else shapely.buffer(line, 10 * MATCH)
