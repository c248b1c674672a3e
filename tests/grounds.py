"""Floors that have a place, drawn by hand: rooms, things and doorways turned into rows by shapely.

Another route than the program's own layout, and a plain one: every run is laid from whole planks from its
left end, and the last is cut. Measures are inches unless the unit is told.
"""

from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import count
from string import ascii_lowercase

import shapely

from cutopt.model.floor import (
    Area,
    Field,
    Frame,
    Ground,
    PlacedDoorway,
    PlacedRoom,
    PlacedThing,
    Run,
)
from cutopt.model.job import Ends, Order, PlankSpec, Rules
from cutopt.model.plan import Bound, End, LaidRun, Piece, Plan, Totals
from cutopt.model.rooms import ThingKind, corner_names
from cutopt.units import TICKS_PER_INCH, Unit

__all__ = ["Door", "Drawn", "Thing", "inches", "moved", "rectangle"]


def inches(value):
    """Return a whole number of ticks; whatever is finer than a tick is cut off."""
    return int(Fraction(value) * TICKS_PER_INCH)


def rectangle(x, y, along, across):
    return ((x, y), (x + along, y), (x + along, y + across), (x, y + across))


@dataclass(frozen=True)
class Thing:
    corners: tuple
    kind: ThingKind = ThingKind.OTHER
    gap: object = None


@dataclass(frozen=True)
class Door:
    """``opening`` begins with the jambs in the first of ``rooms``."""

    rooms: tuple
    opening: tuple
    strip: tuple | None = None
    undercut: object = 0


@dataclass(frozen=True)
class Drawn:
    """What is drawn: rooms by name, things by (room, name), doorways by name; ``fields`` by room if several."""

    rooms: dict
    things: dict = field(default_factory=dict)
    doors: dict = field(default_factory=dict)
    fields: dict = field(default_factory=dict)
    degrees: int = 0
    width: object = 5
    length: object = 48
    gap: object = 0
    first: object = None
    kind: object = None
    thickness: int | None = None
    tolerance: int = 0
    min_rip: object = 2
    min_piece: object = 8
    unit: Unit = Unit.IN

    def plan(self):
        fields = {}
        for room in self.rooms:
            fields.setdefault(self.field_of(room), []).append(room)
        return self._plan(fields)

    def field_of(self, room):
        return self.fields.get(room, "floor")

    def _plan(self, fields):
        frame = Frame(degrees=Fraction(self.degrees))
        laid, placed, row = [], [], 0
        for name, rooms in fields.items():
            made, runs = self._field(name, rooms, frame, row)
            placed.append(made)
            laid += runs
            row = max((run.run.row for run in runs), default=row)
        return Plan(
            title="drawn",
            unit=self.unit,
            plank=PlankSpec(
                length=inches(self.length),
                width=inches(self.width),
                per_box=10,
                ends=Ends.HANDED,
                kind=self.kind,
                thickness=self.thickness,
                width_tolerance=self.tolerance,
            ),
            rules=Rules(
                stagger=0,
                min_piece=inches(self.min_piece),
                h_joint=0,
                stair_step=0,
                cut_step=TICKS_PER_INCH // 16,
                min_rip=inches(self.min_rip),
                gap=inches(self.gap),
            ),
            order=Order(),
            rows=tuple(laid),
            planks=(),
            totals=Totals(planks=0, boxes=0, cuts=0, peak_waiting=0, net_area_mm2=0, waste_factor_percent=0),
            bound=Bound(planks=0, reason=""),
            ground=self._ground(tuple(placed)),
        )

    def _ground(self, fields):
        return Ground(
            fields=fields,
            rooms=tuple(
                PlacedRoom(
                    name=room, field=self.field_of(room), corners=ticks(ring), names=corner_names(len(ring))
                )
                for room, ring in self.rooms.items()
            ),
            things=tuple(
                PlacedThing(
                    name=name,
                    kind=thing.kind,
                    room=room,
                    field=self.field_of(room),
                    corners=ticks(thing.corners),
                    gap=self._gap_of(thing),
                )
                for (room, name), thing in self.things.items()
            ),
            doorways=tuple(
                PlacedDoorway(
                    name=name,
                    rooms=door.rooms,
                    fields=tuple(dict.fromkeys(map(self.field_of, door.rooms))),
                    opening=ticks(door.opening),
                    undercut=inches(door.undercut),
                    strip=None if door.strip is None else ticks(door.strip),
                )
                for name, door in self.doors.items()
            ),
        )

    def _gap_of(self, thing):
        if thing.gap is not None:
            return inches(thing.gap)
        return 0 if thing.kind is ThingKind.VENT else inches(self.gap)

    def _field(self, name, rooms, frame, row):
        floor = self._floor(name, rooms, frame)
        lines = self._lines(floor)
        made = Field(name=name, rooms=tuple(rooms), frame=frame, areas=areas_of(floor), lines=lines)
        runs = []
        for line in range(1, len(lines)):
            left, _, right, _ = floor.bounds
            band = floor.intersection(shapely.box(left - 1, lines[line - 1], right + 1, lines[line]))
            pieces = sorted((part for part in shapely.get_parts(band) if part.area > 0), key=place_of)
            for nth, part in enumerate(pieces, 1):
                runs.append(self._laid(name, rooms, frame, part, (line, row + line, nth), lines))
        return made, runs

    def _floor(self, name, rooms, frame):
        gap = inches(self.gap)
        inset = [shapely.Polygon(ticks(self.rooms[room])).buffer(-gap, join_style="mitre") for room in rooms]
        floor = shapely.union_all(inset)
        for door in self.doors.values():
            if door.strip is None and {self.field_of(room) for room in door.rooms} == {name}:
                floor = floor.union(passage(ticks(door.opening), gap, through=len(door.rooms) > 1))
        for (room, _), thing in self.things.items():
            if room in rooms:
                cut = shapely.Polygon(ticks(thing.corners)).buffer(self._gap_of(thing), join_style="mitre")
                floor = floor.difference(cut)
        turned = [
            shapely.Polygon(
                list(map(frame.to_rows, part.exterior.coords[:-1])),
                [list(map(frame.to_rows, hole.coords[:-1])) for hole in part.interiors],
            )
            for part in shapely.get_parts(floor)
        ]
        return shapely.union_all(turned)

    def _lines(self, floor):
        low, high = round(floor.bounds[1]), round(floor.bounds[3])
        width = inches(self.width)
        first = low + (width if self.first is None else inches(self.first))
        inner = [first + nth * width for nth in range((high - first) // width + 1)]
        return (low, *(line for line in inner if low < line < high), high)

    def _laid(self, name, rooms, frame, part, numbers, lines):  # noqa: PLR0913, PLR0917 - a run
        line, row, nth = numbers
        left, right = round(part.bounds[0]), round(part.bounds[2])
        run = Run(
            room=self._room_of(rooms, frame, part),
            field=name,
            line=line,
            row=row,
            run=nth,
            offset=left,
            length=right - left,
            width=lines[line] - lines[line - 1],
            area2=round(2 * part.area),
        )
        letter = "" if nth == 1 else (ascii_lowercase * 900)[nth - 1]
        return LaidRun(run=run, pieces=tuple(self._pieces(run, letter)))

    def _room_of(self, rooms, frame, part):
        shares = {
            room: part.intersection(shapely.Polygon(list(map(frame.to_rows, ticks(self.rooms[room]))))).area
            for room in rooms
        }
        return " + ".join(room for room, share in shares.items() if share > 2 * part.length) or rooms[0]

    def _pieces(self, run, letter):
        left, length = run.length, inches(self.length)
        for nth in count(1):
            piece = min(left, length)
            left -= piece
            yield Piece(
                id=f"{run.row}{letter}.{nth}",
                plank=nth,
                length=piece,
                left=End.FACTORY,
                right=End.FACTORY if piece == length else End.CUT,
            )
            if not left:
                return


def ticks(ring):
    return tuple((inches(x), inches(y)) for x, y in ring)


def place_of(part):
    return part.bounds[0]


def passage(opening, gap, *, through):
    """Return the floor in a doorway: it goes on over the gaps of the rooms it joins, not over the jambs'."""
    (x0, y0), (x1, y1) = opening[:2]
    near = shapely.LineString(((x0, y0), (x1, y1))).buffer(gap, cap_style="flat")
    far = shapely.LineString(opening[2:4]).buffer(gap, cap_style="flat") if through else near
    return shapely.union_all([shapely.Polygon(opening), near, far])


def areas_of(floor):
    return tuple(
        Area(outer=corners(part.exterior), holes=tuple(map(corners, part.interiors)))
        for part in shapely.get_parts(shapely.normalize(floor))
    )


def corners(ring):
    return tuple((round(x), round(y)) for x, y in ring.coords[:-1])


def moved(drawn, by):
    """Return a drawing with all places moved, each shape by itself left as it is."""
    dx, dy = by

    def shift(ring):
        return None if ring is None else tuple((x + dx, y + dy) for x, y in ring)

    return placed_as(drawn, shift)


def placed_as(drawn, turn):
    """Return a drawing with every ring of it turned into another."""
    return replace(
        drawn,
        rooms={name: turn(ring) for name, ring in drawn.rooms.items()},
        things={name: replace(thing, corners=turn(thing.corners)) for name, thing in drawn.things.items()},
        doors={
            name: replace(door, opening=turn(door.opening), strip=turn(door.strip))
            for name, door in drawn.doors.items()
        },
    )
