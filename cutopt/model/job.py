"""The job as the user means it: planks, rules with their provenance, order and rooms."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from cutopt.units import Ticks, Unit

__all__ = [
    "Assumption",
    "Ends",
    "Job",
    "Lay",
    "Order",
    "OutlineRoom",
    "Pattern",
    "PlankKind",
    "PlankSpec",
    "Room",
    "RowSpec",
    "RowsRoom",
    "Rules",
    "RunSpec",
    "ShareOffcuts",
    "SizeRoom",
    "SourceKind",
]


class PlankKind(StrEnum):
    """The kind of plank, which chooses the usual rules."""

    GLUE_DOWN_VINYL = "glue-down vinyl"
    CLICK_VINYL = "click vinyl"
    LAMINATE = "laminate"
    ENGINEERED_WOOD = "engineered wood"
    SOLID_STRIP = "solid strip"


class Ends(StrEnum):
    """Whether a plank may be turned end for end (square) or not (handed)."""

    HANDED = "handed"
    SQUARE = "square"


class Pattern(StrEnum):
    """How the joints are set out from row to row."""

    RANDOM = "random"
    HALF = "half"
    THIRD = "third"


class Lay(StrEnum):
    """The direction in which a row is laid; right-to-left mirrors the hands."""

    LEFT_TO_RIGHT = "left-to-right"
    RIGHT_TO_LEFT = "right-to-left"


class ShareOffcuts(StrEnum):
    """Whether offcuts may move between rooms."""

    JOB = "job"
    ROOM = "room"


class SourceKind(StrEnum):
    """Where a value comes from, from the strongest to the weakest word."""

    JOB = "job file"
    PUBLISHED = "published"
    MAKER = "one maker's instruction"
    HOW_TO = "how-to article"
    PRACTICE = "common practice, no source"
    MEMORY = "from memory"
    DERIVED = "derived"


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """One value the plan rests on, as text ready to show, and where it comes from.

    ``key`` is the job key (``"rules.stagger"``), ``name`` the trade's word for it.
    """

    key: str
    name: str
    value: str
    source: SourceKind
    citation: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlankSpec:
    """A plank and its box. Lengths in ticks; ``width`` is the cover width (exposed face)."""

    length: Ticks
    width: Ticks
    per_box: int
    ends: Ends
    kerf: Ticks = 0
    kind: PlankKind | None = None
    single_length: bool = True
    box_coverage_mm2: Fraction | None = None
    box_price: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """The rules a plan must keep, in ticks; 0 turns ``h_joint`` or ``stair_step`` off.

    ``max_waiting`` is ``None`` when any number of planks may wait.
    """

    stagger: Ticks
    min_piece: Ticks
    h_joint: Ticks
    stair_step: Ticks
    cut_step: Ticks
    min_rip: Ticks = 0
    gap: Ticks = 0
    fit: Ticks = 0
    max_waiting: int | None = 6
    pattern: Pattern = Pattern.RANDOM
    lay: Lay = Lay.LEFT_TO_RIGHT
    share_offcuts: ShareOffcuts = ShareOffcuts.JOB


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What is bought beyond the layout: a share of culls and a number of spare planks."""

    culls: Fraction = Fraction(0)
    spare: int = 0


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


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeRoom:
    """A rectangle, wall to wall: ``along`` the rows by ``across`` them."""

    name: str
    along: Ticks
    across: Ticks


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineRoom:
    """Corners in order, wall to wall, as (x, y); rows run along x, the first at the lowest y."""

    name: str
    corners: tuple[tuple[Ticks, Ticks], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RowsRoom:
    """Rows given outright, in laying order, net of gaps."""

    name: str
    rows: tuple[RowSpec, ...]


Room = SizeRoom | OutlineRoom | RowsRoom


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A whole job. ``unit`` is how lengths are shown; ``assumptions`` lists every rule used."""

    title: str
    unit: Unit
    plank: PlankSpec
    rules: Rules
    order: Order
    rooms: tuple[Room, ...]
    assumptions: tuple[Assumption, ...] = ()
    warnings: tuple[str, ...] = ()
