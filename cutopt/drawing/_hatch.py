"""Hatching: parallel lines within a shape."""

from math import ceil, floor

import shapely
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

__all__ = ["hatch"]


def hatch(shape: BaseGeometry, *, degrees: float, apart: float) -> BaseGeometry:
    """Return the lines at ``degrees`` that lie ``apart`` and within a shape; they run on from shape to shape."""
    if shape.is_empty:
        return shape
    level = rotate(shape, -degrees, origin=(0, 0))
    left, low, right, high = level.bounds
    lines = [
        ((left, nth * apart), (right, nth * apart))
        for nth in range(ceil(low / apart), floor(high / apart) + 1)
    ]
    return rotate(shapely.intersection(level, shapely.MultiLineString(lines)), degrees, origin=(0, 0))
