"""Why a floor cannot be laid: the fewest rows that clash, the rules it takes, and what would do instead."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, islice

from cutopt.planner.clash.answer import Answer, Stop
from cutopt.planner.clash.parts import Group, RuleName, group_runs, only, rule_value, with_only, with_rule
from cutopt.planner.clash.verdict import can_be_laid, decide_group, holds_off_step
from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["Clash", "WayOut", "find_clashes", "nearest_value"]

WINDOWS = 400
MOST_WINDOWS = 20_000
"""How many windows of rows are looked at for one that is smaller still: unlike ones, and in all."""

_DROPPED_FIRST = (RuleName.STAIR_STEP, RuleName.H_JOINT, RuleName.STAGGER, RuleName.MIN_PIECE)


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """A rule's nearest value that makes its rows possible, all other rules as they are."""

    rule: RuleName
    value: Ticks


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """Runs that cannot all be laid, by index: fewer rows of them can.

    ``rules`` cannot be kept together there: without any one of them they can. None: no rule is to blame.
    ``ways_out`` hold for all the runs that bear on these; ``sought`` says that the search for them ended.
    ``alike`` counts the other places where the same runs clash. ``at_cut_step``: see ``Verdict``.
    """

    runs: Group
    rules: tuple[RuleName, ...]
    ways_out: tuple[WayOut, ...]
    sought: bool
    alike: int
    at_cut_step: bool


def find_clashes(problem: Problem, stop: Stop) -> Iterator[Clash]:
    """Yield one clash for each group of runs that cannot be laid; groups that are alike are told once.

    When ``stop`` says so, what is found by then is told: more rows, more rules, fewer ways out.
    """
    kinds: defaultdict[tuple[object, ...], list[Group]] = defaultdict(list)
    for group in group_runs(problem):
        kinds[_kind(problem, group)].append(group)
    for group, *others in kinds.values():
        if decide_group(only(problem, group), stop).answer is Answer.IMPOSSIBLE:
            yield _clash(problem, group, len(others), stop)


def _clash(problem: Problem, group: Group, alike: int, stop: Stop) -> Clash:
    runs = _fewest_rows(problem, group, stop)
    part, window = only(problem, group), only(problem, runs)
    rules = _fewest_rules(window, stop)
    values = {rule: nearest_value(part, window, rule, stop) for rule in rules}
    return Clash(
        runs=runs,
        rules=rules,
        ways_out=tuple(WayOut(rule=rule, value=value) for rule, value in values.items() if value is not None),
        sought=not stop(),
        alike=alike,
        at_cut_step=not holds_off_step(with_only(window, rules)),
    )


def _impossible(problem: Problem, runs: Sequence[int], stop: Stop) -> bool:
    return can_be_laid(only(problem, runs), stop).answer is Answer.IMPOSSIBLE


def _kind(problem: Problem, runs: Sequence[int]) -> tuple[object, ...]:
    """Return what makes windows of rows alike; lines and offsets count from the first run's."""
    first = problem.runs[runs[0]]
    return tuple(
        (run.line - first.line, run.offset - first.offset, run.length, run.left_slant, run.right_slant)
        for run in (problem.runs[index] for index in runs)
    )


def _fewest_rows(problem: Problem, group: Group, stop: Stop) -> Group:
    """Return the runs of the fewest rows, one after another, that cannot be laid.

    First the rows that none can be taken from at either end; then any fewer rows elsewhere, as far as
    ``WINDOWS`` goes.
    """
    lines = _by_line(problem, group)

    def window(low: int, high: int) -> Group:
        return tuple(sorted(chain.from_iterable(lines[low : high + 1])))

    high = _first(lambda high: _impossible(problem, window(0, high), stop), len(lines) - 1)
    back = _first(lambda back: _impossible(problem, window(high - back, high), stop), high)
    smaller = ((low, low + rows) for rows in range(back) for low in range(len(lines) - rows))
    windows = _unlike(problem, (window(*ends) for ends in islice(smaller, MOST_WINDOWS)))
    for runs in islice(windows, WINDOWS):
        if stop():
            break
        if _impossible(problem, runs, stop):
            return runs
    return window(high - back, high)


def _by_line(problem: Problem, group: Group) -> list[list[int]]:
    """Return the runs of each row, rows from the first laid."""
    lines: defaultdict[int, list[int]] = defaultdict(list)
    for index in group:
        lines[problem.runs[index].line].append(index)
    return [lines[line] for line in sorted(lines)]


def _unlike(problem: Problem, windows: Iterator[Group]) -> Iterator[Group]:
    """Leave out windows that are like an earlier one."""
    seen = set()
    for runs in windows:
        kind = _kind(problem, runs)
        if kind not in seen:
            seen.add(kind)
            yield runs


def _first(holds: Callable[[int], bool], known: int) -> int:
    """Return the first number from 0 to ``known`` for which it holds, as it does from there on."""
    return bisect_left(range(known), True, key=holds)  # noqa: FBT003 - what to look for


def _fewest_rules(problem: Problem, stop: Stop) -> tuple[RuleName, ...]:
    """Return rules that cannot be kept together, though they can without any one of them."""
    needed = []
    for rule in _DROPPED_FIRST:
        without = with_rule(problem, rule, 0)
        if can_be_laid(without, stop).answer is Answer.IMPOSSIBLE:
            problem = without
        else:
            needed.append(rule)
    return tuple(reversed(needed))


def nearest_value(floor: Problem, window: Problem, rule: RuleName, stop: Stop) -> Ticks | None:
    """Return the highest value in whole cut steps under a rule's own that makes a floor possible.

    ``None``: not even 0 does, or ``stop`` said so. ``window`` is a part of the floor, looked at first:
    what is impossible there is so on the floor.
    """
    step = floor.rules.cut_step
    steps = _most_steps(window, rule, -(-rule_value(floor, rule) // step), stop)
    if steps >= 0 and not _possible(floor, rule, steps, stop):
        steps = _most_steps(floor, rule, steps, stop)
    return steps * step if steps >= 0 else None


def _most_steps(problem: Problem, rule: RuleName, below: int, stop: Stop) -> int:
    """Return the most cut steps under ``below`` that make a floor possible; -1: not even none."""
    return _first(lambda steps: not _possible(problem, rule, steps, stop), below) - 1


def _possible(problem: Problem, rule: RuleName, steps: int, stop: Stop) -> bool:
    eased = with_rule(problem, rule, steps * problem.rules.cut_step)
    return can_be_laid(eased, stop).answer is Answer.POSSIBLE
