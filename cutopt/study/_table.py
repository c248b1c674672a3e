"""The rooms of a table of waste factors: four shapes in many sizes."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from cutopt.model.job import Job
from cutopt.model.pricing import Shape, TableSpec
from cutopt.model.rooms import Doorway, OutlineRoom, Room, SizeRoom, WallName
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks

__all__ = ["table_jobs"]

_FEET = 12 * TICKS_PER_INCH
_Size = tuple[Ticks, Ticks]


def table_jobs(job: Job, spec: TableSpec) -> tuple[tuple[Shape, Ticks, Ticks, Job], ...]:
    """Return a job for every room of a table, with its shape and its size along and across the rows.

    Plank, rules, order and layout are the job's, but rows run along x; its rooms, doorways and stops fall away.
    Wall to wall:

    - rectangle: along by across.
    - L-room: that, less a quarter of it at one corner, half as long and half as wide.
    - hall: a rectangle up to 6 ft (2 m) across. Where no width told is, the usual ones of a hall: 3, 4, 5 and
      6 ft, or 0.9, 1.2, 1.5 and 1.8 m (common practice, no source).
    - flat: along by across inside its outer walls, the rows running through all of it. A hall a fifth of it wide
      from end to end, the living room as long on one side, two bedrooms alike on the other, as wide as the living
      room; walls between 4-1/2 in (115 mm) thick, doorways 32 in (800 mm) wide in the middle of the living room
      and of each bedroom (proportions of our own). Sizes that leave a room under a doorway's width are left out.

    What else is too small to be laid is a job all the same.
    """
    bare = replace(job, doorways=(), stops=(), warnings=(), layout=replace(job.layout, direction=Fraction(0)))
    return tuple(
        (shape, along, across, replace(bare, rooms=rooms, doorways=doorways))
        for shape in spec.shapes
        for along, across in _sizes(shape, spec, metric=job.unit.is_metric)
        for rooms, doorways in _floors(shape, (along, across), metric=job.unit.is_metric)
    )


def _sizes(shape: Shape, spec: TableSpec, *, metric: bool) -> Iterator[_Size]:
    widths = spec.across.lengths()
    if shape is Shape.HALL:
        widths = _hall_widths(widths, metric=metric)
    return ((along, across) for along in spec.along.lengths() for across in widths)


def _hall_widths(told: tuple[Ticks, ...], *, metric: bool) -> tuple[Ticks, ...]:
    """Return the widths told that a hall may have, or the usual ones."""
    most = 2000 * TICKS_PER_MM if metric else 6 * _FEET
    usual = (
        tuple(mm * TICKS_PER_MM for mm in (900, 1200, 1500, 1800))
        if metric
        else tuple(feet * _FEET for feet in (3, 4, 5, 6))
    )
    return tuple(width for width in told if width <= most) or usual


def _floors(
    shape: Shape, size: _Size, *, metric: bool
) -> Iterator[tuple[tuple[Room, ...], tuple[Doorway, ...]]]:
    """Yield the rooms and doorways of a shape; nothing where a flat is too small for its doors."""
    along, across = size
    match shape:
        case Shape.RECTANGLE | Shape.HALL:
            yield (
                (SizeRoom(name="Room" if shape is Shape.RECTANGLE else "Hall", along=along, across=across),),
                (),
            )
        case Shape.L_ROOM:
            yield (_l_room(along, across),), ()
        case Shape.FLAT:
            yield from _flat(along, across, metric=metric)


def _l_room(along: Ticks, across: Ticks) -> OutlineRoom:
    x, y = along // 2, across // 2
    corners = ((0, 0), (along, 0), (along, y), (x, y), (x, across), (0, across))
    return OutlineRoom(name="L-room", corners=corners)


def _flat(
    along: Ticks, across: Ticks, *, metric: bool
) -> Iterator[tuple[tuple[Room, ...], tuple[Doorway, ...]]]:
    """Yield a flat: the living room first, then the hall, then the bedrooms, as the rows come to them."""
    wall, door = (
        (115 * TICKS_PER_MM, 800 * TICKS_PER_MM)
        if metric
        else (
            9 * TICKS_PER_INCH // 2,
            32 * TICKS_PER_INCH,
        )
    )
    hall = across // 5
    room, bedroom = (across - hall - 2 * wall) // 2, (along - wall) // 2
    if min(hall, room, bedroom) < door:
        return
    rooms = (
        SizeRoom(name="Living room", along=along, across=room, at=(0, 0)),
        SizeRoom(name="Hall", along=along, across=hall, at=(0, room + wall)),
        *(
            SizeRoom(name=name, along=bedroom, across=room, at=(x, room + hall + 2 * wall))
            for name, x in (("Bedroom 1", 0), ("Bedroom 2", bedroom + wall))
        ),
    )
    middle = (bedroom - door) // 2
    doorways = (
        _doorway("Living room", ("D", "C"), (along - door) // 2, ("A", "B"), (along - door) // 2, door),
        _doorway("Bedroom 1", ("A", "B"), middle, ("D", "C"), middle, door),
        _doorway("Bedroom 2", ("A", "B"), middle, ("D", "C"), bedroom + wall + middle, door),
    )
    yield rooms, doorways


def _doorway(  # noqa: PLR0913, PLR0917 - a place in each of two rooms
    room: str, wall: WallName, offset: Ticks, hall_wall: WallName, hall_offset: Ticks, width: Ticks
) -> Doorway:
    return Doorway(
        name=f"{room} door",
        rooms=("Hall", room),
        walls=(hall_wall, wall),
        offsets=(hall_offset, offset),
        width=width,
    )
