"""Going on with a plan: what is laid, what was spoiled, what the tape now says."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from cutopt.model.floor import DownRun, Floor
from cutopt.model.hand import Stock
from cutopt.model.plan import BegunPlank, Done, HandPart, LaidRun
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
    def measures(self) -> bool:
        """Whether rows were measured anew."""
        return bool(self.rows or self.rest or self.left_across is not None)

    @property
    def changes_nothing(self) -> bool:
        """Whether the plan can be followed on as it is."""
        return (
            not self.measures
            and not self.spoiled
            and (self.stock is None or not (self.stock.parts or self.stock.lots))
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Remaining:
    """What is left to plan: ``kept`` runs stay as they are, ``floor`` is to be laid beside them.

    ``down`` are the joints of all that is kept, ``laid`` the names of kept runs of which every piece is laid.
    ``hand`` are the parts there are to cut from, ``numbers`` of which planks, each in the same place; ``stock``
    tells, by its number, of a part that was in hand before. ``begun`` planks have pieces that are cut, of
    which ``done`` tells. ``replaced`` names the pieces of kept runs that must be cut anew, and the plank each
    then comes from. ``max_waiting`` is how many planks may wait among the rows left. Of ``withheld`` parts no
    use was made, so that up to as many planks might be saved with them. Planks from ``next_plank`` on are fresh.
    ``notes`` say what was taken for granted.
    """

    kept: tuple[LaidRun, ...]
    floor: Floor
    down: tuple[DownRun, ...]
    hand: tuple[HandPart, ...] = ()
    numbers: tuple[int, ...] = ()
    stock: Mapping[int, HandPart] = field(default_factory=dict)
    begun: Mapping[int, BegunPlank] = field(default_factory=dict)
    done: Mapping[str, Done] = field(default_factory=dict)
    replaced: Mapping[str, int] = field(default_factory=dict)
    max_waiting: int | None = None
    withheld: int = 0
    next_plank: int = 1
    notes: tuple[str, ...] = ()
