"""What is really there to cut from: whole planks, and parts of planks with the factory ends they keep."""

from dataclasses import dataclass

from cutopt.model.job import KeepLots
from cutopt.model.plan import HandPart

__all__ = ["Lot", "LotShare", "Stock"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """Whole planks of one lot, those of unopened boxes counted in."""

    name: str
    planks: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LotShare:
    """What a plan takes of a lot: ``fresh`` planks, of ``have`` (``None``: not counted); the rows from and to."""

    lot: str
    fresh: int
    have: int | None
    rows: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """All there is: whole planks (those of unopened boxes counted in) and parts; ``None``: not counted.

    ``boxes`` are the unopened ones among the planks. ``lots`` part the planks, in the order they are used up;
    ``keep`` says how they are kept apart.
    """

    planks: int | None = None
    boxes: int = 0
    parts: tuple[HandPart, ...] = ()
    lots: tuple[Lot, ...] = ()
    keep: KeepLots = KeepLots.ROW

    @property
    def parted(self) -> bool:
        """Whether there are lots to be kept apart."""
        return len(self.lots) > 1 and self.keep is not KeepLots.MIX
