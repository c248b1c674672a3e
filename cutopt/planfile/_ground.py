"""The ground of a plan as JSON tables and back: fields in the axes of their rows, the rest on the plan.

Places are pairs of whole ticks; an angle is an exact number of degrees as text.
"""

from typing import Any, Final

from cutopt.model.floor import (
    Area,
    Field,
    Frame,
    Ground,
    PlacedDoorway,
    PlacedRoom,
    PlacedThing,
)
from cutopt.model.rooms import Ring, ThingKind
from cutopt.planfile._fields import Fields

__all__ = ["build_ground", "ground_tables"]

_MOST_LINES: Final = 100_001
"""As many rows as any job may have, and the line behind the last."""

_Table = dict[str, Any]


def ground_tables(ground: Ground) -> dict[str, list[_Table]]:
    """Return a ground as lists of tables, those that are empty left out."""
    tables = {
        "fields": [_field_table(field) for field in ground.fields],
        "rooms": [_room_table(room) for room in ground.rooms],
        "things": [_thing_table(thing) for thing in ground.things],
        "doorways": [_doorway_table(doorway) for doorway in ground.doorways],
    }
    return {key: entries for key, entries in tables.items() if entries}


def _field_table(field: Field) -> _Table:
    origin = {} if field.frame.origin == (0, 0) else {"origin": field.frame.origin}
    return {
        "name": field.name,
        "rooms": field.rooms,
        "degrees": str(field.frame.degrees),
        **origin,
        "lines": field.lines,
        "areas": [_area_table(area) for area in field.areas],
    }


def _area_table(area: Area) -> _Table:
    holes = {"holes": area.holes} if area.holes else {}
    return {"outer": area.outer, **holes}


def _room_table(room: PlacedRoom) -> _Table:
    return {"name": room.name, "field": room.field, "corners": room.corners, "names": room.names}


def _thing_table(thing: PlacedThing) -> _Table:
    return {
        "name": thing.name,
        "kind": str(thing.kind),
        "room": thing.room,
        "field": thing.field,
        "corners": thing.corners,
        "gap": thing.gap,
    }


def _doorway_table(doorway: PlacedDoorway) -> _Table:
    strip = {} if doorway.strip is None else {"strip": doorway.strip}
    return {
        "name": doorway.name,
        "rooms": doorway.rooms,
        "fields": doorway.fields,
        "opening": doorway.opening,
        "undercut": doorway.undercut,
        **strip,
    }


def build_ground(table: Fields) -> Ground:
    """Return the ground of a table, whose lists may be missing."""

    def tables(key: str) -> list[Fields]:
        return table.tables(key) if key in table else []

    return Ground(
        fields=tuple(map(_field, tables("fields"))),
        rooms=tuple(map(_room, tables("rooms"))),
        things=tuple(map(_thing, tables("things"))),
        doorways=tuple(map(_doorway, tables("doorways"))),
    )


def _field(table: Fields) -> Field:
    return Field(
        name=table.text("name"),
        rooms=table.texts("rooms"),
        frame=Frame(
            degrees=table.degrees("degrees"), origin=table.corner("origin") if "origin" in table else (0, 0)
        ),
        areas=tuple(map(_area, table.tables("areas"))),
        lines=table.wholes("lines", most_entries=_MOST_LINES),
    )


def _area(table: Fields) -> Area:
    return Area(outer=table.ring("outer"), holes=table.rings("holes") if "holes" in table else ())


def _room(table: Fields) -> PlacedRoom:
    corners, names = table.ring("corners"), table.texts("names")
    if corners and len(names) != len(corners):
        table.wrong("names", f"name each of the {len(corners)} corners", f"{len(names)} names will not do")
    return PlacedRoom(name=table.text("name"), field=table.text("field"), corners=corners, names=names)


def _thing(table: Fields) -> PlacedThing:
    return PlacedThing(
        name=table.text("name"),
        kind=table.choice("kind", ThingKind, ThingKind.OTHER),
        room=table.text("room"),
        field=table.text("field"),
        corners=table.ring("corners"),
        gap=table.whole("gap", least=0),
    )


def _doorway(table: Fields) -> PlacedDoorway:
    strip: Ring | None = table.ring("strip") if "strip" in table else None
    return PlacedDoorway(
        name=table.text("name"),
        rooms=table.texts("rooms"),
        fields=table.texts("fields"),
        opening=table.ring("opening"),
        undercut=table.whole("undercut", least=0, default=0),
        strip=strip,
    )
