"""What an estimator adds to a job: prices and their risks, and what is to be varied."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import TypeAlias

from cutopt.units import Ticks

__all__ = [
    "NOT_PRICED",
    "NO_RISK",
    "NO_STUDY",
    "Choice",
    "Pricing",
    "RiskSpec",
    "Shape",
    "Steps",
    "StudySpec",
    "TableSpec",
    "Varied",
    "Vary",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pricing:
    """What is paid beside the price of a box, and what a wrong order costs.

    ``tax`` is a share added to prices. Sealed boxes may be returned where ``returnable``, each for
    ``return_fee``, and only when at least ``return_least`` of them come back. ``trip`` and ``delay`` are what it costs, once,
    to fetch what is missing and to wait for it.
    """

    tax: Fraction = Fraction(0)
    returnable: bool = True
    return_fee: Decimal = Decimal(0)
    return_least: int = 1
    trip: Decimal = Decimal(0)
    delay: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class RiskSpec:
    """What may go wrong with planks and tape.

    ``damage`` is the share of planks spoiled while they are cut and laid, somewhere evenly between the two figures
    (equal: known exactly). ``mismeasure`` is the standard deviation of a room's dimensions as taped, in ticks.
    How many planks are culled is the order's own share.
    """

    damage: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))
    mismeasure: Ticks = 0
    trials: int = 200


class Varied(StrEnum):
    """What a study may vary; the value is the key it has in a job file."""

    PLANK = "plank"
    STAGGER = "stagger"
    MIN_PIECE = "min_piece"
    PATTERN = "pattern"
    DIRECTION = "direction"
    FIRST_WIDTH = "first_width"
    KERF = "kerf"
    SHARE_RIPS = "share_rips"
    SHARE_OFFCUTS = "share_offcuts"


Choice: TypeAlias = "int | Fraction | str"
"""A value of what is varied: ticks of a length, degrees of a direction (a Fraction), a word, or a plank's name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Vary:
    """One thing to vary and the values it takes, in the order told."""

    what: Varied
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StudySpec:
    """What a study varies: one thing at a time about the job, or (``every``) all choices with all others."""

    vary: tuple[Vary, ...] = ()
    every: bool = False


class Shape(StrEnum):
    """The shapes of rooms in a table of waste factors."""

    RECTANGLE = "rectangle"
    L_ROOM = "L-room"
    HALL = "hall"
    FLAT = "flat"


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """Lengths from ``first`` to ``last``, each ``step`` more than the one before, in ticks."""

    first: Ticks
    last: Ticks
    step: Ticks

    def lengths(self) -> tuple[Ticks, ...]:
        """Return them all; ``last`` only where the steps meet it."""
        return tuple(range(self.first, self.last + 1, self.step))


@dataclass(frozen=True, slots=True, kw_only=True)
class TableSpec:
    """The rooms of a table of waste factors: along the rows, across them, and of which shapes."""

    along: Steps
    across: Steps
    shapes: tuple[Shape, ...] = (Shape.RECTANGLE,)


NOT_PRICED = Pricing()
NO_RISK = RiskSpec()
NO_STUDY = StudySpec()
