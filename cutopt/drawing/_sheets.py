"""A plan on as few sheets as its numbers can be read on."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import ceil

import shapely
from shapely.geometry.base import BaseGeometry

from cutopt.drawing._board import boxed
from cutopt.drawing._draft import SMALLEST, Draft
from cutopt.drawing._frame import Page, draw_dimensions, draw_frame
from cutopt.drawing._house import draw_house
from cutopt.drawing._laid import FloorField, fields_of
from cutopt.drawing._letters import plain
from cutopt.drawing._names import draw_guides, name_rooms, name_things, name_walls
from cutopt.drawing._pieces import draw_pieces, number_pieces, pieces_on
from cutopt.drawing._rows import draw_down, draw_rows, mark_first_rows, mark_rips
from cutopt.drawing._scene import GuideLine, Sheet, Style
from cutopt.drawing._view import POINTS_PER_TICK, View, scales
from cutopt.model.job import Lay
from cutopt.model.papers import PaperName, usual_paper
from cutopt.model.plan import Plan
from cutopt.units import Unit, format_length

__all__ = ["draw_floor"]

_ROW_TO_READ = 7.0
"""How wide a row must be on paper, in points, for numbers in it."""

_OVERLAP = 40.0
_BORDER = 24.0
_MOST_TILES = 80
_TILE = Style(width=0.9, dash=(5, 3))
_CAUTION = "The product's own instructions come first. Check lengths on the floor before you cut."

Bounds = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """One page's share of the plan: where it is seen from, and what is said of it."""

    view: View
    window: Bounds


@dataclass(frozen=True, slots=True, kw_only=True)
class _Job:
    """What all pages draw from. ``bounds`` is all that has a place, on the plan in ticks."""

    plan: Plan
    fields: tuple[FloorField, ...]
    lines: tuple[GuideLine, ...]
    page: Page
    bounds: Bounds


def draw_floor(
    plan: Plan, lines: Sequence[GuideLine] = (), paper: PaperName | None = None
) -> tuple[Sheet, ...]:
    """Draw a plan to scale on ``paper`` (by default Letter for feet and inches, else A4).

    One sheet where its rows are wide enough there to number the pieces; else an overview of the rows and
    as many overlapping parts as that takes (none beyond 80: then rows are all that is drawn).
    """
    paper = paper or usual_paper(plan.unit)
    fields = fields_of(plan)
    bounds = _bounds(plan, fields)
    scale, page = min(
        ((_fitting(bounds, page, plan.unit), page) for page in _pages(paper)), key=lambda found: found[0]
    )
    job = _Job(plan=plan, fields=fields, lines=tuple(lines), page=page, bounds=bounds)
    whole = _Part(view=_centred(bounds, scale, page), window=page.window)
    if plan.plank.width * whole.view.factor >= _ROW_TO_READ:
        return (_numbered_sheet(job, whole, (), (1, 1)),)
    parts = _tiles(job)
    if len(parts) == 1:
        return (_numbered_sheet(job, parts[0], (), (1, 1)),)
    if len(parts) > _MOST_TILES:
        return (_overview(job, whole, ()),)
    count = len(parts) + 1
    tiles = (_numbered_sheet(job, part, parts, (nth, count)) for nth, part in enumerate(parts, 2))
    return (_overview(job, whole, parts), *tiles)


def _pages(paper: PaperName) -> tuple[Page, Page]:
    return Page(paper=paper, landscape=True), Page(paper=paper, landscape=False)


def _bounds(plan: Plan, fields: Sequence[FloorField]) -> Bounds:
    """Return the bounds of all that has a place on the plan."""
    ground = plan.ground
    full = View(scale=1, origin=(0, 0), corner=(0, 0), window=(0, 0, 0, 0))
    shapes: list[BaseGeometry] = [full.shape(field.area, field.frame) for field in fields]
    bounds = [tuple(edge / POINTS_PER_TICK for edge in shape.bounds) for shape in shapes]
    rings = [room.corners for room in ground.rooms] + [door.opening for door in ground.doorways]
    bounds += [shapely.LinearRing(ring).bounds for ring in rings]
    lefts, lows, rights, highs = zip(*bounds, strict=True)
    return round(min(lefts)), round(min(lows)), round(max(rights)), round(max(highs))


def _fitting(bounds: Bounds, page: Page, unit: Unit) -> int:
    """Return the largest scale at which everything fits the page."""
    left, low, right, high = bounds
    width, height = page.room
    needed = POINTS_PER_TICK * max((right - left) / width, (high - low) / height)
    return next((scale for scale in scales(unit) if scale >= needed), ceil(needed))


def _centred(bounds: Bounds, scale: int, page: Page) -> View:
    left, low, right, high = page.window
    middle = ((left + right) / 2, (low + high) / 2)
    centre = ((bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2)
    return View(scale=scale, origin=centre, corner=middle, window=page.window)


def _tiles(job: _Job) -> list[_Part]:
    """Return the parts of the plan that overlap and have floor on them, row by row from the lowest left."""
    width = job.plan.plank.width * POINTS_PER_TICK
    scale = max((scale for scale in scales(job.plan.unit) if width / scale >= _ROW_TO_READ), default=1)
    left, low, right, high = job.page.window
    view = View(scale=scale, origin=job.bounds[:2], corner=(left, low), window=job.page.window)
    floor = _floor(view, job.fields)
    shapely.prepare(floor)
    across, up = right - left - _OVERLAP, high - low - _OVERLAP
    columns = max(1, ceil(((job.bounds[2] - job.bounds[0]) * view.factor + 2 * _BORDER - _OVERLAP) / across))
    rows = max(1, ceil(((job.bounds[3] - job.bounds[1]) * view.factor + 2 * _BORDER - _OVERLAP) / up))
    if columns * rows > 10 * _MOST_TILES:
        return [_Part(view=view, window=job.page.window)] * (_MOST_TILES + 1)
    parts = []
    for row in range(rows):
        for column in range(columns):
            x, y = column * across - _BORDER, row * up - _BORDER
            if floor.intersects(shapely.box(left + x, low + y, right + x, high + y)):
                moved = View(
                    scale=scale, origin=view.origin, corner=(left - x, low - y), window=job.page.window
                )
                parts.append(_Part(view=moved, window=job.page.window))
    return parts


def _floor(view: View, fields: Sequence[FloorField]) -> BaseGeometry:
    return shapely.union_all([view.shape(field.area, field.frame) for field in fields])


def _draft(job: _Job, part: _Part) -> Draft:
    floor = _floor(part.view, job.fields)
    shapely.prepare(floor)
    return Draft(view=part.view, window=shapely.box(*part.window), floor=floor)


def _numbered_sheet(job: _Job, part: _Part, parts: Sequence[_Part], number: tuple[int, int]) -> Sheet:
    """Draw a page with every piece on it."""
    plan, draft = job.plan, _draft(job, part)
    draw_house(draft, plan.ground)
    pieces = pieces_on(draft, job.fields)
    draw_pieces(draft, job.fields, pieces)
    draw_down(draft, job.fields, plan.down, plan.plank.width)
    if parts:
        _mark_neighbours(draft, parts, number[0])
    else:
        _measure(draft, job)
    draw_guides(draft, job.lines)
    name_things(draft, plan.ground)
    name_rooms(draft, plan.ground, job.fields, pieces, plan.unit)
    number_pieces(draft, pieces)
    notes = [*mark_first_rows(draft, job.fields, plan.rules.lay), *mark_rips(draft, job.fields, plan)]
    name_walls(draft, plan.ground, plan.unit)
    rows = sorted(set(_rows_seen(draft, job.fields)))
    about = f"Sheet {number[0]} of {number[1]}. "
    about += f"Rows {rows[0]} to {rows[-1]}. " if rows and parts else ""
    return _finished(draft, job, about + _laying(plan), notes)


def _measure(draft: Draft, job: _Job) -> None:
    """Give the overall size of what lies on one plan: rooms that no doorway joins may be anywhere."""
    rooms = {room.name: {room.name} for room in job.plan.ground.rooms}
    for doorway in job.plan.ground.doorways:
        joined = set().union(*(rooms.get(name, set()) for name in doorway.rooms))
        rooms |= dict.fromkeys(joined, joined)
    if len({frozenset(joined) for joined in rooms.values()}) == 1 or len(job.fields) == 1:
        draw_dimensions(draft, job.bounds, job.plan)


def _rows_seen(draft: Draft, fields: Sequence[FloorField]) -> Iterator[int]:
    for field in fields:
        for run in field.runs:
            if shapely.intersects(draft.view.shape(run.shape, field.frame), draft.window):
                yield run.run.row


def _laying(plan: Plan) -> str:
    way = "right to left" if plan.rules.lay is Lay.RIGHT_TO_LEFT else "left to right"
    length, width = (format_length(size, plan.unit) for size in (plan.plank.length, plan.plank.width))
    return f"Planks {length} x {width}. Rows in the order of their numbers, each laid from {way}."


def _overview(job: _Job, part: _Part, parts: Sequence[_Part]) -> Sheet:
    """Draw the rows only, and which sheet shows what part of them."""
    plan, draft = job.plan, _draft(job, part)
    draw_house(draft, plan.ground)
    draw_down(draft, job.fields, plan.down, plan.plank.width)
    _measure(draft, job)
    _outline_parts(draft, parts)
    draw_guides(draft, job.lines)
    name_things(draft, plan.ground)
    name_rooms(draft, plan.ground, job.fields, (), plan.unit)
    draw_rows(draft, job.fields)
    notes = [*mark_first_rows(draft, job.fields, plan.rules.lay), *mark_rips(draft, job.fields, plan)]
    name_walls(draft, plan.ground, plan.unit)
    about = f"Sheet 1 of {len(parts) + 1}: overview. "
    about += (
        f"Pieces and their numbers: sheets 2 to {len(parts) + 1}. "
        if parts
        else "Pieces: see the cut sheet. "
    )
    return _finished(draft, job, about + _laying(plan), notes)


def _seen(part: _Part, view: View) -> shapely.Polygon:
    """Return the part's window as it lies on another page."""
    left, low, right, high = part.window
    other = part.view

    def at(x: float, y: float) -> tuple[float, float]:
        return view.at(
            (
                (x - other.corner[0]) / other.factor + other.origin[0],
                (y - other.corner[1]) / other.factor + other.origin[1],
            )
        )

    (x0, y0), (x1, y1) = at(left, low), at(right, high)
    return shapely.box(x0, y0, x1, y1)


def _outline_parts(draft: Draft, parts: Sequence[_Part]) -> None:
    for nth, part in enumerate(parts, 2):
        seen = shapely.intersection(_seen(part, draft.view), draft.window)
        draft.stroke("guides", shapely.boundary(seen), _TILE)
        left, low, right, high = seen.bounds
        text = f"sheet {nth}"
        box = boxed(text, 9, bold=True, at=((left + right) / 2, (low + high) / 2))
        near = (0, 0.1, -0.1, 0.2, -0.2, 0.3, -0.3)
        places = (box.moved(along * (right - left), up * (high - low)) for along, up in product(near, near))
        if found := draft.board.first_free(places, within=seen):
            draft.tag(found, text, 9, bold=True)


def _mark_neighbours(draft: Draft, parts: Sequence[_Part], number: int) -> None:
    """Draw where the neighbouring sheets begin, with their numbers."""
    frame = draft.window
    for nth, part in enumerate(parts, 2):
        seen = _seen(part, draft.view)
        shared = shapely.intersection(seen, frame)
        if nth == number or shared.area <= 0:
            continue
        edge = shapely.intersection(shapely.boundary(seen), frame.buffer(-1))
        draft.stroke("guides", edge, _TILE)
        draft.marks.append(edge)
        for line in shapely.get_parts(shapely.line_merge(edge) if edge.geom_type != "LineString" else edge):
            at = line.interpolate(0.5, normalized=True)
            (x0, y0), (x1, y1) = line.coords[0], line.coords[-1]
            turn = 90.0 if abs(x1 - x0) < abs(y1 - y0) else 0.0
            text = f"sheet {nth} goes on from here"
            box = boxed(text, SMALLEST, bold=True, at=(at.x, at.y), degrees=turn)
            if found := draft.board.first_free((box.moved(0, up) for up in (0, 8, -8)), within=frame):
                draft.tag(found, text, SMALLEST, bold=True)


def _finished(draft: Draft, job: _Job, about: str, notes: Sequence[str]) -> Sheet:
    title = plain(job.plan.title)
    said = [_CAUTION]
    if draft.unnumbered:
        said.append(
            f"Too small here for a number ({len(draft.unnumbered)}; see the cut sheet): "
            + ", ".join(draft.unnumbered)
            + "."
        )
    if draft.keys:
        said.append("; ".join(draft.keys) + ".")
    if notes:
        said.append("; ".join(plain(note) for note in notes) + ".")
    draw_frame(draft, job.page, (title, about, *said), job.plan.unit)
    width, height = job.page.size
    return Sheet(title=title, paper=job.page.paper, width=width, height=height, layers=draft.layers())
