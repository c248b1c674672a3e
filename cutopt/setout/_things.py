"""What is cut round fixed things: row by row, piece by piece."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

import shapely
from shapely import Geometry

from cutopt.model.cutouts import Axis, CutEdge, Notch, RowEnd, Side, Sliver, ThingWork
from cutopt.model.job import Rules
from cutopt.model.plan import LaidRun, Piece
from cutopt.model.rooms import ThingKind
from cutopt.setout._shapes import SPARE, extent, floor_of, parts, run_box
from cutopt.setout._site import Site, SiteThing
from cutopt.units import Ticks

__all__ = ["things"]

Box = tuple[Ticks, Ticks, Ticks, Ticks]


def things(site: Site, rules: Rules) -> tuple[ThingWork, ...]:
    """Return, for every thing of a field, the rows it hits, the cut-outs, and slivers beside it.

    A cut-out is the box round what the thing and its gap take out of a piece. (Vents planned with rows and
    joints: woodfloorbusiness.com, canadianwoodworking.com, articles on floor registers.)
    """
    if not site.things:
        return ()
    floor = floor_of([(area.outer, area.holes) for area in site.field.areas])
    return tuple(_work(site, thing, rules, floor) for thing in site.things)


def _work(site: Site, thing: SiteThing, rules: Rules, floor: Geometry) -> ThingWork:
    taken = shapely.buffer(shapely.Polygon(thing.ring), thing.placed.gap, join_style="mitre")
    _, low, _, high = extent(taken)
    near = [laid for laid in site.runs if _between(site, laid, low, high)]
    notches = [notch for laid in near for notch in _notches(site, laid, taken)]
    ends = [end for laid in near for end in _ends(site, laid, taken)]
    return ThingWork(
        name=thing.placed.name,
        kind=thing.placed.kind,
        room=thing.placed.room,
        gap=thing.placed.gap,
        rows=tuple(sorted({notch.row for notch in notches} | {end.row for end in ends})),
        ends=tuple(ends),
        notches=tuple(notches),
        slivers=tuple(_slivers(site, near, taken, rules, floor))
        if thing.placed.kind is not ThingKind.VENT
        else (),
    )


def _between(site: Site, laid: LaidRun, low: Ticks, high: Ticks) -> bool:
    line = laid.run.line
    return site.lines[line - 1] < high and low < site.lines[line]


def _taken_of(site: Site, laid: LaidRun, taken: Geometry) -> Box | None:
    """Return the box round what is taken out of a run's stretch of its row."""
    box = run_box(laid.run, site.lines)
    found = parts(shapely.intersection(box, taken))
    return extent(shapely.union_all(found)) if found else None


@dataclass(frozen=True, slots=True)
class _Spot:
    """A piece and where it lies along its row."""

    piece: Piece
    left: Ticks
    right: Ticks


def _spots(laid: LaidRun) -> list[_Spot]:
    lengths = (piece.length for piece in laid.pieces)
    stops = list(accumulate(lengths, initial=laid.run.offset))
    return [
        _Spot(piece, left, right) for piece, left, right in zip(laid.pieces, stops, stops[1:], strict=False)
    ]


def _notches(site: Site, laid: LaidRun, taken: Geometry) -> Iterator[Notch]:
    box = _taken_of(site, laid, taken)
    if box is None:
        return
    low, high = site.lines[laid.run.line - 1], site.lines[laid.run.line]
    for spot in _spots(laid):
        left, right = max(box[0], spot.left), min(box[2], spot.right)
        if left < right:
            edge = _edge(box, low, high)
            from_left, from_right = left - spot.left, spot.right - right
            joint = Side.LEFT if from_left <= from_right else Side.RIGHT
            yield Notch(
                row=laid.run.row,
                piece=spot.piece.id,
                edge=edge,
                along=right - left,
                across=box[3] - box[1],
                from_edge=box[1] - low if edge is CutEdge.INSIDE else 0,
                joint=joint,
                from_joint=min(from_left, from_right),
                made=spot.piece.left if joint is Side.LEFT else spot.piece.right,
            )


def _edge(box: Box, low: Ticks, high: Ticks) -> CutEdge:
    near, far = box[1] <= low, box[3] >= high
    if near and far:
        return CutEdge.WHOLE
    return CutEdge.NEAR if near else CutEdge.FAR if far else CutEdge.INSIDE


def _ends(site: Site, laid: LaidRun, taken: Geometry) -> Iterator[RowEnd]:
    """Yield the ends of a run at which nearly all of the row just beyond is taken up by the thing."""
    low, high = site.lines[laid.run.line - 1], site.lines[laid.run.line]
    left, right = laid.run.offset, laid.run.right
    for beyond, piece, side in (
        (shapely.box(right, low, right + 2 * SPARE, high), laid.pieces[-1], Side.LEFT),
        (shapely.box(left - 2 * SPARE, low, left, high), laid.pieces[0], Side.RIGHT),
    ):
        if 10 * shapely.area(shapely.intersection(beyond, taken)) > 9 * shapely.area(beyond):
            yield RowEnd(row=laid.run.row, piece=piece.id, side=side)


def _slivers(
    site: Site, near: Sequence[LaidRun], taken: Geometry, rules: Rules, floor: Geometry
) -> Iterator[Sliver]:
    """Yield strips of floor beside a thing under the minimum rip, and runs up to it under the minimum piece."""
    left, _, right, _ = extent(taken)
    for laid in near:
        run = laid.run
        bottom, top = site.lines[run.line - 1], site.lines[run.line]
        beside = shapely.box(max(left, run.offset), bottom, min(right, run.right), top)
        strips = parts(shapely.intersection(floor, beside)) if left < run.right and run.offset < right else []
        heights = [up - down for _, down, _, up in map(extent, strips) if up - down > SPARE]
        if heights and min(heights) < min(rules.min_rip, top - bottom):
            yield Sliver(row=run.row, axis=Axis.ACROSS, size=min(heights), least=rules.min_rip)
        if run.length < rules.min_piece and list(_ends(site, laid, taken)):
            yield Sliver(row=run.row, axis=Axis.ALONG, size=run.length, least=rules.min_piece)
