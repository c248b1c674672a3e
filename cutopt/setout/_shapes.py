"""Runs, doorways and things as shapes. Shapely is loaded with this module: only floors with a place need it."""

from collections.abc import Sequence
from math import hypot

import shapely
from shapely import Geometry

from cutopt.model.floor import Run
from cutopt.model.rooms import Point, Ring
from cutopt.units import Ticks

__all__ = ["SPARE", "across_doorway", "at_doorway", "extent", "floor_of", "parts", "run_box"]

SPARE: Ticks = 2
"""For corners on slanted walls, which are set on whole ticks."""


def run_box(run: Run, lines: Sequence[Ticks]) -> Geometry:
    """Return the stretch of its row that a run lies in, in the axes of the rows."""
    return shapely.box(run.offset, lines[run.line - 1], run.right, lines[run.line])


def floor_of(areas: Sequence[tuple[Ring, Sequence[Ring]]]) -> Geometry:
    """Return pieces of floor, each an outline and its holes, as one shape."""
    return shapely.union_all([shapely.Polygon(outer, holes) for outer, holes in areas])


def parts(shape: Geometry) -> list[Geometry]:
    """Return the pieces with an area that a shape consists of."""
    return [part for part in shapely.get_parts(shape) if shapely.area(part) > 0]


def extent(shape: Geometry) -> tuple[Ticks, Ticks, Ticks, Ticks]:
    """Return the box round a shape: its left, lower, right and upper side on whole ticks."""
    left, low, right, high = (round(float(side)) for side in shapely.bounds(shape))
    return left, low, right, high


def at_doorway(opening: Ring, gap: Ticks) -> Geometry:
    """Return the opening with a strip a gap deep before and behind it: a run in it lies at the doorway."""
    faces = [shapely.LineString(face) for face in _faces(opening)]
    near = [shapely.buffer(face, gap + SPARE, cap_style="flat") for face in faces]
    return shapely.union_all([shapely.Polygon(opening), *near])


def across_doorway(opening: Ring, under: Ticks) -> Geometry:
    """Return what has to be cut out of the floor to close a doorway: the opening, and as far under its jambs."""
    faces = [_longer(*face, under + SPARE) for face in _faces(opening)]
    hull = shapely.convex_hull(shapely.MultiPoint([point for face in faces for point in face]))
    if shapely.area(hull) > 0:
        return hull
    return shapely.buffer(hull, SPARE, cap_style="flat")  # no deeper than a line


def _faces(opening: Ring) -> list[tuple[Point, Point]]:
    """Return the opening at the first room's wall and, where it has a depth, at its far side."""
    return [(opening[nth], opening[nth + 1]) for nth in range(0, len(opening) - 1, 2)]


def _longer(start: Point, end: Point, by: Ticks) -> tuple[tuple[float, float], tuple[float, float]]:
    (x0, y0), (x1, y1) = start, end
    length = hypot(x1 - x0, y1 - y0) or 1.0
    dx, dy = (x1 - x0) / length * by, (y1 - y0) / length * by
    return (x0 - dx, y0 - dy), (x1 + dx, y1 + dy)
