"""Plain lines of at most 80 columns, and text from files shown as text."""

import unicodedata
from collections.abc import Iterable, Iterator, Sequence

from rich.cells import cell_len, chop_cells, set_cell_size

from cutopt.model.words import Block, Heading, Labels, Line, Para, Table

__all__ = [
    "WIDTH",
    "clean",
    "count",
    "heading",
    "labels",
    "listed",
    "pad",
    "para",
    "printed",
    "shorten",
    "width_of",
    "wrap",
]

WIDTH = 80
_LONGEST_TEXT = 500
_UNSEEN = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def clean(text: str, *, longest: int = _LONGEST_TEXT) -> str:
    r"""Return ``text`` on one line with nothing in it that a terminal would act on.

    White space becomes single blanks; control characters, escapes and marks that turn the writing
    direction are spelled out (``\x1b``, ``\u202e``). More than ``longest`` characters are cut off.
    """
    plain = " ".join(text[:longest].split())
    return "".join(_spelled(char) if unicodedata.category(char) in _UNSEEN else char for char in plain)


def _spelled(char: str) -> str:
    return char.encode("unicode_escape", "surrogatepass").decode("ascii")


def shorten(text: str, width: int) -> str:
    """Return cleaned ``text``, cut with ``...`` where it would take more than ``width`` columns."""
    line = clean(text)
    if cell_len(line) <= width:
        return line
    return set_cell_size(line, width - 3).rstrip() + "..."


def width_of(text: str) -> int:
    """Return how many columns a text takes on a line."""
    return cell_len(text)


def pad(text: str, width: int) -> str:
    """Return ``text`` filled with blanks to ``width`` columns; longer text stays whole."""
    return text + " " * (width - cell_len(text))


def listed(items: Sequence[str]) -> list[str]:
    """Return the items with commas between them, for :func:`wrap`: no line ends within an item."""
    return [*(f"{item}," for item in items[:-1]), *items[-1:]]


def wrap(
    text: str | Iterable[str], *, first: str = "", rest: str | None = None, width: int = WIDTH
) -> list[str]:
    """Return ``text`` in lines of at most ``width`` columns, begun with ``first`` and then ``rest``.

    Lines end between words, or between the parts of a text given in parts.
    """
    rest = " " * cell_len(first) if rest is None else rest
    room = width - max(cell_len(first), cell_len(rest))
    lines = [""]
    for word in _fitting(text.split() if isinstance(text, str) else text, room):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if cell_len(longer) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return [((rest if nth else first) + line).rstrip() for nth, line in enumerate(lines)]


def _fitting(words: Iterable[str], room: int) -> Iterator[str]:
    for word in words:
        if cell_len(word) <= room:
            yield word
        else:
            yield from chop_cells(word, room)


def para(text: str | Iterable[str], *, first: str = "", rest: str | None = None) -> Para:
    """Return a text as a paragraph; one given in parts is broken between these only."""
    words = text.split() if isinstance(text, str) else text
    return Para(tuple(words), first, " " * cell_len(first) if rest is None else rest)


def labels(rows: Iterable[tuple[str, str | Sequence[str]]], *, indent: int = 2) -> Labels:
    """Return labels and the texts beside them; one given in parts is broken between these only."""
    return Labels(
        tuple((label, tuple(text.split() if isinstance(text, str) else text)) for label, text in rows), indent
    )


def printed(blocks: Iterable[Block]) -> list[str]:
    """Return blocks as plain lines of at most :data:`WIDTH` columns."""
    return [line for block in blocks for line in _lines(block)]


def heading(text: str) -> list[str]:
    """Return a section's heading as lines: underlined, with a blank line before it."""
    return ["", text.upper(), "-" * cell_len(text)]


def _lines(block: Block) -> list[str]:
    match block:
        case Heading(text):
            return heading(text)
        case Para(words, first, rest):
            return wrap(words, first=first, rest=rest)
        case Labels(rows, indent):
            across = max((cell_len(label) for label, _ in rows), default=0)
            return [
                line
                for label, words in rows
                for line in wrap(words, first=" " * indent + pad(label, across) + "  ")
            ]
        case Table():
            return _table(block)
        case Line(text):
            return [text]


def _table(table: Table) -> list[str]:
    across = [max(map(cell_len, column)) for column in zip(*table.rows, strict=True)]
    return [(" " * table.indent + "  ".join(_cells(row, across, table.right))).rstrip() for row in table.rows]


def _cells(row: Sequence[str], across: Sequence[int], right: frozenset[int]) -> Iterator[str]:
    for nth, (cell, width) in enumerate(zip(row, across, strict=True)):
        yield " " * (width - cell_len(cell)) + cell if nth in right else pad(cell, width)


def count(number: int, one: str, many: str | None = None) -> str:
    """Return a number with its noun: ``1 box``, ``2 boxes``."""
    return f"{number} {one if number == 1 else many or one + 's'}"
