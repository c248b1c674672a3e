"""What of a job may turn out longer or shorter than told, and the job it then is."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from itertools import islice, pairwise

from cutopt.model.cutouts import Axis
from cutopt.model.estimate import Grown
from cutopt.model.job import Job
from cutopt.model.rooms import OutlineRoom, Point, Room, RowSpec, RowsRoom, SizeRoom, SurveyRoom, WalledRoom
from cutopt.units import Ticks

__all__ = [
    "MOST_DIMENSIONS",
    "Dimension",
    "Made",
    "dimensions",
    "growing",
    "plank_growing",
    "rooms_growing",
    "stretched",
]

Made = Callable[[Ticks], Job]
"""Makes the job in which something has a length."""

MOST_DIMENSIONS = 12
"""The dimensions looked at one by one in a big job: each takes dozens of plans (limit of our own choice)."""

_X, _Y = 0, 1
_RIGHT_ANGLE = 90


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """One dimension of a room, by the room's place in the job and its own x (0) or y (1).

    ``way`` is where it lies as the rows see it (``None``: aslant, or not known). ``front`` is how long the walls are
    that move when it grows, in ticks.
    """

    room: int
    axis: int
    of: Grown
    way: Axis | None
    front: Ticks


def growing(job: Job) -> tuple[tuple[Grown, Made], ...]:
    """Return what may be longer than told: the first 12 dimensions of rooms, then the plank (longer, and shorter).

    Each comes with what makes the job in which it has a length. Of a room by its size or its outline, either
    dimension grows by its far walls (corners at the largest x, or y) moving outwards; holes and things
    stay, and so do walls between. Rooms that have a place on the plan at or beyond that wall move with it. Of
    rows given outright all grow alike, each at its right end. A survey not solved yet has no dimensions here.
    """
    return (*((one.of, make) for one, make in rooms_growing(job)), *plank_growing(job))


def rooms_growing(job: Job) -> tuple[tuple[Dimension, Made], ...]:
    """Return the first 12 dimensions of rooms."""
    return tuple((one, partial(_at, job, one)) for one in islice(dimensions(job), MOST_DIMENSIONS))


def plank_growing(job: Job) -> tuple[tuple[Grown, Made], ...]:
    """Return the plank's true length, longer and shorter."""
    now, make = job.plank.length, partial(_with_plank, job)
    return tuple((Grown(what=f"plank length, {word}", now=now), make) for word in ("longer", "shorter"))


def _with_plank(job: Job, length: Ticks) -> Job:
    return replace(job, plank=replace(job.plank, length=length))


def _at(job: Job, dimension: Dimension, length: Ticks) -> Job:
    return stretched(job, dimension, length - dimension.of.now)


def dimensions(job: Job) -> Iterator[Dimension]:
    """Yield the dimensions of all rooms, in the order told."""
    for nth, room in enumerate(job.rooms):
        match room:
            case SizeRoom():
                yield _dimension(job, nth, _X, room.along, room.across)
                yield _dimension(job, nth, _Y, room.across, room.along)
            case OutlineRoom():
                for axis in (_X, _Y):
                    ends = [corner[axis] for corner in room.corners]
                    yield _dimension(job, nth, axis, max(ends) - min(ends), _front(room, axis))
            case RowsRoom():
                longest = max(row.runs[-1].length for row in map(_in_order, room.rows))
                wide = sum(row.count * (row.width or job.plank.width) for row in room.rows)
                of = Grown(what=f"{room.name}, longest row and all others with it", now=longest)
                yield Dimension(room=nth, axis=_X, of=of, way=Axis.ALONG, front=wide)
            case SurveyRoom():
                pass


def _dimension(job: Job, nth: int, axis: int, now: Ticks, front: Ticks) -> Dimension:
    room = job.rooms[nth]
    way = _way(job, room, axis)
    if way is not None:
        words = f"{way} the rows"
    elif isinstance(room, SizeRoom):
        words = f"wall {('A-B', 'B-C')[axis]}"
    else:
        words = f"along its {'xy'[axis]}"
    return Dimension(
        room=nth, axis=axis, of=Grown(what=f"{room.name}, {words}", now=now), way=way, front=front
    )


def _way(job: Job, room: Room, axis: int) -> Axis | None:
    """Say where a room's own x or y lies as the rows see it; a doorway that places a room may have turned it."""
    degrees = job.layout.direction
    by_doorway = any(room.name in doorway.rooms for doorway in job.doorways) and (
        isinstance(room, RowsRoom) or room.at is None
    )
    if degrees is None or degrees % _RIGHT_ANGLE or by_doorway:
        return None
    return Axis.ALONG if (axis == _X) == (degrees % (2 * _RIGHT_ANGLE) == 0) else Axis.ACROSS


def _front(room: OutlineRoom, axis: int) -> Ticks:
    """Return how long the walls at the far end of an outline are together."""
    far, other = max(corner[axis] for corner in room.corners), 1 - axis
    ring = (*room.corners, room.corners[0])
    return sum(abs(b[other] - a[other]) for a, b in pairwise(ring) if a[axis] == b[axis] == far)


def _in_order(row: RowSpec) -> RowSpec:
    return replace(row, runs=tuple(sorted(row.runs, key=lambda run: run.offset)))


def stretched(job: Job, dimension: Dimension, more: Ticks) -> Job:
    """Return the job with a dimension so much longer than it has it (below 0: shorter, down to a tick)."""
    room, axis = job.rooms[dimension.room], dimension.axis
    match room:
        case SizeRoom():
            size = {_X: "along", _Y: "across"}[axis]
            grown: Room = replace(room, **{size: max(1, getattr(room, size) + more)})
        case OutlineRoom():
            far = max(corner[axis] for corner in room.corners)
            grown = replace(
                room,
                corners=tuple(
                    _moved(corner, axis, more) if corner[axis] == far else corner for corner in room.corners
                ),
            )
        case RowsRoom():
            grown = replace(room, rows=tuple(_longer(row, more) for row in map(_in_order, room.rows)))
        case _:
            raise TypeError("a survey has no dimensions until it is solved")
    rooms = (
        grown if nth == dimension.room else _along_with(room, other, axis, more)
        for nth, other in enumerate(job.rooms)
    )
    return replace(job, rooms=tuple(rooms))


def _longer(row: RowSpec, more: Ticks) -> RowSpec:
    *others, last = row.runs
    return replace(row, runs=(*others, replace(last, length=max(1, last.length + more))))


def _along_with(room: Room, other: Room, axis: int, more: Ticks) -> Room:
    """Move another room that lies at or beyond the far wall of a room by as much as that wall moves."""
    if isinstance(room, RowsRoom) or isinstance(other, RowsRoom) or room.at is None or other.at is None:
        return other
    beyond = other.at[axis] + min(_ends(other, axis)) >= room.at[axis] + max(_ends(room, axis))
    return replace(other, at=_moved(other.at, axis, more)) if beyond else other


def _ends(room: WalledRoom, axis: int) -> tuple[Ticks, ...]:
    match room:
        case SizeRoom():
            return 0, (room.along, room.across)[axis]
        case OutlineRoom():
            return tuple(corner[axis] for corner in room.corners)
        case _:
            return (0,)  # a survey that is not solved: where its first corner lies


def _moved(point: Point, axis: int, more: Ticks) -> Point:
    return (point[_X] + more, point[_Y]) if axis == _X else (point[_X], point[_Y] + more)
