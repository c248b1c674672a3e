"""The stops of a field: its walls, its fixed things, and what the job names."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import hypot

from cutopt.layout.ground import FieldGround, Site
from cutopt.layout.ground.place import Placed, names_of
from cutopt.layout.ground.vectors import twice_area
from cutopt.model.floor import Area, Frame, PlacedThing
from cutopt.model.job import Job
from cutopt.model.rooms import Point, Ring, Stop, StopSide
from cutopt.model.stops import StopLine
from cutopt.units import Ticks

__all__ = ["stop_lines"]

_Edge = tuple[StopSide, Ticks, Ticks]
"""An edge of the floor along the rows: where the rows lie, and its lower and higher end across them."""


def stop_lines(field: FieldGround, site: Site, job: Job) -> list[StopLine]:
    """Return every stop of a field: as the job names it, else every wall and fixed thing along the rows.

    A wall is a stop where it runs less than 45 degrees off the rows and there is floor before it, which
    ends a gap away. Wanted is what the job says of it, else no rip under ``rules.min_rip``.
    """
    found: list[StopLine] = []
    for one in field.rooms:
        named = [stop for stop in job.stops if stop.room == one.room.name]
        found += _walls(one, field, job, named)
        found += _things(one, field, site, job, named)
        for stop in named:
            found += _other(stop, one, field, site, job)
    return found


def _line(name: str, edge: _Edge, stop: Stop | None, job: Job) -> Iterator[StopLine]:
    side, low, high = edge
    if stop is not None and stop.side not in (None, side):
        return
    wanted = job.rules.min_rip if stop is None or stop.min_rip is None else stop.min_rip
    full = stop is not None and stop.full
    yield StopLine(name=name, side=side, low=low, high=high, min_rip=wanted, full=full)


def _walls(one: Placed, field: FieldGround, job: Job, named: Sequence[Stop]) -> Iterator[StopLine]:
    ring, names = _counter_clockwise(_seen(one.corners, field), names_of(one.room))
    for (start, a), (end, b) in pairwise([*zip(ring, names, strict=True), (ring[0], names[0])]):
        edge = _edge(start, end, job.rules.gap, field.areas)
        if edge is not None:
            stop = next((stop for stop in named if stop.wall in {(a, b), (b, a)}), None)
            name = f"wall {a}-{b}" if stop is None else stop.name
            yield from _line(_in_room(name, one, field), edge, stop, job)


def _counter_clockwise(ring: Ring, names: tuple[str, ...]) -> tuple[Ring, tuple[str, ...]]:
    return (ring, names) if twice_area(ring) > 0 else (ring[::-1], names[::-1])


def _in_room(name: str, one: Placed, field: FieldGround) -> str:
    return name if len(field.rooms) == 1 else f"{one.room.name}: {name}"


def _things(
    one: Placed, field: FieldGround, site: Site, job: Job, named: Sequence[Stop]
) -> Iterator[StopLine]:
    for thing in site.things:
        if thing.room == one.room.name:
            stop = next((stop for stop in named if stop.thing == thing.name), None)
            name = _in_room(thing.name if stop is None else stop.name, one, field)
            for edge in _faces(thing, field):
                yield from _line(name, edge, stop, job)


def _faces(thing: PlacedThing, field: FieldGround) -> Iterator[_Edge]:
    """Yield the faces of a thing that the floor comes up to; seen from the floor one goes round it clockwise."""
    ring = tuple(map(field.frame.to_rows, thing.corners))
    ring = ring[::-1] if twice_area(ring) > 0 else ring
    for start, end in pairwise((*ring, ring[0])):
        edge = _edge(start, end, thing.gap, field.areas)
        if edge is not None:
            yield edge


def _edge(start: Point, end: Point, gap: Ticks, areas: Sequence[Area]) -> _Edge | None:
    """Return the edge of the floor along a wall that has it at its left; ``None`` for none along the rows."""
    along, across = end[0] - start[0], end[1] - start[1]
    if abs(along) <= abs(across):
        return None
    inward = round(gap * hypot(along, across) / along)
    low, high = sorted((start[1] + inward, end[1] + inward))
    middle = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2 + inward + (1 if along > 0 else -1)
    if not any(_holds(area, middle) for area in areas):
        return None
    return (StopSide.AFTER if along > 0 else StopSide.BEFORE), low, high


def _holds(area: Area, point: tuple[float, float]) -> bool:
    """Tell whether an area holds a point that is not on its boundary (even-odd rule)."""
    x, y = point
    crossings = 0
    for ring in (area.outer, *area.holes):
        for (x0, y0), (x1, y1) in pairwise((*ring, ring[0])):
            crossings += (y0 > y) != (y1 > y) and x < x0 + (x1 - x0) * (y - y0) / (y1 - y0)
    return crossings % 2 == 1


def _seen(ring: Ring, field: FieldGround) -> Ring:
    return tuple(map(field.frame.axes.to_rows, ring))


def _other(stop: Stop, one: Placed, field: FieldGround, site: Site, job: Job) -> Iterator[StopLine]:
    """Yield a stop at a distance from the room's origin, or at a doorway."""
    edges: list[_Edge] = []
    if stop.at is not None:
        _, origin = field.frame.axes.to_rows(one.placing((0, 0)))
        edges = [(side, origin + stop.at, origin + stop.at) for side in StopSide]
    elif stop.doorway is not None:
        edges = _at_doorway(stop.doorway, field.frame, site)
    for edge in edges:
        yield from _line(_in_room(stop.name, one, field), edge, stop, job)


def _at_doorway(name: str, frame: Frame, site: Site) -> list[_Edge]:
    """Return where rows ought to end well at a doorway.

    Where the rows run into it lengthwise, that is at its jambs: the floor lies between them. Else it is at
    the edges of its strip, or at its middle where there is none.
    """
    doorway = next(doorway for doorway in site.doorways if doorway.name == name)
    opening = [frame.to_rows(corner) for corner in doorway.opening]
    (x0, y0), (x1, y1) = opening[:2]
    if abs(x1 - x0) < abs(y1 - y0):
        ys = sorted(y for _, y in opening)
        return [(StopSide.AFTER, ys[0], ys[1]), (StopSide.BEFORE, ys[-2], ys[-1])]
    across = [frame.to_rows(corner)[1] for corner in doorway.strip or doorway.opening]
    if doorway.strip is None:
        middle = round(sum(across) / len(across))
        return [(side, middle, middle) for side in StopSide]
    ys = sorted(across)
    return [(StopSide.BEFORE, ys[0], ys[1]), (StopSide.AFTER, ys[-2], ys[-1])]
