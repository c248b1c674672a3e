"""Names on the floor: rooms, fixed things, doorways, corners, walls and working lines."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import atan2, degrees, hypot

import shapely
from shapely.geometry.base import BaseGeometry

from cutopt.drawing._board import Box, boxed, is_flipped, upright
from cutopt.drawing._draft import SMALLEST, Draft
from cutopt.drawing._laid import FloorField
from cutopt.drawing._letters import shortened
from cutopt.drawing._pieces import PaperPiece, places
from cutopt.drawing._scene import XY, GuideLine, Style
from cutopt.model.floor import Ground, PlacedDoorway, PlacedRoom, PlacedThing
from cutopt.model.rooms import Ring
from cutopt.units import Unit, format_length

__all__ = ["GUIDE", "draw_guides", "name_rooms", "name_things", "name_walls"]

GUIDE = Style(width=0.8, dash=(7, 2, 1.5, 2))
_NAME_SIZE = 8.0
_LONGEST_NAME = 140.0
_STEPS = 9
_ROUND = ((0, -1), (0, 1), (1, 0), (-1, 0), (1, -1), (-1, -1), (1, 1), (-1, 1))


def draw_guides(draft: Draft, lines: Sequence[GuideLine]) -> None:
    """Draw the working lines, each with its label on it where there is room."""
    for line in lines:
        shape = shapely.LineString([draft.view.at(line.start), draft.view.at(line.end)])
        seen = shapely.intersection(shape, draft.window)
        draft.stroke("guides", seen, GUIDE)
        if not line.label or seen.is_empty or not isinstance(seen, shapely.LineString):
            continue
        text = shortened(line.label, _LONGEST_NAME, SMALLEST)
        (x0, y0), (x1, y1) = seen.coords[0], seen.coords[-1]
        box = boxed(text, SMALLEST, degrees=upright(degrees(atan2(y1 - y0, x1 - x0))))
        draft.marks.append(seen)
        middle = _at(box, ((x0 + x1) / 2, (y0 + y1) / 2))
        ends = (middle.moved(side * (seen.length + box.width + 12) / 2, 0) for side in (1, -1))
        along = (_at(box, (x0 + t * (x1 - x0), y0 + t * (y1 - y0))) for t in (0.12, 0.88, 0.3, 0.7, 0.5))
        found = draft.outside(ends) or draft.board.first_free(along, within=draft.window)
        if found is None:
            draft.key(f"working line {text}")
        else:
            draft.tag(found, text, SMALLEST)


def _at(box: Box, centre: XY) -> Box:
    return Box(centre=centre, width=box.width, height=box.height, degrees=box.degrees)


def name_rooms(
    draft: Draft, ground: Ground, fields: Sequence[FloorField], pieces: Sequence[PaperPiece], unit: Unit
) -> None:
    """Name the rooms, each where its name covers the fewest joints and numbers of pieces."""
    under = _Under(pieces=pieces, tree=shapely.STRtree([piece.shape for piece in pieces]))
    things = shapely.union_all([draft.view.shape(shapely.Polygon(thing.corners)) for thing in ground.things])
    for field in fields:
        for name, shape in _rooms_of(draft, field, ground, unit):
            seen = shapely.difference(shapely.intersection(shape, draft.window), things)
            if seen.area > 0:
                _name_room(draft, field, name, seen, under)


def _rooms_of(
    draft: Draft, field: FloorField, ground: Ground, unit: Unit
) -> Iterator[tuple[str, BaseGeometry]]:
    """Yield what a field's rooms are called, with their size where they are rectangles, and their floors."""
    rooms = [room for room in ground.rooms if room.field == field.name]
    for room in rooms:
        yield _title(room, unit), draft.view.shape(shapely.make_valid(shapely.Polygon(room.corners)))
    if not rooms:
        for name in dict.fromkeys(run.run.room for run in field.runs):
            floor = shapely.union_all([run.shape for run in field.runs if run.run.room == name])
            yield name, draft.view.shape(floor, field.frame)


def _title(room: PlacedRoom, unit: Unit) -> str:
    shape = shapely.Polygon(room.corners)
    left, low, right, high = shape.bounds
    if len(room.corners) != 4 or shape.area != (right - left) * (high - low):  # noqa: PLR2004 - a rectangle
        return room.name
    along, across = (format_length(round(size), unit) for size in (right - left, high - low))
    return f"{room.name}: {along} x {across}"


def _name_room(draft: Draft, field: FloorField, title: str, shape: BaseGeometry, under: "_Under") -> None:
    """Put down the name, with the size where that hides no more of the pieces than the name alone."""
    shapely.prepare(shape)
    found: list[tuple[tuple[int, int], int, Box, str]] = []
    for text in dict.fromkeys((title, title.partition(": ")[0])):
        line = shortened(text, 2 * _LONGEST_NAME, _NAME_SIZE, bold=True)
        found += [
            (under.lost(draft, box.shape), len(found), box, line)
            for box in _on_rows(draft, field, shape, line)
            if shape.covers(box.shape) and draft.board.is_free(box.shape)
        ]
    if not found:
        draft.key(title)
        return
    _, _, box, line = min(found, key=lambda place: (place[0][0], place[3] != title, place[0], place[1]))
    draft.board.take(box.shape)
    draft.tag(box, line, _NAME_SIZE, bold=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Under:
    """The pieces that a name may come to lie on."""

    pieces: Sequence[PaperPiece]
    tree: shapely.STRtree

    def lost(self, draft: Draft, box: shapely.Polygon) -> tuple[int, int]:
        """Return how many pieces a box leaves no room for their numbers, and how many it lies on."""
        hit = [self.pieces[nth] for nth in self.tree.query(box, predicate="intersects")]
        return sum(not _has_room(draft, piece, box) for piece in hit), len(hit)


def _has_room(draft: Draft, piece: PaperPiece, box: shapely.Polygon) -> bool:
    shapes = (place.shape for place in places(piece, (piece.piece.piece.id,), SMALLEST))
    return any(
        not shape.intersects(box) and piece.shape.covers(shape) and draft.board.is_free(shape)
        for shape in shapes
    )


def _on_rows(draft: Draft, field: FloorField, shape: BaseGeometry, text: str) -> Iterator[Box]:
    """Yield places for a text along the rows, in the middle of a row's width, those near the middle first."""
    turn = upright(float(field.frame.degrees))
    centre = shape.centroid if shape.covers(shape.centroid) else shape.representative_point()
    box = boxed(text, _NAME_SIZE, bold=True, degrees=turn)
    rows = _nearest_rows(draft, field, (centre.x, centre.y))
    for along, (x, y) in product(sorted(range(-_STEPS, _STEPS + 1), key=abs), rows):
        yield _at(box, (x, y)).moved(along * 11.0, 0)


def _nearest_rows(draft: Draft, field: FloorField, centre: XY) -> list[XY]:
    """Return points in the middles of rows, below and above a place on paper, the nearest first."""
    view = draft.view
    ticks = (
        (centre[0] - view.corner[0]) / view.factor + view.origin[0],
        (centre[1] - view.corner[1]) / view.factor + view.origin[1],
    )
    x, y = field.frame.to_rows(ticks)
    middles = [(low + high) / 2 for low, high in zip(field.lines, field.lines[1:], strict=False)]
    nearest = sorted(middles, key=lambda middle: abs(middle - y))[:_STEPS]
    return [view.at(field.frame.to_plan((x, middle))) for middle in nearest]


def name_things(draft: Draft, ground: Ground) -> None:
    """Name fixed things and doorways, in or beside them; by a number where the name finds no room."""
    for thing in ground.things:
        _name(draft, thing, draft.view.shape(shapely.Polygon(thing.corners)))
    for thing in ground.things:
        draft.board.take(draft.view.shape(shapely.Polygon(thing.corners)).buffer(1))
    for doorway in ground.doorways:
        _name(draft, doorway, draft.view.shape(shapely.Polygon(doorway.opening)))


def _name(draft: Draft, what: PlacedThing | PlacedDoorway, shape: BaseGeometry) -> None:
    seen = shapely.intersection(shape, draft.window)
    if seen.area <= 0:
        return
    text = shortened(what.name, _LONGEST_NAME, SMALLEST)
    at = seen.representative_point()
    for turn in (0.0, 90.0):
        box = boxed(text, SMALLEST, at=(at.x, at.y), degrees=turn)
        if found := draft.board.first_free([box], within=seen):
            draft.tag(found, text, SMALLEST)
            return
    around = list(_around(boxed(text, SMALLEST), seen))
    found = draft.outside(around)
    if found is None:
        text = draft.key(_for_notes(what, text))
        box = boxed(text, SMALLEST, bold=True, at=(at.x, at.y))
        found = draft.board.first_free([box], within=seen) or draft.board.first_free(
            _around(box, seen), within=draft.window
        )
        bold = True
    else:
        bold = False
    if found is not None:
        draft.tag(found, text, SMALLEST, bold=bold)


def _for_notes(what: PlacedThing | PlacedDoorway, name: str) -> str:
    """Return a name for the notes."""
    return f"{name} (way out)" if isinstance(what, PlacedDoorway) and len(what.rooms) == 1 else name


def _around(box: Box, shape: BaseGeometry) -> Iterator[Box]:
    """Yield places about a shape, close by."""
    left, low, right, high = shape.bounds
    for away, (i, j) in product((1.5, 4.0, 8.0), _ROUND):
        x = (left + right) / 2 + i * ((right - left + box.width) / 2 + away)
        y = (low + high) / 2 + j * ((high - low + box.height) / 2 + away)
        yield _at(box, (x, y))


def name_walls(draft: Draft, ground: Ground, unit: Unit) -> None:
    """Name corners, and give the lengths of walls, outside the floor as far as there is room."""
    for room in ground.rooms:
        inside = draft.view.shape(shapely.make_valid(shapely.Polygon(room.corners)))
        for at, name in zip(room.corners, room.names, strict=False):
            _name_corner(draft, draft.view.at(at), name, inside)
    for room in ground.rooms:
        for start, end in _walls(room.corners):
            _measure_wall(draft, start, end, unit)


def _name_corner(draft: Draft, at: XY, name: str, inside: BaseGeometry) -> None:
    text = shortened(name, 30, SMALLEST, bold=True)
    box = boxed(text, SMALLEST, bold=True)
    near = [_at(box, at).moved(away * i, away * j) for away in (6.0, 8.0) for i, j in reversed(_ROUND)]
    near.sort(key=lambda place: inside.intersects(place.shape))
    found = draft.outside(near) or draft.board.first_free(near, within=draft.window)
    if found is not None:
        draft.tag(found, text, SMALLEST, bold=True)


def _walls(corners: Ring) -> Iterator[tuple[XY, XY]]:
    """Yield the walls of a ring counter-clockwise: the room lies at their left."""
    ring = corners if shapely.LinearRing(corners).is_ccw else corners[::-1]
    yield from zip(ring, (*ring[1:], ring[0]), strict=True)


def _measure_wall(draft: Draft, start: XY, end: XY, unit: Unit) -> None:
    (x0, y0), (x1, y1) = draft.view.at(start), draft.view.at(end)
    length = hypot(x1 - x0, y1 - y0)
    text = format_length(round(hypot(end[0] - start[0], end[1] - start[1])), unit)
    turn = degrees(atan2(y1 - y0, x1 - x0))
    box = boxed(text, SMALLEST, at=((x0 + x1) / 2, (y0 + y1) / 2), degrees=upright(turn))
    if box.width > length:
        return
    out = 1 if is_flipped(turn) else -1
    beside = (box.moved(along * length, out * away) for away in (6.0, 13.0) for along in (0, -0.2, 0.2))
    if found := draft.outside(beside):
        draft.tag(found, text, SMALLEST)
