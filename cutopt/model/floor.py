"""Rooms turned into rows and runs: what the planner lays and the check measures."""

from dataclasses import dataclass
from fractions import Fraction
from math import cos, radians, sin

from cutopt.model.rooms import Point, Ring, ThingKind
from cutopt.model.stops import StopsSolution
from cutopt.units import Ticks

__all__ = [
    "NOWHERE",
    "Area",
    "DownRun",
    "Field",
    "Floor",
    "Frame",
    "Ground",
    "PlacedDoorway",
    "PlacedRoom",
    "PlacedThing",
    "RoomEdges",
    "Run",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The rows' own axes on the plan: where they begin, and ``degrees`` from the plan's x to the rows.

    Angles are counter-clockwise.
    """

    degrees: Fraction = Fraction(0)
    origin: Point = (0, 0)

    @property
    def axes(self) -> "Frame":
        """The same directions, from the plan's own origin."""
        return Frame(degrees=self.degrees)

    def to_rows(self, point: tuple[float, float]) -> Point:
        """Return a place on the plan as seen along (x) and across (y) the rows, set on whole ticks."""
        x, y = _turned((point[0] - self.origin[0], point[1] - self.origin[1]), -self.degrees)
        return round(x), round(y)

    def to_plan(self, point: tuple[float, float]) -> tuple[float, float]:
        """Return a place along and across the rows as it lies on the plan; whole ticks at right angles."""
        x, y = _turned(point, self.degrees)
        return x + self.origin[0], y + self.origin[1]


def _turned(point: tuple[float, float], degrees: Fraction) -> tuple[float, float]:
    """Turn a point about the origin, exactly by right angles."""
    x, y = point
    quarters, rest = divmod(degrees, 90)
    for _ in range(int(quarters) % 4):
        x, y = -y, x
    if not rest:
        return x, y
    angle = radians(rest)
    return x * cos(angle) - y * sin(angle), x * sin(angle) + y * cos(angle)


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """A piece of floor without its gaps: a ring counter-clockwise, its holes clockwise."""

    outer: Ring
    holes: tuple[Ring, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedRoom:
    """A room's walls on the plan; ``names`` are those of its corners."""

    name: str
    field: str
    corners: Ring
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedThing:
    """A fixed thing on the plan, and the gap kept to it."""

    name: str
    kind: ThingKind
    room: str
    field: str
    corners: Ring
    gap: Ticks


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedDoorway:
    """A doorway on the plan. ``opening`` runs along the first room's wall and back along the far side.

    Its first two corners are the jambs in the first room. ``strip`` is what a transition strip takes up,
    ``None`` where the rows run through. ``fields`` are those of its rooms. One room only: the way out.
    """

    name: str
    rooms: tuple[str, ...]
    fields: tuple[str, ...]
    opening: Ring
    undercut: Ticks
    strip: Ring | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """Rooms whose rows run through, in the axes of the rows.

    ``areas`` is the floor without its gaps. Row ``line`` (from 1) lies between ``lines[line - 1]`` and
    ``lines[line]``; all rows but the first and the last are a plank wide.
    """

    name: str
    rooms: tuple[str, ...]
    frame: Frame
    areas: tuple[Area, ...]
    lines: tuple[Ticks, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """Everything of a floor that has a place on the plan."""

    fields: tuple[Field, ...] = ()
    rooms: tuple[PlacedRoom, ...] = ()
    things: tuple[PlacedThing, ...] = ()
    doorways: tuple[PlacedDoorway, ...] = ()


NOWHERE = Ground()
"""No place known: rows given outright."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DownRun:
    """A run that lies already: its joints from the field's origin, rising. Rules hold against it.

    ``line`` is its place among the rows of the field; the rows of an existing floor before the first
    have lines 0, -1, ... ``planned``: it was laid by a plan that is gone on with, so a pattern goes on from it.
    """

    field: str
    line: int
    offset: Ticks
    length: Ticks
    joints: tuple[Ticks, ...]
    planned: bool = False

    @property
    def right(self) -> Ticks:
        """The right end, from the field's origin."""
        return self.offset + self.length


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """An unbroken stretch of one row between two stops. Lengths in ticks.

    ``room`` names the room it lies in, or all that it runs through (``Hall + Study``). ``field`` groups rooms
    whose rows run through; ``line`` is the row within the field, from
    the first laid, and ``row`` the job's row number; both count from 1, as does ``run`` within
    its row. ``offset`` is the left end measured from the field's origin, ``length`` spans from
    the leftmost to the rightmost point of the strip.

    A slant is the signed run-out of that end across the row (0 when the wall is square to it);
    its size is what the shorter long edge of the piece at that wall loses. ``left_mitre`` and ``right_mitre``
    say that the end is one straight wall from one line of the row to the other: then the slant is all there
    is to the piece's end there, and two such pieces may nest on a plank (:meth:`nests_in`).
    ``area2`` is twice the area laid, in square ticks, so that it stays a whole number.

    ``wide`` and ``narrow`` are the row's width here at its wider and at its narrower end, where it is
    ripped to a wall; ``None`` where it has its full ``width`` all along. ``touches`` names the runs
    of the line before (by their ``run``) that it touches; ``None`` all whose spans overlap with its own.
    """

    room: str
    field: str
    line: int
    row: int
    run: int
    offset: Ticks
    length: Ticks
    width: Ticks
    left_slant: Ticks = 0
    right_slant: Ticks = 0
    left_mitre: bool = False
    right_mitre: bool = False
    area2: int
    wide: Ticks | None = None
    narrow: Ticks | None = None
    touches: tuple[int, ...] | None = None

    @property
    def right(self) -> Ticks:
        """The right end, from the field's origin."""
        return self.offset + self.length

    def nests_in(self, width: Ticks) -> tuple[Ticks, Ticks]:
        """Return the slants of the left and right end where they may nest on planks of a width, else 0.

        They may where the end is a mitre, shorter than the run, and the run is not ripped: a piece is
        crosscut before it is ripped, but its slant was measured across the ripped row.
        """
        if self.width != width or self.wide is not None:
            return 0, 0
        left = self.left_slant if self.left_mitre and abs(self.left_slant) < self.length else 0
        right = self.right_slant if self.right_mitre and abs(self.right_slant) < self.length else 0
        return left, right


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomEdges:
    """How the rows of one room meet its first and last wall. Lengths in ticks.

    ``clear`` is the width across the rows inside the gaps; ``remainder`` what is left of it
    after whole rows; ``balanced`` says that first and last row were ripped alike on purpose.
    ``rows`` counts lines of planks.
    """

    room: str
    clear: Ticks
    rows: int
    remainder: Ticks
    first_width: Ticks
    last_width: Ticks
    balanced: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """All runs in laying order, and the edges of each field whose rows were computed.

    ``down`` are runs that lie already. ``ground`` is where it all is; rows given outright have no place.
    ``stops`` tells, by field, what decided where the lines between rows lie; ``along``, for a fixed pattern, where
    its joints would leave the longest end pieces.
    """

    runs: tuple[Run, ...]
    edges: tuple[RoomEdges, ...] = ()
    warnings: tuple[str, ...] = ()
    down: tuple[DownRun, ...] = ()
    ground: Ground = NOWHERE
    stops: tuple[tuple[str, StopsSolution], ...] = ()
    along: tuple[tuple[str, StopsSolution], ...] = ()
