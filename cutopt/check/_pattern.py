"""Fixed patterns: every row set off from the one before by half a plank, or by a third."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cutopt.check._finding import Fault, Finding
from cutopt.check._joints import Jointed
from cutopt.check._ledger import Ledger
from cutopt.model.floor import Run
from cutopt.model.job import Pattern
from cutopt.units import Ticks

__all__ = ["check_pattern"]

_PARTS = {Pattern.HALF: 2, Pattern.THIRD: 3}


@dataclass(frozen=True, slots=True)
class _Phase:
    """A run's first joint, and what is left of its phase once its row's share is taken off.

    ``rest`` is in parts of a tick (halves or thirds), so that half and third planks stay whole numbers.
    """

    run: Run
    joint: Ticks
    rest: int


def check_pattern(ledger: Ledger, lines: dict[tuple[str, int], list[Jointed]]) -> Iterator[Finding]:
    """Yield every run off the pattern of its field.

    A run is on it when its phase is f + i P/2 (or f + i P/3 or f - i P/3), rounded to the cut step. The
    start f and the direction are those that suit most runs of the field. Rounding either way is allowed,
    so the phases with the rows' shares taken off must lie within one cut step.
    """
    parts = _PARTS.get(ledger.plan.rules.pattern)
    if parts is None or not ledger.one_length:
        return
    fields: defaultdict[str, list[Jointed]] = defaultdict(list)
    for (field, _), runs in lines.items():
        fields[field] += [jointed for jointed in runs if jointed.joints]
    for runs in fields.values():
        yield from _off_pattern(runs, parts, ledger)


def _off_pattern(runs: Sequence[Jointed], parts: int, ledger: Ledger) -> Iterator[Finding]:
    plank = ledger.plan.plank.length
    grid = max(ledger.plan.rules.cut_step, 1) * parts
    ways = [_judge(_phases(runs, parts, plank, way), plank * parts, grid) for way in (1, -1)]
    start, off = min(ways, key=lambda way: len(way[1]))
    for phase in off:
        # How far the joint lies from where the start of the pattern, plus the row's share, puts it.
        turn = (phase.rest - start + plank * parts // 2) % (plank * parts) - plank * parts // 2
        place = phase.joint - phase.run.offset
        yield Finding(
            fault=Fault.OFF_PATTERN,
            rows=(phase.run.row,),
            place_row=phase.run.row,
            run=phase.run.run,
            place=place,
            found=place,
            wanted=place - turn // parts,
        )


def _phases(runs: Sequence[Jointed], parts: int, plank: Ticks, way: int) -> list[_Phase]:
    whole = plank * parts
    return [
        _Phase(jointed.run, joint, (joint * parts - way * jointed.run.line * plank) % whole)
        for jointed in runs
        if isinstance(jointed.run, Run)
        for joint in jointed.joints[:1]
    ]


def _judge(phases: list[_Phase], whole: int, grid: int) -> tuple[int, list[_Phase]]:
    """Return the start of the stretch of one ``grid`` that holds most phases, and those it does not hold."""
    phases = sorted(phases, key=lambda phase: phase.rest)
    rests = [phase.rest for phase in phases]
    turned = rests + [rest + whole for rest in rests]
    most = best = end = 0
    for first, rest in enumerate(rests):
        while end < len(turned) and turned[end] <= rest + grid and end < first + len(rests):
            end += 1
        if end - first > most:
            most, best = end - first, first
    on = {nth % len(rests) for nth in range(best, best + most)}
    start = rests[best] if rests else 0
    return start, [phase for nth, phase in enumerate(phases) if nth not in on]
