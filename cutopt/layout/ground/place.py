"""Rooms brought onto one plan: by where they are said to lie, or by the doorways they share.

Rooms with a place of their own make up the plan. A room that a chain of doorways joins to one of
them is set against it, opening to opening, turned if need be. Rooms that nothing joins to a placed one
have a plan of their own, in the axes of the first of them.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from cutopt.errors import JobError, Problem
from cutopt.layout.ground.vectors import Placing, Vector, Wall, wall_of
from cutopt.model.job import Job
from cutopt.model.rooms import (
    Doorway,
    OutlineRoom,
    Ring,
    RowsRoom,
    SizeRoom,
    WalledRoom,
    WallName,
    corner_names,
)
from cutopt.units import Ticks

__all__ = ["Opening", "Placed", "names_of", "outline_of", "place_rooms", "walled"]

MATCH = 4064
"""How far the two sides of one opening may be out of line, in ticks (half an inch; limit of our own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A room on a plan; rooms of one ``plan`` share their axes."""

    room: WalledRoom
    plan: int
    placing: Placing
    corners: Ring


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A doorway on the plan. ``near`` are its jambs on the first room's wall, ``far`` those across from them.

    ``along`` and ``out`` are unit vectors along the wall and through it, ``depths`` how deep the doorway is at
    either jamb: up to the other room's wall, which may be out of line with the first.
    """

    doorway: Doorway
    near: tuple[Vector, Vector]
    far: tuple[Vector, Vector]
    along: Vector
    out: Vector
    depths: tuple[float, float]

    @property
    def depth(self) -> float:
        """How deep the doorway is in its middle."""
        return sum(self.depths) / 2


def walled(job: Job) -> tuple[WalledRoom, ...]:
    """Return the rooms of a job that have walls."""
    return tuple(room for room in job.rooms if not isinstance(room, RowsRoom))


def outline_of(room: WalledRoom) -> Ring:
    """Return the corners of a room in its own axes."""
    match room:
        case SizeRoom():
            return (0, 0), (room.along, 0), (room.along, room.across), (0, room.across)
        case OutlineRoom():
            return room.corners
        case _:
            raise ValueError("the corners of a survey are found before its rows")


def names_of(room: WalledRoom) -> tuple[str, ...]:
    """Return what a room's corners are called."""
    given = room.corner_names if isinstance(room, OutlineRoom) else ()
    return given or corner_names(len(outline_of(room)))


def place_rooms(job: Job) -> tuple[tuple[Placed, ...], tuple[Opening, ...]]:
    """Return every room with walls in its place, in the job's order, and the doorways between them.

    Raises ``JobError`` with every doorway that does not fit its walls, and every room that cannot be placed.
    """
    rooms = {room.name: room for room in walled(job)}
    problems = [problem for doorway in job.doorways for problem in _misfits(doorway, rooms)]
    if problems:
        raise JobError(*problems)
    plans = _plans(job, rooms)
    placings = {name: Placing(move=room.at) for name, room in rooms.items() if room.at is not None}
    _spread(job, rooms, placings)
    for name in rooms:
        if name not in placings and not any(plans[other] == plans[name] for other in placings):
            placings[name] = Placing()
            _spread(job, rooms, placings)
    _refuse_unplaced(job, rooms, placings)
    placed = tuple(
        Placed(
            room=room,
            plan=plans[name],
            placing=placings[name],
            corners=placings[name].ring(outline_of(room)),
        )
        for name, room in rooms.items()
    )
    return placed, tuple(_openings(job.doorways, {one.room.name: one for one in placed}))


def _misfits(doorway: Doorway, rooms: Mapping[str, WalledRoom]) -> Iterator[Problem]:
    """Yield what keeps a doorway from lying in its walls."""
    for name, wall, offset in zip(doorway.rooms, doorway.walls, doorway.offsets, strict=False):
        room = rooms[name]
        length = _wall(room, Placing(), wall).length
        if offset + doorway.width > length + 1:
            yield Problem(
                what=f"the opening reaches past the end of wall {'-'.join(wall)} of {name}",
                where=where(doorway),
                remedy="check its width and its distance from the corner",
            )


def where(doorway: Doorway) -> str:
    """Name a doorway in a message."""
    return f'doorway "{doorway.name}"'


def _wall(room: WalledRoom, placing: Placing, wall: WallName) -> Wall:
    return wall_of(placing.ring(outline_of(room)), names_of(room), wall)


def _plans(job: Job, rooms: Mapping[str, WalledRoom]) -> dict[str, int]:
    """Return the plan of each room by number: all rooms with a place share one, others share one with whom a doorway joins them."""
    plans = {name: 0 if room.at is not None else nth for nth, (name, room) in enumerate(rooms.items(), 1)}
    joined = [doorway.rooms for doorway in job.doorways if len(doorway.rooms) > 1]
    for one, other in joined * len(joined):
        plans[one] = plans[other] = min(plans[one], plans[other])
    return plans


def _spread(job: Job, rooms: Mapping[str, WalledRoom], placings: dict[str, Placing]) -> None:
    """Place every room that a doorway with a wall in both rooms joins to a placed one."""
    waiting = [doorway for doorway in job.doorways if len(doorway.walls) > 1]
    while waiting:
        ready = next(
            (one for one in waiting if (one.rooms[0] in placings) != (one.rooms[1] in placings)), None
        )
        if ready is None:
            break
        waiting.remove(ready)
        known, new = (0, 1) if ready.rooms[0] in placings else (1, 0)
        old_wall = _wall(rooms[ready.rooms[known]], placings[ready.rooms[known]], ready.walls[known])
        new_wall = _wall(rooms[ready.rooms[new]], Placing(), ready.walls[new])
        placings[ready.rooms[new]] = _set_against(
            ready, (old_wall, ready.offsets[known]), (new_wall, ready.offsets[new])
        )


def _refuse_unplaced(job: Job, rooms: Mapping[str, WalledRoom], placings: Mapping[str, Placing]) -> None:
    problems = [
        Problem(
            what=f"room {new} cannot be placed by it",
            where=where(doorway),
            remedy="give its wall and its distance from a corner in both rooms, or give the room at = [x, y]",
        )
        for doorway in job.doorways
        for new in doorway.rooms
        if new in rooms and new not in placings
    ]
    if problems:
        raise JobError(*problems)


def _set_against(doorway: Doorway, old: tuple[Wall, Ticks], new: tuple[Wall, Ticks]) -> Placing:
    """Return the placing that sets a room's opening across from one in its place."""
    if doorway.depth is None:
        raise JobError(
            Problem(
                what="how deep the doorway is must be known to place a room by it",
                where=where(doorway),
                remedy="give depth, the thickness of the wall",
            )
        )
    (wall, offset), (own, own_offset) = old, new
    # The new wall looks the other way: a turn that takes its way out to the old wall's way in.
    cosine = -(own.out[0] * wall.out[0] + own.out[1] * wall.out[1])
    sine = own.out[1] * wall.out[0] - own.out[0] * wall.out[1]
    x, y = own.at(own_offset + doorway.width / 2)
    to_x, to_y = wall.at(offset + doorway.width / 2, doorway.depth)
    move = round(to_x - (x * cosine - y * sine)), round(to_y - (x * sine + y * cosine))
    return Placing(turn=(cosine, sine), move=move)


def _openings(doorways: Sequence[Doorway], placed: Mapping[str, Placed]) -> Iterator[Opening]:
    problems: list[Problem] = []
    for doorway in doorways:
        try:
            yield _opening(doorway, placed)
        except JobError as error:
            problems.extend(error.problems)
    if problems:
        raise JobError(*problems)


def _opening(doorway: Doorway, placed: Mapping[str, Placed]) -> Opening:
    one = placed[doorway.rooms[0]]
    wall = wall_of(one.corners, names_of(one.room), doorway.walls[0])
    offset, width = doorway.offsets[0], doorway.width
    depth: float = doorway.depth or doorway.strip or 0
    across: Wall | None = None
    if len(doorway.rooms) > 1:
        other = placed[doorway.rooms[1]]
        if len(doorway.walls) > 1:
            across = wall_of(other.corners, names_of(other.room), doorway.walls[1])
            depth = _depth(doorway, wall, across)
        elif doorway.depth is None:
            raise JobError(
                Problem(
                    what="how deep the doorway is cannot be told",
                    where=where(doorway),
                    remedy="give depth, the thickness of the wall, or its wall in both rooms",
                )
            )
        else:
            across = _wall_at(wall.at(offset + width / 2, depth), wall, other)
    jambs = wall.at(offset), wall.at(offset + width)
    first, second = (depth if across is None else _up_to(across, jamb, wall.out) for jamb in jambs)
    return Opening(
        doorway=doorway,
        near=jambs,
        far=(wall.at(offset, first), wall.at(offset + width, second)),
        along=wall.along,
        out=wall.out,
        depths=(first, second),
    )


def _wall_at(place: Vector, wall: Wall, other: Placed) -> Wall | None:
    """Return the wall of a room that faces another wall and lies at a place, give or take."""
    names = names_of(other.room)
    for ends in pairwise((*names, names[0])):
        across = wall_of(other.corners, names, ends)
        x, y = place[0] - across.start[0], place[1] - across.start[1]
        along = x * across.along[0] + y * across.along[1]
        aside = x * across.out[0] + y * across.out[1]
        if _faces(wall, across) and 0 <= along <= across.length and abs(aside) <= MATCH:
            return across
    return None


def _faces(wall: Wall, across: Wall) -> bool:
    return wall.out[0] * across.out[0] + wall.out[1] * across.out[1] < 0


def _up_to(across: Wall, start: Vector, out: Vector) -> float:
    """Return how far it is from a place to the line of a wall that faces it; nothing where it lies beyond."""
    ahead = [end - begin for begin, end in zip(start, across.start, strict=True)]
    to_wall = ahead[0] * across.out[0] + ahead[1] * across.out[1]
    return max(0.0, to_wall / (out[0] * across.out[0] + out[1] * across.out[1]))


def _depth(doorway: Doorway, wall: Wall, across: Wall) -> float:
    """Return how deep a doorway with a wall in both rooms is; refuse sides that do not face each other."""
    half = doorway.width / 2
    x, y = wall.at(doorway.offsets[0] + half)
    to_x, to_y = across.at(doorway.offsets[1] + half)
    aside = (to_x - x) * wall.along[0] + (to_y - y) * wall.along[1]
    depth = (to_x - x) * wall.out[0] + (to_y - y) * wall.out[1]
    if not _faces(wall, across) or abs(aside) > MATCH or depth < -MATCH:
        raise JobError(
            Problem(
                what="its sides in the two rooms do not face each other",
                where=where(doorway),
                remedy="check the walls, the distances from their corners, and where the rooms lie",
            )
        )
    if doorway.depth is not None and abs(depth - doorway.depth) > MATCH:
        raise JobError(
            Problem(
                what="the rooms lie further apart, or nearer, than the doorway is deep",
                where=where(doorway),
                remedy="check depth and where the rooms lie",
            )
        )
    return max(0.0, depth)
