"""What is set out on the floor: lines to snap, loops, the order of laying and the way out."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from cutopt.model.job import PlankKind
from cutopt.model.plan import Plan
from cutopt.model.setout import (
    FieldLines,
    LineEnd,
    LineStretch,
    Loop,
    Mark,
    RowCheck,
    Segment,
    SetOut,
    Triangle,
    WayOut,
    WorkingLine,
)
from cutopt.model.words import Block, Heading, Line, Para, Table
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._text import count, labels, para, shorten
from cutopt.units import Ticks

__all__ = ["laying_order", "working_lines"]

_NAME = 30
_WALKED_ON = {PlankKind.CLICK_VINYL, PlankKind.LAMINATE}


def working_lines(setout: SetOut, plan: Plan) -> list[Block]:
    """Return what to snap and check before anything is spread or laid; nothing where no place is known."""
    if not setout.fields:
        return []
    lengths = Lengths.of(plan)
    several = len(setout.fields) > 1
    blocks: list[Block] = [
        Heading("Working lines"),
        para(
            "Snap these before anything is spread or laid. Corners of a room are named A, B, C ... in the "
            "order of the job file; a wall by its two corners. Distances are taken square to the line. Left and "
            "right as on the drawing, with the first row at the bottom."
        ),
    ]
    for field in setout.fields:
        blocks += [Line(), para(f"{_rooms(field.rooms)}:")] if several else [Line()]
        for nth, line in enumerate(field.lines):
            blocks += _line(line, "Base line" if nth == 0 else f"Line {nth + 1}", lengths)
        blocks += _checks(field, lengths)
        blocks += _diagonals(field, lengths)
        for loop in setout.loops:
            if loop.field == field.field:
                blocks += _loop(loop, lengths)
    return blocks


def _rooms(names: Sequence[str]) -> str:
    return " + ".join(shorten(name, _NAME) for name in names)


def _line(line: WorkingLine, name: str, lengths: Lengths) -> list[Block]:
    text = f"{name}: {_where(line)}, {lengths.show(line.end[0] - line.start[0])} long, through {_rooms(line.rooms)}."
    return [
        para(text, first="  ", rest="    "),
        *(block for stretch in line.stretches for block in _stretch(stretch, lengths)),
        _square(line, lengths),
    ]


def _where(line: WorkingLine) -> str:
    if line.row is None:
        return "the near edge of the first row"
    datum = "the first row's far edge" if line.ripped_first else "the first row's near edge"
    return f"the far edge of row {line.row}, {count(line.rows, 'whole row')} from {datum}"


def _stretch(stretch: LineStretch, lengths: Lengths) -> Iterator[Para]:
    room = shorten(stretch.room, _NAME)
    for side, x, on, marks in (
        ("left", stretch.start[0], stretch.start_on, stretch.left),
        ("right", stretch.end[0], stretch.end_on, stretch.right),
    ):
        parts = [*_on_wall(on, marks, lengths), *(_mark(mark, x, lengths) for mark in marks)]
        if parts:
            yield para(f"{room}, {side} end: {'; '.join(parts)}", first="    - ", rest="      ")


def _on_wall(end: LineEnd | None, marks: Sequence[Mark], lengths: Lengths) -> Iterator[str]:
    """Yield where on its wall a line ends, but where a mark says the same."""
    if end is not None:
        wall = f"on wall {'-'.join(end.wall)}"
        same = any(mark.wall and mark.distance == end.from_corner for mark in marks)
        yield wall if same else f"{wall}, {lengths.show(end.from_corner)} from corner {end.wall[0]}"


def _mark(mark: Mark, x: Ticks, lengths: Lengths) -> str:
    what = f"wall {'-'.join(mark.wall)}" if mark.wall else shorten(mark.thing or "", _NAME)
    along = abs(mark.at[0] - x)
    inward = f", taken {lengths.show(along)} in from there" if along else ""
    return f"{lengths.show(mark.distance)} from {what}{inward}"


def _square(line: WorkingLine, lengths: Lengths) -> Para:
    if line.triangle is None:
        return para(
            "Square to it: the floor holds no 3-4-5 triangle on this line.", first="    - ", rest="    "
        )
    return para(_triangle(line.triangle, line, lengths), first="    - ", rest="      ")


def _triangle(triangle: Triangle, line: WorkingLine, lengths: Lengths) -> str:
    show = lengths.show
    along = "right" if triangle.along[0] > triangle.foot[0] else "left"
    across = "away from" if triangle.across[1] > triangle.foot[1] else "towards"
    return (
        f"Square to it: start {show(triangle.foot[0] - line.start[0])} from the line's left end. "
        f"{show(triangle.leg_along)} to the {along} on the line, {show(triangle.leg_across)} {across} the first "
        f"row's wall, and between these two points {show(triangle.joining)}."
    )


def _checks(field: FieldLines, lengths: Lengths) -> list[Block]:
    if not field.checks:
        return []
    text = "Distances from the base line to the edge of a row that is farther from it:"
    return [para(text, first="  "), _table(field.checks, lengths)]


def _table(checks: Sequence[RowCheck], lengths: Lengths) -> Table:
    told = any(check.tolerance for check in checks)
    heads = ("row", "rows off", "distance", *(["give or take"] if told else []))
    cells = [
        (
            str(check.row),
            f"{abs(check.rows)} {'back' if check.rows < 0 else 'on'}",
            lengths.show(check.distance),
            *([lengths.show(check.tolerance)] if told else []),
        )
        for check in checks
    ]
    return Table((heads, *cells), frozenset(range(len(heads))), indent=4)


def _diagonals(field: FieldLines, lengths: Lengths) -> Iterator[Para]:
    for room, group in groupby(field.diagonals, key=lambda diagonal: diagonal.room):
        told = ", ".join(f"{d.start} to {d.end} {lengths.show(d.length)}" for d in group)
        yield para(f"Check diagonals of {shorten(room, _NAME)}: {told}.", first="  ", rest="    ")


def _loop(loop: Loop, lengths: Lengths) -> list[Block]:
    """Return what to watch where rows part at something and meet again."""
    parts = (
        "Rows begin on both sides of it" if loop.parts_at is None else f"Rows part after row {loop.parts_at}"
    )
    text = f"Loop round {shorten(loop.name, _NAME)}: {parts}"
    if loop.closing_row is None:
        text += "; they do not meet again."
    else:
        text += (
            f" and meet again at row {loop.closing_row}, the closing row. Its near edge must be "
            f"{lengths.show(loop.distance)} from the base line on the left ({shorten(loop.left_room, _NAME)}) "
            f"and on the right ({shorten(loop.right_room, _NAME)}): measure both arms as they advance."
        )
    return [para(text, first="  ", rest="    "), _table(loop.checks, lengths)]


def laying_order(setout: SetOut, plan: Plan) -> list[Block]:
    """Return which rows must be down before which, and the way out; nothing where there is nothing to tell."""
    blocks = [*_order(setout.segments, plan), *_ways_out(setout.ways_out, plan)]
    return [Heading("Laying order"), *blocks] if blocks else []


def _order(segments: Sequence[Segment], plan: Plan) -> list[Block]:
    fields = {segment.field for segment in segments}
    if len(segments) <= len(fields):
        return []
    names = {(laid.run.row, laid.run.run): laid.pieces[0].id.rpartition(".")[0] for laid in plan.rows}
    how = para(
        "A row goes no further than the row before it. Lay the parts in this order; between two parts is a good "
        "place to stop. A rest that an earlier part needs comes from the plank named in the cut sheet, whichever "
        "part that plank is for."
    )
    across = len(str(len(segments)))
    rows = [
        (f"{segment.number:>{across}}", f"{_rooms(segment.rooms)}, {_rows(segment, names)}{_after(segment)}")
        for segment in segments
    ]
    return [how, labels(rows)]


def _rows(segment: Segment, names: dict[tuple[int, int], str]) -> str:
    first, last = names[segment.runs[0]], names[segment.runs[-1]]
    return f"row {first}" if first == last else f"rows {first} to {last}"


def _after(segment: Segment) -> str:
    if not segment.after:
        return ""
    return f" (after {' and '.join(map(str, segment.after))})"


def _ways_out(ways: Sequence[WayOut], plan: Plan) -> Iterator[Para]:
    yield from (para(_way_out(way), first="  ", rest="    ") for way in ways)
    if any(way.shut_in for way in ways) and plan.plank.kind in _WALKED_ON:
        yield para(
            "Planks that click together may be walked on as soon as they lie; the way out matters where they are "
            "glued.",
            first="  ",
        )


def _way_out(way: WayOut) -> str:
    rooms = _rooms(way.rooms)
    if not way.exits:
        return f"Way out of {rooms}: not told, no doorway leads out. Add a doorway with one room to have it checked."
    if way.shut_in is None:
        return f"Way out of {rooms}: by {_either(way.last)}, over bare floor to the last row."
    caught = way.shut_in
    when = f"after row {caught.row}" if caught.row else "from the beginning"
    rows = (
        f"row {caught.first_row}"
        if caught.first_row == caught.last_row
        else f"rows {caught.first_row} to {caught.last_row}"
    )
    text = (
        f"Way out of {rooms}: {when} no bare floor leads from {_rooms(caught.rooms)}, {rows}, to "
        f"{_either(way.exits)}."
    )
    if way.mended:
        return f"{text} Laid from the other side, from the last row back to the first, there is a way out."
    return (
        f"{text} Laying from the other side does not mend it: where planks are glued, wait until the "
        "glue bears, or cross on boards."
    )


def _either(names: Sequence[str]) -> str:
    return " or ".join(f'doorway "{shorten(name, _NAME)}"' for name in names)
