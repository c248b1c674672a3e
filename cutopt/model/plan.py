"""A finished plan: what each run is laid from and what each plank is cut into."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from cutopt.model.floor import NOWHERE, DownRun, Ground, Run
from cutopt.model.job import Order, PlankSpec, Rules
from cutopt.units import Ticks, Unit

__all__ = [
    "BegunPlank",
    "Bound",
    "CutPlank",
    "Cutting",
    "Done",
    "End",
    "HandPart",
    "Keeps",
    "Laid",
    "LaidRun",
    "Offcut",
    "Part",
    "Piece",
    "PieceCut",
    "Plan",
    "Source",
    "Totals",
]


class Part(StrEnum):
    """Which part of a run a piece is."""

    STARTER = "starter"
    WHOLE = "whole"
    END = "end piece"
    SINGLE = "single piece"


class End(StrEnum):
    """How one end of a piece was made."""

    FACTORY = "factory"
    CUT = "cut"


class Keeps(StrEnum):
    """Which factory ends an offcut still has."""

    LEFT = "left"
    RIGHT = "right"
    BOTH = "both"
    NONE = "none"


class Source(StrEnum):
    """Where a plank comes from: a box of the job, or what was in hand before."""

    BOX = "box"
    HAND = "hand"


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What a piece already cut is like: its ends as laid, and its ``place`` on its plank, counted from the left."""

    place: int
    left: End
    right: End


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceCut:
    """A piece before numbering: its part of the run, its length, and which plank it is cut from.

    ``plank`` is any whole number that is the same for all pieces of one plank. Starters and end
    pieces that are a whole plank are given as ``Part.WHOLE``. ``beside``: the piece is cut from the
    strip that is left when that other piece, the second number in the run of the first (both from 0),
    is ripped to its row's width. ``done`` is told of pieces that are cut already.
    """

    part: Part
    length: Ticks
    plank: int
    beside: tuple[int, int] | None = None
    done: Done | None = None


Laid = tuple[tuple[PieceCut, ...], ...]
"""Per run of a floor its pieces, in the order laid."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """The lower bound on planks: no plan under these rules opens fewer.

    ``reason`` says in a user's words why; ``proven`` that the plan beside it meets it.
    """

    planks: int
    reason: str
    proven: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class HandPart:
    """A part of a plank in hand, ``length`` in ticks from end to end, and the factory ends it keeps.

    ``plank`` is the number, in the plan gone on from, of the plank it is what remains of; ``None`` for a
    part that no plan knows. ``lot`` names its lot, where that is told. ``field`` is the only one it may be used
    in; empty: any.
    """

    length: Ticks
    keeps: Keeps
    plank: int | None = None
    lot: str = ""
    field: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BegunPlank:
    """A plank of which pieces are cut already; it keeps its number.

    ``before`` of these pieces lie left of the stretch that is still free. ``length`` is what there is of it,
    without the ``lost`` part, ``keeps`` the factory ends that are still there or on its pieces.
    """

    before: int
    length: Ticks | None
    keeps: Keeps = Keeps.BOTH
    lost: Ticks = 0
    source: Source = Source.BOX
    lot: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """What the planner answers: per run of the floor, its pieces in the order laid.

    ``note`` says how the search ended when that matters to the user (time, interrupt). ``hand`` tells, by the
    plank's number, which planks are parts that were in hand before, ``begun`` which have pieces that are cut
    already. ``lots`` names, by the plank's number, the lot it is to be of. ``spoiled`` planks, by number, gave no piece.
    """

    runs: tuple[tuple[PieceCut, ...], ...]
    bound: Bound
    note: str = ""
    hand: Mapping[int, HandPart] = field(default_factory=dict)
    begun: Mapping[int, BegunPlank] = field(default_factory=dict)
    lots: Mapping[int, str] = field(default_factory=dict)
    spoiled: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A numbered piece in place; ``left`` and ``right`` as one stands before the row."""

    id: str
    plank: int
    length: Ticks
    left: End
    right: End
    left_slant: Ticks = 0
    right_slant: Ticks = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidRun:
    """A run and its pieces from left to right; ids number them in the order laid."""

    run: Run
    pieces: tuple[Piece, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """What is left of a plank, and the factory end it keeps."""

    length: Ticks
    keeps: Keeps


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlank:
    """One plank: its pieces' ids from its left end, and what is left over.

    ``length`` is ``None`` for a plank of the job's length; ``factory`` says which factory ends the
    plank had before it was cut (a part kept from an earlier job may lack one). ``lost`` is what was spoiled of
    it, which ``length`` leaves out, as ``factory`` does an end that went with it. ``done`` are pieces that were
    cut before this plan was made.

    A plank of which a piece is ripped has further entries, one for each strip used beside such a piece:
    ``strip`` (2: the other strip across its width), its ``width``, and the piece ``beside`` which it lay.
    Its ``length`` is that piece's, and so are its factory ends.
    """

    plank: int
    pieces: tuple[str, ...]
    offcuts: tuple[Offcut, ...] = ()
    length: Ticks | None = None
    factory: Keeps = Keeps.BOTH
    strip: int | None = None
    width: Ticks | None = None
    beside: str = ""
    source: Source = Source.BOX
    lot: str = ""
    lost: Ticks = 0
    done: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """The counts a plan states; ``net_area_mm2`` in square millimetres.

    ``planks`` are those from boxes, spoiled ones among them; parts that were in hand are none of them.
    """

    planks: int
    boxes: int
    cuts: int
    peak_waiting: int
    net_area_mm2: float
    waste_factor_percent: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A whole plan, as it is checked, printed and stored.

    ``down`` are runs that lay already; ``ground`` is where the floor is, empty where that is not known.
    ``spoiled`` numbers whole planks that were opened and lost. ``supply`` is how many planks there were in all, these among
    them; ``None``: those of the boxes ordered.
    """

    title: str
    unit: Unit
    plank: PlankSpec
    rules: Rules
    order: Order
    rows: tuple[LaidRun, ...]
    planks: tuple[CutPlank, ...]
    totals: Totals
    bound: Bound
    seed: int = 0
    note: str = ""
    down: tuple[DownRun, ...] = ()
    ground: Ground = NOWHERE
    spoiled: tuple[int, ...] = ()
    supply: int | None = None
