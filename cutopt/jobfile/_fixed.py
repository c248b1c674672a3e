"""What belongs to a room besides its walls: its place on the plan, fixed things, rows that are down already."""

from cutopt.jobfile._corners import read_corners, read_point
from cutopt.jobfile._report import shown
from cutopt.jobfile._table import Table
from cutopt.model.rooms import DownRow, EdgePolicy, FixedThing, Point, Ring, ThingKind

__all__ = ["ROOM_EXTRAS", "read_down", "read_edges", "read_fixed", "read_place"]

ROOM_EXTRAS = ("at", "fixed", "down", "edges")
"""The keys any room with walls may have; rows given outright may have ``down`` alone."""

_KEYS = ("name", "kind", "at", "size", "outline", "gap")
_FIXED_REMEDY = "write each thing under a [[room.fixed]] line, in double brackets, after its room"
_AT_REMEDY = "write at = [x, y]: where the room's own (0, 0) lies on the common plan"
_THING_AT = "write at = [x, y]: the corner of the thing that is nearest to the room's (0, 0)"
_SIZE_REMEDY = "write size = [along x, along y], or give the thing an outline"
_DOWN_REMEDY = "write down = [[20, 68, 116], [44, 92]]: the joints of each row there is, the nearest row last"


def read_place(table: Table) -> Point | None:
    """Return where a room lies on the common plan."""
    return read_point(table, "at", _AT_REMEDY)


def read_edges(table: Table) -> EdgePolicy | None:
    """Return the room's own policy for its first and last row."""
    word = table.choice("edges", tuple(EdgePolicy))
    return None if word is None else EdgePolicy(word)


def read_fixed(table: Table) -> tuple[FixedThing, ...] | None:
    """Return the fixed things of a room; ``None`` where one could not be read, what is wrong with it being noted."""
    tables = list(table.tables("fixed", _KEYS, _FIXED_REMEDY)) if "fixed" in table else []
    things = [_thing(entry, nth) for nth, entry in enumerate(tables, 1)]
    names: set[str] = set()
    for entry, thing in zip(tables, things, strict=True):
        if thing is not None and thing.name in names:
            entry.wrong("name", "is the name of another thing in this room", "give each a name of its own")
        names |= set() if thing is None else {thing.name}
    sound = tuple(thing for thing in things if thing is not None)
    return sound if len(sound) == table.entries("fixed") else None


def _thing(table: Table, nth: int) -> FixedThing | None:
    kind = table.choice("kind", tuple(ThingKind))
    name = table.line("name") if "name" in table else f"{kind or 'thing'} {nth}"
    gap = table.length("gap", above_zero=False)
    corners = _corners(table)
    if name is None or corners is None:
        return None
    return FixedThing(
        name=name, kind=ThingKind.OTHER if kind is None else ThingKind(kind), corners=corners, gap=gap
    )


def _corners(table: Table) -> Ring | None:
    if ("size" in table) == ("outline" in table):
        found = "found size and outline" if "size" in table else "found neither size nor outline"
        table.report.add(found, table.place, "give a thing its place and size, or its outline, not both")
        return None
    if "outline" in table:
        return read_corners(table, "outline")
    table.require("at", _THING_AT)
    at, size = read_point(table, "at", _THING_AT), read_point(table, "size", _SIZE_REMEDY, above_zero=True)
    if at is None or size is None:
        return None
    (x, y), (along, across) = at, size
    return (x, y), (x + along, y), (x + along, y + across), (x, y + across)


def read_down(table: Table) -> tuple[DownRow, ...]:
    """Return the joints of the rows that lie before the first already, the nearest row last."""
    return tuple(_down_row(table, place, entry) for place, entry in table.items("down", _DOWN_REMEDY))


def _down_row(table: Table, place: str, entry: object) -> DownRow:
    if not isinstance(entry, list):
        table.report.add(f"{shown(entry)} is not a list of joints", place, _DOWN_REMEDY)
        return ()
    joints = [
        table.lengths.read(value, f"{place}[{nth}]", above_zero=False) for nth, value in enumerate(entry, 1)
    ]
    return tuple(sorted(joint for joint in joints if joint is not None))
