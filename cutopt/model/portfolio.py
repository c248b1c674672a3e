"""Many units: types of unit, where they are, in which phase, and what is shared between them."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from cutopt.model.estimate import Failed, Figure, Tally
from cutopt.model.job import Job

__all__ = ["Group", "Level", "Portfolio", "PortfolioTotals", "Storey", "TypeResult", "UnitType"]


class Level(StrEnum):
    """Within what offcuts are carried on, and boxes are rounded."""

    UNIT = "unit"
    FLOOR = "floor"
    BUILDING = "building"
    PHASE = "phase"


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitType:
    """A type of unit and its job; ``job`` is ``None`` where its file is wrong, which ``failed`` tells."""

    name: str
    job: Job | None
    failed: Failed | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Storey:
    """Units of one floor of a building: how many of each type, by name, in the order told."""

    building: str
    floor: str
    phase: str
    units: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Portfolio:
    """All units. Offcuts are carried within one ``share``, boxes rounded up for one ``round_boxes``.

    ``lots`` names the lot of each phase, where told.
    """

    title: str
    types: tuple[UnitType, ...]
    storeys: tuple[Storey, ...]
    share: Level = Level.UNIT
    round_boxes: Level = Level.UNIT
    lots: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TypeResult:
    """One type of unit, laid by itself: how many there are, and what one comes to."""

    name: str
    count: int
    figure: Figure | None
    tally: Tally | None = None
    failed: Failed | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """What is ordered for one floor, building or phase, by the kind of plank: planks to lay and boxes.

    ``name`` is as a person reads it; ``missing`` names the types that could not be planned. ``boxes`` is ``None`` for
    less than what boxes are rounded up for; ``orders`` is empty for less than what offcuts are carried within.
    ``boxes_each`` are the boxes of each of ``orders``: their sum is ``boxes``. ``price`` is that of the boxes with
    tax, where all are priced.
    """

    level: Level
    name: str
    units: int
    orders: tuple[Figure, ...]
    boxes: int | None
    boxes_each: tuple[int, ...] = ()
    price: Decimal | None = None
    lot: str = ""
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PortfolioTotals:
    """A portfolio worked out: types, then floors, buildings and phases, then all of it."""

    title: str
    types: tuple[TypeResult, ...]
    groups: tuple[Group, ...]
    whole: Group
