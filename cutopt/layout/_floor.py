"""The fields of a job laid out one after another, their rows numbered on."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from cutopt.errors import JobError, Problem
from cutopt.layout._creep import creep
from cutopt.layout._down import down_before_field, down_before_rows
from cutopt.layout._fields import field_rows, touching
from cutopt.layout._given import MAX_ROWS, FieldRows, Row, given_rows
from cutopt.layout._notices import notices
from cutopt.layout._spans import RunEnd, Span
from cutopt.layout.ground import FieldGround, Site, survey_site
from cutopt.layout.labels import Labels, labels
from cutopt.layout.stops import along
from cutopt.layout.stops.find import decide, idle_stops
from cutopt.model.floor import DownRun, Field, Floor, Ground, Run
from cutopt.model.job import Job
from cutopt.model.rooms import RowsRoom
from cutopt.model.stops import StopsSolution

__all__ = ["lay_out"]

_Laid = tuple[FieldRows, FieldGround | None]


def lay_out(job: Job, degrees: Fraction | None = None) -> Floor:
    """Turn the rooms of a job into rows and runs, in whole ticks; rows run ``degrees`` (the job's direction).

    Rooms whose rows run through a doorway make up one field, any other room is a field of its own. The
    origin of a field is that of its plan: the point (0, 0) of an outline, the lower left corner of a size
    (wall to wall, so its rows begin one gap away), the common line of given rows. Rows count from the
    first wall up, across the rows; ``lay`` changes nothing here.

    A run spans from the leftmost to the rightmost point of the floor in its row, however little of
    the row's width it fills on the way; a row that a wall cuts in two has two runs, whose spans may
    overlap where that wall is slanted or runs along the row.

    A slant is what an end takes off the shorter long edge of its piece, seen between the run's
    lowest and highest level. An end that comes to a tip there (a wall along the row, to which
    planks are ripped) takes nothing off. Where the end wall leaves no plank room for a minimum
    piece besides, or where what is taken off is a jog or a wall along the row and a minimum piece
    fits beside it, pieces are ripped or notched to the wall: the slant is 0 and a warning says so.
    (Nothing published covers these; a run within one plank keeps its slants.)

    Raises ``JobError`` with everything that cannot be laid out.
    """
    turned = job.layout.direction if degrees is None else degrees
    site = survey_site(job, turned or Fraction(0))
    laid = _rows_of_all(job, site)
    _refuse_too_many(sum(len(rows.rows) for rows, _ in laid))
    named_room = {room.name: room for room in job.rooms}
    runs: list[Run] = []
    down: list[DownRun] = []
    warnings: list[str] = []
    row = 0
    for rows, ground in laid:
        named = labels(ground, rows)
        numbered = tuple(_numbered(rows, row, named, job))
        row += len(rows.rows)
        runs.extend(numbered)
        down.extend(
            down_before_field(ground, numbered)
            if ground
            else down_before_rows(named_room[rows.name], numbered)
        )
        warnings.extend(notices(rows, numbered, job))
        warnings.extend(creep(rows.edges, job) if rows.edges else ())
        if ground and decide(job.layout):
            met = rows.stops.best.rips if rows.stops else ()
            warnings.extend(idle_stops(ground, job, [rip.stop for rip in met]))
    return Floor(
        runs=tuple(runs),
        edges=tuple(rows.edges for rows, _ in laid if rows.edges is not None),
        warnings=tuple(warnings),
        down=tuple(down),
        ground=_ground(site, laid),
        stops=tuple((rows.name, rows.stops) for rows, _ in laid if rows.stops is not None),
        along=tuple(_along(runs, job)),
    )


def _along(runs: Sequence[Run], job: Job) -> Iterator[tuple[str, StopsSolution]]:
    for field, group in groupby(runs, key=lambda run: run.field):
        solution = along(list(group), job.plank, job.rules)
        if solution is not None:
            yield field, solution


def _rows_of_all(job: Job, site: Site) -> list[_Laid]:
    """Lay out every field in the order of the job's rooms, or report every one that cannot be."""
    laid: list[_Laid] = []
    problems: list[Problem] = []
    of_room = {one.room.name: field for field in site.fields for one in field.rooms}
    fields = [room if isinstance(room, RowsRoom) else of_room[room.name] for room in job.rooms]
    for field in {field.name: field for field in fields}.values():
        try:
            if isinstance(field, RowsRoom):
                laid.append((given_rows(field, job), None))
            else:
                laid.append((field_rows(field, site, job), field))
        except JobError as error:
            problems.extend(error.problems)
    if problems:
        raise JobError(*problems)
    return laid


def _refuse_too_many(rows: int) -> None:
    if rows > MAX_ROWS:
        raise JobError(
            Problem(
                what=f"{rows} rows, more than the {MAX_ROWS} a job may have",
                where="all rooms together",
                remedy="split the job, or check its units",
            )
        )


def _numbered(field: FieldRows, rows_before: int, named: Labels, job: Job) -> Iterator[Run]:
    before: Row | None = None
    for number, row in enumerate(field.rows, rows_before + 1):
        below = before.spans if before is not None and before.line == row.line - 1 else ()
        for nth, span in enumerate(row.spans, 1):
            wide, narrow = span.widths or (None, None)
            left, right = (_held(end, span, job) for end in (span.left_end, span.right_end))
            yield Run(
                room=named(row.line, nth),
                field=field.name,
                line=row.line,
                row=number,
                run=nth,
                offset=span.left,
                length=span.length,
                width=row.width,
                left_slant=left,
                right_slant=right,
                left_mitre=left != 0 and span.left_end.mitre,
                right_mitre=right != 0 and span.right_end.mitre,
                area2=span.area2,
                wide=wide,
                narrow=narrow,
                touches=touching(span, below) if field.lines else None,
            )
        before = row


def _held(end: RunEnd, span: Span, job: Job) -> int:
    """Return the slant that the piece at an end has to hold, or 0 when pieces are ripped to the wall."""
    size, plank, min_piece = abs(end.slant), job.plank.length, job.rules.min_piece
    too_long = size >= min_piece if end.along else size + min_piece > plank
    return 0 if too_long and span.length > plank else end.slant


def _ground(site: Site, laid: Sequence[_Laid]) -> Ground:
    return Ground(
        fields=tuple(
            Field(
                name=ground.name,
                rooms=tuple(one.room.name for one in ground.rooms),
                frame=ground.frame,
                areas=ground.areas,
                lines=rows.lines,
            )
            for rows, ground in laid
            if ground is not None
        ),
        rooms=site.rooms,
        things=site.things,
        doorways=site.doorways,
    )
