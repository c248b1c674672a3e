"""Joints that a longer run would bring together: pairs that are judged only once it reaches over them."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from cutopt.model.job import Pattern
from cutopt.model.plan import Plan
from cutopt.model.tolerance import Breaks
from cutopt.tolerance._reach import Line, Reach, lines
from cutopt.units import Ticks

__all__ = ["Bar", "joint_bars"]


@dataclass(frozen=True, slots=True)
class Bar:
    """A breach that comes only when every one of some runs is longer by more than its ticks here."""

    breaks: Breaks
    most: Mapping[int, Ticks]


def joint_bars(plan: Plan) -> Iterator[Bar]:
    """Yield the breaches of rules on joints that longer runs would bring, by the runs' places in the plan."""
    rules = plan.rules
    free = rules.pattern is Pattern.RANDOM
    one_length = all(cut.length in (None, plan.plank.length) for cut in plan.planks if cut.strip is None)
    by_line = lines(plan)
    near = {line: list(_near(runs, by_line.get(_next(line), []), plan)) for line, runs in by_line.items()}
    for line, pairs in near.items():
        for before, after in pairs:
            yield from _stagger(before, after, rules.stagger)
        for first, middle in pairs if free else ():
            for last in (last for one, last in near.get(_next(line), []) if one is middle):
                yield from _h_joint(first, middle, last, rules.h_joint)
                if one_length:
                    yield from _stair_step(first, middle, last, rules.stair_step, plan)


def _next(line: Line) -> Line:
    return line[0], line[1] + 1


def _near(before: Sequence[Reach], after: Sequence[Reach], plan: Plan) -> Iterator[tuple[Reach, Reach]]:
    """Yield the pairs that touch, or would where a run is a plank longer, the later one laid by the plan."""
    plank = plan.plank.length
    for one in before:
        for other in after:
            overlap = one.near < other.far + plank and other.near < one.far + plank
            parted = one.index is not None and other.touches is not None and one.number not in other.touches
            if overlap and not parted and other.index is not None:
                yield one, other


def _stagger(before: Reach, after: Reach, least: Ticks) -> Iterator[Bar]:
    for ours, theirs in _close(before.joints, after.joints, least):
        yield from _bar(Breaks.STAGGER, _reaching((before, after), (ours, theirs)))


def _h_joint(first: Reach, middle: Reach, last: Reach, least: Ticks) -> Iterator[Bar]:
    for ours, theirs in _close(first.joints, last.joints, least):
        yield from _bar(Breaks.H_JOINT, _reaching((first, middle, last), (ours, theirs)))


def _close(ours: Sequence[Ticks], theirs: Sequence[Ticks], least: Ticks) -> Iterator[tuple[Ticks, Ticks]]:
    """Yield the pairs of joints less than ``least`` apart."""
    for joint in ours:
        low, high = bisect_right(theirs, joint - least), bisect_left(theirs, joint + least)
        for other in theirs[low:high]:
            yield joint, other


def _stair_step(first: Reach, middle: Reach, last: Reach, least: Ticks, plan: Plan) -> Iterator[Bar]:
    plank = plan.plank.length
    if not all(_has_phase(one, plank) for one in (first, middle, last)):
        return
    turn = (last.joints[0] - 2 * middle.joints[0] + first.joints[0]) % plank
    if min(turn, plank - turn) < least:
        pairs = ((first, middle), (middle, last))
        yield from _bar(Breaks.STAIR_STEP, [gap for pair in pairs for gap in _apart(*pair)])


def _has_phase(run: Reach, plank: Ticks) -> bool:
    if run.index is not None:
        return bool(run.joints)
    return len({joint % plank for joint in run.joints}) == 1


_Gap = tuple[Reach, Ticks | None]
"""A run, and how much longer it may be before it reaches over something; ``None``: it never will."""


def _reaching(runs: Sequence[Reach], joints: Sequence[Ticks]) -> list[_Gap]:
    """Return the gaps between runs and the joints that lie outside them: reached, a joint is judged."""
    return [
        (run, joint - run.far - 1 if joint > run.far else None)
        for run in runs
        for joint in joints
        if not run.near <= joint <= run.far
    ]


def _apart(one: Reach, other: Reach) -> list[_Gap]:
    """Return the gap between two runs, if any: they touch when one reaches over the other's near end."""
    if one.far <= other.near:
        return [(one, other.near - one.far)]
    if other.far <= one.near:
        return [(other, one.near - other.far)]
    return []


def _bar(breaks: Breaks, gaps: Sequence[_Gap]) -> Iterator[Bar]:
    """Yield the breach behind some gaps; none where it is there already or can never come."""
    most: dict[int, Ticks] = {}
    for run, ticks in gaps:
        if ticks is None or run.index is None:
            return
        most[run.index] = max(ticks, most.get(run.index, 0))
    if most:
        yield Bar(breaks, most)
