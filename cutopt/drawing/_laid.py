"""Where every piece lies: runs cut out of the floor, pieces out of their runs, in the axes of the rows."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from cutopt.drawing._given import given_fields
from cutopt.model.floor import Area, Field, Frame, Run
from cutopt.model.plan import End, LaidRun, Piece, Plan

__all__ = ["FloorField", "FloorPiece", "FloorRun", "areas_of", "fields_of", "polygons"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorPiece:
    """A piece where it lies, in ticks along and across the rows. ``is_cut``: not a whole plank as bought."""

    piece: Piece
    shape: BaseGeometry
    is_cut: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorRun:
    """A run where it lies: its row is between ``low`` and ``high``, its joints at ``joints`` along the rows."""

    run: Run
    name: str
    low: int
    high: int
    shape: BaseGeometry
    joints: tuple[int, ...]
    pieces: tuple[FloorPiece, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorField:
    """A field and its runs in laying order."""

    name: str
    frame: Frame
    area: BaseGeometry
    lines: tuple[int, ...]
    runs: tuple[FloorRun, ...]


def fields_of(plan: Plan) -> tuple[FloorField, ...]:
    """Return the fields of a plan with all pieces in place.

    Rows without a place (given outright) are stacked by line as their widths and offsets say, one field
    above the other.
    """
    rows: defaultdict[str, list[LaidRun]] = defaultdict(list)
    for row in plan.rows:
        rows[row.run.field].append(row)
    placed = {field.name for field in plan.ground.fields}
    stacked = given_fields([row.run for row in plan.rows if row.run.field not in placed], plan)
    cut = {plank.plank for plank in plan.planks if len(plank.pieces) > 1 or plank.offcuts}
    fields = [field for field in (*plan.ground.fields, *stacked) if field.name in rows]
    return tuple(_field(field, rows[field.name], cut) for field in fields)


def _field(field: Field, rows: Sequence[LaidRun], cut: set[int]) -> FloorField:
    areas = areas_of(field.areas)
    by_line: defaultdict[int, list[LaidRun]] = defaultdict(list)
    for row in rows:
        by_line[row.run.line].append(row)
    runs = [
        run
        for line, in_line in sorted(by_line.items())
        if 0 < line < len(field.lines)
        for run in _runs(in_line, areas, field.lines[line - 1 : line + 1], cut)
    ]
    return FloorField(
        name=field.name,
        frame=field.frame,
        area=shapely.union_all(areas),
        lines=field.lines,
        runs=tuple(runs),
    )


def areas_of(areas: Iterable[Area]) -> list[shapely.Polygon]:
    """Return areas of floor as polygons; one that crosses itself falls into several."""
    return [
        part
        for area in areas
        for part in polygons(shapely.make_valid(shapely.Polygon(area.outer, area.holes)))
    ]


def polygons(shape: BaseGeometry) -> Iterator[shapely.Polygon]:
    """Yield the areas of a shape, without lines and points that cutting may leave."""
    for part in shapely.get_parts(shape):
        if isinstance(part, shapely.Polygon) and part.area > 0:
            yield part
        elif isinstance(part, shapely.MultiPolygon | shapely.GeometryCollection):
            yield from polygons(part)


def _runs(
    rows: Sequence[LaidRun], areas: Sequence[shapely.Polygon], band: Sequence[int], cut: set[int]
) -> Iterator[FloorRun]:
    """Yield the runs of one line: each part of the floor there goes to the run with the nearest span."""
    low, high = band
    left = min(area.bounds[0] for area in areas) - 1
    right = max(area.bounds[2] for area in areas) + 1
    strip = shapely.box(left, low, right, high)
    parts: defaultdict[int, list[shapely.Polygon]] = defaultdict(list)
    for area in areas:
        if area.bounds[1] < high and area.bounds[3] > low:
            for part in polygons(shapely.intersection(area, strip)):
                parts[_nearest(part, rows)].append(part)
    for nth, row in enumerate(rows):
        yield _run(row, shapely.union_all(parts[nth]), (low, high), cut)


def _nearest(part: shapely.Polygon, rows: Sequence[LaidRun]) -> int:
    left, _, right, _ = part.bounds

    def apart(nth: int) -> float:
        run = rows[nth].run
        return abs(run.offset - left) + abs(run.right - right)

    return min(range(len(rows)), key=apart)


def _run(row: LaidRun, shape: BaseGeometry, band: tuple[int, int], cut: set[int]) -> FloorRun:
    run = row.run
    joints = tuple(accumulate((piece.length for piece in row.pieces[:-1]), initial=run.offset))[1:]
    pieces = tuple(
        FloorPiece(piece=piece, shape=part, is_cut=piece.plank in cut or _is_trimmed(piece))
        for piece, part in zip(row.pieces, _between(shape, joints, band), strict=True)
    )
    name = row.pieces[0].id.rpartition(".")[0]
    low, high = band
    return FloorRun(run=run, name=name, low=low, high=high, shape=shape, joints=joints, pieces=pieces)


def _is_trimmed(piece: Piece) -> bool:
    return End.CUT in (piece.left, piece.right)


def _between(shape: BaseGeometry, joints: Sequence[int], band: tuple[int, int]) -> Iterator[BaseGeometry]:
    """Yield what lies of a shape between one joint and the next; the ends keep all there is."""
    if shape.is_empty or not joints:
        yield from [shape] * (len(joints) + 1)
        return
    low, high = band
    ends = (min(shape.bounds[0], joints[0]) - 1, *joints, max(shape.bounds[2], joints[-1]) + 1)
    for left, right in pairwise(ends):
        yield shapely.union_all(
            list(polygons(shapely.intersection(shape, shapely.box(left, low, right, high))))
        )
