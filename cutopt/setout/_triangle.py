"""The square to a working line: the largest 3-4-5 triangle that the floor holds."""

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from math import ceil, floor

import shapely
from shapely import Geometry

from cutopt.model.rooms import Point, Ring
from cutopt.model.setout import Triangle
from cutopt.setout._base import Choice
from cutopt.setout._chords import both_sides, chords, swapped
from cutopt.setout._shapes import floor_of
from cutopt.setout._site import Site
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks, Unit

__all__ = ["largest_triangle"]

_FEET: tuple[Ticks, ...] = (12 * TICKS_PER_INCH, 3 * TICKS_PER_INCH)
_METRES: tuple[Ticks, ...] = (100 * TICKS_PER_MM, 25 * TICKS_PER_MM)
_CM: Ticks = 10 * TICKS_PER_MM
_MOST_FEET = 60


def largest_triangle(site: Site, choice: Choice, start: Ticks, unit: Unit) -> Triangle | None:
    """Return the largest triangle with one leg on the line whose three sides all lie on the floor.

    Its sides are whole multiples of 3, 4 and 5 ft, or of 0.3, 0.4 and 0.5 m; on a floor too small for
    that, quarters of them. Of equally large ones it is the one nearest to the middle of the line. Its square
    corner is whole inches (or cm) from the line's ``start``, or square to a corner of the floor.
    Sources: 3-4-5 and its multiples (dummies.com, todayshomeowner.com, how-to articles on squaring lines);
    the largest that fits is common practice, no source.
    """
    for size in _METRES if unit.is_metric else _FEET:
        feet = _feet(site, choice, start, size)
        fits = sorted(_fitting(site, choice, size, feet), key=lambda triangle: _rank(triangle, choice))
        ground = _ground(site) if fits else None
        for triangle in fits:
            if ground is not None and _lies_on(ground, triangle):
                return triangle
    return None


def _rank(triangle: Triangle, choice: Choice) -> tuple[object, ...]:
    left, right = choice.floor
    from_middle = abs(2 * triangle.foot[0] - left - right)
    return -triangle.unit, from_middle, triangle.foot, triangle.along, triangle.across


def _fitting(site: Site, choice: Choice, size: Ticks, feet: Iterable[Ticks]) -> Iterator[Triangle]:
    """Yield the triangles at some places of the line whose legs lie on the floor, in all sizes down to one."""
    left, right = choice.floor
    columns = tuple(map(swapped, site.rings))
    for x in feet:
        down, up = _room_across(columns, choice, x)
        for reach_along, sign in ((x - left, -1), (right - x, 1)):
            for reach_across, turn in ((down, -1), (up, 1)):
                for along, across in ((3, 4), (4, 3)):
                    most = min(int(reach_along) // (along * size), reach_across // (across * size))
                    for many in range(most, 0, -1):
                        unit = many * size
                        yield Triangle(
                            foot=(x, choice.y),
                            along=(x + sign * along * unit, choice.y),
                            across=(x, choice.y + turn * across * unit),
                            unit=unit,
                        )


def _feet(site: Site, choice: Choice, start: Ticks, size: Ticks) -> list[Ticks]:
    """Return where a triangle may have its square corner: its steps along the line, and corners beside it."""
    left, right = choice.floor
    grain = _CM if size in _METRES else TICKS_PER_INCH
    steps = range(start + ceil((left - start) / Fraction(grain)) * grain, floor(right) + 1, grain)
    corners = sorted({x for ring in site.rings for x, _ in ring if left < x < right})
    return sorted({*steps[:: 1 + len(steps) // _MOST_FEET], *corners[:_MOST_FEET]})


def _room_across(columns: Sequence[Ring], choice: Choice, x: Ticks) -> tuple[Ticks, Ticks]:
    """Return how far the floor goes from the line at ``x`` towards the first row and away from it.

    ``columns`` are the floor's rings with x and y exchanged.
    """
    left, right = choice.floor
    if x <= left:
        found = chords(columns, x, above=True)
    elif x >= right:
        found = chords(columns, x, above=False)
    else:
        found = both_sides(columns, x)
    for low, high in found:
        if low <= choice.y <= high:
            return int(choice.y - low), int(high - choice.y)
    return 0, 0


def _ground(site: Site) -> Geometry:
    ground = floor_of([(area.outer, area.holes) for area in site.field.areas])
    ground = shapely.buffer(ground, 1, join_style="mitre")  # a tick to spare for corners set on whole ticks
    shapely.prepare(ground)
    return ground


def _lies_on(ground: Geometry, triangle: Triangle) -> bool:
    corners: tuple[Point, ...] = (triangle.foot, triangle.along, triangle.across)
    return bool(shapely.covers(ground, shapely.LinearRing(corners)))
