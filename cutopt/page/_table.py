"""All rows and pieces as a plain table, which needs no script."""

from collections.abc import Iterator, Sequence
from html import escape

from cutopt.model.work import PieceWork, RowWork

__all__ = ["table_of_rows"]

_HEAD = '<thead><tr><th scope="col">Piece</th><th scope="col">Plank and cut</th></tr></thead>'


def table_of_rows(rows: Sequence[RowWork]) -> str:
    """Return the rows as an HTML table, a body each."""
    return "\n".join(["<table>", _HEAD, *(line for row in rows for line in _row(row)), "</table>"])


def _row(row: RowWork) -> Iterator[str]:
    name = escape(f"Row {row.name}, {row.room}: {row.size}")
    yield f'<tbody><tr><th colspan="2" scope="rowgroup"><bdi>{name}</bdi></th></tr>'
    for text in row.broken:
        yield f'<tr><td colspan="2">!! {escape(text)}</td></tr>'
    for piece in row.pieces:
        name, length, told = map(escape, (f"{piece.id} {piece.what}", piece.length, _told(piece)))
        yield f"<tr><td>{name} <b>{length}</b></td><td>{told}</td></tr>"
    yield "</tbody>"


def _told(piece: PieceWork) -> str:
    part = "" if piece.part == "whole" else f", {piece.part}"
    texts = (f"plank {piece.plank}{part}", piece.take, piece.cut, piece.wall, *piece.slants, piece.rest)
    return "; ".join(filter(None, texts))
