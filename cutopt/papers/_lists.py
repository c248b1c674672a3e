"""The cutting list by the setting of the saw, and the racking list."""

from collections.abc import Iterator, Sequence
from itertools import groupby, zip_longest

from cutopt.model.papers import PaperWords, SawCut, SawSetting
from cutopt.model.work import RowWork
from cutopt.papers._bands import Band, Block, Mark, Rule, Space, Text, Tick
from cutopt.papers._blocks import heading
from cutopt.papers._rows import by_room, is_counted
from cutopt.papers._type import text_width, wrapped

__all__ = ["cutting_list", "racking_list"]

_SETTING = 16.0
_NAME = 12.0
_PLAIN = 11.0
_LINE = 20.0
_CUTS = 232.0
_MOST_LINES = 24
"""A setting of more lines than that begins anew, so that its mark is always in sight."""


def cutting_list(words: PaperWords, space: Space) -> Iterator[Block]:
    """Yield the settings, the longest mark first, and the widths to rip to."""
    for setting in words.settings:
        lines = list(_cuts(setting.cuts, space.width))
        for first in range(0, len(lines), _MOST_LINES):
            yield _setting(setting, lines[first : first + _MOST_LINES], space)
    if words.rips:
        yield heading("Rips", space)
        yield from (_rip(text, names, space) for text, names in words.rips)


def _setting(setting: SawSetting, lines: Sequence[tuple[Mark, ...]], space: Space) -> Block:
    """Return one setting: its mark at the left, the pieces beside it."""
    room = _CUTS - 14
    wide = text_width(setting.mark, _SETTING, bold=True)
    size = min(_SETTING, _SETTING * room / wide)
    mark, end = Text(x=0, y=17, text=setting.mark, size=size, bold=True), f"from the {setting.end}"
    left: list[tuple[Mark, ...]] = [(mark, Text(x=wide + 8, y=16, text=end, size=_PLAIN))]
    if wide + 8 + text_width(end, _PLAIN) > room:
        left = [
            (mark,),
            *((Text(x=0, y=13, text=line, size=_PLAIN),) for line in wrapped(end.split(), room, _PLAIN)),
        ]
    bands = [
        Band(height=_LINE, marks=(*beside, *cuts)) for beside, cuts in zip_longest(left, lines, fillvalue=())
    ]
    head = Rule(x=0, end=space.width, y=0, weight=0.5)
    return Block([Band(height=3, marks=(head,)), *bands, Band(height=4)], whole=space.height)


def _cuts(cuts: Sequence[SawCut], width: float) -> Iterator[tuple[Mark, ...]]:
    """Yield the pieces in lines, as many to a line as fit."""
    x, marks = _CUTS, list[Mark]()
    for cut in cuts:
        told = f"plank {cut.plank}" + (f", {cut.note}" if cut.note else "")
        name = text_width(cut.piece, _NAME, bold=True)
        size = min(_PLAIN, _PLAIN * (width - _CUTS - 24 - name) / text_width(told, _PLAIN))
        wide = 24 + name + text_width(told, size)
        if marks and x + wide > width:
            yield tuple(marks)
            x, marks = _CUTS, []
        marks += [
            Tick(x=x, y=17, size=11),
            Text(x=x + 18, y=16, text=cut.piece, size=_NAME, bold=True),
            Text(x=x + 24 + name, y=16, text=told, size=size),
        ]
        x += wide + 16
    yield tuple(marks)


def _rip(text: str, names: Sequence[str], space: Space) -> Block:
    rows = ["rows" if len(names) > 1 else "row", *(f"{name}," for name in names[:-1]), names[-1]]
    what = (Tick(x=4, y=15, size=12), Text(x=24, y=14, text=text, size=13, bold=True))
    lines = wrapped(rows, space.width - 24, _PLAIN)
    bands = [Band(height=16, marks=(Text(x=24, y=12, text=line, size=_PLAIN),)) for line in lines]
    return Block([Band(height=20, marks=what), *bands], whole=space.height)


def racking_list(words: PaperWords, space: Space) -> Iterator[Block]:
    """Yield each row's lengths in the order laid, whole planks counted."""
    for room, rows in by_room(words.rows):
        if room:
            yield heading(room, space)
        for row in rows:
            yield _racked(row, space)


def _racked(row: RowWork, space: Space) -> Block:
    lines = wrapped(_lengths(row), space.width - 96, 14)
    bands = [Band(height=20, marks=(Text(x=96, y=16, text=line, size=14),)) for line in lines]
    first: tuple[Mark, ...] = (
        Rule(x=0, end=space.width, y=0, weight=0.3),
        Tick(x=4, y=17, size=12),
        Text(x=24, y=16, text=f"Row {row.name}", size=13, bold=True),
    )
    bands[0] = Band(height=20, marks=(*first, *bands[0].marks))
    return Block(bands, whole=space.height)


def _lengths(row: RowWork) -> Iterator[str]:
    """Yield the lengths of the pieces, whole planks in a row as one."""
    parts = []
    for counted, group in groupby(row.pieces, key=is_counted):
        pieces = list(group)
        parts += [f"{len(pieces)} whole"] if counted else [piece.length for piece in pieces]
    for nth, part in enumerate(parts):
        yield part + (" +" if nth + 1 < len(parts) else "")
