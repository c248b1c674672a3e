"""A chart being drawn: shapes and texts placed from its top left corner, in points (1/72 in)."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import ceil
from typing import Literal

import shapely
from reportlab.graphics.shapes import Drawing

from cutopt.drawing._draft import lines_of
from cutopt.drawing._hatch import hatch
from cutopt.drawing._letters import plain, text_width
from cutopt.drawing._render import as_svg, drawing_of
from cutopt.drawing._scene import XY, Item, Layer, Line, Style, Text

__all__ = ["BOLD_LINE", "FINE", "MARGIN", "RULE", "SMALL", "Anchor", "Chart", "Fill"]

MARGIN = 24.0
SMALL = 7.0
"""The size of letters in legends and notes."""

FINE = Style(width=0.4)
RULE = Style(width=0.4, stroke=0.6)
BOLD_LINE = Style(width=1.4)
_HATCH = Style(width=0.5, stroke=0.1)
_NO_EDGE = Style(width=0, stroke=None)
_PAPER = Style(width=0, stroke=None, fill=1.0)
_MM = 25.4 / 72

Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """How an area is filled: a grey from 0 (black) to 1, and hatches, each its degrees and how far apart."""

    grey: float = 1.0
    hatches: tuple[tuple[float, float], ...] = ()


@dataclass(slots=True, kw_only=True)
class Chart:
    """What is drawn so far. ``y`` is how far down from the top the next thing goes; all places are so measured."""

    title: str
    about: str
    width: float
    y: float = 0.0
    items: list[Item] = field(default_factory=list)

    def text(  # noqa: PLR0913 - the last three by name
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        *,
        bold: bool = False,
        anchor: Anchor = "start",
        bare: bool = False,
    ) -> float:
        """Set a text on the line ``y``, beginning, centred or ending at ``x``; return where it ends.

        ``bare`` clears the paper below it first.
        """
        shown = plain(text)
        wide = text_width(shown, size, bold=bold)
        left = x - wide * {"start": 0, "middle": 0.5, "end": 1}[anchor]
        if bare:
            self.box(left - 1.5, y - 0.85 * size, wide + 3, 1.15 * size, fill=Fill(), edge=_NO_EDGE)
        if shown:
            self.items.append(Text(at=(left, y), text=shown, size=size, width=wide, bold=bold))
        return left + wide

    def line(self, points: Sequence[XY], style: Style = FINE) -> None:
        """Draw a line through points."""
        self.items.append(Line(parts=(tuple(points),), style=style))

    def shape(self, points: Sequence[XY], style: Style) -> None:
        """Draw a closed shape."""
        self.items.append(Line(parts=(tuple(points),), style=style, closed=True))

    def outline(self, x: float, y: float, width: float, height: float, *, edge: Style = FINE) -> None:
        """Draw a rectangle, its top left corner at a place."""
        self.shape(((x, y), (x + width, y), (x + width, y + height), (x, y + height)), edge)

    def box(  # noqa: PLR0913 - the last two by name
        self, x: float, y: float, width: float, height: float, *, fill: Fill, edge: Style = FINE
    ) -> None:
        """Draw a filled rectangle, its top left corner at a place."""
        self.outline(x, y, width, height, edge=replace(edge, fill=fill.grey))
        area = shapely.box(x, y, x + width, y + height)
        for degrees, apart in fill.hatches:
            if parts := lines_of(hatch(area, degrees=degrees, apart=apart)):
                self.items.append(Line(parts=parts, style=_HATCH))

    def svg(self) -> str:
        """Return the chart as SVG on white paper, as large as it is printed."""
        drawing = self.drawing(paper=True)
        size = (f"{drawing.width * _MM:.2f}mm", f"{drawing.height * _MM:.2f}mm")
        return as_svg(drawing, size=size, title=plain(self.title), about=plain(self.about))

    def drawing(self, *, paper: bool = False) -> Drawing:
        """Return the chart as a drawing, down to ``y``, on white ``paper`` where wanted."""
        width, height = ceil(self.width), ceil(self.y)
        ground = Line(parts=(((0, 0), (width, 0), (width, height), (0, height)),), style=_PAPER, closed=True)
        items = (*([ground] if paper else []), *self.items)
        return drawing_of(
            width, height, [Layer(name="chart", items=tuple(_up(one, height) for one in items))]
        )


def _up(item: Item, height: float) -> Item:
    """Return an item measured from the foot of the drawing, as the drawing model has it."""
    if isinstance(item, Text):
        return replace(item, at=(item.at[0], height - item.at[1]))
    return replace(item, parts=tuple(tuple((x, height - y) for x, y in part) for part in item.parts))
