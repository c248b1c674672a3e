"""Rules on joints eased by what it takes to move starters to the cut step.

A starter off the cut step is legal where its plank is used without trim. Where all lengths lie on the step,
any plan can be moved onto it for as many planks, run by run, by less than a step each:

- handed ends: every joint on to the next step. A starter grows by as much as the end piece in its plank, if
  that is off the step as well, shrinks; and it is, where the two use up a plank.
- square ends: where two pieces off the step share a plank, one goes up and the other down, and so do the
  two of every run. Following pieces from plank to run to plank makes chains or even rings, so that can be
  done throughout.

No piece leaves its plank or its row, so no more planks wait. Only the joints move against each other: what
any plan keeps, the moved one keeps but for the amounts here.
"""

from dataclasses import dataclass, replace

from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["Eased", "ease"]


@dataclass(frozen=True, slots=True)
class Eased:
    """A floor; joints nearer than ``margin`` to the left or right end of a common stretch do not count."""

    problem: Problem
    margin: tuple[Ticks, Ticks] = (0, 0)


def ease(problem: Problem) -> Eased:
    """Return the floor with rules that every plan, moved onto the cut step, keeps.

    What lies already does not move, and is left out.
    """
    # A joint moves by at most so much to the right, and (square ends) to the left.
    move = problem.rules.cut_step - 1
    ways = 1 if problem.handed else 2
    rules = replace(
        problem.rules,
        stagger=max(0, problem.rules.stagger - ways * move),
        h_joint=max(0, problem.rules.h_joint - ways * move),
        stair_step=max(0, problem.rules.stair_step - 2 * ways * move),
    )
    return Eased(replace(problem, rules=rules, down=()), (move, 0 if problem.handed else move))
