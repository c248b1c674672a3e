"""Doorways and stops: they name rooms, walls and things, and names must be those of the file."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from cutopt.jobfile._report import nearest, one_of, shown
from cutopt.jobfile._table import Table
from cutopt.model.rooms import (
    Doorway,
    OutlineRoom,
    Room,
    RowsRoom,
    SizeRoom,
    Stop,
    StopSide,
    SurveyRoom,
    WalledRoom,
    WallName,
    corner_names,
)

__all__ = ["read_doorways", "read_stops"]

_DOOR_KEYS = ("name", "rooms", "walls", "from", "width", "depth", "undercut", "strip")
_STOP_KEYS = ("name", "room", "at", "wall", "thing", "doorway", "side", "min_rip", "full")
_PLACES = ("at", "wall", "thing", "doorway")
_DOOR_REMEDY = "write each doorway under a [[doorway]] line, in double brackets"
_STOP_REMEDY = "write each stop under a [[stop]] line, in double brackets"
_ROOMS_REMEDY = 'write rooms = ["Hall", "Study"], or the one room that the doorway leads out of'
_WALLS_REMEDY = 'write walls = ["B-C", "D-A"]: the wall it is in, in each room, by its two corners'
_FROM_REMEDY = "write from = [26, 12]: along each wall, from its first corner to the nearer jamb"
_MOST_ROOMS = 2


@dataclass(frozen=True, slots=True)
class _Named:
    """The rooms of the file that have walls, by name, and those whose names are taken but have none."""

    walled: Mapping[str, WalledRoom]
    others: frozenset[str]

    @staticmethod
    def of(rooms: Sequence[Room]) -> "_Named":
        return _Named(
            {room.name: room for room in rooms if not isinstance(room, RowsRoom)},
            frozenset(room.name for room in rooms if isinstance(room, RowsRoom)),
        )


def read_doorways(top: Table, rooms: Sequence[Room], *, complete: bool) -> tuple[Doorway, ...]:
    """Return the doorways that could be read. ``complete``: every room could be, so that a name not found is wrong."""
    named = _Named.of(rooms)
    tables = list(top.tables("doorway", _DOOR_KEYS, _DOOR_REMEDY)) if "doorway" in top else []
    found = [_doorway(table, nth, named, complete=complete) for nth, table in enumerate(tables, 1)]
    names: set[str] = set()
    for table, doorway in zip(tables, found, strict=True):
        if doorway is not None and doorway.name in names:
            table.wrong("name", "is the name of another doorway too", "give every doorway a name of its own")
        names |= set() if doorway is None else {doorway.name}
    return tuple(doorway for doorway in found if doorway is not None)


def _doorway(table: Table, nth: int, named: _Named, *, complete: bool) -> Doorway | None:
    for key, remedy in (("rooms", _ROOMS_REMEDY), ("walls", _WALLS_REMEDY), ("from", _FROM_REMEDY)):
        table.require(key, remedy)
    table.require("width", "give the width of the opening, from jamb to jamb")
    rooms = [
        _room(table, place, entry, named, complete=complete)
        for place, entry in table.items("rooms", _ROOMS_REMEDY)
    ]
    walls = _walls(table, rooms)
    offsets = [
        table.lengths.read(value, place, above_zero=False)
        for place, value in table.items("from", _FROM_REMEDY)
    ]
    name = table.line("name") if "name" in table else f"doorway {nth}"
    width, depth, strip = table.length("width"), table.length("depth"), table.length("strip")
    undercut = table.length("undercut", above_zero=False)
    if not _counts_fit(table, rooms, walls, offsets):
        return None
    sound_rooms = [room.name for room in rooms if room is not None]
    sound_walls = [wall for wall in walls if wall is not None]
    sound_offsets = [offset for offset in offsets if offset is not None]
    whole = (
        len(sound_rooms) == len(rooms)
        and len(sound_walls) == len(walls)
        and len(sound_offsets) == len(offsets)
    )
    if name is None or width is None or not whole:
        return None
    return Doorway(
        name=name,
        rooms=tuple(sound_rooms),
        walls=tuple(sound_walls),
        offsets=tuple(sound_offsets),
        width=width,
        depth=depth,
        undercut=undercut or 0,
        strip=strip,
    )


def _counts_fit(
    table: Table, rooms: Sequence[object], walls: Sequence[object], offsets: Sequence[object]
) -> bool:
    if not (rooms and walls and offsets):
        return False
    if len(rooms) > _MOST_ROOMS:
        table.wrong("rooms", "is not one room, or two", _ROOMS_REMEDY)
        return False
    if len(rooms) == _MOST_ROOMS and rooms[0] is not None and rooms[0] == rooms[1]:
        table.wrong("rooms", "names one room twice", _ROOMS_REMEDY)
        return False
    if len(walls) > len(rooms):
        table.wrong("walls", "has more walls than there are rooms", _WALLS_REMEDY)
        return False
    if len(offsets) != len(walls):
        table.wrong("from", "has not one distance for each wall", _FROM_REMEDY)
        return False
    return True


def _room(table: Table, place: str, entry: object, named: _Named, *, complete: bool) -> WalledRoom | None:
    """Return the room of this name; a name that is not known is noted where all rooms are known."""
    if isinstance(entry, str) and entry in named.walled:
        return named.walled[entry]
    if isinstance(entry, str) and entry in named.others:
        table.report.add(
            f"{shown(entry)} gives its rows outright",
            place,
            "give the room by its walls, so that it has a place",
        )
    elif not isinstance(entry, str) or complete:
        known = tuple(named.walled)
        hint = nearest(entry, known) if isinstance(entry, str) else ""
        table.report.add(f"{shown(entry)} is not a room of this file", place, hint + one_of(known))
    return None


def _walls(table: Table, rooms: Sequence[WalledRoom | None]) -> list[WallName | None]:
    items = table.items("walls", _WALLS_REMEDY)
    in_rooms = [*rooms, *[None] * len(items)]
    return [
        None if room is None else _wall(table, place, entry, room)
        for (place, entry), room in zip(items, in_rooms, strict=False)
    ]


def _wall(table: Table, place: str, entry: object, room: WalledRoom) -> WallName | None:
    """Return a wall by its corners, in either order."""
    names = _corner_names(room)
    walls = {f"{one}-{other}": (one, other) for one, other in pairwise((*names, names[0]))}
    walls |= {f"{other}-{one}": (other, one) for one, other in walls.values()}
    if isinstance(entry, str) and (found := walls.get("-".join(entry.replace(" ", "").split("-")))):
        return found
    known = tuple(walls)[: len(names)]
    table.report.add(
        f"{shown(entry)} is not a wall of {shown(room.name)}",
        place,
        "name it by its two corners: " + one_of(known),
    )
    return None


def _corner_names(room: WalledRoom) -> tuple[str, ...]:
    match room:
        case SizeRoom():
            return corner_names(4)
        case OutlineRoom():
            return room.corner_names or corner_names(len(room.corners))
        case SurveyRoom():
            return tuple(corner.name for corner in room.survey.corners)


def read_stops(
    top: Table, rooms: Sequence[Room], doorways: Sequence[Doorway], *, complete: bool
) -> tuple[Stop, ...]:
    """Return the stops that could be read."""
    named = _Named.of(rooms)
    tables = list(top.tables("stop", _STOP_KEYS, _STOP_REMEDY)) if "stop" in top else []
    found = [_stop(table, nth, named, doorways, complete=complete) for nth, table in enumerate(tables, 1)]
    return tuple(stop for stop in found if stop is not None)


def _stop(
    table: Table, nth: int, named: _Named, doorways: Sequence[Doorway], *, complete: bool
) -> Stop | None:
    table.require("room", "name the room that the stop is in")
    places = [key for key in _PLACES if key in table]
    if len(places) != 1:
        found = " and ".join(places) if places else f"none of {', '.join(_PLACES)}"
        table.report.add(f"found {found}", table.place, "say where the stop is by exactly one of these")
    if "full" in table and "min_rip" in table:
        table.wrong("full", "stands beside min_rip", "ask for a full row there, or for a least rip")
    name = table.line("name") if "name" in table else f"stop {nth}"
    room_name, at = table.text("room"), table.length("at", above_zero=False)
    room = (
        _room(table, f"{table.place}.room", room_name, named, complete=complete)
        if room_name is not None
        else None
    )
    side = table.choice("side", tuple(StopSide))
    wall = _named_wall(table, room)
    thing, doorway = _named_thing(table, room), _named_doorway(table, room, doorways, complete=complete)
    full, min_rip = table.flag("full"), table.length("min_rip", above_zero=False)
    if room is None or name is None or len(places) != 1 or (at is None and not (wall or thing or doorway)):
        return None
    return Stop(
        name=name,
        room=room.name,
        at=at,
        wall=wall,
        thing=thing,
        doorway=doorway,
        side=None if side is None else StopSide(side),
        min_rip=min_rip,
        full=bool(full),
    )


def _named_wall(table: Table, room: WalledRoom | None) -> WallName | None:
    entry = table.text("wall")
    return None if entry is None or room is None else _wall(table, f"{table.place}.wall", entry, room)


def _named_thing(table: Table, room: WalledRoom | None) -> str | None:
    if room is None:
        return None
    return _named(
        table, "thing", tuple(thing.name for thing in room.fixed), f"{shown(room.name)} has no fixed things"
    )


def _named_doorway(
    table: Table, room: WalledRoom | None, doorways: Sequence[Doorway], *, complete: bool
) -> str | None:
    if room is None or not complete:
        return None
    names = tuple(doorway.name for doorway in doorways if room.name in doorway.rooms)
    return _named(table, "doorway", names, f"no doorway of this file is in {shown(room.name)}")


def _named(table: Table, key: str, names: tuple[str, ...], none: str) -> str | None:
    """Return one of the names; ``none`` says that there are none."""
    if names or key not in table:
        return table.choice(key, names)
    table.wrong(key, "is not known here", none)
    return None
