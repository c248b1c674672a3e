"""The rooms of a job laid out one after another, their rows numbered on."""

from collections.abc import Iterator

from cutopt.errors import JobError, Problem
from cutopt.layout._notices import notices
from cutopt.layout._rooms import MAX_ROWS, RoomRows, rows_of
from cutopt.layout._spans import RunEnd, Span
from cutopt.model.floor import Floor, Run
from cutopt.model.job import Job
from cutopt.model.rooms import Room

__all__ = ["lay_out"]


def lay_out(job: Job) -> Floor:
    """Turn the rooms of a job into rows and runs, in whole ticks.

    Each room is a field of its own. Its origin is that of the job file: the point (0, 0) of an
    outline, the lower left corner of a size (wall to wall, so its rows begin one gap away), the
    common line of given rows. Rows count from the lowest y up; ``lay`` changes nothing here.

    A run spans from the leftmost to the rightmost point of the floor in its row, however little of
    the row's width it fills on the way; a row that a wall cuts in two has two runs, whose spans may
    overlap where that wall is slanted.

    A slant is what an end takes off the shorter long edge of its piece, seen between the run's
    lowest and highest level. An end that comes to a tip there (a wall along the row, to which
    planks are ripped) takes nothing off. Where the end wall leaves no plank room for a minimum
    piece besides, or where what is taken off is a jog or a wall along the row and a minimum piece
    fits beside it, pieces are ripped or notched to the wall: the slant is 0 and a warning says so.
    (Nothing published covers these; a run within one plank keeps its slants.)

    Raises ``JobError`` with every room that cannot be laid out.
    """
    laid = _rows_of_all(job)
    _refuse_too_many(sum(len(rooms_rows.rows) for _, rooms_rows in laid))
    runs: list[Run] = []
    warnings: list[str] = []
    row = 0
    for room, room_rows in laid:
        room_runs = tuple(_numbered(room, room_rows, row, job))
        row += len(room_rows.rows)
        runs.extend(room_runs)
        warnings.extend(notices(room, room_rows, room_runs, job))
    edges = tuple(room_rows.edges for _, room_rows in laid if room_rows.edges is not None)
    return Floor(runs=tuple(runs), edges=edges, warnings=tuple(warnings))


def _rows_of_all(job: Job) -> list[tuple[Room, RoomRows]]:
    """Lay out every room, or report every room that cannot be."""
    laid: list[tuple[Room, RoomRows]] = []
    problems: list[Problem] = []
    for room in job.rooms:
        try:
            laid.append((room, rows_of(room, job)))
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


def _numbered(room: Room, room_rows: RoomRows, rows_before: int, job: Job) -> Iterator[Run]:
    for number, row in enumerate(room_rows.rows, rows_before + 1):
        for nth, span in enumerate(row.spans, 1):
            yield Run(
                room=room.name,
                field=room.name,
                line=row.line,
                row=number,
                run=nth,
                offset=span.left,
                length=span.length,
                width=row.width,
                left_slant=_held(span.left_end, span, job),
                right_slant=_held(span.right_end, span, job),
                area2=span.area2,
            )


def _held(end: RunEnd, span: Span, job: Job) -> int:
    """Return the slant that the piece at an end has to hold, or 0 when pieces are ripped to the wall."""
    size, plank, min_piece = abs(end.slant), job.plank.length, job.rules.min_piece
    too_long = size >= min_piece if end.along else size + min_piece > plank
    return 0 if too_long and span.length > plank else end.slant
