"""Texts on a page that never overlap: boxes, and a board that knows which places are taken."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from math import cos, floor, radians, sin

import shapely
from shapely.geometry.base import BaseGeometry

from cutopt.drawing._letters import text_width
from cutopt.drawing._scene import XY, Text

__all__ = ["DESCENT", "Board", "Box", "boxed", "is_flipped", "upright"]

DESCENT = 0.22
"""Of a text's size: how far letters reach below the line they stand on."""

_HEIGHT = 0.96
_CELL = 40.0
_STEEPEST = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle about ``centre``, turned by ``degrees``; in points."""

    centre: XY
    width: float
    height: float
    degrees: float = 0.0

    @property
    def shape(self) -> shapely.Polygon:
        """The box as a polygon."""
        turn = radians(self.degrees)
        along = (cos(turn) * self.width / 2, sin(turn) * self.width / 2)
        across = (-sin(turn) * self.height / 2, cos(turn) * self.height / 2)
        x, y = self.centre
        corners = [(x + i * along[0] + j * across[0], y + i * along[1] + j * across[1]) for i, j in _CORNERS]
        made: shapely.Polygon = shapely.polygons(corners)  # faster than the class, for thousands of boxes
        return made

    def moved(self, along: float, across: float) -> "Box":
        """Return the box moved in its own axes."""
        turn = radians(self.degrees)
        x, y = self.centre
        at = (x + along * cos(turn) - across * sin(turn), y + along * sin(turn) + across * cos(turn))
        return Box(centre=at, width=self.width, height=self.height, degrees=self.degrees)

    def text(self, text: str, size: float, *, bold: bool = False) -> Text:
        """Return ``text`` set in the middle of the box."""
        width = text_width(text, size, bold=bold)
        start = self.moved(-width / 2, (DESCENT - _HEIGHT / 2) * size).centre
        return Text(at=start, text=text, size=size, width=width, degrees=self.degrees, bold=bold)


_CORNERS = ((-1, -1), (1, -1), (1, 1), (-1, 1))


def boxed(text: str, size: float, *, bold: bool = False, at: XY = (0, 0), degrees: float = 0.0) -> Box:
    """Return the box that ``text`` needs about ``at``."""
    width = text_width(text, size, bold=bold) + 0.3 * size
    return Box(centre=at, width=width, height=_HEIGHT * size, degrees=degrees)


def upright(degrees: float) -> float:
    """Return an angle along the same line, from -80 to 100, at which a text can be read.

    Near the vertical all texts read upwards.
    """
    turned = degrees % 180
    return turned - 180 if turned > _STEEPEST else turned


def is_flipped(degrees: float) -> bool:
    """Tell whether an upright text along a direction reads against it."""
    return abs((upright(degrees) - degrees) % 360 - 180) < 1


@dataclass(slots=True)
class Board:
    """The places taken on a page, found by a grid of cells."""

    cells: defaultdict[tuple[int, int], list[BaseGeometry]] = field(default_factory=lambda: defaultdict(list))

    def is_free(self, shape: BaseGeometry) -> bool:
        """Tell whether a shape overlaps none that is there."""
        return not any(
            other.intersects(shape) for cell in _cells(shape) for other in self.cells.get(cell, ())
        )

    def take(self, *shapes: BaseGeometry) -> None:
        """Mark places as taken."""
        for shape in shapes:
            for cell in _cells(shape):
                self.cells[cell].append(shape)

    def first_free(self, boxes: Iterable[Box], within: BaseGeometry | None = None) -> Box | None:
        """Take and return the first box that is free and lies ``within`` a shape; ``None`` without one."""
        for box in boxes:
            shape = box.shape
            if (within is None or within.covers(shape)) and self.is_free(shape):
                self.take(shape)
                return box
        return None


def _cells(shape: BaseGeometry) -> Iterator[tuple[int, int]]:
    if shape.is_empty:
        return
    left, low, right, high = shape.bounds
    for column in range(floor(left / _CELL), floor(right / _CELL) + 1):
        for row in range(floor(low / _CELL), floor(high / _CELL) + 1):
            yield column, row
