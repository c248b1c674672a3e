"""Tables of figures written to a workbook."""

from collections.abc import Sequence
from datetime import UTC, datetime
from io import BytesIO
from typing import TYPE_CHECKING

from cutopt.model.grids import Grid
from cutopt.workbook._cells import Cell, cells_of
from cutopt.workbook._text import legal
from cutopt.workbook._titles import sheet_titles

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

__all__ = ["render_workbook"]

_CREATED = datetime(2000, 1, 1, tzinfo=UTC)
"""Told in every workbook: the same tables give the same bytes."""

_NARROWEST, _WIDEST = 48, 420
"""Of a column, in pixels."""

_ROOM = 10
"""Pixels beyond what is measured: titles are bold, and letters of other programs wider."""


def render_workbook(grids: Sequence[Grid]) -> bytes:
    """Return a workbook (XLSX) with a sheet for each grid, its header bold and always in sight.

    Sheets are named after their grids, as far as a workbook allows such names, and none twice. Numbers are numbers;
    fractions become floats only here. Text is never taken for a formula, a number or a link, and what XML may not
    hold is spelled out. The same grids give the same bytes.
    """
    from xlsxwriter.workbook import Workbook  # noqa: PLC0415 - loaded only when a workbook is wanted

    out = BytesIO()
    with Workbook(out, {"in_memory": True}) as book:
        book.set_properties({"created": _CREATED})
        looks = _Looks(book)
        for title, grid in zip(sheet_titles(grid.name for grid in grids), grids, strict=True):
            _fill(book.add_worksheet(title), grid, looks)
    return out.getvalue()


class _Looks:
    """The looks of cells, each made once."""

    def __init__(self, book: "Workbook") -> None:
        self._book = book
        self._made: dict[tuple[tuple[str, object], ...], Format] = {}

    def of(self, **look: object) -> "Format":
        """Return the format with these properties."""
        key = tuple(sorted(look.items()))
        if key not in self._made:
            self._made[key] = self._book.add_format(dict(look))
        return self._made[key]


def _fill(sheet: "Worksheet", grid: Grid, looks: _Looks) -> None:
    """Write a grid, and have it printed with its header on every page, as wide as the paper at most."""
    columns = [cells_of(grid, nth) for nth in range(len(grid.header))]
    for nth, (title, cells) in enumerate(zip(map(legal, grid.header), columns, strict=True)):
        align = "right" if any(cell.is_number for cell in cells) else "left"
        _write_text(sheet, 0, nth, title, looks.of(bold=True, bottom=1, align=align))
        for row, cell in enumerate(cells, 1):
            _write(sheet, row, nth, cell, looks)
        sheet.set_column_pixels(nth, nth, _width(title, cells))
    sheet.freeze_panes(1, 0)
    sheet.repeat_rows(0)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)


def _write(sheet: "Worksheet", row: int, column: int, cell: Cell, looks: _Looks) -> None:
    if cell.is_number:
        sheet.write_number(row, column, cell.number, looks.of(num_format=cell.look))
    elif cell.shown:
        _write_text(sheet, row, column, cell.shown, looks.of(num_format="@"))


def _write_text(sheet: "Worksheet", row: int, column: int, text: str, look: "Format") -> None:
    """Write a text as it is. The writer takes one in ``<r>`` tags for markup of its own: that is given in parts."""
    if text.startswith("<r>"):
        sheet.write_rich_string(row, column, *text[:2], text[2:], look)
    else:
        sheet.write_string(row, column, text, look)


def _width(title: str, cells: Sequence[Cell]) -> int:
    """Return the pixels that the title and every cell of a column are seen in."""
    from xlsxwriter.utility import cell_autofit_width  # noqa: PLC0415

    widest = max(int(cell_autofit_width(text)) for text in (title, *(cell.shown for cell in cells)))
    return min(_WIDEST, max(_NARROWEST, widest + _ROOM))
