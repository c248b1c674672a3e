"""What is cut round fixed things and doorways, and the areas between walls and planks.

Lengths are ticks; rows are the job's row numbers.
"""

from dataclasses import dataclass
from enum import StrEnum

from cutopt.model.plan import End
from cutopt.model.rooms import ThingKind
from cutopt.units import Ticks

__all__ = [
    "Axis",
    "CutEdge",
    "DoorWork",
    "FloorArea",
    "NamedArea",
    "Notch",
    "Passage",
    "RowEnd",
    "Side",
    "Sliver",
    "ThingWork",
]


class Side(StrEnum):
    """Left or right as one looks from the first row to the last."""

    LEFT = "left"
    RIGHT = "right"


class Axis(StrEnum):
    """Along the planks, or across them."""

    ALONG = "along"
    ACROSS = "across"


class CutEdge(StrEnum):
    """Where in a piece a cut-out lies, across the row."""

    NEAR = "near edge"
    FAR = "far edge"
    INSIDE = "inside"
    WHOLE = "whole width"


@dataclass(frozen=True, slots=True, kw_only=True)
class Notch:
    """A cut-out in one piece, its gap taken off.

    It is ``along`` by ``across`` the row, ``from_edge`` in from the row's near edge (its far edge where
    ``edge`` is ``FAR``, and then 0), and begins ``from_joint`` from the piece's ``joint`` end (0: it opens that
    end), which is ``made`` so. The near edge is the one towards the first row.
    """

    row: int
    piece: str
    edge: CutEdge
    along: Ticks
    across: Ticks
    from_edge: Ticks
    joint: Side
    from_joint: Ticks
    made: End


@dataclass(frozen=True, slots=True, kw_only=True)
class RowEnd:
    """A run that ends at a thing: by which of its pieces, and on which side of the thing it lies."""

    row: int
    piece: str
    side: Side


@dataclass(frozen=True, slots=True, kw_only=True)
class Sliver:
    """A strip of floor beside a thing that is narrower than a rip, or shorter than a piece, should be."""

    row: int
    axis: Axis
    size: Ticks
    least: Ticks


@dataclass(frozen=True, slots=True, kw_only=True)
class ThingWork:
    """A fixed thing and what is cut round it; ``rows`` are those it hits."""

    name: str
    kind: ThingKind
    room: str
    gap: Ticks
    rows: tuple[int, ...]
    ends: tuple[RowEnd, ...]
    notches: tuple[Notch, ...]
    slivers: tuple[Sliver, ...]


class Passage(StrEnum):
    """What the floor does in a doorway."""

    THROUGH = "through"
    STRIP = "strip"
    OUT = "out"


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorWork:
    """A doorway's casing: ``legs`` to undercut, ``height`` above the subfloor (``None``: thickness not told).

    ``clearance`` is what ``height`` holds beyond the plank. ``under`` is how far the floor goes under each jamb.
    ``last_row`` is set where the field's last row lies in the doorway and has to be fitted there.
    """

    name: str
    rooms: tuple[str, ...]
    passage: Passage
    legs: int
    under: Ticks
    height: Ticks | None = None
    clearance: Ticks = 0
    last_row: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedArea:
    """Twice an area in square ticks, so that it stays whole, and what has it."""

    name: str
    area2: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorArea:
    """The floor from wall to wall and doorways, less strips, things and gaps: what is laid."""

    rooms: tuple[NamedArea, ...]
    doorways: tuple[NamedArea, ...]
    strips: tuple[NamedArea, ...]
    things: tuple[NamedArea, ...]
    net2: int

    @property
    def gross2(self) -> int:
        """Rooms and doorways."""
        return sum(part.area2 for part in (*self.rooms, *self.doorways))

    @property
    def gaps2(self) -> int:
        """What is left bare at walls and things."""
        return self.gross2 - self.net2 - sum(part.area2 for part in (*self.strips, *self.things))
