"""Text set on paper: words as they are, and fractions of an inch as fractions."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain

from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from cutopt.papers._letters import faces

__all__ = ["draw_text", "text_width", "wrapped"]

_FRACTION = re.compile(
    r"(?<![\w/.,-])(?P<whole>~?\d+)?(?P<dash>(?(whole)-))(?P<over>\d+)/(?P<under>2|4|8|16|32|64)(?![\w/-])"
)
_SMALL = 0.68
_RISE = 0.22
"""How much smaller the figures of a fraction are, and how far the upper one is raised.

Raised by more, readers that put letters in lines by where they stand (PDFium) break the line there.
"""

_SLACK = 0.01
"""Points that rounding may add up to: a text that was measured for its room fits it."""

_SQUEEZED = 10
"""Percent of its width that is left to the dash of a whole number with a fraction, which is there to be found."""


@dataclass(frozen=True, slots=True)
class _Sort:
    """Letters set alike: face, size, how far above the line, and whether they are there for searching only."""

    face: str
    text: str
    size: float
    rise: float = 0.0
    hidden: bool = False

    @property
    def width(self) -> float:
        width = float(stringWidth(self.text, self.face, self.size))
        return width * _SQUEEZED / 100 if self.hidden else width


@lru_cache(maxsize=20_000)
def _sorts(text: str, size: float, bold: bool) -> tuple[_Sort, ...]:  # noqa: FBT001 - a key of the cache
    found = []
    for part, scale, rise, hidden in _parts(text):
        for face, letters in faces(part, bold=bold):
            found.append(_Sort(face, letters, size * scale, size * rise, hidden))
    return tuple(found)


def _parts(text: str) -> Iterator[tuple[str, float, float, bool]]:
    """Yield parts of a text with their size and height, as shares of the type's, and whether they are hidden."""
    at = 0
    for found in _FRACTION.finditer(text):
        yield text[at : found.start()] + (found["whole"] or ""), 1, 0, False
        yield found["dash"], 1, 0, True
        yield found["over"], _SMALL, _RISE, False
        yield "/", 1, 0, False
        yield found["under"], _SMALL, 0, False
        at = found.end()
    yield text[at:], 1, 0, False


@lru_cache(maxsize=20_000)
def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return the points a text takes."""
    return sum(sort.width for sort in _sorts(text, size, bold))


def draw_text(canvas: Canvas, at: tuple[float, float], text: str, size: float, *, bold: bool = False) -> None:
    """Set a text with its first letter at a place; what a search finds is the text as given."""
    line = canvas.beginText(*at)
    for sort in _sorts(text, size, bold):
        if sort.text:
            line.setFont(sort.face, sort.size)
            line.setRise(sort.rise)
            if sort.hidden:
                line.setTextRenderMode(3)  # neither filled nor stroked
                line.setHorizScale(_SQUEEZED)
            line.textOut(sort.text)
            if sort.hidden:
                line.setTextRenderMode(0)
                line.setHorizScale(100)
    canvas.drawText(line)


def wrapped(words: Iterable[str], room: float, size: float, *, bold: bool = False) -> list[str]:
    """Return words in lines of at most ``room`` points; a word longer than that is parted."""
    space = text_width(" ", size, bold=bold)
    lines, left = [""], room + _SLACK
    for word in chain.from_iterable(_fitting(word, room, size, bold=bold) for word in words):
        wide = text_width(word, size, bold=bold)
        if not lines[-1]:
            lines[-1], left = word, room + _SLACK - wide
        elif space + wide <= left:
            lines[-1] += f" {word}"
            left -= space + wide
        else:
            lines.append(word)
            left = room + _SLACK - wide
    return lines


def _fitting(word: str, room: float, size: float, *, bold: bool) -> Iterator[str]:
    """Yield a word, or the parts of one that is longer than a line."""
    while text_width(word, size, bold=bold) > room + _SLACK:
        at = len(word) - 1
        while at > 1 and text_width(word[:at], size, bold=bold) > room:
            at -= max(1, at // 8)
        yield word[:at]
        word = word[at:]
        if not word:
            return
    yield word
