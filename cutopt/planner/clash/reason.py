"""Why a floor cannot be laid: the fewest rows that clash, the rules it takes, and what would do instead."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace

from cutopt.planner.clash.answer import Answer
from cutopt.planner.clash.parts import Group, RuleName, group_runs, only, rule_value, with_only, with_rule
from cutopt.planner.clash.verdict import can_be_laid, decide_group, holds_off_step
from cutopt.planner.clash.window import fewest_rows, first_of, kind_of
from cutopt.planner.limits import Stop
from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["Clash", "WayOut", "find_clashes", "nearest_value"]

_DROPPED_FIRST = (RuleName.STAIR_STEP, RuleName.H_JOINT, RuleName.STAGGER, RuleName.MIN_PIECE)


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """A rule's nearest value that makes rows possible, all other rules as they are.

    It is so ``everywhere`` on the floor, else shown for the rows that clash alone.
    """

    rule: RuleName
    value: Ticks
    everywhere: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """Runs that cannot all be laid, by index: fewer rows of them can.

    ``rules`` cannot be kept together there: without any one of them they can. None: no rule is to blame.
    ``ways_out`` are for all the runs that bear on these; ``sought`` says that the search for them ended.
    ``alike`` counts the other places where the same runs clash. ``at_cut_step``: see ``Verdict``.
    ``beside``: without the runs that lie already these could be laid.
    """

    runs: Group
    rules: tuple[RuleName, ...]
    ways_out: tuple[WayOut, ...]
    sought: bool
    at_cut_step: bool
    alike: int = 0
    beside: bool = False


def find_clashes(problem: Problem, stop: Stop) -> Iterator[Clash]:
    """Yield one clash for each group of runs that cannot be laid; groups that are alike are told once.

    When ``stop`` says so, what is found by then is told: more rows, more rules, fewer ways out.
    """
    kinds: defaultdict[tuple[object, ...], list[Group]] = defaultdict(list)
    for group in group_runs(problem):
        kinds[kind_of(problem, group)].append(group)
    for group, *others in kinds.values():
        part = only(problem, group)
        verdict = decide_group(part, stop)
        if verdict.answer is Answer.IMPOSSIBLE:
            clash = _clash(part, fewest_rows(part, verdict.upto, stop), stop)
            yield replace(clash, runs=tuple(group[run] for run in clash.runs), alike=len(others))


def _clash(floor: Problem, runs: Group, stop: Stop) -> Clash:
    window = only(floor, runs)
    rules = _fewest_rules(window, stop)
    found = (nearest_value(floor, window, rule, stop) for rule in rules)
    return Clash(
        runs=runs,
        rules=rules,
        ways_out=tuple(way_out for way_out in found if way_out),
        sought=not stop(),
        at_cut_step=not holds_off_step(with_only(window, rules)),
        beside=_is_beside(with_only(window, rules), stop),
    )


def _is_beside(window: Problem, stop: Stop) -> bool:
    """Say whether runs could be laid if none lay already; a false "no" is told where ``stop`` says so."""
    free = replace(window, down=())
    return bool(window.down) and can_be_laid(free, stop).answer is Answer.POSSIBLE


def _fewest_rules(problem: Problem, stop: Stop) -> tuple[RuleName, ...]:
    """Return rules that cannot be kept together, though they can without any one of them."""
    needed = []
    for rule in _DROPPED_FIRST:
        without = with_rule(problem, rule, 0)
        is_off = without.rules == problem.rules
        if is_off or can_be_laid(without, stop).answer is Answer.IMPOSSIBLE:
            problem = without
        else:
            needed.append(rule)
    return tuple(reversed(needed))


def nearest_value(floor: Problem, window: Problem, rule: RuleName, stop: Stop) -> WayOut | None:
    """Return the highest value in whole cut steps under a rule's own that makes a floor possible.

    ``None``: not even 0 does. ``window`` is a part of the floor, looked at first: what is impossible there
    is so on the floor. Where ``stop`` leaves the floor undecided the answer is for the window.
    """
    step = floor.rules.cut_step
    steps = here = _most_steps(window, rule, -(-rule_value(floor, rule) // step), stop)
    if steps >= 0 and not _possible(floor, rule, steps, stop):
        steps = _most_steps(floor, rule, steps, stop)
    if steps >= 0:
        return WayOut(rule=rule, value=steps * step)
    return WayOut(rule=rule, value=here * step, everywhere=False) if here >= 0 and stop() else None


def _most_steps(problem: Problem, rule: RuleName, below: int, stop: Stop) -> int:
    """Return the most cut steps under ``below`` that make a floor possible; -1: not even none."""
    return first_of(lambda steps: not _possible(problem, rule, steps, stop), below) - 1


def _possible(problem: Problem, rule: RuleName, steps: int, stop: Stop) -> bool:
    eased = with_rule(problem, rule, steps * problem.rules.cut_step)
    return can_be_laid(eased, stop).answer is Answer.POSSIBLE
