"""The stops of a field: its walls, its fixed things, and what the job names."""

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import hypot

from cutopt.layout.ground import FieldGround, Site
from cutopt.layout.ground.place import Placed, names_of
from cutopt.layout.ground.vectors import twice_area
from cutopt.model.floor import Area, Frame, PlacedDoorway
from cutopt.model.job import EdgePolicy, Job, LayoutSpec
from cutopt.model.rooms import Point, Ring, Stop, StopSide, ThingKind
from cutopt.model.stops import StopLine
from cutopt.units import Ticks

__all__ = ["decide", "idle_stops", "stop_lines"]

_Edge = tuple[StopSide, Ticks, Ticks]
"""An edge of the floor along the rows: where the rows lie, and its lower and higher end across them."""

_NEAR = 3
"""Ticks that rounding may set an edge off the line that a wall moved by its gap should lie on."""


class _FloorEdges:
    """The edges of a floor, each with the floor at its left, looked up by where they lie across the rows."""

    def __init__(self, areas: Sequence[Area]) -> None:
        rings = [ring for area in areas for ring in (area.outer, *area.holes)]
        edges = [edge for ring in rings for edge in pairwise((*ring, ring[0])) if edge[0][0] != edge[1][0]]
        self._edges = sorted(edges, key=_lowest)
        self._lows = [_lowest(edge) for edge in self._edges]
        self._heights = sorted(y for ring in rings for _, y in ring)
        self._tallest = max((abs(end[1] - start[1]) for start, end in edges), default=0)

    def has(self, start: Point, end: Point) -> bool:
        """Tell whether the floor has an edge on some stretch between two points, going the same way."""
        low, high = sorted((start[1], end[1]))
        first = bisect_left(self._lows, low - self._tallest - _NEAR)
        last = bisect_right(self._lows, high + _NEAR)
        return any(_lie_together((start, end), edge) for edge in self._edges[first:last])

    def reaches(self, place: Ticks, side: StopSide) -> bool:
        """Tell whether any floor lies on this side of a place across the rows, or goes past it."""
        low, high = self._heights[0], self._heights[-1]
        return low < place <= high if side is StopSide.BEFORE else low <= place < high


def _lowest(edge: tuple[Point, Point]) -> Ticks:
    return min(edge[0][1], edge[1][1])


def _lie_together(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Tell whether two edges that go the same way along the rows lie on each other for a while."""
    if (one[1][0] > one[0][0]) != (other[1][0] > other[0][0]):
        return False
    left = max(min(one[0][0], one[1][0]), min(other[0][0], other[1][0]))
    right = min(max(one[0][0], one[1][0]), max(other[0][0], other[1][0]))
    return left < right and all(abs(_height(one, x) - _height(other, x)) <= _NEAR for x in (left, right))


def _height(edge: tuple[Point, Point], x: Ticks) -> float:
    (x0, y0), (x1, y1) = edge
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)


@dataclass(frozen=True, slots=True)
class _Room:
    """A room of a field, its floor, and the stops that the job names in it."""

    one: Placed
    field: FieldGround
    floor: _FloorEdges
    site: Site
    job: Job
    named: Sequence[Stop]

    def lines(self, name: str, edges: Iterable[_Edge], stops: Sequence[Stop] = ()) -> Iterator[StopLine]:
        """Yield the stop lines of what has these edges; ``stops`` are what the job says of it, maybe by sides."""
        for side, low, high in edges:
            stop = next((stop for stop in stops if stop.side in {None, side}), None)
            if stop is None and stops:
                continue
            yield StopLine(
                name=_called(name if stop is None else stop.name, self.one, self.field),
                side=side,
                low=low,
                high=high,
                min_rip=self.job.rules.min_rip if stop is None or stop.min_rip is None else stop.min_rip,
                full=stop is not None and stop.full,
            )

    def least(self, stops: Sequence[Stop]) -> Ticks:
        """Return how long a side must be along the rows to be a stop: a plank's width, or anything if named."""
        return 0 if stops else self.job.plank.width

    def seen(self, corners: Sequence[Point]) -> Ring:
        """Return places on the plan in the axes of the rows."""
        return tuple(map(self.field.frame.to_rows, corners))


def _called(name: str, one: Placed, field: FieldGround) -> str:
    """Return what a stop of a room is called among those of the whole field."""
    return name if len(field.rooms) == 1 else f"{one.room.name}: {name}"


def stop_lines(field: FieldGround, site: Site, job: Job) -> list[StopLine]:
    """Return every stop of a field: as the job names it, else whatever ends rows along their length.

    That is every wall, fixed thing (but a vent, which a grille covers), transition strip and way out that
    runs less than 45 degrees off the rows with floor before it; at a wall and a thing it ends a gap away.
    Sides shorter along the rows than a plank is wide are notched to, not ripped: they count where the job
    names them only. Wanted is what the job says, else no rip under ``rules.min_rip``.
    """
    floor = _FloorEdges(field.areas)
    found: list[StopLine] = []
    for one in field.rooms:
        named = [stop for stop in job.stops if stop.room == one.room.name]
        room = _Room(one, field, floor, site, job, named)
        found += [*_walls(room), *_things(room), *_sills(room)]
        for stop in named:
            found += _other(stop, room)
    return found


def decide(layout: LayoutSpec) -> bool:
    """Tell whether stops may decide where the rows begin, and nothing else does."""
    return layout.first_width is None and layout.edges in {EdgePolicy.AUTO, EdgePolicy.STOPS}


def idle_stops(field: FieldGround, job: Job, lines: Sequence[StopLine]) -> Iterator[str]:
    """Yield a sentence for every stop that the job names in a field and that is none of its ``lines``."""
    met = {line.name for line in lines}
    for one in field.rooms:
        for stop in (stop for stop in job.stops if stop.room == one.room.name):
            if _called(stop.name, one, field) not in met:
                yield (
                    f'stop "{stop.name}" in room "{stop.room}": no row ends there lengthwise, so it decides nothing; '
                    "check its place, its side and the direction of the rows"
                )


def _walls(room: _Room) -> Iterator[StopLine]:
    corners = tuple(map(room.field.frame.axes.to_rows, room.one.corners))
    names = names_of(room.one.room)
    ring, names = (corners, names) if twice_area(corners) > 0 else (corners[::-1], names[::-1])
    walls = pairwise([*zip(ring, names, strict=True), (ring[0], names[0])])
    for ((start, a), (end, b)), length in zip(walls, _straight_lengths(ring), strict=True):
        stops = [stop for stop in room.named if stop.wall in {(a, b), (b, a)}]
        if length >= room.least(stops):
            edge = _edge(start, end, room.job.rules.gap, room.floor)
            yield from room.lines(f"wall {a}-{b}", filter(None, [edge]), stops)


def _straight_lengths(ring: Ring) -> list[Ticks]:
    """Return how long along the rows each wall is, with those before and after it that go straight on."""
    walls = list(pairwise((*ring, ring[0])))
    turns = [_turns(walls[nth - 1], wall) for nth, wall in enumerate(walls)]
    stretches = list(accumulate(turns))
    around = stretches[-1]  # the first wall goes on from the last unless the ring turns at its first corner
    straight = [stretch % around if around else 0 for stretch in stretches]
    lengths: Counter[int] = Counter()
    for stretch, (start, end) in zip(straight, walls, strict=True):
        lengths[stretch] += abs(end[0] - start[0])
    return [lengths[stretch] for stretch in straight]


def _turns(before: tuple[Point, Point], after: tuple[Point, Point]) -> bool:
    (x0, y0), (x1, y1) = before
    _, (x2, y2) = after
    return (x1 - x0) * (y2 - y1) != (y1 - y0) * (x2 - x1)


def _things(room: _Room) -> Iterator[StopLine]:
    for thing in room.site.things:
        if thing.room == room.one.room.name and thing.kind is not ThingKind.VENT:
            stops = [stop for stop in room.named if stop.thing == thing.name]
            ring = _clockwise(room.seen(thing.corners))
            edges = _sides(ring, thing.gap, room.floor, room.least(stops))
            yield from room.lines(thing.name, edges, stops)


def _sills(room: _Room) -> Iterator[StopLine]:
    """Yield what ends the rows in the doorways of a room: a strip, or the far side of a way out."""
    for doorway in room.site.doorways:
        if room.one.room.name not in doorway.rooms:
            continue
        stops = [stop for stop in room.named if stop.doorway == doorway.name]
        if doorway.strip is not None:
            edges = _sides(_clockwise(room.seen(doorway.strip)), 0, room.floor)
        elif len(doorway.rooms) == 1:
            far = room.seen(doorway.opening[2:])
            edges = _sides((*far, *far[::-1]), room.job.rules.gap, room.floor)
        else:
            continue
        own = [edge for edge in edges if _own_side(edge, doorway, room)]
        yield from room.lines(doorway.name, own, stops)


def _own_side(edge: _Edge, doorway: PlacedDoorway, room: _Room) -> bool:
    """Tell whether an edge at a doorway is on the side of this room: two rooms of one field tell it once each."""
    near, far = (sum(y for _, y in room.seen(side)) for side in (doorway.opening[:2], doorway.opening[2:]))
    here, there = (near, far) if doorway.rooms[0] == room.one.room.name else (far, near)
    return len(doorway.rooms) == 1 or (edge[0] is StopSide.BEFORE) == (here < there)


def _clockwise(ring: Ring) -> Ring:
    return ring[::-1] if twice_area(ring) > 0 else ring


def _sides(ring: Ring, gap: Ticks, floor: _FloorEdges, least: Ticks = 0) -> list[_Edge]:
    """Return the sides of a thing that the floor comes up to; seen from the floor one goes round it clockwise."""
    walls = [(start, end) for start, end in pairwise((*ring, ring[0])) if abs(end[0] - start[0]) >= least]
    edges = [_edge(start, end, gap, floor) for start, end in walls]
    return [edge for edge in edges if edge is not None]


def _edge(start: Point, end: Point, gap: Ticks, floor: _FloorEdges) -> _Edge | None:
    """Return the edge of the floor along a wall that has it at its left; ``None`` for none along the rows."""
    along, across = end[0] - start[0], end[1] - start[1]
    if abs(along) <= abs(across):
        return None
    inward = round(gap * hypot(along, across) / along)
    moved = (start[0], start[1] + inward), (end[0], end[1] + inward)
    if not floor.has(*moved):
        return None
    low, high = sorted((moved[0][1], moved[1][1]))
    return (StopSide.AFTER if along > 0 else StopSide.BEFORE), low, high


def _other(stop: Stop, room: _Room) -> Iterator[StopLine]:
    """Yield a stop at a distance from the room's origin, or at a doorway that the rows run through."""
    if stop.at is not None:
        _, origin = room.field.frame.axes.to_rows(room.one.placing((0, 0)))
        place = origin + stop.at
        sides = [side for side in StopSide if room.floor.reaches(place, side)]
        yield from room.lines(stop.name, [(side, place, place) for side in sides], [stop])
    elif stop.doorway is not None and not _has_sill(stop.doorway, room.site):
        yield from room.lines(stop.name, _at_doorway(stop.doorway, room.field.frame, room.site), [stop])


def _has_sill(name: str, site: Site) -> bool:
    """Tell whether something ends the rows in a doorway, whichever way they run."""
    doorway = next(doorway for doorway in site.doorways if doorway.name == name)
    return doorway.strip is not None or len(doorway.rooms) == 1


def _at_doorway(name: str, frame: Frame, site: Site) -> list[_Edge]:
    """Return where rows ought to end well at a doorway that they run through.

    Where they run into it lengthwise, that is at its jambs: the floor lies between them. Else it is at its
    middle.
    """
    doorway = next(doorway for doorway in site.doorways if doorway.name == name)
    opening = [frame.to_rows(corner) for corner in doorway.opening]
    (x0, y0), (x1, y1) = opening[:2]
    ys = sorted(y for _, y in opening)
    if abs(x1 - x0) < abs(y1 - y0):
        return [(StopSide.AFTER, ys[0], ys[1]), (StopSide.BEFORE, ys[-2], ys[-1])]
    middle = round(sum(ys) / len(ys))
    return [(side, middle, middle) for side in StopSide]
