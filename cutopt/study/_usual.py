"""What a study varies when the job does not say."""

from collections.abc import Iterator
from fractions import Fraction

from cutopt.model.job import Job, Pattern, ShareOffcuts, ShareRips
from cutopt.model.pricing import Choice, StudySpec, Varied, Vary
from cutopt.model.rooms import RowsRoom
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks

__all__ = ["usual_study"]

_RIGHT_ANGLES = (Fraction(0), Fraction(90))


def usual_study(job: Job) -> StudySpec:
    """Return one change at a time about a job, of what a person on site could choose otherwise.

    Stagger and minimum piece go 2 in (50 mm) less and more, from 12 in (300 mm) on 4 in (100 mm): no more than a
    third of the plank, beyond which few rows can be laid. Rooms with walls are turned by a right angle, and their
    first row is half a plank wide. A kerf of none (score and snap) stands against that of a saw, 1/8 in or 3 mm;
    rips and offcuts are shared the other way, and patterns tried whose offset keeps the stagger. Planks are those
    of the catalogue. (The steps are our own choice.)
    """
    found = (Vary(what=what, choices=choices) for what, choices in _usual(job) if choices)
    return StudySpec(vary=tuple(found))


def _usual(job: Job) -> Iterator[tuple[Varied, tuple[Choice, ...]]]:
    rules, walled = job.rules, not any(isinstance(room, RowsRoom) for room in job.rooms)
    yield Varied.PLANK, tuple(entry.name for entry in job.catalogue)
    if rules.pattern is Pattern.RANDOM:
        yield Varied.STAGGER, _about(rules.stagger, job)
    yield Varied.MIN_PIECE, _about(rules.min_piece, job)
    yield Varied.PATTERN, tuple(_patterns(job))
    if walled and not any(room.down for room in job.rooms):
        yield Varied.DIRECTION, _RIGHT_ANGLES
    if walled:
        yield Varied.FIRST_WIDTH, _half_a_plank(job)
    yield Varied.KERF, (0, 3 * TICKS_PER_MM if job.unit.is_metric else TICKS_PER_INCH // 8)
    yield Varied.SHARE_RIPS, tuple(word.value for word in ShareRips if word is not rules.share_rips)
    if len(job.rooms) > 1:
        yield (
            Varied.SHARE_OFFCUTS,
            tuple(word.value for word in ShareOffcuts if word is not rules.share_offcuts),
        )


def _about(now: Ticks, job: Job) -> tuple[Ticks, ...]:
    """Return a length less, as it is, and more."""
    step = 50 * TICKS_PER_MM if job.unit.is_metric else 2 * TICKS_PER_INCH
    if now >= 6 * step:
        step *= 2
    others = (near for near in (now - step, now + step) if 0 < near <= job.plank.length // 3)
    return tuple(sorted({now, *others}))


def _patterns(job: Job) -> Iterator[str]:
    """Yield the patterns whose joints, half or a third of a plank from row to row, keep the stagger."""
    for pattern, parts in ((Pattern.RANDOM, 0), (Pattern.HALF, 2), (Pattern.THIRD, 3)):
        if pattern is not job.rules.pattern and parts * job.rules.stagger <= job.plank.length:
            yield pattern.value


def _half_a_plank(job: Job) -> tuple[Ticks, ...]:
    half = job.plank.width // 2 // job.rules.cut_step * job.rules.cut_step
    return (half,) if half >= max(1, job.rules.min_rip) else ()
