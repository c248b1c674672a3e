"""How far a room, or the plank, may turn out longer than told before another box is needed.

Boxes do not simply rise with a length: a longer row can need fewer planks. So lengths are tried one by
one, in steps, and the first that needs more decides.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import count, islice

from cutopt.model.cutouts import Axis
from cutopt.model.estimate import Grown, Margin, Margins
from cutopt.model.job import Job
from cutopt.study._growth import (
    MOST_DIMENSIONS,
    Dimension,
    Made,
    dimensions,
    plank_growing,
    rooms_growing,
)
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks, Unit, format_length

__all__ = ["BoxesOf", "margins"]

BoxesOf = Callable[[Sequence[Job]], Sequence[int | None]]
"""Plans jobs, many at once where it can, and answers in their order with boxes; ``None``: not to be planned."""

_AHEAD, _BEHIND, _AT_ONCE = 12, 4, 4
"""Steps tried of a room's dimension, either way, and how many of them are asked for at once: each is a plan."""

_Boxes = Mapping[Ticks, int | None]
"""What lengths need, as far as they were tried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Scan:
    """Lengths to try of one thing: ``ahead`` steps from now on, and ``behind`` steps the other way.

    ``step`` is below 0 where shorter is ahead; ``grain``, of the same sign, is what the last step is refined to.
    """

    of: Grown
    make: Made
    step: Ticks
    grain: Ticks
    ahead: int
    behind: int = 0

    def steps(self, turn: int) -> list[Ticks]:
        """Return the lengths to try in a turn: the next few ahead, and in the first all behind."""
        first = turn * _AT_ONCE + 1
        ahead = range(first, min(first + _AT_ONCE, self.ahead + 1))
        behind = range(-self.behind, 0) if turn == 0 else ()
        found = (self.of.now + nth * self.step for nth in (*behind, *ahead))
        return [length for length in found if length > 0]

    def is_ahead(self, length: Ticks) -> bool:
        return (length - self.of.now) * self.step > 0

    def distance(self, length: Ticks) -> Ticks:
        return abs(length - self.of.now)

    def end(self, boxes: _Boxes, now: int) -> Ticks | None:
        """Return the nearest length ahead that needs more boxes than now, or that cannot be planned."""
        more = (at for at, need in boxes.items() if self.is_ahead(at) and (need is None or need > now))
        return min(more, key=self.distance, default=None)


def margins(job: Job, boxes_of: BoxesOf) -> Margins:
    """Return how far everything that may grow (:func:`growing`) may do so before another box is needed.

    A room's dimension is tried in 12 steps (of whole eighths, or 2 mm) up to a plank's length further along the
    rows, two rows' width across them, or to where its area alone takes a box and a quarter, whichever is nearest;
    and 4 of these steps shorter. The plank's length is tried every 1/16 in (2 mm) up to 1/2 in (12 mm) each way.
    In the step in which another box is needed, every 1/8 in (2 mm) of a room and every 1/64 in (0.5 mm) of the
    plank is tried. A length between the steps before that is not: it may need more.

    ``boxes_of`` is asked a few times: each time for the next lengths of everything whose end is not found.
    """
    scans = [*_room_scans(job), *_plank_scans(job)]
    (now,) = boxes_of([job])
    if now is None:
        return tuple(_unplanned(scan) for scan in scans)
    found: list[_Boxes] = [{} for _ in scans]
    for turn in count():
        open_yet = [scan.end(boxes, now) is None for scan, boxes in zip(scans, found, strict=True)]
        wanted = [scan.steps(turn) if still else [] for scan, still in zip(scans, open_yet, strict=True)]
        if not any(wanted):
            break
        found = _tried(boxes_of, scans, wanted, found)
    between = [_between(scan, boxes, now) for scan, boxes in zip(scans, found, strict=True)]
    if any(between):
        found = _tried(boxes_of, scans, between, found)
    told = [
        _margin(scan, boxes, lengths, now, job.unit)
        for scan, boxes, lengths in zip(scans, found, between, strict=True)
    ]
    return tuple(_with_note(told, job))


def _tried(
    boxes_of: BoxesOf,
    scans: Sequence[_Scan],
    wanted: Sequence[Sequence[Ticks]],
    found: Sequence[_Boxes],
) -> list[_Boxes]:
    """Return what was found together with what more lengths need, asked for all at once."""
    jobs = [scan.make(length) for scan, lengths in zip(scans, wanted, strict=True) for length in lengths]
    answers = iter(boxes_of(jobs))
    return [
        {**boxes, **dict(zip(lengths, islice(answers, len(lengths)), strict=True))}
        for boxes, lengths in zip(found, wanted, strict=True)
    ]


def _room_scans(job: Job) -> Iterator[_Scan]:
    grain = 2 * TICKS_PER_MM if job.unit.is_metric else TICKS_PER_INCH // 8
    for dimension, make in rooms_growing(job):
        step = -(-_reach(job, dimension) // (_AHEAD * grain)) * grain
        yield _Scan(of=dimension.of, make=make, step=step, grain=grain, ahead=_AHEAD, behind=_BEHIND)


def _reach(job: Job, dimension: Dimension) -> Ticks:
    """Return how much longer a dimension is tried."""
    plank = job.plank
    reach = 2 * plank.width if dimension.way is Axis.ACROSS else plank.length
    box = plank.per_box * plank.length * plank.width
    return min(reach, 5 * box // (4 * dimension.front)) if dimension.front else reach


def _plank_scans(job: Job) -> Iterator[_Scan]:
    most, step, grain = (
        (12 * TICKS_PER_MM, 2 * TICKS_PER_MM, TICKS_PER_MM // 2)
        if job.unit.is_metric
        else (TICKS_PER_INCH // 2, TICKS_PER_INCH // 16, TICKS_PER_INCH // 64)
    )
    for (of, make), sign in zip(plank_growing(job), (1, -1), strict=True):
        yield _Scan(of=of, make=make, step=sign * step, grain=sign * grain, ahead=most // step)


def _between(scan: _Scan, boxes: _Boxes, now: int) -> range:
    """Return the lengths to try within the step that ends in another box, or in no plan."""
    end = scan.end(boxes, now)
    return range(0) if end is None else range(end - scan.step + scan.grain, end, scan.grain)


def _margin(scan: _Scan, boxes: _Boxes, between: Sequence[Ticks], now: int, unit: Unit) -> Margin:
    end = scan.end(boxes, now)
    need = None if end is None else boxes[end]
    short = (
        at for at in boxes if scan.is_ahead(at) and (end is None or scan.distance(at) < scan.distance(end))
    )
    good = max(short, key=scan.distance, default=scan.of.now)
    whole_steps = scan.distance(good) >= abs(scan.step)
    notes = (
        _finer(scan, between[0] - scan.grain, unit) if between and whole_steps else "",
        f"no plan at {format_length(end, unit)}" if end is not None and need is None else "",
    )
    return Margin(
        of=scan.of,
        good=good,
        grain=abs(scan.step if whole_steps else scan.grain),
        next_boxes=need,
        open_end=need is None,
        cheaper=_nearest(scan, {at: need for at, need in boxes.items() if need is not None and need < now}),
        dearer=_nearest(
            scan,
            {
                at: need
                for at, need in boxes.items()
                if need is not None and need > now and not scan.is_ahead(at)
            },
        ),
        note=_joined(notes),
    )


def _nearest(scan: _Scan, boxes: Mapping[Ticks, int]) -> tuple[tuple[Ticks, int], ...]:
    """Return lengths with their boxes: each way the nearest of each number."""
    found: dict[tuple[bool, int], Ticks] = {}
    for length in sorted(boxes, key=scan.distance):
        found.setdefault((scan.is_ahead(length), boxes[length]), length)
    return tuple(sorted((length, need) for (_, need), length in found.items()))


def _finer(scan: _Scan, start: Ticks, unit: Unit) -> str:
    return f"from {format_length(start, unit)} on every {format_length(abs(scan.grain), unit)}"


def _joined(notes: Iterable[str]) -> str:
    return "; ".join(filter(None, notes))


def _unplanned(scan: _Scan) -> Margin:
    return Margin(
        of=scan.of, good=scan.of.now, grain=abs(scan.grain), open_end=True, note="no plan for the job as told"
    )


def _with_note(found: Sequence[Margin], job: Job) -> Iterator[Margin]:
    """Yield margins; that of the last dimension tried says where there are more."""
    for nth, margin in enumerate(found, 1):
        there = sum(1 for _ in dimensions(job)) if nth == MOST_DIMENSIONS else 0
        if there > MOST_DIMENSIONS:
            note = f"only the first {MOST_DIMENSIONS} of {there} dimensions are tried"
            yield replace(margin, note=_joined((margin.note, note)))
        else:
            yield margin
