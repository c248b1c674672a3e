"""How far the walls at the ends of a floor's runs may be out before a plan no longer holds."""

from dataclasses import dataclass
from enum import StrEnum

from cutopt.units import Ticks

__all__ = ["Allowance", "Breaks", "RowTolerance", "common_tolerance"]


class Breaks(StrEnum):
    """What goes wrong first where a wall is out by more than it may be."""

    MIN_PIECE = "end piece under the minimum"
    GONE = "nothing left of the piece"
    PLANK = "longer than a plank"
    REST = "plank too short for all its pieces"
    STRIP = "strip beside it too short"
    STRIP_END = "strip beside it loses a factory end"
    CUT_STEP = "starter off the cut step"
    STAGGER = "stagger to a longer row"
    H_JOINT = "H-joint with longer rows"
    STAIR_STEP = "stair-step with rows it would touch"
    NEXT_RUN = "meets the next run of its row"


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowance:
    """By how many ticks a run may be out one way, and what goes wrong beyond that, at which piece.

    ``ticks`` holds while every other run is out by any amount within its own allowance; ``alone`` while
    every other run is as long as planned. ``piece`` is the id of the piece that fails first.
    """

    ticks: Ticks
    alone: Ticks
    breaks: Breaks
    piece: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RowTolerance:
    """How much shorter and how much longer one run may really be than its ``length`` in ticks.

    ``piece`` is the id of the piece that takes up the error: the last one laid.
    """

    row: int
    run: int
    room: str
    length: Ticks
    piece: str
    shorter: Allowance
    longer: Allowance

    @property
    def least(self) -> Ticks:
        """By how much the run may be out either way."""
        return min(self.shorter.ticks, self.longer.ticks)

    @property
    def name(self) -> str:
        """How the run is called: ``12``, or ``12b`` for the second run of a row."""
        return self.piece.rpartition(".")[0]


def common_tolerance(tolerances: tuple[RowTolerance, ...]) -> Ticks:
    """Return by how much all runs of a floor may be out at once, each either way; 0 for no runs."""
    return min((tolerance.least for tolerance in tolerances), default=0)
