"""The job as the user means it: planks, rules with their provenance, order and rooms."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from cutopt.model.pricing import NO_RISK, NO_STUDY, NOT_PRICED, Pricing, RiskSpec, StudySpec, TableSpec
from cutopt.model.rooms import Doorway, EdgePolicy, Room, Stop
from cutopt.units import Ticks, Unit

__all__ = [
    "AS_USUAL",
    "Assumption",
    "CataloguePlank",
    "Direction",
    "EdgePolicy",
    "Ends",
    "Job",
    "KeepLots",
    "Lay",
    "LayoutSpec",
    "Order",
    "Pattern",
    "PlankKind",
    "PlankSpec",
    "Rules",
    "ShareOffcuts",
    "ShareRips",
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
    """Whether offcuts may move between rooms (rooms whose rows run through count as one)."""

    JOB = "job"
    ROOM = "room"


class ShareRips(StrEnum):
    """Whether a plank may give one strip to a first row and the other to a last row."""

    YES = "yes"
    NO = "no"


class KeepLots(StrEnum):
    """How lots, whose colour may differ, are kept apart: in rooms (those whose rows run through are one), in rows."""

    ROOM = "room"
    ROW = "row"
    MIX = "mix"


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
    """A plank and its box. Lengths in ticks; ``width`` is the cover width (exposed face).

    Where rows have been measured, ``width`` is what one of them takes, and ``nominal_width`` the cover
    width as told. ``width_tolerance`` is how far a plank's width may be out either way.
    """

    length: Ticks
    width: Ticks
    per_box: int
    ends: Ends
    kerf: Ticks = 0
    kind: PlankKind | None = None
    single_length: bool = True
    box_coverage_mm2: Fraction | None = None
    box_price: Decimal | None = None
    nominal_width: Ticks | None = None
    width_tolerance: Ticks = 0
    thickness: Ticks | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CataloguePlank:
    """A plank of the user's own catalogue, by its name."""

    name: str
    plank: PlankSpec


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
    share_rips: ShareRips = ShareRips.YES
    lots: KeepLots = KeepLots.MIX


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What is bought beyond the layout: a share of culls and a number of spare planks."""

    culls: Fraction = Fraction(0)
    spare: int = 0


Direction = Fraction | None
"""Which way the rows run: degrees from the plan's x, counter-clockwise (0 to under 180); ``None`` compares several."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutSpec:
    """How the rows are set out. Lengths in ticks.

    ``first_width`` rips the first row to a given width, whatever ``edges`` says. The run limits are the
    product's: the longest floor along and across the planks without a break. ``movement`` is how much a
    row may grow across its width, for floating floors; ``None`` where not told.
    """

    direction: Direction = Fraction(0)
    edges: EdgePolicy = EdgePolicy.AUTO
    first_width: Ticks | None = None
    run_limit_along: Ticks | None = None
    run_limit_across: Ticks | None = None
    movement: Ticks | None = None


AS_USUAL = LayoutSpec()
"""Rows along x, edge rows as they come out, no limits known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A whole job. ``unit`` is how lengths are shown; ``assumptions`` lists every rule used.

    ``pricing``, ``risk``, ``study`` (with its ``catalogue`` of planks by name) and ``table`` are an estimator's.
    """

    title: str
    unit: Unit
    plank: PlankSpec
    rules: Rules
    order: Order
    rooms: tuple[Room, ...]
    doorways: tuple[Doorway, ...] = ()
    stops: tuple[Stop, ...] = ()
    layout: LayoutSpec = AS_USUAL
    assumptions: tuple[Assumption, ...] = ()
    warnings: tuple[str, ...] = ()
    pricing: Pricing = NOT_PRICED
    risk: RiskSpec = NO_RISK
    study: StudySpec = NO_STUDY
    catalogue: tuple[CataloguePlank, ...] = ()
    table: TableSpec | None = None
