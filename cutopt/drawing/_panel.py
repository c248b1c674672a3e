"""A layout of a judgement drawn to scale: every field with its rows level, the first at the bottom, joints bold."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import shapely
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from cutopt.drawing._draft import lines_of, rings_of
from cutopt.drawing._hatch import hatch
from cutopt.drawing._laid import FloorField, FloorRun
from cutopt.drawing._scene import XY, Line, Style
from cutopt.drawing.charts._chart import Chart
from cutopt.units import Ticks

__all__ = ["GUTTER", "Placed", "RunKey", "draw_floor", "draw_hatch", "draw_moved", "stroke"]

GUTTER = 30.0
"""Points left of a floor for the numbers of its rows."""

RunKey: TypeAlias = tuple[str, int, int]
"""Field, row and number of a run."""

_PIECE = Style(width=0.4, stroke=0.45, fill=1.0)
_WALL = Style(width=1.6)
_JOINT = Style(width=1.6)
_WAS = Style(width=1.0, stroke=0.2, dash=(2, 2))
_MOVED = Style(width=0.4, stroke=0.45)
_BLACK = Style(width=0.4, fill=0.0)
_LETTERS = 7.5
_MOVED_APART = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A field on a chart: the lower left corner of its floor, and points for a tick. Charts are measured downwards."""

    floor: FloorField
    corner: XY
    factor: float

    @property
    def origin(self) -> XY:
        """The lower left corner of the floor along and across the rows, in ticks."""
        return min(run.run.offset for run in self.floor.runs), min(run.low for run in self.floor.runs)

    def at(self, along: float, across: float) -> XY:
        """Return where a place along and across the rows is on the chart."""
        left, low = self.origin
        x, y = self.corner
        return x + (along - left) * self.factor, y - (across - low) * self.factor

    def shape(self, shape: BaseGeometry) -> BaseGeometry:
        """Return a shape along the rows as it is on the chart."""
        x, y = self.at(0, 0)
        return affine_transform(shape, [self.factor, 0, 0, -self.factor, x, y])


def draw_floor(chart: Chart, placed: Placed, moved: Mapping[RunKey, Sequence[Ticks]]) -> None:
    """Draw a field; ``moved`` are runs laid otherwise than before, hatched, and where their joints were, dashed."""
    floor = placed.floor
    for run in floor.runs:
        for piece in run.pieces:
            if rings := rings_of(placed.shape(piece.shape)):
                chart.items.append(Line(parts=rings, style=_PIECE, closed=True))
        was = moved.get((floor.name, run.run.row, run.run.run))
        if was is not None:
            draw_moved(chart, placed.shape(run.shape))
            _draw_joints(chart, placed, run, was, _WAS)
        _draw_joints(chart, placed, run, run.joints, _JOINT)
    if rings := rings_of(placed.shape(floor.area)):
        chart.items.append(Line(parts=rings, style=_WALL, closed=True))
    _number_rows(chart, placed, moved)


def _draw_joints(chart: Chart, placed: Placed, run: FloorRun, joints: Sequence[Ticks], style: Style) -> None:
    lines = shapely.MultiLineString([((at, run.low), (at, run.high)) for at in joints])
    stroke(chart, placed.shape(shapely.intersection(lines, run.shape)), style)


def _number_rows(chart: Chart, placed: Placed, moved: Mapping[RunKey, Sequence[Ticks]]) -> None:
    """Put the numbers of rows at the left, as many as have room; those moved are bold behind an arrow head."""
    left, _ = placed.origin
    rows = {run.run.row: placed.at(left, (run.low + run.high) / 2) for run in placed.floor.runs}
    changed = {row for field, row, _ in moved if field == placed.floor.name}
    taken: list[float] = []
    for row, (x, y) in sorted(rows.items(), key=lambda found: (found[0] not in changed, found[0])):
        if all(abs(y - other) >= _LETTERS for other in taken):
            taken.append(y)
            bold = row in changed
            chart.text(x - 5, y + 0.35 * _LETTERS, str(row), _LETTERS, bold=bold, anchor="end")
            if bold:
                chart.shape(_arrow_head((x - GUTTER + 2, y)), _BLACK)


def _arrow_head(at: XY) -> tuple[XY, ...]:
    """Return a triangle that points to the right, its tip 7 points from ``at``."""
    x, y = at
    return (x, y - 3.5), (x + 7, y), (x, y + 3.5)


def draw_moved(chart: Chart, shape: BaseGeometry) -> None:
    """Hatch the shape of a row that is moved, lightly."""
    draw_hatch(chart, shape, _MOVED, _MOVED_APART)


def draw_hatch(chart: Chart, shape: BaseGeometry, style: Style, apart: float, degrees: float = 45) -> None:
    """Hatch a shape."""
    stroke(chart, hatch(shape, degrees=degrees, apart=apart), style)


def stroke(chart: Chart, shape: BaseGeometry, style: Style) -> None:
    """Draw the lines of a shape."""
    if parts := lines_of(shape):
        chart.items.append(Line(parts=parts, style=style))
