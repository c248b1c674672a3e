"""Rows given outright, and what all fields come to: rows with their runs."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import chain, pairwise

from cutopt.errors import JobError, Problem
from cutopt.layout._spans import Span
from cutopt.model.floor import RoomEdges
from cutopt.model.job import Job
from cutopt.model.rooms import RowSpec, RowsRoom
from cutopt.model.stops import StopsSolution
from cutopt.units import Ticks

__all__ = ["MAX_ROWS", "FieldRows", "Row", "from_left", "given_rows", "refuse_too_many"]

MAX_ROWS = 100_000
"""More rows than any floor has: a unit or a zero is wrong (limit of our own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of planks: its line in the field (from 1), its width, its runs from the left."""

    line: int
    width: Ticks
    spans: tuple[Span, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldRows:
    """The rows of a field in laying order.

    ``edges``, ``lines`` (between and beside the rows) and ``stops`` only where the rows were computed.
    """

    name: str
    rows: tuple[Row, ...]
    edges: RoomEdges | None = None
    lines: tuple[Ticks, ...] = ()
    stops: StopsSolution | None = None


def given_rows(room: RowsRoom, job: Job) -> FieldRows:
    """Lay out rows as they are given.

    Raises ``JobError`` when a row cannot be laid so or when there are more than ``MAX_ROWS``.
    """
    refuse_too_many(room.name, sum(spec.count for spec in room.rows))
    rows = chain.from_iterable(_repeat(room.name, nth, spec, job) for nth, spec in enumerate(room.rows, 1))
    return FieldRows(name=room.name, rows=tuple(replace(row, line=line) for line, row in enumerate(rows, 1)))


def refuse_too_many(room: str, rows: int) -> None:
    """Raise ``JobError`` for more rows than ``MAX_ROWS`` in one room or field."""
    if rows > MAX_ROWS:
        raise JobError(
            Problem(
                what=f"{rows} rows, more than the {MAX_ROWS} a job may have",
                where=f'room "{room}"',
                remedy="check the units of the room and of the plank's width",
            )
        )


def from_left(span: Span) -> tuple[Ticks, Ticks]:
    """Return what runs of one row are ordered by."""
    return span.left, span.length


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
        key=from_left,
    )
    if any(one.left + one.length > other.left for one, other in pairwise(spans)):
        raise JobError(
            Problem(what="two runs of a row overlap", where=where, remedy="check their offsets and lengths")
        )
    for _ in range(spec.count):
        yield Row(line=0, width=width, spans=tuple(spans))
