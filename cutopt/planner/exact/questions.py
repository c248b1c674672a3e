"""Whether a floor can be laid from so many planks: a plan, or two independent refutations.

The one wrong answer that would hurt is "no plan" where there is one, and OR-Tools 9.15 has open reports of
just that (google/or-tools issues 5274 and 5295). So it needs two solves that share neither presolve nor the
way the rules are written down, each with all pairs of pieces that may share a plank, on rules eased such
that starters off the cut step are ruled out as well. A plan found is checked by the planner's own rule
functions.
"""

import math
from dataclasses import dataclass, replace
from itertools import accumulate

from cutopt.model.job import Pattern
from cutopt.model.plan import Laid
from cutopt.planner.cpsat import Answer, Writing, solve_aside
from cutopt.planner.exact.ease import Eased, ease
from cutopt.planner.exact.planks import Planks
from cutopt.planner.exact.proof import is_plan
from cutopt.planner.limits import Stop
from cutopt.planner.problem import Problem

__all__ = ["Settled", "can_settle", "settle"]

MOST_RUNS = 50
"""Larger floors are hopeless."""


@dataclass(frozen=True, slots=True)
class Settled:
    """An answer, and the plan where one was found."""

    answer: Answer
    laid: Laid = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Question:
    """How to ask: with which pairs, by which count, and for how much work (about as many seconds)."""

    writing: Writing
    work: float
    window: int | None = None
    count: bool = False


_PLAIN = Writing(choose=False, presolve=True, seed=1)
_CHOICES = Writing(choose=True, presolve=True, seed=2)
_UNTOUCHED = Writing(choose=True, presolve=False, seed=2)

# Most refutations come at once or not at all. Plans come soon where few pairs are allowed, or late; which
# few is a matter of chance.
_QUESTIONS = (
    _Question(writing=_PLAIN, work=0.3, count=True),
    _Question(writing=_CHOICES, work=1.5, window=6),
    _Question(writing=_CHOICES, work=1.5, window=16),
    _Question(writing=_CHOICES, work=2.0, window=9),
    _Question(writing=_PLAIN, work=2.0, window=6),
    _Question(writing=_PLAIN, work=6.0, window=12),
    _Question(writing=_PLAIN, work=30.0, count=True),
    _Question(writing=_CHOICES, work=60.0, window=12),
)
# Both must say "none" before it is believed.
_DOUBTS = (
    _Question(writing=_PLAIN, work=40.0, count=True),
    _Question(writing=_UNTOUCHED, work=60.0, count=True),
)


def can_settle(problem: Problem) -> bool:
    """Say whether a floor is small, and every run laid from a starter, whole planks and an end piece."""
    return (
        problem.rules.pattern is Pattern.RANDOM
        and problem.on_step
        and len(problem.runs) <= MOST_RUNS
        and all(run.length > problem.plank for run in problem.runs)
        and all(map(len, problem.choices))
    )


def settle(problem: Problem, target: int, stop: Stop, *, work: float = math.inf) -> Settled:
    """Return whether a floor can be laid from at most ``target`` planks, for floors of this kind.

    ``work`` (about as many seconds) leaves out questions that take it all together. The same question
    always has the same answer, unless ``stop`` ends it.
    """
    as_it_is = Eased(problem)
    upto = accumulate(question.work for question in _QUESTIONS)
    for question in [question for question, used in zip(_QUESTIONS, upto, strict=True) if used <= work]:
        settled = _ask(as_it_is, target, question, stop)
        if settled.answer is Answer.NONE and question.window is None:
            return _doubted(problem, target, stop, work)
        if settled.answer is Answer.FOUND:
            return settled
    return Settled(Answer.UNDECIDED)


def _doubted(problem: Problem, target: int, stop: Stop, work: float) -> Settled:
    """Return "none" only if the floor has no plan under eased rules either, in the words of two solves."""
    eased = ease(problem)
    doubts = (replace(question, work=min(question.work, work)) for question in _DOUBTS)
    none = all(_ask(eased, target, question, stop).answer is Answer.NONE for question in doubts)
    return Settled(Answer.NONE if none else Answer.UNDECIDED)


def _ask(floor: Eased, target: int, question: _Question, stop: Stop) -> Settled:
    if stop():
        return Settled(Answer.UNDECIDED)
    planks = Planks(floor, target, question.writing, window=question.window, count=question.count)
    answer, solver = solve_aside(
        planks.model, question.writing, work=question.work, linear=question.count, stop=stop
    )
    if answer is not Answer.FOUND:
        return Settled(answer)
    laid = planks.laid(solver)
    return Settled(answer, laid) if is_plan(floor.problem, laid, target) else Settled(Answer.UNDECIDED)
