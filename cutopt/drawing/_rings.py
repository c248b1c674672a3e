"""Breaches marked on a layout: rings round joints, tied where a rule compares them; hatching; numbers beside them."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from cutopt.drawing._board import Board, Box, boxed
from cutopt.drawing._draft import rings_of
from cutopt.drawing._panel import GUTTER, Placed, draw_hatch, draw_moved, stroke
from cutopt.drawing._scene import XY, Line, Style
from cutopt.drawing._spots import JointAt, Spot
from cutopt.drawing.charts._chart import SMALL, Chart
from cutopt.model.plan import LaidRun

__all__ = ["NUMBER", "draw_sign", "draw_spots", "put_number"]

NUMBER = 8.5
"""The size of the numbers of breaches, in points."""

_RING = Style(width=1.6)
_PARTNER = Style(width=1.0, dash=(2.5, 1.5))
_TIE = Style(width=0.8)
_HATCH = Style(width=0.8)
_LEADER = Style(width=0.7)
_TAG = Style(width=0.9, fill=1.0)
_HATCH_APART = 3.0
_BAR = 2.2
_LARGEST_RING = 8.0
_RING_OF_ROW = 0.38
_SIDES: tuple[XY, ...] = ((1, 0), (-1, 0), (1, 1), (-1, 1), (1, -1), (-1, -1), (0, 1), (0, -1))
_FARTHEST = 14
_TIED = 2
"""Steps away from its mark beyond which a number is tied to it by a line."""

_GAP = 2.0
_ENDLESS = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class _Mark:
    """A mark on the chart: the numbers that stand for it, its place, and the rings tied to it. ``is_row``: all of a row."""

    numbers: tuple[int, ...]
    shape: BaseGeometry
    partners: tuple[BaseGeometry, ...] = ()
    is_row: bool = False


def draw_spots(chart: Chart, fields: Sequence[Placed], spots: Sequence[Spot]) -> None:
    """Mark every breach that has a place on the fields, and number it; those at one place share a mark."""
    by_name = {placed.floor.name: placed for placed in fields}
    joined: defaultdict[tuple[object, ...], list[Spot]] = defaultdict(list)
    for spot in spots:
        if spot.run is not None and spot.run.run.field in by_name:
            run = spot.run.run
            joined[run.field, run.row, run.run, spot.middle, bool(spot.joints), spot.whole].append(spot)
    board = Board()
    for placed in fields:
        board.take(_gutter(placed))
    groups = sorted(joined.values(), key=lambda group: bool(group[0].joints))  # rings above hatching
    marks = [_mark(chart, by_name[_field(group)], group) for group in groups]
    for mark in marks:
        board.take(mark.shape, *mark.partners)
    for mark in marks:
        _tag(chart, board, mark)


def _field(spots: Sequence[Spot]) -> str:
    return next((spot.run.run.field for spot in spots if spot.run is not None), "")


def _gutter(placed: Placed) -> BaseGeometry:
    """Return where the numbers of rows stand."""
    left, low = placed.origin
    x, bottom = placed.at(left, low)
    _, top = placed.at(left, max(run.high for run in placed.floor.runs))
    return shapely.box(x - GUTTER, top, x - 1, bottom)


def _mark(chart: Chart, placed: Placed, spots: Sequence[Spot]) -> _Mark:
    """Draw the mark of breaches at one place."""
    numbers = tuple(spot.breach.number for spot in spots)
    first = spots[0]
    if first.joints:
        for spot in spots:
            _tie(chart, placed, spot.joints)
        circle = _circle(placed, first.joints[0])
        partners = tuple(_circle(placed, joint) for spot in spots for joint in spot.joints[1:])
        return _Mark(numbers=numbers, shape=circle, partners=partners)
    low, high, floor = _row(placed, first.run)
    shape = placed.shape(shapely.intersection(shapely.box(first.left, low, first.right, high), floor))
    draw_hatch(chart, shape, _HATCH, _HATCH_APART, 135)
    if rings := rings_of(shape):
        chart.items.append(Line(parts=rings, style=_RING, closed=True))
    if shape.is_empty:  # its number still needs a place
        shape = shapely.Point(placed.at(first.middle, (low + high) / 2))
    return _Mark(numbers=numbers, shape=shape, is_row=first.whole)


def _tie(chart: Chart, placed: Placed, joints: Sequence[JointAt]) -> None:
    """Ring joints that a rule compares, that of the breach's place bolder, and tie the rings by a hollow bar: no joint looks so."""
    circles = [_circle(placed, joint) for joint in joints]
    for one, other in pairwise(circles):
        bar = shapely.LineString([one.centroid, other.centroid]).buffer(_BAR, cap_style="flat")
        stroke(chart, shapely.difference(bar.boundary, shapely.union_all(circles)), _TIE)
    for nth, circle in enumerate(circles):
        stroke(chart, circle.boundary, _PARTNER if nth else _RING)


def _circle(placed: Placed, joint: JointAt) -> BaseGeometry:
    run, at = joint
    low, high, _ = _row(placed, run)
    radius = min(_LARGEST_RING, _RING_OF_ROW * (high - low) * placed.factor)
    return shapely.Point(placed.at(at, (low + high) / 2)).buffer(radius, quad_segs=8)


def _row(placed: Placed, run: LaidRun | None) -> tuple[int, int, BaseGeometry]:
    """Return the lower and upper line of a run's row, and its floor."""
    found = (one for one in placed.floor.runs if run is not None and one.run == run.run)
    return next(((one.low, one.high, one.shape) for one in found), (0, 0, shapely.Polygon()))


def _tag(chart: Chart, board: Board, mark: _Mark) -> None:
    """Put the numbers of a mark beside it, on the nearest free place; tie them to it where that is far."""
    text = ", ".join(map(str, mark.numbers))
    size = boxed(text, NUMBER, bold=True)
    size = Box(centre=(0, 0), width=size.width + 3, height=size.height + 2)
    page = shapely.box(1, 1, chart.width - 1, _ENDLESS)
    box = board.first_free(_places(mark, size), within=page) or next(_places(mark, size))
    if box.shape.distance(mark.shape) > _TIED * _GAP:
        stroke(chart, shapely.shortest_line(box.shape, mark.shape), _LEADER)
    put_number(chart, box, text)


def put_number(chart: Chart, box: Box, text: str) -> None:
    """Draw a number in its frame."""
    x, y = box.centre
    chart.items.append(Line(parts=rings_of(box.shape), style=_TAG, closed=True))
    chart.text(x, y + 0.36 * NUMBER, text, NUMBER, bold=True, anchor="middle")


def _places(mark: _Mark, size: Box) -> Iterator[Box]:
    """Yield boxes beside a mark, the nearest first; beside the far end of the row where it is a row."""
    left, top, right, low = mark.shape.bounds
    if mark.is_row:
        left = right
    x, y = (left + right) / 2, (top + low) / 2
    for step in range(_FARTHEST):
        away = _GAP + 0.6 * step * size.height
        for across, down in _SIDES:
            along = across * ((right - left + size.width) / 2 + away)
            slanted = down * (0.8 * size.height + 0.5 * away)
            straight = down * ((low - top + size.height) / 2 + away)
            yield replace(size, centre=(x + along, y + (slanted if across else straight)))


def draw_sign(chart: Chart, x: float, sign: str, meaning: str) -> float:
    """Draw a sign of the legend with its meaning; return where the next goes."""
    y = chart.y
    box = shapely.box(x, y - 7, x + 21, y + 1)
    match sign:
        case "ring":
            one, other = (shapely.Point(x + across, y - 3).buffer(3.5) for across in (4, 18))
            for up in (-_BAR, _BAR):
                stroke(chart, shapely.LineString([(x + 7, y - 3 + up), (x + 15, y - 3 + up)]), _TIE)
            stroke(chart, one.boundary, _RING)
            stroke(chart, other.boundary, _PARTNER)
        case "hatch":
            draw_hatch(chart, box, _HATCH, _HATCH_APART, 135)
            chart.items.append(Line(parts=rings_of(box), style=_RING, closed=True))
        case _:
            draw_moved(chart, box)
            stroke(chart, box.boundary, _LEADER)
    return chart.text(x + 26, y, meaning, SMALL) + 16
