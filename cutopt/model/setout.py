"""What is set out from a plan: lines to snap, the order of laying, and limits; with the cut-outs, all of it.

Lengths are ticks. Places are in the axes of the field's rows (:class:`~cutopt.model.floor.Frame` turns them)
unless they are said to lie on the plan. Rows are the job's row numbers.
"""

from dataclasses import dataclass
from enum import StrEnum

from cutopt.model.cutouts import Axis, DoorWork, FloorArea, ThingWork
from cutopt.model.rooms import Point, WallName
from cutopt.units import Ticks

__all__ = [
    "NOTHING_SET_OUT",
    "Caution",
    "Diagonal",
    "FieldLines",
    "LineEnd",
    "LineStretch",
    "Loop",
    "Mark",
    "Movement",
    "RowCheck",
    "RunLimit",
    "Segment",
    "SetOut",
    "ShutIn",
    "Triangle",
    "WayOut",
    "WorkingLine",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """How far a line is from a wall or fixed thing, taken square to the line from the place ``at`` on it.

    Of ``wall`` (of ``room``) and ``thing`` one is given. ``towards_first``: what is measured to lies on
    the side of the first row.
    """

    at: Point
    room: str
    distance: Ticks
    towards_first: bool
    wall: WallName | None = None
    thing: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LineEnd:
    """Where a line leaves a room: on a wall, ``from_corner`` ticks along it from its first-named corner."""

    wall: WallName
    from_corner: Ticks


@dataclass(frozen=True, slots=True, kw_only=True)
class LineStretch:
    """A working line within one room, from left to right, and how far it is there from the walls.

    ``left`` and ``right`` hold the marks at either end; ``start_on`` and ``end_on`` are ``None`` where the
    line ends at a fixed thing.
    """

    room: str
    start: Point
    end: Point
    left: tuple[Mark, ...]
    right: tuple[Mark, ...]
    start_on: LineEnd | None = None
    end_on: LineEnd | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Triangle:
    """Legs of 3 and 4 (or 4 and 3) times ``unit`` from ``foot`` on a line, and what joins their ends.

    ``along`` is the end of the leg on the line, ``across`` that of the leg square to it.
    """

    foot: Point
    along: Point
    across: Point
    unit: Ticks

    @property
    def leg_along(self) -> Ticks:
        """The leg on the line."""
        return abs(self.along[0] - self.foot[0])

    @property
    def leg_across(self) -> Ticks:
        """The leg square to the line."""
        return abs(self.across[1] - self.foot[1])

    @property
    def joining(self) -> Ticks:
        """The side between the ends of the legs, when they are square."""
        return 5 * self.unit


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkingLine:
    """A line to snap along the rows, between row line ``line`` and the next (0: before the first).

    ``rows`` is how many rows lie between it and the datum, the first row's lower edge, or its upper edge
    where the first row is ripped (``ripped_first``). ``row`` is the row that comes up to it, ``None``
    where the line is the first row's lower edge. ``on_plan`` are its ends on the plan.
    """

    line: int
    row: int | None
    rows: int
    ripped_first: bool
    y: Ticks
    start: Point
    end: Point
    on_plan: tuple[Point, Point]
    stretches: tuple[LineStretch, ...]
    triangle: Triangle | None = None

    @property
    def rooms(self) -> tuple[str, ...]:
        """The rooms it runs through, from left to right."""
        return tuple(stretch.room for stretch in self.stretches)


@dataclass(frozen=True, slots=True, kw_only=True)
class RowCheck:
    """A row's far edge as seen from the base line, on it or beyond.

    ``rows`` counts from the line, below 0 towards the first row; ``distance`` is what they should
    measure, and ``tolerance`` how far that may be out either way (0: not known).
    """

    row: int
    rows: int
    distance: Ticks
    tolerance: Ticks = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagonal:
    """A length from corner to corner of a room with nothing in between."""

    room: str
    start: str
    end: str
    length: Ticks


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldLines:
    """What to snap in one field: ``lines`` begin with the base line, from which ``checks`` count."""

    field: str
    rooms: tuple[str, ...]
    lines: tuple[WorkingLine, ...]
    checks: tuple[RowCheck, ...]
    diagonals: tuple[Diagonal, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Loop:
    """Rows that part at something and meet again beyond it.

    ``parts_at`` is the last row before it that is whole (``None``: rows begin on both sides of it),
    ``closing_row`` the first whole one beyond (``None``: the arms do not meet again); ``distance`` is from the
    base line to the near edge of the closing row (from the last edge of the arms where there is none), and
    the same on both sides. ``checks`` are the rows on the way.
    """

    field: str
    name: str
    left_room: str
    right_room: str
    parts_at: int | None
    closing_row: int | None
    distance: Ticks
    checks: tuple[RowCheck, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """Runs that follow each other row by row with no choice; ``after`` are the segments that lie before it.

    ``runs`` are (row, run) in the order laid.
    """

    number: int
    field: str
    rooms: tuple[str, ...]
    runs: tuple[tuple[int, int], ...]
    after: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShutIn:
    """Bare floor that no way leads out of once ``row`` is laid; 0: from the beginning."""

    row: int
    run: int
    rooms: tuple[str, ...]
    first_row: int
    last_row: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """Whether one can leave a field over bare floor until its last run is laid.

    ``exits`` are doorways that lead out or hold a strip; none: no way out is known. ``last`` are those
    that the last run is laid from. ``mended``: laid from its other side, the field has a way out to the end.
    """

    field: str
    rooms: tuple[str, ...]
    exits: tuple[str, ...]
    shut_in: ShutIn | None = None
    last: tuple[str, ...] = ()
    mended: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RunLimit:
    """A floor in one piece that is larger than the product allows.

    Along the planks ``extent`` is its longest run, across them from its first row to its last;
    ``straight`` is the longest stretch without a jog. At least ``breaks`` are needed. ``doorway`` is the one
    whose closing parts the floor best, into ``parts`` (measured the same way); ``None``: none helps.
    """

    field: str
    rooms: tuple[str, ...]
    axis: Axis
    extent: Ticks
    straight: Ticks
    limit: Ticks
    breaks: int
    doorway: str | None = None
    parts: tuple[Ticks, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """How much the rows of a floating floor may grow, against the gaps at its two sides."""

    field: str
    rooms: tuple[str, ...]
    rows: int
    per_row: Ticks
    gaps: Ticks

    @property
    def growth(self) -> Ticks:
        """What all rows may grow together."""
        return self.rows * self.per_row

    @property
    def excess(self) -> Ticks:
        """What the gaps cannot take, 0 where they can."""
        return max(self.growth - self.gaps, 0)


class Caution(StrEnum):
    """What to mind about things on this kind of floor."""

    PINNED = "pinned"
    HEATER = "heater"


@dataclass(frozen=True, slots=True, kw_only=True)
class SetOut:
    """All that is set out from a plan; parts that need places are empty where the floor has none."""

    fields: tuple[FieldLines, ...] = ()
    loops: tuple[Loop, ...] = ()
    segments: tuple[Segment, ...] = ()
    ways_out: tuple[WayOut, ...] = ()
    limits: tuple[RunLimit, ...] = ()
    movements: tuple[Movement, ...] = ()
    things: tuple[ThingWork, ...] = ()
    doors: tuple[DoorWork, ...] = ()
    area: FloorArea | None = None
    cautions: tuple[tuple[Caution, tuple[str, ...]], ...] = ()


NOTHING_SET_OUT = SetOut()
"""Nothing to set out."""
