"""The rooms of a job file: by size, by outline, or by rows given outright."""

from dataclasses import replace
from itertools import pairwise

from cutopt.jobfile._corners import read_corners
from cutopt.jobfile._fixed import ROOM_EXTRAS, read_down, read_edges, read_fixed, read_place
from cutopt.jobfile._report import shown, step
from cutopt.jobfile._survey import stations_room, survey_room
from cutopt.jobfile._table import Table
from cutopt.model.rooms import OutlineRoom, Room, RowSpec, RowsRoom, RunSpec, SizeRoom

__all__ = ["read_rooms"]

_SHAPES = ("size", "outline", "rows", "survey", "stations")
_ANY_SHAPE = f"{', '.join(_SHAPES[:-1])} and {_SHAPES[-1]}"
_ROOM_REMEDY = "write each room under a [[room]] line, in double brackets"
_ROW_REMEDY = "write rows = [ { length = 97.5, count = 8 } ]"
_RUN_REMEDY = "write runs = [ { offset = 0, length = 40 }, { offset = 60, length = 50 } ]"
_SIZE_REMEDY = "write size = [along the rows, across the rows]"


def read_rooms(top: Table) -> tuple[tuple[str, Room], ...]:
    """Return the rooms that could be read, each with its place, and note what is wrong with the others."""
    top.require("room", "add at least one room: a [[room]] line, then name and size")
    tables = list(top.tables("room", ("name", *_SHAPES, *ROOM_EXTRAS), _ROOM_REMEDY))
    names = [_name(table) for table in tables]
    _note_same_names(tables, names)
    rooms = [_room(table, name) for table, name in zip(tables, names, strict=True)]
    return tuple((table.place, room) for table, room in zip(tables, rooms, strict=True) if room is not None)


def _name(table: Table) -> str:
    """Return the room's name, else one by its place in the file."""
    return (table.line("name") if "name" in table else None) or table.place.replace("[", " ").strip(
        "]"
    ).title()


def _note_same_names(tables: list[Table], names: list[str]) -> None:
    first: dict[str, str] = {}
    for table, name in zip(tables, names, strict=True):
        if name in first:
            table.report.add(
                f"{shown(name)} is the name of {first[name]} too",
                step(table.place, "name"),
                "give every room a name of its own",
            )
        first.setdefault(name, table.place)


def _room(table: Table, name: str) -> Room | None:
    shapes = [shape for shape in _SHAPES if shape in table]
    if len(shapes) != 1:
        found = " and ".join(shapes) if shapes else f"none of {_ANY_SHAPE}"
        table.report.add(f"found {found}", table.place, f"give a room exactly one of {_ANY_SHAPE}")
        return None
    room = {
        "size": _size_room,
        "outline": _outline_room,
        "rows": _rows_room,
        "survey": survey_room,
        "stations": stations_room,
    }[shapes[0]](table, name)
    at, fixed, down, edges = read_place(table), read_fixed(table), read_down(table), read_edges(table)
    match room:
        case None:
            return None
        case RowsRoom():
            for key in ("at", "fixed", "edges"):
                if key in table:
                    table.wrong(key, "needs a room with walls", "give the room by size, outline or survey")
            return replace(room, down=down)
        case _:
            return None if fixed is None else replace(room, at=at, fixed=fixed, down=down, edges=edges)


def _size_room(table: Table, name: str) -> SizeRoom | None:
    match table.items("size", _SIZE_REMEDY):
        case [(place_along, along), (place_across, across)]:
            length = table.lengths.read(along, place_along, above_zero=True)
            width = table.lengths.read(across, place_across, above_zero=True)
            return (
                None if length is None or width is None else SizeRoom(name=name, along=length, across=width)
            )
        case []:
            return None
        case _:
            table.wrong("size", "is not two lengths", _SIZE_REMEDY)
            return None


def _outline_room(table: Table, name: str) -> OutlineRoom | None:
    corners = read_corners(table, "outline")
    return None if corners is None else OutlineRoom(name=name, corners=corners)


def _rows_room(table: Table, name: str) -> RowsRoom | None:
    keys = ("length", "offset", "runs", "width", "count")
    rows = [_row(row) for row in table.tables("rows", keys, _ROW_REMEDY)]
    sound = tuple(row for row in rows if row is not None)
    return RowsRoom(name=name, rows=sound) if sound else None


def _row(table: Table) -> RowSpec | None:
    width, count = table.length("width"), table.count("count", least=1)
    if ("length" in table) == ("runs" in table):
        found = "found length and runs" if "runs" in table else "found neither length nor runs"
        table.report.add(found, table.place, "give a row its length, or its runs, not both")
        return None
    runs = _runs(table) if "runs" in table else [_run(table)]
    sound = tuple(run for run in runs if run is not None)
    if len(sound) < len(runs) or not sound:
        return None
    return RowSpec(runs=sound, width=width, count=1 if count is None else count)


def _run(table: Table) -> RunSpec | None:
    offset, length = table.length("offset", above_zero=False), table.length("length")
    if length is None or ("offset" in table and offset is None):
        return None
    return RunSpec(offset=offset or 0, length=length)


def _runs(table: Table) -> list[RunSpec | None]:
    """Return the runs of one row from left to right."""
    if "offset" in table:
        table.wrong("offset", "stands beside runs", "give each run its own offset")
    tables = list(table.tables("runs", ("offset", "length"), _RUN_REMEDY))
    for run in tables:
        run.require("offset", "say where the run starts, from a line common to all rows")
        run.require("length", "give the length of the run")
    runs = [_run(run) if "offset" in run else None for run in tables]
    read = [(run, place) for run, place in zip(runs, tables, strict=True) if run is not None]
    read.sort(key=lambda pair: pair[0].offset)
    for (left, left_place), (right, right_place) in pairwise(read):
        if right.offset < left.offset + left.length:
            right_place.wrong(
                "offset",
                f"lies within {left_place.place}",
                "runs of one row lie side by side: check offset and length",
            )
    return [run for run, _ in read] if len(read) == len(runs) else [None]
