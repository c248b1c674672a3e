"""Parts in hand as the search sees them: planks that wait before anything is laid."""

from cutopt.model.plan import HandPart, Keeps
from cutopt.planner import parts
from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["pools_in_hand"]

# A part and its place in the hand, and as the pool says it: its number.
Waiting = tuple[Ticks, int]


def pools_in_hand(problem: Problem) -> tuple[list[Waiting], list[Waiting], list[Waiting]]:
    """Return the parts in hand that the search uses, as planks that wait: for starters, for end pieces, for both.

    Each with its plank's number. Parts of no use, and those kept for one field of several, are left out, and
    those without a factory end: a single piece only can be cut from these.
    """
    pools: tuple[list[Waiting], list[Waiting], list[Waiting]] = ([], [], [])
    for nth, part in enumerate(problem.hand):
        pool = _pool_of(problem, part)
        if pool is not None:
            kind = problem.nesting.idle if parts.is_idle(part) else 0
            pools[pool].append((part.length * problem.nesting.scale + kind, -1 - nth))
    return pools


def _pool_of(problem: Problem, part: HandPart) -> int | None:
    """Return which pool a part belongs to: 0, 1, 2 (square ends: one that keeps one end is in the first)."""
    starter = parts.gives_starter(part, handed=problem.handed)
    end = parts.gives_end(part, handed=problem.handed)
    shortest = [problem.shortest_single]
    shortest += [problem.shortest_starter] if starter else []
    shortest += [problem.shortest_end] if end else []
    elsewhere = any(run.field != part.field for run in problem.runs) if part.field else False
    if elsewhere or part.length > problem.plank or part.length < min(shortest) or not (starter or end):
        return None
    if starter and end and (problem.handed or part.keeps is Keeps.BOTH):
        return 2
    return 0 if starter else 1
