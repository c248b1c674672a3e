"""Tables of figures before they are written to a spreadsheet or another file."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias

__all__ = ["Grid", "GridCell"]

GridCell: TypeAlias = "str | int | Decimal | Fraction | None"
"""A cell: text (never a formula), a number, money (Decimal), an exact share or measure (Fraction), or nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A named table; every row has as many cells as ``header``. ``percent``: columns (from 0) that hold shares."""

    name: str
    header: tuple[str, ...]
    rows: tuple[tuple[GridCell, ...], ...]
    percent: frozenset[int] = frozenset()
