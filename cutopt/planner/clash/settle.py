"""What the planner does where its search finds no plan: lay by chance, prove a clash, or bend the rules."""

from collections.abc import Callable

from cutopt.errors import NoPlanInTimeError, RulesClashError
from cutopt.model.job import Pattern
from cutopt.model.plan import Bound, Cutting
from cutopt.planner.bound import area_bound, area_reason
from cutopt.planner.clash.answer import Answer
from cutopt.planner.clash.bend import eased, least_broken
from cutopt.planner.clash.explain import explain
from cutopt.planner.clash.patterned import on_pattern
from cutopt.planner.clash.rest import bent_problem
from cutopt.planner.clash.tries import try_laying
from cutopt.planner.clash.verdict import can_be_laid
from cutopt.planner.construct.draft import Draft, replay
from cutopt.planner.construct.greedy import cut_thriftily
from cutopt.planner.limits import Clock, Stop
from cutopt.planner.problem import Problem

__all__ = ["bend_rules", "draft_by_chance", "draft_or_clash"]


def draft_by_chance(problem: Problem, clock: Clock) -> Draft | None:
    """Return a plan to fall back on, made in a moment; ``None`` where chance finds none.

    Raises ``RulesClashError`` where some run cannot be laid at all.
    """
    if not all(map(len, problem.choices)):
        raise explain(problem, can_be_laid(problem, clock.out), _time_to_explain(clock))
    ways = try_laying(problem, clock.out)
    return cut_thriftily(problem, ways) if ways else None


def draft_or_clash(problem: Problem, clock: Clock) -> Draft | None:
    """Return a plan of a floor on which searches found none; ``None`` where it stays undecided.

    Raises ``RulesClashError`` where it is proved that there is none.
    """
    verdict = can_be_laid(problem, clock.out)
    if verdict.answer is Answer.IMPOSSIBLE:
        raise explain(problem, verdict, _time_to_explain(clock))
    return cut_thriftily(problem, verdict.ways) if verdict.ways else None


def _time_to_explain(clock: Clock) -> Stop:
    """Return when to stop looking for reasons: with a best effort to come, after half the time left."""
    return clock.half() if clock.limits.best_effort else clock.out


def bend_rules(
    problem: Problem, clash: RulesClashError, clock: Clock, plan: Callable[[Problem, Clock], Cutting]
) -> Cutting:
    """Return a cutting with few and small breaches of rules that clash; planks wait no more than they may.

    Once the breaches are chosen, ``plan`` saves planks on what is left, where every other rule holds.
    """
    if problem.rules.pattern is not Pattern.RANDOM:
        problem = on_pattern(problem, clock.half())
    loose = eased(problem)
    ways = least_broken(problem, clock.half(), clock.limits.seed)
    try:
        runs = plan(bent_problem(problem, loose, ways), clock).runs
    except (NoPlanInTimeError, RulesClashError):
        runs = replay(loose, cut_thriftily(loose, ways))
    planks = area_bound(problem)
    return Cutting(
        runs=runs,
        bound=Bound(
            planks=planks,
            reason=f"{area_reason(planks, hand=bool(problem.hand))}; nothing more is known where rules are broken",
        ),
        note=f"best effort: {'; '.join(map(str, clash.problems))}",
    )
