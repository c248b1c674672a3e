"""Going on with a plan: what is laid, what was spoiled, what the tape now says."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from cutopt.model.floor import DownRun, Floor
from cutopt.model.hand import Stock
from cutopt.model.plan import HandPart, LaidRun
from cutopt.units import Ticks

__all__ = ["Changes", "Remaining", "RowMeasure"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RowMeasure:
    """What the tape says of a row: its runs so much longer (shorter below 0), or, of one run, its length."""

    longer: Ticks = 0
    length: Ticks | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """What has happened since the plan was made. Rows and pieces go by their numbers in the plan.

    ``laid_rows``: all rows up to it are laid; ``laid_pieces``: these are, one by one. ``spoiled`` names pieces
    (``12.3``) and planks (``p7``) that are lost. ``rows`` and ``rest`` are new measures of rows not yet
    laid; ``left_across`` is what is left across the rows of the field that is being laid. ``stock`` is what
    there is to cut from besides what the plan's own planks leave.
    """

    laid_rows: int = 0
    laid_pieces: frozenset[str] = frozenset()
    spoiled: tuple[str, ...] = ()
    rows: Mapping[int, RowMeasure] = field(default_factory=dict)
    rest: Ticks = 0
    left_across: Ticks | None = None
    stock: Stock | None = None

    @property
    def changes_nothing(self) -> bool:
        """Whether the plan can be followed on as it is."""
        no_measures = not self.rows and not self.rest and self.left_across is None
        return no_measures and not self.spoiled and (self.stock is None or not self.stock.parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Remaining:
    """What is left to plan: ``kept`` runs stay as they are, ``floor`` is to be laid beside them.

    ``down`` are the joints of all that is kept; ``hand`` the parts there are to cut from; ``lost`` the pieces of
    kept runs that must be cut anew. ``notes`` say what was taken for granted.
    """

    kept: tuple[LaidRun, ...]
    floor: Floor
    down: tuple[DownRun, ...]
    hand: tuple[HandPart, ...]
    lost: frozenset[str]
    notes: tuple[str, ...] = ()
