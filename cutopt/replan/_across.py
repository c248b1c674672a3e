"""The rows left, by what is left across them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from cutopt.errors import JobError, Problem
from cutopt.model.floor import Run
from cutopt.model.plan import LaidRun, Plan
from cutopt.model.replan import Changes
from cutopt.units import Ticks, format_length

__all__ = ["Across", "across"]

_MOST_LINES = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Across:
    """The runs left; rows ``after`` this number are now called so many ``more``."""

    runs: tuple[Run, ...]
    after: int = 0
    more: int = 0
    notes: tuple[str, ...] = ()

    def moved(self, row: LaidRun) -> LaidRun:
        """Return a kept run under the number its row now has; its pieces are still called as they were."""
        return (
            row if not self.more or row.run.row <= self.after else replace(row, run=self._renumbered(row.run))
        )

    def _renumbered(self, run: Run) -> Run:
        return replace(run, row=run.row + self.more)


def across(runs: Sequence[Run], plan: Plan, changes: Changes) -> Across:
    """Return the runs left, for the width that is left across the rows of the field being laid.

    All rows but the last are a plank wide; more of them are laid like the last there was. Raises ``JobError``
    where no row is left, or more than can be.
    """
    if changes.left_across is None:
        return Across(runs=tuple(runs))
    if not runs:
        raise _refused("no row is left to lay", "leave it out")
    width, left = plan.plank.width, changes.left_across
    own = [run for run in runs if run.field == runs[0].field]
    lines = -(-left // width)
    if not 0 < lines <= _MOST_LINES:
        raise _refused(f"no floor has {lines} rows left", "measure again")
    first, planned = own[0].line, max(run.line for run in own) - own[0].line + 1
    after, more = max(run.row for run in own), lines - planned
    resized = [
        _rewidened(run, left - (lines - 1) * width if run.line == first + lines - 1 else width)
        for run in _laid_on(own, first + lines - 1)
    ]
    others = [replace(run, row=run.row + more) for run in runs if run.field != own[0].field]
    return Across(
        runs=(*resized, *others), after=after, more=more, notes=tuple(_notes(resized, plan, after, more))
    )


def _refused(what: str, remedy: str) -> JobError:
    return JobError(Problem(what=what, where="left across", remedy=remedy))


def _laid_on(own: Sequence[Run], last: int) -> list[Run]:
    """Return the runs of a field up to a line; lines that it has not are like its last one."""
    found = [run for run in own if run.line <= last]
    final = max(run.line for run in found)
    pattern = [run for run in found if run.line == final]
    for line in range(final + 1, last + 1):
        row = pattern[0].row + line - final
        found += [replace(run, line=line, row=row, touches=None) for run in pattern]
    return found


def _rewidened(run: Run, width: Ticks) -> Run:
    if run.width == width:
        return run
    area2 = max(1, min(run.area2 * width // run.width, 2 * run.length * width))
    return replace(run, width=width, area2=area2, wide=None, narrow=None)


def _notes(runs: Sequence[Run], plan: Plan, after: int, more: int) -> list[str]:
    last, rules = runs[-1], plan.rules
    notes = []
    if last.width < rules.min_rip:
        width, least = (
            format_length(ticks, plan.unit, rules.cut_step) for ticks in (last.width, rules.min_rip)
        )
        notes.append(f"row {last.row} comes out {width} wide, under the least rip of {least}")
    if more and any(row.run.row > after for row in plan.rows):
        notes.append(
            f"rows after row {after} have new numbers: row {after + 1} is now row {after + 1 + more}"
        )
    return notes
