"""Rooms as the user gives them: walls, fixed things, doorways, stops, and rows that are down already."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import count, islice, product
from string import ascii_uppercase

from cutopt.units import Ticks

__all__ = [
    "Doorway",
    "DownRow",
    "EdgePolicy",
    "FixedThing",
    "OutlineRoom",
    "Point",
    "Ring",
    "Room",
    "RowSpec",
    "RowsRoom",
    "RunSpec",
    "SizeRoom",
    "Stop",
    "StopSide",
    "Survey",
    "SurveyCorner",
    "SurveyRoom",
    "Tape",
    "ThingKind",
    "Turn",
    "WallName",
    "WalledRoom",
    "corner_names",
]

Point = tuple[Ticks, Ticks]
"""A place on a plan, (x, y) in ticks."""

Ring = tuple[Point, ...]
"""The corners of a closed outline in order, the first not repeated."""

WallName = tuple[str, str]
"""A wall by its two corners; measures along it begin at the first."""


def corner_names(corners: int) -> tuple[str, ...]:
    """Return what the corners of a room are called, in order: A to Z, then AA, AB, ..."""
    return tuple(islice(_names(), corners))


def _names() -> Iterator[str]:
    for letters in count(1):
        yield from map("".join, product(ascii_uppercase, repeat=letters))


@dataclass(frozen=True, slots=True, kw_only=True)
class RunSpec:
    """A stretch of a row as the user gave it, net of gaps; ``offset`` from a common line."""

    offset: Ticks
    length: Ticks


@dataclass(frozen=True, slots=True, kw_only=True)
class RowSpec:
    """``count`` equal rows given outright; ``width`` ``None`` means a full plank."""

    runs: tuple[RunSpec, ...]
    width: Ticks | None = None
    count: int = 1


class ThingKind(StrEnum):
    """What stands in the floor."""

    HEARTH = "hearth"
    ISLAND = "island"
    CABINETS = "cabinets"
    COLUMN = "column"
    VENT = "vent"
    HEATER = "heater"
    STAIRS = "stairs"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class FixedThing:
    """A thing that planks are cut round, by its outline in the room's own axes.

    ``gap`` is the gap kept to it; ``None`` means the job's usual gap (for a vent, whose grille covers the
    cut, none).
    """

    name: str
    corners: Ring
    kind: ThingKind = ThingKind.OTHER
    gap: Ticks | None = None


DownRow = tuple[Ticks, ...]
"""The end joints of a row that lies already, along the rows from the room's origin."""


class EdgePolicy(StrEnum):
    """How the width across the rows is shared between the first and the last row.

    ``auto``: whole rows from the first wall, unless the last would be a sliver: then balanced; where rows so
    begun would leave a sliver at a wall, thing or strip between, as for ``stops``.
    ``balance``: both ripped to (remainder + width) / 2. ``full first`` and ``full last``: a whole row
    there, and the rip at the other wall. ``halves``: remainder / 2 at both, one row more. ``stops``: the
    offset that makes the narrowest rip at any stop as wide as can be.
    """

    AUTO = "auto"
    BALANCE = "balance"
    FULL_FIRST = "full first"
    FULL_LAST = "full last"
    HALVES = "halves"
    STOPS = "stops"


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeRoom:
    """A rectangle, wall to wall: ``along`` the rows by ``across`` them, corner A at its origin.

    ``at`` is where the origin lies on the common plan, ``None`` for a room by itself or one that a
    doorway places. ``down`` are rows that lie before the first already, the nearest last. ``edges`` goes before
    the job's policy for first and last row; where rows run through rooms, the first that has one decides.
    """

    name: str
    along: Ticks
    across: Ticks
    at: Point | None = None
    fixed: tuple[FixedThing, ...] = ()
    down: tuple[DownRow, ...] = ()
    edges: EdgePolicy | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineRoom:
    """Corners in order, wall to wall, as (x, y); rows run along x, the first at the lowest y."""

    name: str
    corners: Ring
    at: Point | None = None
    fixed: tuple[FixedThing, ...] = ()
    down: tuple[DownRow, ...] = ()
    edges: EdgePolicy | None = None
    corner_names: tuple[str, ...] = ()


class Turn(StrEnum):
    """Which way one turns at a corner, walking along the walls."""

    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyCorner:
    """A corner as one comes to it along the walls: the turn there, and the angle inside the room where measured.

    ``angle`` in degrees (under 360); without one, the corner is only known to be about square.
    """

    name: str
    turn: Turn
    angle: Fraction | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tape:
    """A length taped between two corners: a wall or a diagonal."""

    start: str
    end: str
    length: Ticks


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """A room as a person measured it: walls in order round the room, and diagonals.

    ``accuracy`` is how far a taped length is usually out (one standard deviation, in ticks),
    ``angle_accuracy`` the same for an angle, in degrees. The first wall lies along x from the origin.
    """

    corners: tuple[SurveyCorner, ...]
    walls: tuple[Tape, ...]
    diagonals: tuple[Tape, ...]
    accuracy: Ticks
    angle_accuracy: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyRoom:
    """A room whose corners have yet to be found from what was taped."""

    name: str
    survey: Survey
    at: Point | None = None
    fixed: tuple[FixedThing, ...] = ()
    down: tuple[DownRow, ...] = ()
    edges: EdgePolicy | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RowsRoom:
    """Rows given outright, in laying order, net of gaps."""

    name: str
    rows: tuple[RowSpec, ...]
    down: tuple[DownRow, ...] = ()


WalledRoom = SizeRoom | OutlineRoom | SurveyRoom
"""A room known by its walls."""

Room = WalledRoom | RowsRoom


@dataclass(frozen=True, slots=True, kw_only=True)
class Doorway:
    """An opening in a wall through which the floor passes. Lengths in ticks.

    ``rooms`` are the two it joins, or the one that it leads out of. ``walls`` and ``offsets`` say for
    each room in turn which wall it is in, and how far the nearer jamb is from that wall's first corner;
    the second may be missing where both rooms have their place on the plan. ``depth`` is through the
    wall (``None``: as far as the walls of the two rooms are apart; of a way out, as its strip is wide). The floor goes ``undercut`` under
    each jamb. With a ``strip`` the rows end there: a transition strip that wide takes their place;
    without one they run through.
    """

    name: str
    rooms: tuple[str, ...]
    walls: tuple[WallName, ...]
    offsets: tuple[Ticks, ...]
    width: Ticks
    depth: Ticks | None = None
    undercut: Ticks = 0
    strip: Ticks | None = None


class StopSide(StrEnum):
    """On which side of a stop the planks lie."""

    BEFORE = "before"
    AFTER = "after"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A place across the rows where a row ought to end well.

    It is a distance ``at`` across the rows from the room's origin, or a wall, fixed thing or doorway of
    the room by name. ``side``: rows come up to it (before) or begin at it (after); ``None`` both, as far
    as there is floor. Wanted is a ``full`` row there, or none narrower than ``min_rip`` (``None``: the
    job's usual minimum).
    """

    name: str
    room: str
    at: Ticks | None = None
    wall: WallName | None = None
    thing: str | None = None
    doorway: str | None = None
    side: StopSide | None = None
    min_rip: Ticks | None = None
    full: bool = False
