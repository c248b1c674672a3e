"""One room turned into rows, by its kind."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import chain, pairwise

from cutopt.errors import JobError, Problem
from cutopt.layout._bands import Bands, divide
from cutopt.layout._inset import floor_areas, nothing_left
from cutopt.layout._spans import Span
from cutopt.layout._strips import cut_rows
from cutopt.model.floor import RoomEdges
from cutopt.model.job import Job
from cutopt.model.rooms import OutlineRoom, Room, RowSpec, RowsRoom, SizeRoom, SurveyRoom

__all__ = ["MAX_ROWS", "RoomRows", "Row", "rows_of"]

MAX_ROWS = 100_000
"""More rows than any floor has: a unit or a zero is wrong (limit of our own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of planks: its line in the room (from 1), its width, its runs from the left."""

    line: int
    width: int
    spans: tuple[Span, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomRows:
    """The rows of a room in laying order; ``edges`` only where the rows were computed."""

    rows: tuple[Row, ...]
    edges: RoomEdges | None = None


def rows_of(room: Room, job: Job) -> RoomRows:
    """Lay a room out in rows.

    Raises ``JobError`` when nothing is left of the room, when a row cannot be laid as given or
    when there are more than ``MAX_ROWS``.
    """
    match room:
        case SizeRoom():
            return _size_rows(room, job)
        case OutlineRoom():
            return _outline_rows(room, job)
        case RowsRoom():
            return _given_rows(room, job)
        case SurveyRoom():
            raise ValueError("the corners of a survey are found before its rows")


def _size_rows(room: SizeRoom, job: Job) -> RoomRows:
    gap = job.rules.gap
    length, clear = room.along - 2 * gap, room.across - 2 * gap
    if min(length, clear) <= 0:
        raise JobError(nothing_left(room.name))
    bands = _bands(room.name, gap, clear, job)
    shape = Span(left=gap, length=length, area2=0, height=0)
    rows = (
        replace(shape, area2=2 * length * width, height=width)
        for width in map(bands.width, range(bands.count))
    )
    return _computed(room.name, bands, ((at, [span]) for at, span in enumerate(rows)))


def _outline_rows(room: OutlineRoom, job: Job) -> RoomRows:
    areas = floor_areas(room.corners, job.rules.gap, room=room.name)
    heights = [y for area in areas for _, y in area]
    bands = _bands(room.name, min(heights), max(heights) - min(heights), job)
    by_row: defaultdict[int, list[Span]] = defaultdict(list)
    for row, span in chain.from_iterable(cut_rows(area, bands) for area in areas):
        by_row[row].append(span)
    return _computed(room.name, bands, sorted(by_row.items()))


def _bands(room: str, base: int, clear: int, job: Job) -> Bands:
    bands = divide(base=base, clear=clear, width=job.plank.width, min_rip=job.rules.min_rip)
    _refuse_too_many(room, bands.count)
    return bands


def _refuse_too_many(room: str, rows: int) -> None:
    if rows > MAX_ROWS:
        raise JobError(
            Problem(
                what=f"{rows} rows, more than the {MAX_ROWS} a job may have",
                where=f'room "{room}"',
                remedy="check the units of the room and of the plank's width",
            )
        )


def _computed(room: str, bands: Bands, rows: Iterable[tuple[int, list[Span]]]) -> RoomRows:
    """Gather computed rows; a line without floor (a neck lost to the gaps) is counted, not laid."""
    laid = tuple(
        Row(line=at + 1, width=bands.width(at), spans=tuple(sorted(spans, key=_from_left)))
        for at, spans in rows
    )
    edges = RoomEdges(
        room=room,
        clear=bands.clear,
        rows=len(laid),
        remainder=bands.remainder,
        first_width=bands.first,
        last_width=bands.last,
        balanced=bands.balanced,
    )
    return RoomRows(rows=laid, edges=edges)


def _from_left(span: Span) -> tuple[int, int]:
    return span.left, span.length


def _given_rows(room: RowsRoom, job: Job) -> RoomRows:
    _refuse_too_many(room.name, sum(spec.count for spec in room.rows))
    rows = chain.from_iterable(_repeat(room.name, nth, spec, job) for nth, spec in enumerate(room.rows, 1))
    return RoomRows(rows=tuple(replace(row, line=line) for line, row in enumerate(rows, 1)))


def _repeat(room: str, nth: int, spec: RowSpec, job: Job) -> Iterator[Row]:
    """Yield one entry of given rows as many times as it counts."""
    width = job.plank.width if spec.width is None else spec.width
    where = f'room "{room}", entry {nth} of its rows'
    if not 0 < width <= job.plank.width:
        raise JobError(
            Problem(
                what="a row is wider than a plank",
                where=where,
                remedy="give at most the plank's width, or leave it out",
            )
        )
    spans = sorted(
        (
            Span(left=run.offset, length=run.length, area2=2 * run.length * width, height=width)
            for run in spec.runs
        ),
        key=_from_left,
    )
    if any(one.left + one.length > other.left for one, other in pairwise(spans)):
        raise JobError(
            Problem(what="two runs of a row overlap", where=where, remedy="check their offsets and lengths")
        )
    for _ in range(spec.count):
        yield Row(line=0, width=width, spans=tuple(spans))
