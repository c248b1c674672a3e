"""What the user should know about the rows of a room before they are planned."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import groupby

from cutopt.layout._rooms import RoomRows
from cutopt.layout._spans import Span
from cutopt.model.floor import Run
from cutopt.model.job import Job, Room, Rules

__all__ = ["notices"]

_Test = Callable[[Run, Span], bool]

_SHORT = "shorter than the minimum piece; laid as a single piece, which is exempt"
_SLIVER = "the floor there is narrower across the row than the minimum rip (rules.min_rip)"
_SLANT = (
    "a slanted wall takes the minimum piece or more off one edge of the piece at it; "
    "that piece must be longer by as much"
)
_TAPER = (
    "a wall runs along part of the row; rip or notch the planks to it there, and mind that "
    "the minimum piece holds for their longer edge only"
)


def notices(room: Room, room_rows: RoomRows, runs: Sequence[Run], job: Job) -> Iterator[str]:
    """Yield plain sentences, each naming the room and the rows it is about.

    ``runs`` are the numbered runs of the room. Rows given outright are not judged by their width.
    """
    spans = [span for row in room_rows.rows for span in row.spans]
    for test, text in _tests(job.rules, computed=room_rows.edges is not None):
        numbers = [run.row for run, span in zip(runs, spans, strict=True) if test(run, span)]
        if numbers:
            yield f'room "{room.name}", {_rows(numbers)}: {text}'


def _tests(rules: Rules, *, computed: bool) -> Iterator[tuple[_Test, str]]:
    yield lambda run, _: run.length < rules.min_piece, _SHORT
    yield lambda run, _: max(map(abs, _slants(run))) >= max(rules.min_piece, 1), _SLANT
    yield lambda run, span: _slants(run) != (span.left_end.slant, span.right_end.slant), _TAPER
    if computed:
        yield lambda _, span: span.height < rules.min_rip, _SLIVER


def _slants(run: Run) -> tuple[int, int]:
    return run.left_slant, run.right_slant


def _rows(numbers: Iterable[int]) -> str:
    """Name rows, stretches of them in short: ``rows 3-12, 14``."""
    unique = sorted(set(numbers))
    stretches = []
    for _, group in groupby(enumerate(unique), key=lambda pair: pair[1] - pair[0]):
        rows = [number for _, number in group]
        stretches.append(str(rows[0]) if len(rows) == 1 else f"{rows[0]}-{rows[-1]}")
    return ("row " if len(unique) == 1 else "rows ") + ", ".join(stretches)
