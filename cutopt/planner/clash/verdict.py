"""Whether the rules of a floor can all be met, whatever it costs in planks.

Any piece can be cut from a fresh plank, so planks do not matter here, nor does how many may wait: no
``max_waiting``, not even 0, makes a floor impossible. It is enough that every run has a way to be laid
such that neighbours keep stagger, H-joint and stair-step.
"""

from collections import defaultdict
from dataclasses import replace

from cutopt.model.floor import DownRun, Run
from cutopt.planner.clash.answer import Answer, Verdict
from cutopt.planner.clash.chain import MOST_WAYS, decide_chain
from cutopt.planner.clash.parts import group_runs, is_chain, only
from cutopt.planner.clash.solver import decide_by_solver
from cutopt.planner.clash.tries import try_laying
from cutopt.planner.limits import Stop, never
from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["can_be_laid", "decide_group", "holds_off_step"]


def can_be_laid(problem: Problem, stop: Stop = never) -> Verdict:
    """Return whether a floor can be laid under all its rules, with one laying where it can.

    Starters are those on the cut step and whole planks; see ``Verdict.at_cut_step``. Undecided only
    when ``stop`` ended the search, or on floors that are no chain of runs (or cut by less than
    0.5 mm or so) when the solver's work ran out.
    """
    ways = [0] * len(problem.runs)
    undecided = False
    for group in group_runs(problem):
        verdict = decide_group(only(problem, group), stop)
        if verdict.answer is Answer.IMPOSSIBLE:
            upto = group[verdict.upto]
            return replace(verdict, upto=upto, at_cut_step=not holds_off_step(problem))
        undecided = undecided or verdict.answer is Answer.UNDECIDED
        for run, way in zip(group, verdict.ways, strict=not undecided):
            ways[run] = way
    if undecided:
        return Verdict(answer=Answer.UNDECIDED)
    return Verdict(answer=Answer.POSSIBLE, ways=tuple(ways))


def decide_group(problem: Problem, stop: Stop) -> Verdict:
    """Return whether runs that bear on one another can be laid."""
    none = next((run for run, choices in enumerate(problem.choices) if not len(choices)), None)
    if none is not None:
        return Verdict(answer=Answer.IMPOSSIBLE, upto=none)
    ways = try_laying(problem, stop)
    if ways is not None:
        return Verdict(answer=Answer.POSSIBLE, ways=ways)
    if stop():
        return Verdict(answer=Answer.UNDECIDED)
    if is_chain(problem) and max(map(len, problem.choices)) <= MOST_WAYS:
        return decide_chain(problem, stop)
    return decide_by_solver(problem, stop)


def holds_off_step(problem: Problem) -> bool:
    """Say whether "impossible" holds for starters off the cut step as well.

    Where all lengths lie on the step and the rows of a field begin alike (end alike), moving every joint
    on (back) to the next step keeps it within the same stretches, and any two joints, or a joint and a
    wall, as many whole steps apart. The stair-step rule compares three joints, so there this fails.
    So it is with runs that lie already, where all their lengths lie on the step too.
    Without a min piece one that comes to nothing leaves a row that begins or ends with a whole plank.
    """
    rules, step = problem.rules, problem.rules.cut_step
    slants = [abs(slant) for run in problem.runs for slant in (run.left_slant, run.right_slant)]
    least = 0 if rules.min_piece == 1 and not any(slants) else rules.min_piece
    fields: defaultdict[str, list[Run | DownRun]] = defaultdict(list)
    every: tuple[Run | DownRun, ...] = (*problem.runs, *problem.down)
    for run in every:
        fields[run.field].append(run)
    lies = [length for run in problem.down for length in (run.length, *_from_left(run))]
    return (
        problem.on_step
        and not rules.stair_step
        and all(amount % step == 0 for amount in (least, rules.stagger, rules.h_joint, *slants, *lies))
        and all(
            len({run.offset for run in runs}) == 1 or len({run.right for run in runs}) == 1
            for runs in fields.values()
        )
    )


def _from_left(run: DownRun) -> tuple[Ticks, ...]:
    return tuple(joint - run.offset for joint in run.joints)
