"""Joints against joints: stagger, H-joint and stair-step over all runs that touch.

Positions are measured from the origin of the field, in ticks.
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from cutopt.check._finding import Fault, Finding
from cutopt.check._ledger import Ledger
from cutopt.model.floor import DownRun, Run
from cutopt.model.job import Pattern
from cutopt.model.plan import LaidRun
from cutopt.units import Ticks

__all__ = ["Jointed", "check_joints", "jointed_lines"]


@dataclass(frozen=True, slots=True)
class Jointed:
    """A run, laid by the plan or there already, and its joints from the field's origin, in rising order."""

    run: Run | DownRun
    joints: tuple[Ticks, ...]

    def within(self, low: Ticks, high: Ticks) -> Sequence[Ticks]:
        """Return the joints from ``low`` to ``high``, both included."""
        return self.joints[bisect_left(self.joints, low) : bisect_right(self.joints, high)]

    def has_phase(self, plank: Ticks) -> bool:
        """Say whether the joints lie at one phase of the plank: an older floor may have planks of any length."""
        if isinstance(self.run, Run):
            return bool(self.joints)
        return len({joint % plank for joint in self.joints}) == 1


_Lines = dict[tuple[str, int], list[Jointed]]


def jointed_lines(ledger: Ledger) -> _Lines:
    """Return the runs of every line from left to right, with their joints."""
    return {
        line: sorted(map(_jointed, runs), key=lambda jointed: jointed.run.offset)
        for line, runs in ledger.lines.items()
    }


def _jointed(laid: LaidRun) -> Jointed:
    ends = accumulate((piece.length for piece in laid.pieces), initial=laid.run.offset)
    return Jointed(laid.run, tuple(sorted(ends)[1:-1]))


def _with_down(lines: _Lines, down: Sequence[DownRun]) -> _Lines:
    """Return the lines, those of runs that lie already among them."""
    every = defaultdict(list, {line: list(runs) for line, runs in lines.items()})
    for run in down:
        every[run.field, run.line].append(Jointed(run, tuple(sorted(run.joints))))
    return {line: sorted(runs, key=lambda jointed: jointed.run.offset) for line, runs in every.items()}


def check_joints(ledger: Ledger, lines: _Lines) -> Iterator[Finding]:
    """Yield every pair of touching runs that breaks the stagger, every three that break the rest.

    The last of them is one that the plan lays; those before may lie already. Of the joints of a pair
    that are too close, the closest two are given.
    """
    rules = ledger.plan.rules
    free = rules.pattern is Pattern.RANDOM
    step = rules.stair_step if free and ledger.one_length else 0
    h_joint = rules.h_joint if free else 0
    lines = _with_down(lines, ledger.plan.down)
    touching = {line: list(_touching(runs, lines.get(_next(line), []))) for line, runs in lines.items()}
    for line, pairs in touching.items():
        for before, after in pairs:
            if isinstance(after.run, Run):
                yield from _stagger(before, after, rules.stagger)
        if not (h_joint or step):
            continue
        for first, middle, last in _triples(pairs, touching.get(_next(line), [])):
            if isinstance(last.run, Run):
                yield from _h_joint(first, middle, last, h_joint)
                yield from _stair_step(first, middle, last, step, ledger.plan.plank.length)


def _next(line: tuple[str, int]) -> tuple[str, int]:
    field, number = line
    return field, number + 1


def _touching(before: list[Jointed], after: list[Jointed]) -> Iterator[tuple[Jointed, Jointed]]:
    """Yield the pairs that touch; both lists go from left to right."""
    start = 0
    for one in before:
        while start < len(after) and after[start].run.right <= one.run.offset:
            start += 1
        for nth in range(start, len(after)):
            other = after[nth]
            if other.run.offset >= one.run.right:
                break
            if other.run.right > one.run.offset and not _parted(one.run, other.run):
                yield one, other


def _parted(one: Run | DownRun, other: Run | DownRun) -> bool:
    """Say whether a wall or a fixed thing parts two runs whose spans overlap by more than nothing."""
    if isinstance(one, DownRun) or isinstance(other, DownRun) or other.touches is None:
        return False
    return one.run not in other.touches


def _triples(
    pairs: list[tuple[Jointed, Jointed]], following: list[tuple[Jointed, Jointed]]
) -> Iterator[tuple[Jointed, Jointed, Jointed]]:
    onwards: defaultdict[int, list[Jointed]] = defaultdict(list)
    for middle, last in following:
        onwards[id(middle)].append(last)
    for first, middle in pairs:
        for last in onwards[id(middle)]:
            yield first, middle, last


def _stagger(before: Jointed, after: Jointed, least: Ticks) -> Iterator[Finding]:
    low = max(before.run.offset, after.run.offset)
    high = min(before.run.right, after.run.right)
    found = _closest(before.within(low, high), after.within(low, high), least)
    if found:
        yield _close(Fault.JOINTS_CLOSE, (before, after), found, least)


def _h_joint(first: Jointed, middle: Jointed, last: Jointed, least: Ticks) -> Iterator[Finding]:
    runs = (first, middle, last)
    low, high = max(one.run.offset for one in runs), min(one.run.right for one in runs)
    found = _closest(first.within(low, high), last.within(low, high), least)
    if found:
        yield _close(Fault.H_CLOSE, runs, found, least)


def _closest(ours: Sequence[Ticks], theirs: Sequence[Ticks], least: Ticks) -> tuple[Ticks, Ticks] | None:
    """Return (distance, position in ``theirs``) of the closest pair under ``least``, if any."""
    best: tuple[Ticks, Ticks] | None = None
    one = other = 0
    while one < len(ours) and other < len(theirs):
        apart = ours[one] - theirs[other]
        if abs(apart) < (best[0] if best else least):
            best = abs(apart), theirs[other]
        one, other = (one + 1, other) if apart < 0 else (one, other + 1)
    return best


def _close(fault: Fault, runs: Sequence[Jointed], found: tuple[Ticks, Ticks], least: Ticks) -> Finding:
    apart, position = found
    return _among(fault, runs, position, found=apart, wanted=least)


def _among(fault: Fault, runs: Sequence[Jointed], position: Ticks, *, found: Ticks, wanted: Ticks) -> Finding:
    """Return a finding about runs of successive lines, placed in the last of them, which the plan lays."""
    laid = [one.run for one in runs if isinstance(one.run, Run)]
    last = laid[-1]
    return Finding(
        fault=fault,
        rows=tuple(run.row for run in laid),
        beside_down=len(laid) < len(runs),
        place_row=last.row,
        run=last.run,
        place=position - last.offset,
        found=found,
        wanted=wanted,
    )


def _stair_step(
    first: Jointed, middle: Jointed, last: Jointed, least: Ticks, plank: Ticks
) -> Iterator[Finding]:
    """Compare the shifts from run to run; a run without a phase breaks the chain."""
    runs = (first, middle, last)
    if not all(one.has_phase(plank) for one in runs):
        return
    turn = (last.joints[0] - 2 * middle.joints[0] + first.joints[0]) % plank
    apart = min(turn, plank - turn)
    if apart < least:
        yield _among(Fault.STEPS_ALIKE, runs, last.joints[0], found=apart, wanted=least)
