"""A layout as someone typed it or another program wrote it: rows of pieces, and whatever else is told."""

from dataclasses import dataclass
from enum import StrEnum

from cutopt.model.job import Order, PlankSpec, Rules
from cutopt.units import Ticks, Unit

__all__ = ["Layout", "LayoutPiece", "LayoutRow", "Untold"]


class Untold(StrEnum):
    """Facts that a layout may leave out; each keeps some rules from being judged."""

    PLANK_LENGTH = "how long a whole plank is"
    PLANKS = "which plank each piece is cut from"
    STARTS = "how far along each row its first piece starts"
    RULES = "the rules"
    WIDTHS = "how wide the rows are"


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutPiece:
    """One piece of a row, from the left; ``plank`` numbers the plank it is cut from, ``None`` where not told."""

    length: Ticks
    plank: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutRow:
    """One row, its pieces from left to right.

    ``start`` is where its first piece begins, from a line common to all rows (0 where not told). ``place`` is where in its file it stands.
    """

    pieces: tuple[LayoutPiece, ...]
    start: Ticks = 0
    width: Ticks | None = None
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A layout to be judged. What is not told is taken as usual, and named in ``untold``.

    Rules that rest on something untold cannot be judged; ``told`` are the job keys of the rules that the layout sets itself
    (``rules.stagger``), all others are usual values for its kind of plank.
    """

    title: str
    unit: Unit
    plank: PlankSpec
    rules: Rules
    order: Order
    rows: tuple[LayoutRow, ...]
    told: frozenset[str] = frozenset()
    untold: frozenset[Untold] = frozenset()
