"""Single pieces into planks: the fewest, with the proof."""

from collections import Counter, defaultdict
from dataclasses import dataclass

from cutopt.model.plan import Laid, Part, PieceCut
from cutopt.planner.limits import Stop
from cutopt.planner.packing.flow import Answer, Graph, build_graph, fit_by_branching, fit_by_constraints
from cutopt.planner.problem import Problem

__all__ = ["Packed", "can_pack", "pack"]

# CP-SAT's own measure of work for a question, about as many seconds: at first, and to make sure.
QUICK = 0.6
LONG = 60.0
# Larger graphs take too long.
MOST_ARCS = 120_000


@dataclass(frozen=True, slots=True)
class Packed:
    """The best packing found (``None``: none), and how few planks are possible at the least."""

    laid: Laid | None
    planks: int
    bound: int


def can_pack(problem: Problem) -> bool:
    """Say whether a floor is plain bin packing: every run in one piece, any number of planks waiting."""
    return problem.rules.max_waiting is None and all(
        len(choices) == 1 and choices.first[0] > choices.last[0] for choices in problem.choices
    )


def pack(problem: Problem, bound: int, stop: Stop) -> Packed:
    """Return the fewest planks for the single pieces of a floor, known to need ``bound`` at the least.

    "Impossible" raises the bound only when two solvers agree: OR-Tools 9.15 has open reports of wrong
    answers to such questions (google/or-tools issues 5274 and 5295).
    """
    loss = problem.loss
    sizes = Counter(run.length + loss for run in problem.runs)
    graph = build_graph(sizes, problem.plank + loss)
    if len(graph.arcs) > MOST_ARCS:
        return Packed(None, 0, bound)
    proven, planks = bound, bound
    while True:
        answer, paths = _fit(graph, planks, stop)
        if answer is Answer.FOUND:
            return Packed(_laid(problem, graph, paths), len(paths), proven)
        if answer is Answer.UNDECIDED:
            return Packed(None, 0, proven)
        planks += 1
        proven = planks


def _fit(graph: Graph, planks: int, stop: Stop) -> tuple[Answer, list[list[int]]]:
    """Ask one solver after another; "none" only when two of them say so."""
    quick = fit_by_constraints(graph, planks, work=QUICK, presolve=True, stop=stop)
    if quick[0] is Answer.FOUND:
        return quick
    branched = fit_by_branching(graph, planks, stop=stop)
    if branched[0] is not Answer.NONE or quick[0] is Answer.NONE:
        return branched
    return fit_by_constraints(graph, planks, work=LONG, presolve=False, stop=stop)


def _laid(problem: Problem, graph: Graph, paths: list[list[int]]) -> Laid:
    """Give every run the first plank that has a piece of its length left."""
    planks: defaultdict[int, list[int]] = defaultdict(list)
    for number, path in enumerate(paths, 1):
        for size in path:
            planks[size * graph.unit - problem.loss].append(number)
    for waiting in planks.values():
        waiting.reverse()
    return tuple(
        (
            PieceCut(
                part=Part.WHOLE if run.length == problem.plank else Part.SINGLE,
                length=run.length,
                plank=planks[run.length].pop(),
            ),
        )
        for run in problem.runs
    )
