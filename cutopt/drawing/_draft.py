"""A page being drawn: what is on it so far, which places are taken, what its notes have to say."""

from collections.abc import Iterable
from dataclasses import dataclass, field

import shapely
from shapely.geometry.base import BaseGeometry

from cutopt.drawing._board import Board, Box
from cutopt.drawing._laid import polygons
from cutopt.drawing._scene import XY, Item, Layer, Line, Style
from cutopt.drawing._view import View

__all__ = ["LAYERS", "SMALLEST", "Draft", "lines_of", "rings_of"]

SMALLEST = 6.0
"""The smallest letters that are read with ease on paper, in points."""

LAYERS = ("walls", "doorways", "pieces", "joints", "things", "guides", "tags", "numbers", "frame")
"""From the lowest up."""

_PAPER = Style(width=0, stroke=None, fill=1.0)


@dataclass(slots=True)
class Draft:
    """One page in the making. ``floor`` is all floor and ``window`` the part of the page for it, in points.

    ``marks`` are lines that numbers had better not stand on.
    """

    view: View
    window: shapely.Polygon
    floor: BaseGeometry
    board: Board = field(default_factory=Board)
    items: dict[str, list[Item]] = field(default_factory=lambda: {name: [] for name in LAYERS})
    marks: list[BaseGeometry] = field(default_factory=list)
    keys: list[str] = field(default_factory=list)
    unnumbered: list[str] = field(default_factory=list)

    def add(self, layer: str, *items: Item) -> None:
        """Put items on a layer."""
        self.items[layer] += items

    def shape(self, layer: str, shape: BaseGeometry, style: Style) -> None:
        """Put the areas of a shape on a layer."""
        if rings := rings_of(shape):
            self.add(layer, Line(parts=rings, style=style, closed=True))

    def stroke(self, layer: str, shape: BaseGeometry, style: Style) -> None:
        """Put the lines of a shape on a layer, as far as the window shows them."""
        if lines := lines_of(shapely.intersection(shape, self.window)):
            self.add(layer, Line(parts=lines, style=style))

    def bare(self, layer: str, box: Box) -> None:
        """Clear a place for a text."""
        self.shape(layer, box.shape, _PAPER)

    def tag(self, box: Box, text: str, size: float, *, bold: bool = False, layer: str = "tags") -> None:
        """Put a text on a layer, on bare paper."""
        self.bare(layer, box)
        self.add(layer, box.text(text, size, bold=bold))

    def key(self, name: str) -> str:
        """Note a name that finds no room on the page; return the number that stands for it."""
        number = str(len(self.keys) + 1)
        self.keys.append(f"{number} {name}")
        return number

    def is_marked(self, shape: BaseGeometry) -> bool:
        """Tell whether a line runs through a shape."""
        return any(mark.intersects(shape) for mark in self.marks)

    def outside(self, boxes: Iterable[Box]) -> Box | None:
        """Take and return the first of the boxes that is free, beside the floor and in the window."""
        beside = (box for box in boxes if not self.floor.intersects(box.shape))
        return self.board.first_free(beside, within=self.window)

    def layers(self) -> tuple[Layer, ...]:
        """Return the page as it is now."""
        return tuple(Layer(name=name, items=tuple(items)) for name, items in self.items.items())


def rings_of(shape: BaseGeometry) -> tuple[tuple[XY, ...], ...]:
    """Return the outlines of all areas of a shape, their corners in a settled order."""
    return tuple(
        tuple((x, y) for x, y in ring.coords[:-1])
        for part in polygons(shape)
        for ring in (part.exterior, *part.interiors)
    )


def lines_of(shape: BaseGeometry) -> tuple[tuple[XY, ...], ...]:
    """Return the lines of a shape, rings among them."""
    return tuple(
        tuple((x, y) for x, y in part.coords)
        for part in shapely.get_parts(shapely.get_parts(shape))
        if isinstance(part, shapely.LineString) and part.length > 0
    )
