"""Floors of any shape, by the constraint solver: a laying, or two independent refutations.

The one wrong answer that would hurt is "impossible" where it is not, and OR-Tools 9.15 has open
reports of just that (google/or-tools issues 5274 and 5295). So "impossible" needs two
solves that share neither presolve nor the way the rules are written down, and a laying found is
checked by the planner's own rule functions.
"""

from cutopt.planner import cpsat
from cutopt.planner.clash.answer import Answer, Verdict
from cutopt.planner.clash.tries import fitting_ways
from cutopt.planner.cpsat import Joints, Writing, solve_aside
from cutopt.planner.limits import Stop
from cutopt.planner.problem import Problem

__all__ = ["decide_by_solver"]

WORK = 20.0
"""The solver's own measure of work, per solve: about as many seconds."""

_WRITINGS = (
    Writing(choose=False, presolve=True, seed=1),
    Writing(choose=True, presolve=False, seed=2),
)


def decide_by_solver(problem: Problem, stop: Stop) -> Verdict:
    """Return whether a floor can be laid; undecided when the work runs out or the two solves disagree."""
    for writing in _WRITINGS:
        if stop():
            return Verdict(answer=Answer.UNDECIDED)
        verdict = _decide(problem, writing, stop)
        if verdict.answer is not Answer.IMPOSSIBLE:
            return verdict
    return Verdict(answer=Answer.IMPOSSIBLE, upto=len(problem.runs) - 1)


def _decide(problem: Problem, writing: Writing, stop: Stop) -> Verdict:
    joints = Joints(problem, writing)
    answer, solver = solve_aside(joints.model, writing, work=WORK, stop=stop)
    if answer is cpsat.Answer.NONE:
        return Verdict(answer=Answer.IMPOSSIBLE)
    if answer is cpsat.Answer.UNDECIDED:
        return Verdict(answer=Answer.UNDECIDED)
    ways = tuple(joints.way(solver, run) for run in range(len(problem.runs)))
    right = all(fitting_ways(problem, list(ways[:run]))[way] for run, way in enumerate(ways))
    return Verdict(answer=Answer.POSSIBLE, ways=ways) if right else Verdict(answer=Answer.UNDECIDED)
