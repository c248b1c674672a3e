"""Fields: rooms whose rows run through, and the floor they make up, in the axes of the rows."""

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain, combinations, count

from cutopt.errors import JobError, Problem
from cutopt.layout.ground.place import Opening, Placed, names_of, place_rooms
from cutopt.layout.ground.vectors import Vector
from cutopt.model.floor import Area, Frame, PlacedDoorway, PlacedRoom, PlacedThing
from cutopt.model.job import Job
from cutopt.model.rooms import OutlineRoom, Point, Ring, SizeRoom, ThingKind
from cutopt.units import Ticks

__all__ = ["FieldGround", "Site", "survey_site"]

_APART = 320_000
"""How far plans that nothing joins are drawn apart: a metre."""

_GRIP = 4
"""How far an opening reaches into its rooms, in ticks: more than rounding takes away, and nothing to see."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldGround:
    """The floor of one field: ``areas`` in the axes of its rows, without gaps and things.

    ``shapes`` are the outlines of its rooms and of the doorways its rows run into, by name, in the same axes.
    """

    name: str
    frame: Frame
    areas: tuple[Area, ...]
    rooms: tuple[Placed, ...]
    shapes: tuple[tuple[str, Ring], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """All fields of a job with walls, and everything that has a place on the plan."""

    fields: tuple[FieldGround, ...] = ()
    rooms: tuple[PlacedRoom, ...] = ()
    things: tuple[PlacedThing, ...] = ()
    doorways: tuple[PlacedDoorway, ...] = ()


def survey_site(job: Job, degrees: Fraction) -> Site:
    """Place the rooms of a job, join those whose rows run through, and return the floor of each field.

    Rows run ``degrees`` from the plan's x. Raises ``JobError`` with every room, thing or doorway that does
    not fit the others.
    """
    _refuse_unsound(job)
    placed, openings = place_rooms(job)
    if not placed:
        return Site()
    fields = _fields(placed, openings, [room.name for room in job.rooms])
    origins = _origins(placed)
    _refuse_misfits(placed, openings)
    names = {one.room.name: name for name, rooms in fields.items() for one in rooms}
    grounds: list[FieldGround] = []
    problems: list[Problem] = []
    for name, rooms in fields.items():
        try:
            frame = Frame(degrees=degrees, origin=origins[rooms[0].plan])
            grounds.append(_ground(name, rooms, openings, frame, job.rules.gap))
        except JobError as error:
            problems.extend(error.problems)
    if problems:
        raise JobError(*problems)
    return Site(
        fields=tuple(grounds),
        rooms=tuple(
            PlacedRoom(
                name=one.room.name,
                field=names[one.room.name],
                corners=_shifted(one.corners, origins[one.plan]),
                names=names_of(one.room),
            )
            for one in placed
        ),
        things=tuple(
            PlacedThing(
                name=thing.name,
                kind=thing.kind,
                room=one.room.name,
                field=names[one.room.name],
                corners=_shifted(one.placing.ring(thing.corners), origins[one.plan]),
                gap=_gap(thing.gap, thing.kind, job.rules.gap),
            )
            for one in placed
            for thing in one.room.fixed
        ),
        doorways=tuple(_placed_doorway(opening, names, placed, origins) for opening in openings),
    )


def _refuse_unsound(job: Job) -> None:
    """Raise ``JobError`` with every outline that is no simple polygon."""
    outlines = [room for room in job.rooms if isinstance(room, OutlineRoom)]
    if outlines:
        from cutopt.layout.ground.inset import what_is_unsound  # noqa: PLC0415 - shapely, for outlines only

        problems = [what_is_unsound(room.corners, room.name) for room in outlines]
        if any(problems):
            raise JobError(*filter(None, problems))


def _gap(given: Ticks | None, kind: ThingKind, usual: Ticks) -> Ticks:
    """Return the gap kept to a thing; a vent's grille covers its cut (common practice, no source)."""
    if given is not None:
        return given
    return 0 if kind is ThingKind.VENT else usual


def _fields(
    placed: Sequence[Placed], openings: Sequence[Opening], rooms: Sequence[str]
) -> dict[str, list[Placed]]:
    """Group the rooms whose rows run through, in the job's order, by the field's name.

    ``rooms`` are the names of all rooms: no field is called by that of a room elsewhere.
    """
    group = {one.room.name: nth for nth, one in enumerate(placed)}
    through = [o.doorway.rooms for o in openings if o.doorway.strip is None and len(o.doorway.rooms) > 1]
    for a, b in through * len(through):
        group[a] = group[b] = min(group[a], group[b])
    members: dict[int, list[Placed]] = {}
    for one in placed:
        members.setdefault(group[one.room.name], []).append(one)
    named: dict[str, list[Placed]] = {}
    for joined in members.values():
        taken = {*rooms, *named} if len(joined) > 1 else set()
        named[_name([one.room.name for one in joined], taken)] = joined
    return named


_NAMED = 3


def _name(rooms: Sequence[str], taken: Container[str]) -> str:
    """Name a field by its rooms; of many, by the first."""
    name = " + ".join(rooms) if len(rooms) <= _NAMED else f"{rooms[0]} and {len(rooms) - 1} rooms"
    numbered = (f"{name} ({nth})" for nth in count(2))
    return next(free for free in chain([name], numbered) if free not in taken)


def _origins(placed: Sequence[Placed]) -> dict[int, Point]:
    """Say where the axes of each plan lie, so that plans that nothing joins lie side by side."""
    origins: dict[int, Point] = {}
    edge: Ticks | None = None
    for plan in dict.fromkeys(sorted(one.plan for one in placed)):
        xs = [x for one in placed if one.plan == plan for x, _ in one.corners]
        ys = [y for one in placed if one.plan == plan for _, y in one.corners]
        origins[plan] = (0, 0) if edge is None else (edge + _APART - min(xs), -min(ys))
        edge = origins[plan][0] + max(xs)
    return origins


def _shifted(ring: Ring, origin: Point) -> Ring:
    return tuple((x + origin[0], y + origin[1]) for x, y in ring)


def _ground(
    name: str, rooms: Sequence[Placed], openings: Sequence[Opening], frame: Frame, gap: Ticks
) -> FieldGround:
    """Return the floor of the rooms of one field, in the axes of its rows (which begin at the plan's own)."""
    axes = Frame(degrees=frame.degrees)
    inside = {one.room.name for one in rooms}
    shapes = [(one.room.name, _turned(one.corners, axes)) for one in rooms]
    shapes += [
        (opening.doorway.name, _turned(ring, axes))
        for opening in openings
        for ring in _reach(opening, inside, gap)
    ]
    areas = _plain(rooms, shapes, gap)
    if areas is None:
        from cutopt.layout.ground.inset import (  # noqa: PLC0415 - shapely, which a plain rectangle does without
            Obstacle,
            clear_areas,
            nothing_left,
        )

        obstacles = [
            Obstacle(
                corners=_turned(one.placing.ring(thing.corners), axes), gap=_gap(thing.gap, thing.kind, gap)
            )
            for one in rooms
            for thing in one.room.fixed
        ]
        obstacles += [Obstacle(corners=_turned(ring, axes), gap=0) for ring in _wide_strips(openings, inside)]
        areas = clear_areas([ring for _, ring in shapes], gap, obstacles)
        if not areas:
            raise JobError(nothing_left(name))
    return FieldGround(name=name, frame=frame, areas=areas, rooms=tuple(rooms), shapes=tuple(shapes))


def _turned(ring: Sequence[Vector], axes: Frame) -> Ring:
    return tuple(map(axes.to_rows, ring))


def _plain(
    rooms: Sequence[Placed], shapes: Sequence[tuple[str, Ring]], gap: Ticks
) -> tuple[Area, ...] | None:
    """Return the floor of a rectangle by itself along the rows; ``None`` for any other field."""
    (first, *others) = rooms
    if others or len(shapes) > 1 or first.room.fixed or not isinstance(first.room, SizeRoom):
        return None
    ((_, ring),) = shapes
    xs, ys = sorted({x for x, _ in ring}), sorted({y for _, y in ring})
    if len(xs) > 2 or len(ys) > 2:  # noqa: PLR2004 - turned by other than right angles
        return None
    left, right, low, high = xs[0] + gap, xs[1] - gap, ys[0] + gap, ys[1] - gap
    if left >= right or low >= high:
        return None
    return (Area(outer=((left, low), (right, low), (right, high), (left, high))),)


def _reach(opening: Opening, inside: set[str], gap: Ticks) -> Iterator[tuple[Vector, ...]]:
    """Yield what a doorway adds to the floor of a field on either side of it.

    Where the rows run through, it is the whole opening. At a strip it ends there: the strip lies in the
    middle of the doorway, on the way out at its far side, and covers the gap to it.
    """
    doorway, depth = opening.doorway, opening.depth
    in_first = doorway.rooms[0] in inside
    in_second = len(doorway.rooms) > 1 and doorway.rooms[1] in inside
    begin, beyond = _level(-_GRIP), (opening.depths[0] + _GRIP, opening.depths[1] + _GRIP)
    if doorway.strip is None:
        if in_first:
            yield _slice(opening, begin, beyond if in_second else opening.depths)
        return
    start, end = _strip_edges(opening)
    if in_first:
        yield _slice(opening, begin, _level(max(start, 0) + gap))
    if in_second:
        yield _slice(opening, _level(min(end, depth) - gap), beyond)


def _level(depth: float) -> tuple[float, float]:
    return depth, depth


def _strip_edges(opening: Opening) -> tuple[float, float]:
    """Return from where to where through a doorway its strip lies."""
    strip = opening.doorway.strip or 0
    middle = opening.depth / 2 if len(opening.doorway.rooms) > 1 else opening.depth - strip / 2
    return middle - strip / 2, middle + strip / 2


def _wide_strips(openings: Sequence[Opening], inside: set[str]) -> Iterator[tuple[Vector, ...]]:
    """Yield the strips that reach into the rooms of a field, being wider than their doorway is deep."""
    for opening in openings:
        doorway = opening.doorway
        if (
            doorway.strip is not None
            and doorway.strip > opening.depth
            and not inside.isdisjoint(doorway.rooms)
        ):
            yield _slice(opening, *map(_level, _strip_edges(opening)))


def _slice(opening: Opening, low: tuple[float, float], high: tuple[float, float]) -> tuple[Vector, ...]:
    """Return the part of an opening between two depths at either jamb, with what goes under the jambs."""
    under, width = opening.doorway.undercut, opening.doorway.width
    (x0, y0), (x1, y1) = opening.near
    (ax, ay), (ox, oy) = opening.along, opening.out

    def corner(depths: tuple[float, float], jamb: int) -> Vector:
        x, y, along = ((x0, y0, -under), (x1, y1, under))[jamb]
        out = depths[jamb] + (depths[1] - depths[0]) * along / width
        return x + ax * along + ox * out, y + ay * along + oy * out

    return corner(low, 0), corner(low, 1), corner(high, 1), corner(high, 0)


def _placed_doorway(
    opening: Opening, names: Mapping[str, str], placed: Sequence[Placed], origins: Mapping[int, Point]
) -> PlacedDoorway:
    doorway = opening.doorway
    plan = next(one.plan for one in placed if one.room.name == doorway.rooms[0])
    whole = Frame()

    def ring(points: Sequence[Vector]) -> Ring:
        return _shifted(tuple(map(whole.to_rows, points)), origins[plan])

    strip = None
    if doorway.strip is not None:
        strip = ring(_slice(opening, *map(_level, _strip_edges(opening))))
    return PlacedDoorway(
        name=doorway.name,
        rooms=doorway.rooms,
        fields=tuple(names[room] for room in doorway.rooms),
        opening=ring((*opening.near, *opening.far[::-1])),
        undercut=doorway.undercut,
        strip=strip,
    )


def _refuse_misfits(placed: Sequence[Placed], openings: Sequence[Opening]) -> None:
    """Refuse rooms that overlap, things that stick out of their room, doorways that miss the other room."""
    joint = [pair for pair in combinations(placed, 2) if pair[0].plan == pair[1].plan]
    with_things = [one for one in placed if one.room.fixed]
    if not joint and not with_things:
        return
    from cutopt.layout.ground.misfits import misfits  # noqa: PLC0415 - shapely

    problems = misfits(placed, openings)
    if problems:
        raise JobError(*problems)
