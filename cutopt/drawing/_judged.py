"""A judged layout on one chart: before, after where it is mended, and the list of breaches beneath."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from cutopt.drawing._board import Box, boxed
from cutopt.drawing._laid import FloorField, fields_of
from cutopt.drawing._letters import plain, shortened, text_width, wrapped
from cutopt.drawing._panel import GUTTER, Placed, RunKey, draw_floor
from cutopt.drawing._rings import NUMBER, draw_sign, draw_spots, put_number
from cutopt.drawing._scene import XY
from cutopt.drawing._spots import spots_of
from cutopt.drawing._view import POINTS_PER_TICK, scale_text, scales
from cutopt.drawing.charts._chart import MARGIN, RULE, Chart
from cutopt.model.judgement import Breach
from cutopt.model.plan import LaidRun, Plan
from cutopt.units import Ticks, format_length

__all__ = ["draw_judged"]

_WIDTH = 560.0
_TALLEST = 620.0
"""How tall all floors drawn may get before a smaller scale is taken."""

_ROW_TO_READ = 14.0
"""How wide a row has to be, in points, for marks on it; a floor too large for that makes the chart larger."""

_ROOM_FOR_MARKS = 26.0
_APART = 22.0
_CAPTION = 18.0
_TEXT = 8.5
_LINE = 11.5


@dataclass(frozen=True, slots=True, kw_only=True)
class _Setting:
    """How floors stand on the chart: at 1:``scale``, each ``size`` points with its caption, perhaps side by side."""

    scale: int
    size: XY
    abreast: bool

    @property
    def factor(self) -> float:
        """Points for a tick."""
        return POINTS_PER_TICK / self.scale


def draw_judged(plan: Plan, breaches: Sequence[Breach], mended: Plan | None) -> Chart:
    """Return the chart: layouts to scale with every breach marked, and under each number what is wrong."""
    before = fields_of(_laid(plan))
    after = fields_of(_laid(mended)) if mended is not None else ()
    setting = _setting(plan, before, twice=mended is not None)
    wide, high = setting.size
    across = 2 * wide + _APART if setting.abreast else wide
    chart = Chart(
        title=plan.title or "Layout",
        about="A layout of a plank floor, to scale, with every breach of a rule marked",
        width=max(_WIDTH, across + 2 * MARGIN),
    )
    _head(chart, plan, breaches, setting, mended)
    left, top = MARGIN, chart.y
    placed = _place(before, (left, top), setting)
    _caption(chart, (left, top), "Before" if mended is not None else "As laid")
    for field in placed:
        draw_floor(chart, field, {})
    draw_spots(chart, placed, spots_of(plan, breaches))
    chart.y += high
    if mended is not None:
        corner = (left + wide + _APART, top) if setting.abreast else (left, chart.y)
        moved = _moved(plan, mended)
        mends = ", ".join(str(one.number) for one in breaches if one.mend and one.mend.plan == mended)
        _caption(chart, corner, f"After: {_rows(moved)}" + (f", which mends {mends}" if mends else ""))
        for field in _place(after, corner, setting):
            draw_floor(chart, field, moved)
        chart.y = corner[1] + high
    _list(chart, breaches, plan)
    chart.y += MARGIN
    return chart


def _laid(plan: Plan) -> Plan:
    """Return a plan without runs that have no pieces: there is nothing to draw of them."""
    return replace(plan, rows=tuple(row for row in plan.rows if row.pieces))


def _setting(plan: Plan, fields: Sequence[FloorField], *, twice: bool) -> _Setting:
    """Return the largest setting that fits, before and after side by side or beneath each other."""
    settings = [
        _Setting(scale=scale, size=_size(fields, scale), abreast=abreast)
        for scale in scales(plan.unit)
        for abreast in ((False, True) if twice else (False,))
    ]
    readable = [one for one in settings if plan.plank.width * one.factor >= _ROW_TO_READ] or settings[:1]
    return next((one for one in readable if _fits(one, twice=twice)), readable[-1])


def _fits(setting: _Setting, *, twice: bool) -> bool:
    wide, high = setting.size
    room = _WIDTH - 2 * MARGIN
    if setting.abreast:
        return 2 * wide + _APART <= room and high <= _TALLEST
    return wide <= room and high * (2 if twice else 1) <= _TALLEST


def _size(fields: Sequence[FloorField], scale: int) -> XY:
    """Return the points that floors one above the other take, with a caption and room for marks."""
    factor = POINTS_PER_TICK / scale
    wide, high = 0.0, _CAPTION
    for field in fields:
        wide = max(wide, _across(field)[0] * factor)
        high += _across(field)[1] * factor + _APART
    return GUTTER + wide + _ROOM_FOR_MARKS, high


def _across(field: FloorField) -> tuple[Ticks, Ticks]:
    """Return how far a field reaches along and across its rows."""
    runs = field.runs
    along = max(run.run.right for run in runs) - min(run.run.offset for run in runs)
    return along, max(run.high for run in runs) - min(run.low for run in runs)


def _place(fields: Sequence[FloorField], corner: XY, setting: _Setting) -> tuple[Placed, ...]:
    """Place floors below a caption, the first at the bottom."""
    x, y = corner[0] + GUTTER, corner[1] + _CAPTION
    placed = []
    for field in reversed(fields):
        y += _across(field)[1] * setting.factor
        placed.append(Placed(floor=field, corner=(x, y), factor=setting.factor))
        y += _APART
    return tuple(placed[::-1])


def _moved(plan: Plan, mended: Plan) -> dict[RunKey, tuple[Ticks, ...]]:
    """Return the runs that are laid otherwise when mended, with the joints that they had."""
    after = {_key(row): _joints(row) for row in mended.rows}
    return {
        key: _joints(row)
        for row in plan.rows
        for key in [_key(row)]
        if after.get(key, _joints(row)) != _joints(row)
    }


def _key(row: LaidRun) -> RunKey:
    return row.run.field, row.run.row, row.run.run


def _joints(row: LaidRun) -> tuple[Ticks, ...]:
    return tuple(accumulate((piece.length for piece in row.pieces), initial=row.run.offset))[1:-1]


def _rows(moved: Iterable[RunKey]) -> str:
    rows = sorted({row for _, row, _ in moved})
    if not rows:
        return "nothing moved"
    return f"row{'s' if len(rows) > 1 else ''} {', '.join(map(str, rows))} moved"


def _head(
    chart: Chart, plan: Plan, breaches: Sequence[Breach], setting: _Setting, mended: Plan | None
) -> None:
    """Write the title, how to read the drawing, and what its signs mean."""
    room = chart.width - 2 * MARGIN
    chart.y = MARGIN + 12
    chart.text(MARGIN, chart.y, shortened(plan.title or "Layout", room, 13, bold=True), 13, bold=True)
    chart.y += 14
    number, remarks = sum(one.must for one in breaches), sum(not one.must for one in breaches)
    told = f"{number} breach{'' if number == 1 else 'es'}" if number else "No breach"
    if remarks:
        told += f", {remarks} remark{'' if remarks == 1 else 's'}"
    chart.text(
        MARGIN,
        chart.y,
        f"{told}. First row at the bottom, joints bold. Scale {scale_text(setting.scale, plan.unit)}.",
        _TEXT,
    )
    chart.y += 6
    if breaches or mended is not None:
        _legend(chart, breaches, mended)
    chart.y += 14


def _legend(chart: Chart, breaches: Sequence[Breach], mended: Plan | None) -> None:
    x = MARGIN
    chart.y += 9
    if breaches:
        x = draw_sign(chart, x, "ring", "joint in breach, tied to those it is held against (dashed)")
        x = draw_sign(chart, x, "hatch", "piece or row in breach")
    if mended is not None:
        draw_sign(chart, x, "moved", "row moved (dashed: joints before)")


def _caption(chart: Chart, corner: XY, text: str) -> None:
    chart.text(corner[0], corner[1] + 6, text, 10, bold=True)


def _list(chart: Chart, breaches: Sequence[Breach], plan: Plan) -> None:
    """Write under each number what is wrong."""
    if breaches:
        chart.line(((MARGIN, chart.y), (chart.width - MARGIN, chart.y)), RULE)
    wide = max((text_width(str(one.number), NUMBER, bold=True) for one in breaches), default=0) + 10
    left = MARGIN + wide + 6
    for breach in breaches:
        chart.y += _LINE + 3
        number = boxed(str(breach.number), NUMBER, bold=True)
        put_number(
            chart,
            Box(
                centre=(MARGIN + wide / 2, chart.y - 0.34 * _TEXT),
                width=number.width + 3,
                height=number.height + 2,
            ),
            str(breach.number),
        )
        rule = shortened(breach.rule, chart.width / 3, _TEXT, bold=True)
        after = chart.text(left, chart.y, rule, _TEXT, bold=True) + 6
        indent = after - left
        for nth, line in enumerate(
            _wrapped(" ".join(_told(breach, plan)), chart.width - MARGIN - left, indent)
        ):
            if nth:
                chart.y += _LINE
            chart.text(left if nth else after, chart.y, line, _TEXT)


def _wrapped(text: str, room: float, first: float) -> list[str]:
    """Return a text in lines, the first of them shorter by ``first``."""
    head = wrapped(text, room - first, _TEXT)[:1]
    rest = text[len(head[0]) :].strip() if head and text.startswith(head[0]) else ""
    return [*head, *wrapped(rest, room, _TEXT)]


def _told(breach: Breach, plan: Plan) -> Iterator[str]:
    def show(ticks: Ticks) -> str:
        return format_length(ticks, plan.unit, plan.rules.cut_step)

    rows = breach.rows or (() if breach.row is None else (breach.row,))
    if rows:
        at = ""
        if breach.row is not None and breach.place is not None:
            along = "at the left end of" if breach.place == 0 else f"{show(breach.place)} along"
            at = f", {along} row {breach.row}"
        yield f"row{'s' if len(rows) > 1 else ''} {', '.join(map(str, rows))}{at}:"
    figures = [
        f"{name} {text}" for name, text in (("found", breach.found), ("wanted", breach.wanted)) if text
    ]
    yield plain(", ".join(figures) or breach.words) + "."
    if not breach.must:
        yield "A remark."
    if breach.mend is not None:
        mend = breach.mend
        yield f"Mend: start row {mend.row} at {show(mend.after)} instead of {show(mend.before)}."
