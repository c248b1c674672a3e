"""Where every piece lies on the plan, as data for drawings made elsewhere."""

from collections.abc import Iterator

from shapely.geometry.base import BaseGeometry

from cutopt.drawing._board import upright
from cutopt.drawing._laid import FloorField, fields_of, polygons
from cutopt.model.plan import Plan
from cutopt.model.work import PieceOutline

__all__ = ["outlines_of"]

_Ring = tuple[tuple[float, float], ...]


def outlines_of(plan: Plan) -> tuple[PieceOutline, ...]:
    """Return the outline of every piece that has an area, field by field in the order of rows."""
    return tuple(outline for field in fields_of(plan) for outline in _outlines(field))


def _outlines(field: FloorField) -> Iterator[PieceOutline]:
    for run in field.runs:
        for laid in run.pieces:
            rings = tuple(_rings(laid.shape, field))
            if rings:
                inside = laid.shape.representative_point()
                yield PieceOutline(
                    piece=laid.piece.id,
                    rings=rings,
                    inside=field.frame.to_plan((inside.x, inside.y)),
                    degrees=upright(float(field.frame.degrees)),
                )


def _rings(shape: BaseGeometry, field: FloorField) -> Iterator[_Ring]:
    for polygon in polygons(shape):
        for ring in (polygon.exterior, *polygon.interiors):
            yield tuple(field.frame.to_plan((x, y)) for x, y in ring.coords[:-1])
