"""What the user should know about the rows of a room before they are planned."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from cutopt.layout._given import FieldRows
from cutopt.layout._spans import Span
from cutopt.model.floor import Run
from cutopt.model.job import Job
from cutopt.units import Ticks, format_length

__all__ = ["notices"]

_TAPER = (
    "a wall runs along part of the row; rip or notch the planks to it there, and mind that "
    "the minimum piece holds for their longer edge only"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Notice:
    """One thing to look out for: which runs it is about, and what to say of them."""

    meets: Callable[[Run, Span], bool]
    says: Callable[[Sequence[Run], Sequence[Span]], str]


def notices(field: FieldRows, runs: Sequence[Run], job: Job) -> Iterator[str]:
    """Yield plain sentences, each naming the field and the rows it is about.

    ``runs`` are the numbered runs of the field. Rows given outright are not judged by their width.
    """
    spans = [span for row in field.rows for span in row.spans]
    watched = [_short(job), _slanted(job), _tapered()]
    if field.edges is not None:
        watched.append(_sliver(job))
    for notice in watched:
        found = [(run, span) for run, span in zip(runs, spans, strict=True) if notice.meets(run, span)]
        if found:
            met, measured = zip(*found, strict=True)
            yield f'room "{field.name}", {_rows(run.row for run in met)}: {notice.says(met, measured)}'


def _short(job: Job) -> _Notice:
    least = job.rules.min_piece
    return _Notice(
        meets=lambda run, _: run.length < least,
        says=lambda runs, _: (
            f"only {_length(min(run.length for run in runs), job)} long, under the minimum piece of "
            f"{_length(least, job)}; laid as a single piece, which is exempt"
        ),
    )


def _slanted(job: Job) -> _Notice:
    least = max(job.rules.min_piece, 1)
    return _Notice(
        meets=lambda run, _: _most(run) >= least,
        says=lambda runs, _: (
            f"a slanted wall takes up to {_length(max(map(_most, runs)), job)} off one edge of the piece "
            "at it; the minimum piece holds for its shorter edge"
        ),
    )


def _tapered() -> _Notice:
    return _Notice(
        meets=lambda run, span: _slants(run) != (span.left_end.slant, span.right_end.slant),
        says=lambda _, __: _TAPER,
    )


def _sliver(job: Job) -> _Notice:
    least = job.rules.min_rip
    return _Notice(
        meets=lambda _, span: _narrowest(span) < least,
        says=lambda _, spans: (
            f"the floor is only {_length(min(map(_narrowest, spans)), job)} wide across the row, "
            f"under the minimum rip of {_length(least, job)}"
        ),
    )


def _narrowest(span: Span) -> Ticks:
    """Return how wide a run is at its narrower end."""
    return span.height if span.widths is None else min(span.height, span.widths[1])


def _length(ticks: Ticks, job: Job) -> str:
    return format_length(ticks, job.unit, job.rules.cut_step)


def _most(run: Run) -> Ticks:
    return max(map(abs, _slants(run)))


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
