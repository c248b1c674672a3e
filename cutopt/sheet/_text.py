"""Plain lines of at most 80 columns, and text from files shown as text."""

import unicodedata
from collections.abc import Iterable, Iterator, Sequence

from rich.cells import cell_len, chop_cells, set_cell_size

__all__ = ["WIDTH", "clean", "count", "heading", "label_rows", "listed", "pad", "shorten", "wrap"]

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


def heading(text: str) -> list[str]:
    """Return a section's heading, underlined, with a blank line before it."""
    return ["", text.upper(), "-" * cell_len(text)]


def label_rows(rows: Sequence[tuple[str, str | Sequence[str]]], *, indent: int = 2) -> list[str]:
    """Return a two-column list: labels, and values wrapped beside them."""
    across = max((cell_len(label) for label, _ in rows), default=0)
    lines = []
    for label, value in rows:
        lines += wrap(value, first=" " * indent + pad(label, across) + "  ")
    return lines


def count(number: int, one: str, many: str | None = None) -> str:
    """Return a number with its noun: ``1 box``, ``2 boxes``."""
    return f"{number} {one if number == 1 else many or one + 's'}"
