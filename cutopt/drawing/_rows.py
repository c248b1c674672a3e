"""What is said of rows: the first one and its direction, ripped ones, numbers of rows, rows already down."""

from collections.abc import Iterator, Sequence

import shapely
from shapely.affinity import rotate

from cutopt.drawing._board import Box, boxed, is_flipped, upright
from cutopt.drawing._draft import SMALLEST, Draft
from cutopt.drawing._laid import FloorField, FloorRun
from cutopt.drawing._scene import Line, Style
from cutopt.model.floor import DownRun
from cutopt.model.job import Lay
from cutopt.model.plan import Plan
from cutopt.units import format_length

__all__ = ["ROW", "draw_down", "draw_rows", "mark_first_rows", "mark_rips"]

ROW = Style(width=0.35, stroke=0.25)
_DOWN = Style(width=0.35, stroke=0.25, dash=(2, 1.5))
_ARROW = Style(width=1.0)
_HEAD = Style(width=0.3, fill=0.0)
_ARROW_LENGTH = 26.0


def _level_box(draft: Draft, field: FloorField, run: FloorRun) -> tuple[float, float, float, float] | None:
    """Return what the window shows of a run, turned level: left, low, right, high."""
    seen = shapely.intersection(draft.view.shape(run.shape, field.frame), draft.window)
    if seen.area <= 0:
        return None
    return rotate(seen, -upright(float(field.frame.degrees)), origin=(0, 0)).bounds


def _flat(box: Box, field: FloorField) -> Box:
    turn = upright(float(field.frame.degrees))
    return Box(centre=(0, 0), width=box.width, height=box.height, degrees=turn)


def draw_rows(draft: Draft, fields: Sequence[FloorField]) -> None:
    """Draw rows without their pieces, and number those that have room for it."""
    for field in fields:
        for run in field.runs:
            shape = shapely.intersection(draft.view.shape(run.shape, field.frame), draft.window)
            draft.shape("pieces", shape, ROW)
        for run in field.runs:
            if (bounds := _level_box(draft, field, run)) is not None:
                _number_row(draft, field, run, bounds)


def _number_row(
    draft: Draft, field: FloorField, run: FloorRun, bounds: tuple[float, float, float, float]
) -> None:
    left, low, _, high = bounds
    box = _flat(boxed(run.name, SMALLEST), field)
    place = box.moved(left + 2 + box.width / 2, (low + high) / 2)
    found = draft.board.first_free([place], within=draft.floor)
    if found is not None:
        draft.tag(found, run.name, SMALLEST, layer="numbers")


def draw_down(draft: Draft, fields: Sequence[FloorField], down: Sequence[DownRun], width: int) -> None:
    """Draw the rows that lie already, dashed, with their joints."""
    by_name = {field.name: field for field in fields}
    for run in down:
        if (field := by_name.get(run.field)) is None:
            continue
        base = field.lines[0] + (run.line - 1) * width
        shape = draft.view.shape(shapely.box(run.offset, base, run.right, base + width), field.frame)
        draft.stroke("pieces", shapely.boundary(shape), _DOWN)
        joints = shapely.MultiLineString([((at, base), (at, base + width)) for at in run.joints])
        draft.stroke("joints", draft.view.shape(joints, field.frame), _DOWN)


def mark_rips(draft: Draft, fields: Sequence[FloorField], plan: Plan) -> list[str]:
    """Give the widths of ripped rows beside their ends; return those that find no room there."""
    left_out = []
    for field in fields:
        for run in field.runs:
            text = _rip(run, plan)
            bounds = _level_box(draft, field, run) if text else None
            if bounds is not None:
                box = _flat(boxed(text, SMALLEST), field)
                if found := draft.outside(_beside(box, bounds)):
                    draft.tag(found, text, SMALLEST)
                else:
                    left_out.append(f"row {run.name} {text}")
    return left_out


def _rip(run: FloorRun, plan: Plan) -> str:
    """Return how wide a ripped run is, nothing for one of whole planks."""
    wide, narrow = run.run.wide, run.run.narrow
    if wide is None and run.run.width >= plan.plank.width:
        return ""
    widest = run.run.width if wide is None else wide
    text = f"rip {format_length(widest, plan.unit, plan.rules.cut_step)}"
    if narrow is not None and narrow != widest:
        text += f" to {format_length(narrow, plan.unit, plan.rules.cut_step)}"
    return text


def _beside(box: Box, bounds: tuple[float, float, float, float]) -> Iterator[Box]:
    left, low, right, high = bounds
    for away in (5.0, 10.0, 16.0):
        for x in (right + away + box.width / 2, left - away - box.width / 2):
            for up in (0, 5, -5):
                yield box.moved(x, (low + high) / 2 + up)


def mark_first_rows(draft: Draft, fields: Sequence[FloorField], lay: Lay) -> list[str]:
    """Mark each field's first row with an arrow the way it is laid; return what finds no room."""
    left_out = []
    for field in fields:
        if not field.runs:
            continue
        run = field.runs[0]
        bounds = _level_box(draft, field, run)
        if bounds is None:
            continue
        text = f"first row ({run.name})"
        label = boxed(text, SMALLEST)
        box = Box(centre=(0, 0), width=label.width + _ARROW_LENGTH + 4, height=label.height)
        turned = is_flipped(float(field.frame.degrees))
        places = _along(_flat(box, field), bounds)
        found = draft.outside(places) or draft.board.first_free(
            _along(_flat(box, field), bounds), within=draft.window
        )
        if found is None:
            left_out.append(f"{field.name}: first row is {run.name}")
        else:
            backwards = (lay is Lay.RIGHT_TO_LEFT) != turned
            _put_arrow(draft, found, text, backwards=backwards)
    return left_out


def _along(box: Box, bounds: tuple[float, float, float, float]) -> Iterator[Box]:
    left, low, right, high = bounds
    half = box.width / 2
    for away in (5.0, 9.0, 14.0, 20.0):
        for y in (low - away - box.height / 2, high + away + box.height / 2):
            for x in (left + half + 14, (left + right) / 2, right - half - 14):
                yield box.moved(x, y)


def _put_arrow(draft: Draft, box: Box, text: str, *, backwards: bool) -> None:
    label = boxed(text, SMALLEST)
    side = 1 if backwards else -1
    words = box.moved(side * (box.width - label.width) / 2, 0)
    draft.add("tags", words.text(text, SMALLEST))
    tail = side * (box.width / 2 - label.width - 3)
    tip = -side * box.width / 2

    def at(along: float, across: float) -> tuple[float, float]:
        return box.moved(along, across).centre

    draft.add("tags", Line(parts=((at(tail, 0), at(tip, 0)),), style=_ARROW))
    head = (at(tip, 0), at(tip + side * 6, 2.2), at(tip + side * 6, -2.2))
    draft.add("tags", Line(parts=(head,), style=_HEAD, closed=True))
