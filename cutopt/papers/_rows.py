"""The cut sheet: a block for each row, every piece with a box to tick."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from cutopt.model.papers import PaperWords
from cutopt.model.work import PieceWork, RowWork
from cutopt.papers._bands import Band, Block, Mark, Rule, Space, Text, Tick
from cutopt.papers._blocks import heading
from cutopt.papers._type import text_width, wrapped

__all__ = ["by_room", "is_counted", "row_blocks"]

_HEAD = 17.0
_LENGTH = 18.0
_PLAIN = 12.0
_DETAIL = 12.0
_LEAD = 15.0
_LEFT = 24.0
_WHAT = 78.0
_LENGTH_ENDS = 250.0
_PLANK = 266.0
_TICKED = 20.0
_MOST_ACROSS = 3


def row_blocks(words: PaperWords, space: Space) -> Iterator[Block]:
    """Yield the rows in the order laid, under the names of their rooms."""
    for room, rows in by_room(words.rows):
        yield heading(room, space) if room else Block([Band(height=8)], whole=space.height)
        for row in rows:
            yield _row(row, space)


def by_room(rows: Sequence[RowWork]) -> Iterator[tuple[str, Sequence[RowWork]]]:
    """Yield the rows room by room; where rooms take turns, all in one, each told with its room."""
    rooms = [(room, list(group)) for room, group in groupby(rows, key=lambda row: row.room)]
    if len(rooms) == len(dict(rooms)):
        yield from rooms
    else:
        yield "", [replace(row, size=f"{row.room}: {row.size}") for row in rows]


def is_counted(piece: PieceWork) -> bool:
    """Say whether a piece is a whole plank of which nothing more need be told."""
    return piece.what == "whole" and not (piece.take or piece.rest or piece.slants)


def _row(row: RowWork, space: Space) -> Block:
    bands = [band for text in row.broken for band in _warning(text, space)]
    for counted, group in groupby(row.pieces, key=is_counted):
        pieces = list(group)
        if counted:
            bands += _whole_planks(pieces, space)
        else:
            bands += [_piece(piece, space) for piece in pieces]
    return Block([*bands, Band(height=8)], head=[_head(row, space)], whole=space.height, row=row.name)


def _head(row: RowWork, space: Space) -> Band:
    name = f"Row {row.name}"
    text = _LEFT + text_width(name, _HEAD, bold=True) + 14
    lines = wrapped(row.size.split(), space.width - text, 13)
    marks: list[Mark] = [
        Rule(x=0, end=space.width, y=2, weight=1.2),
        Tick(x=0, y=22, size=15),
        Text(x=_LEFT, y=21, text=name, size=_HEAD, bold=True),
    ]
    marks += [Text(x=text, y=21 + nth * 16, text=line, size=13) for nth, line in enumerate(lines)]
    return Band(height=30 + (len(lines) - 1) * 16, marks=tuple(marks))


def _warning(text: str, space: Space) -> Iterator[Band]:
    for line in wrapped(["!!", *text.split()], space.width - _LEFT, _PLAIN, bold=True):
        yield Band(height=16, marks=(Text(x=_LEFT, y=12, text=line, size=_PLAIN, bold=True),))


def _whole_planks(pieces: Sequence[PieceWork], space: Space) -> Iterator[Band]:
    """Yield whole planks, as many beside each other as fit."""
    names = max(text_width(piece.id, _PLAIN, bold=True) for piece in pieces) + 8
    told = [f"{piece.what} {piece.length}, plank {piece.plank}" for piece in pieces]
    wide = _TICKED + names + max(text_width(text, _PLAIN) for text in told) + 14
    across = min(_MOST_ACROSS, max(1, int((space.width - 4 + 14) / wide)))
    for first in range(0, len(pieces), across):
        marks: list[Mark] = []
        for nth, piece in enumerate(pieces[first : first + across]):
            x = 4 + nth * (space.width - 4) / across
            marks += [
                Tick(x=x, y=14, size=11),
                Text(x=x + _TICKED, y=13, text=piece.id, size=_PLAIN, bold=True),
                Text(x=x + _TICKED + names, y=13, text=told[first + nth], size=_PLAIN),
            ]
        yield Band(height=20, marks=tuple(marks))


def _piece(piece: PieceWork, space: Space) -> Band:
    """Return a piece: what it is on the first line, how it is cut and where the rest goes below."""
    room = _LENGTH_ENDS - _WHAT - text_width(piece.what, _PLAIN) - 10
    size = _LENGTH * min(1, room / text_width(piece.length, _LENGTH, bold=True))
    marks: list[Mark] = [
        Tick(x=4, y=19, size=13),
        Text(x=_LEFT, y=18, text=piece.id, size=13, bold=True),
        Text(x=_WHAT, y=18, text=piece.what, size=_PLAIN),
        Text(x=_LENGTH_ENDS, y=18, text=piece.length, size=size, bold=True, right=True),
        Text(x=_PLANK, y=18, text=f"plank {piece.plank}, {piece.part}", size=_PLAIN),
    ]
    y = 18.0
    for text, bold in _details(piece):
        for line in wrapped(text.split(), space.width - _LEFT, _DETAIL, bold=bold):
            y += _LEAD
            marks.append(Text(x=_LEFT, y=y, text=line, size=_DETAIL, bold=bold))
    return Band(height=y + 7, marks=tuple(marks))


def _details(piece: PieceWork) -> Iterator[tuple[str, bool]]:
    """Yield what is told below a piece, and whether in bold: what must be written on the rest."""
    if text := "; ".join(filter(None, (piece.take, piece.cut, piece.wall))):
        yield text, False
    for slant in piece.slants:
        yield slant, False
    if piece.rest:
        yield piece.rest, True
