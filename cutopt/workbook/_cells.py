"""What stands in a cell, and how it looks."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from cutopt.model.grids import Grid, GridCell
from cutopt.workbook._text import legal

__all__ = ["Cell", "cells_of"]

_COUNT, _MEASURE, _MONEY, _SHARE = "#,##0", "#,##0.00", "#,##0.00", "0.0%"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A cell: as a person reads it, and where it is a number, that with its format."""

    shown: str = ""
    number: float = 0.0
    look: str = ""

    @property
    def is_number(self) -> bool:
        """Whether a number stands there, not text or nothing."""
        return bool(self.look)


def cells_of(grid: Grid, column: int) -> list[Cell]:
    """Return the cells of one column, from the top."""
    share = column in grid.percent
    return [_cell(row[column], share=share) for row in grid.rows]


def _cell(value: GridCell, *, share: bool) -> Cell:
    match value:
        case None:
            return Cell()
        case str():
            return Cell(shown=legal(value))
        case _ if share:
            return Cell(shown=f"{float(value):.1%}", number=float(value), look=_SHARE)
        case int():
            return Cell(shown=f"{value:,}", number=value, look=_COUNT)
        case Decimal():
            return Cell(shown=f"{value:,.2f}", number=float(value), look=_MONEY)
        case Fraction():
            return Cell(shown=f"{float(value):,.2f}", number=float(value), look=_MEASURE)
