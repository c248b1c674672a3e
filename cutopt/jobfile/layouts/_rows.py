"""The rows of a layout, whichever way its file is written."""

from collections.abc import Sequence

from cutopt.jobfile._checks import MAX_ROWS
from cutopt.jobfile._report import Report
from cutopt.jobfile._table import Table
from cutopt.model.layouts import LayoutPiece, LayoutRow

__all__ = ["read_rows"]

_MOST_PIECES = 200_000
_MOST_WRONG = 50
_PIECES_REMEDY = "give the lengths of its pieces from left to right, such as pieces = [17, 48, 48, 21]"
_PLANKS_REMEDY = "give the number of the plank of each piece, such as planks = [1, 2, 3, 1]"
_WRONG_REMEDY = "check that this file is a layout: one row after the other, by the lengths of its pieces"


def read_rows(tables: Sequence[Table], report: Report) -> tuple[LayoutRow, ...]:
    """Return the rows that could be read, each as often as it is counted, and note what is wrong with the others.

    Of a file with very many wrong rows no more is read.
    """
    read: list[tuple[int, LayoutRow]] = []
    wrong = pieces = rows = 0
    for table in tables:
        row = _row(table)
        if row is None:
            wrong += 1
            if wrong == _MOST_WRONG and table is not tables[-1]:
                report.refuse(f"{wrong} rows are wrong, and no more are read", "", _WRONG_REMEDY)
            continue
        read.append(row)
        rows, pieces = rows + row[0], pieces + row[0] * len(row[1].pieces)
        if rows > MAX_ROWS or pieces > _MOST_PIECES:
            report.refuse(
                f"{rows} rows of {pieces} pieces are too many",
                table.place,
                f"judge at most {MAX_ROWS} rows and {_MOST_PIECES} pieces: check the counts",
            )
    return tuple(row for count, row in read for _ in range(count))


def _row(table: Table) -> tuple[int, LayoutRow] | None:
    """Return how many rows there are of this kind, and one of them."""
    start, width = table.length("start", above_zero=False), table.length("width")
    count = table.count("count", least=1)
    told = {"start": start, "width": width, "count": count}
    sound = all(value is not None for key, value in told.items() if key in table)
    pieces = _pieces(table)
    if pieces is None or not sound:
        return None
    if count is not None and count > 1 and any(piece.plank is not None for piece in pieces):
        table.wrong("count", "rows cannot come from the same planks", "write each row with planks by itself")
        return None
    return count or 1, LayoutRow(pieces=pieces, start=start or 0, width=width, place=table.place)


def _pieces(table: Table) -> tuple[LayoutPiece, ...] | None:
    """Return the pieces of a row, or None with what is wrong noted."""
    table.require("pieces", _PIECES_REMEDY)
    listed = table.listed("pieces", _PIECES_REMEDY, most=_MOST_PIECES)
    lengths = [listed.length(key) for key in listed]
    sound = [length for length in lengths if length is not None]
    planks = _planks(table, len(lengths))
    if planks is None or not sound or len(sound) < len(lengths):
        return None
    return tuple(LayoutPiece(length=length, plank=plank) for length, plank in zip(sound, planks, strict=True))


def _planks(table: Table, pieces: int) -> list[int | None] | None:
    """Return the plank of each piece; ``None`` in its place where that is not told, and for all where it is wrong."""
    if "planks" not in table:
        return [None] * pieces
    listed = table.listed("planks", _PLANKS_REMEDY, most=_MOST_PIECES)
    planks = [listed.count(key, least=1) for key in listed]
    if any(plank is None and listed.raw(key) is not None for key, plank in zip(listed, planks, strict=True)):
        return None
    if not planks:
        return None
    if pieces and len(planks) != pieces:
        table.wrong("planks", f"does not tell the planks of {pieces} pieces", _PLANKS_REMEDY)
        return None
    return planks
