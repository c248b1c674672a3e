"""Bands across the page, one below the other, and blocks of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from cutopt.papers._type import draw_text, text_width

__all__ = ["Band", "Block", "Mark", "Rule", "Space", "Text", "Tick"]


@dataclass(frozen=True, slots=True)
class Space:
    """What a page leaves for its blocks, in points."""

    width: float
    height: float


_TYPED = "Courier"


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A text that begins at ``x``, or ends there (``right``), on a base line ``y`` points below the band's top."""

    x: float
    y: float
    text: str
    size: float
    bold: bool = False
    right: bool = False
    typed: bool = False

    def draw(self, canvas: Canvas, left: float, top: float) -> None:
        """Set the text; ``left`` and ``top`` are those of the band on the page."""
        if self.typed and self.text.isascii():  # letters of one width, for pictures made of them
            canvas.setFont(_TYPED, self.size)
            canvas.drawString(left + self.x, top - self.y, self.text)
            return
        wide = text_width(self.text, self.size, bold=self.bold) if self.right else 0
        draw_text(canvas, (left + self.x - wide, top - self.y), self.text, self.size, bold=self.bold)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A box to tick, ``size`` points wide, its foot ``y`` points below the band's top."""

    x: float
    y: float
    size: float

    def draw(self, canvas: Canvas, left: float, top: float) -> None:
        """Draw the box."""
        canvas.setLineWidth(0.9)
        canvas.rect(left + self.x, top - self.y, self.size, self.size)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A line from ``x`` to ``end``, ``y`` points below the band's top."""

    x: float
    end: float
    y: float
    weight: float

    def draw(self, canvas: Canvas, left: float, top: float) -> None:
        """Draw the line."""
        canvas.setLineWidth(self.weight)
        canvas.line(left + self.x, top - self.y, left + self.end, top - self.y)


Mark: TypeAlias = Text | Tick | Rule


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Marks that stand together in a band ``height`` points high, which no page break parts."""

    height: float
    marks: tuple[Mark, ...] = ()


class Block(Flowable):
    """Bands that stay on one page, below a ``head`` that is set again where they fill more than a page.

    ``whole`` is the height of a page: a block that is not taller is never parted. With 0 it parts anywhere,
    but leaves no single band behind. ``section`` begins a part of the papers by that name; ``row`` is the row
    that is told of.
    """

    def __init__(  # noqa: PLR0913 - all but the first by name
        self,
        bands: Sequence[Band],
        *,
        head: Sequence[Band] = (),
        whole: float = 0,
        with_next: bool = False,
        section: str = "",
        row: str = "",
    ) -> None:
        """Make a block; ``with_next`` keeps it on the page of what follows."""
        super().__init__()
        self.bands, self.head, self.whole = tuple(bands), tuple(head), whole
        self.keepWithNext = with_next
        self.section, self.row = section, row

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:  # noqa: ARG002, N803 - reportlab's names
        """Return the room it takes."""
        self.width, self.height = aW, _height((*self.head, *self.bands))
        return self.width, self.height

    def split(self, aW: float, aH: float) -> list[Flowable]:  # noqa: ARG002, N803 - reportlab's names
        """Return two parts of which the first is at most ``aH`` high; none where the block stays together."""
        if self.whole and _height((*self.head, *self.bands)) <= self.whole:
            return []
        room, fitting = aH - _height(self.head), 0
        while fitting < len(self.bands) and room >= self.bands[fitting].height:
            room -= self.bands[fitting].height
            fitting += 1
        if not self.whole:  # running text
            fitting = min(fitting, len(self.bands) - 2)
        if fitting < (1 if self.whole else 2):
            return []
        parts = (self.bands[:fitting], self.bands[fitting:])
        return [Block(part, head=self.head, whole=self.whole, row=self.row) for part in parts]

    def draw(self) -> None:
        """Draw the bands from the top."""
        top = self.height
        for band in (*self.head, *self.bands):
            for mark in band.marks:
                mark.draw(self.canv, 0, top)
            top -= band.height


def _height(bands: Sequence[Band]) -> float:
    return sum(band.height for band in bands)
