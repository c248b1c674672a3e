"""What is told of a plan, set as running text, lists and tables."""

from collections.abc import Iterable, Iterator, Sequence

from cutopt.model.words import Block as Told
from cutopt.model.words import Heading, Labels, Line, Para, Table
from cutopt.papers._bands import Band, Block, Rule, Space, Text
from cutopt.papers._letters import lacking
from cutopt.papers._type import text_width, wrapped

__all__ = ["answer", "heading", "section", "set_blocks", "spelled", "title"]

_SIZE = 11.0
_TYPED_SIZE = 9.5
_LEAD = 14.5
_BLANK = 5.0
"""Points to the right for each blank before a text."""

_LABEL_ROOM = 0.42
_TABLE_GAP = 14.0
_SMALLEST = 6.0
_HEADING_LINES = 3
_SPELLED = "Letters that these papers have no type for are spelled by their number, such as \\u4e2d: compare the job file."


def title(text: str, space: Space) -> Block:
    """Return the title of the papers, large."""
    lines = wrapped(text.split(), space.width, 24, bold=True)
    return Block(
        [Band(height=30, marks=(Text(x=0, y=24, text=line, size=24, bold=True),)) for line in lines],
        whole=space.height,
        with_next=True,
    )


def answer(text: str, space: Space) -> Block:
    """Return the answer, large enough to be seen first."""
    lines = wrapped(text.split(), space.width, 14, bold=True)
    bands = [Band(height=19, marks=(Text(x=0, y=14, text=line, size=14, bold=True),)) for line in lines]
    return Block([*bands, Band(height=6)], whole=space.height)


def section(text: str, space: Space) -> Block:
    """Return what begins a part of the papers."""
    marks = (Text(x=0, y=18, text=text, size=18, bold=True), Rule(x=0, end=space.width, y=24, weight=1.2))
    return Block([Band(height=34, marks=marks)], whole=space.height, with_next=True, section=text)


def heading(text: str, space: Space) -> Block:
    """Return a heading, cut short where it would take many lines."""
    lines = wrapped(text.split(), space.width, 13, bold=True)
    if len(lines) > _HEADING_LINES:
        lines[_HEADING_LINES - 1 :] = [lines[_HEADING_LINES - 1][:-4] + " ..."]
    bands = [Band(height=17, marks=(Text(x=0, y=12, text=line, size=13, bold=True),)) for line in lines]
    return Block([Band(height=13), *bands, Band(height=2)], whole=space.height, with_next=True)


def set_blocks(blocks: Iterable[Told], space: Space) -> Iterator[Block]:
    """Yield the blocks as they are set, from top to bottom."""
    for block in blocks:
        match block:
            case Heading(text):
                yield heading(text, space)
            case Para():
                yield _para(block, space)
            case Labels():
                yield from _labels(block, space)
            case Table():
                yield _table(block, space)
            case Line(text):
                typed = Text(x=0, y=11, text=text, size=_TYPED_SIZE, typed=True)
                yield Block([Band(height=8 if not text else _LEAD, marks=(typed,))], whole=1)


def spelled(texts: Iterable[str]) -> Iterator[Para]:
    """Yield a word on letters that are spelled out, where the texts have any."""
    if any(map(lacking, texts)):
        yield Para(tuple(_SPELLED.split()))


def _para(para: Para, space: Space) -> Block:
    bold = para.sign == "!!"
    left = para.indent * _BLANK
    text = left + (text_width(f"{para.sign}  ", _SIZE, bold=bold) if para.sign else 0)
    lines = wrapped(para.words, space.width - text, _SIZE, bold=bold)
    bands = [Band(height=_LEAD, marks=_texts([line], text, bold=bold)) for line in lines]
    if para.sign:
        bands[0] = Band(height=_LEAD, marks=(*_texts([para.sign], left, bold=bold), *bands[0].marks))
    return Block([*bands[:-1], Band(height=_LEAD + 3, marks=bands[-1].marks)])


def _texts(lines: Sequence[str], x: float, *, bold: bool = False) -> tuple[Text, ...]:
    return tuple(
        Text(x=x, y=11 + nth * _LEAD, text=line, size=_SIZE, bold=bold) for nth, line in enumerate(lines)
    )


def _labels(labels: Labels, space: Space) -> Iterator[Block]:
    """Yield each label with its text beside it."""
    left = labels.indent * _BLANK
    wide = max((text_width(label, _SIZE, bold=True) for label, _ in labels.rows), default=0)
    across = min(wide, _LABEL_ROOM * space.width)
    text = left + across + _TABLE_GAP
    for label, words in labels.rows:
        beside = wrapped(words, space.width - text, _SIZE)
        names = wrapped(label.split(), across, _SIZE, bold=True)
        marks = (*_texts(names, left, bold=True), *_texts(beside, text))
        yield Block([Band(height=max(len(beside), len(names)) * _LEAD + 2, marks=marks)], whole=space.height)


def _table(table: Table, space: Space) -> Block:
    """Return a table, its titles in bold and set again on the next page; small enough for its widest row."""
    left, size = table.indent * _BLANK, _SIZE
    while (widths := _widths(table, size)) and left + sum(widths) > space.width and size > _SMALLEST:
        size -= 0.5
    ends = [left + sum(widths[: nth + 1]) - _TABLE_GAP for nth in range(len(widths))]
    starts = [left, *(end + _TABLE_GAP for end in ends)]
    bands = [
        Band(
            height=_LEAD,
            marks=tuple(
                Text(
                    x=ends[nth] if nth in table.right else starts[nth],
                    y=11,
                    text=cell,
                    size=size,
                    bold=not row_number,
                    right=nth in table.right,
                )
                for nth, cell in enumerate(row)
            ),
        )
        for row_number, row in enumerate(table.rows)
    ]
    return Block([*bands[1:], Band(height=4)], head=bands[:1], whole=space.height)


def _widths(table: Table, size: float) -> list[float]:
    return [
        max(text_width(cell, size, bold=True) for cell in column) + _TABLE_GAP
        for column in zip(*table.rows, strict=True)
    ]
