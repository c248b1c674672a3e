"""What a sheet of paper shows, as plain data: shapes and texts in points (1/72 in), y upwards."""

from dataclasses import dataclass
from typing import TypeAlias

from cutopt.model.papers import PaperName
from cutopt.model.rooms import Point

__all__ = ["XY", "GuideLine", "Item", "Layer", "Line", "Sheet", "Style", "Text"]

XY: TypeAlias = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideLine:
    """A line to draw on the plan, from ``start`` to ``end`` in ticks: a working line, with its ``label``."""

    start: Point
    end: Point
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How a line is drawn: width and dashes in points, greys from 0 (black) to 1; ``None`` draws nothing."""

    width: float = 0.3
    stroke: float | None = 0.0
    fill: float | None = None
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One or several lines, or closed rings (the inner ones holes), drawn alike."""

    parts: tuple[tuple[XY, ...], ...]
    style: Style
    closed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A text; ``at`` is where its first letter stands, ``width`` the points it may take along ``degrees``."""

    at: XY
    text: str
    size: float
    width: float
    degrees: float = 0.0
    bold: bool = False


Item: TypeAlias = Line | Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """Items that belong together, later ones above; ``name`` says what they show."""

    name: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A printed page, ``width`` by ``height`` points of ``paper``; layers from the lowest up."""

    title: str
    paper: PaperName
    width: int
    height: int
    layers: tuple[Layer, ...]
