"""Single pieces into planks: the fewest, with the proof."""

from collections import Counter, defaultdict
from dataclasses import dataclass

from cutopt.model.plan import Laid, Part, PieceCut
from cutopt.planner.limits import Stop
from cutopt.planner.packing.flow import Answer, fit_by_branching, fit_by_constraints
from cutopt.planner.packing.graph import Graph, build_graph
from cutopt.planner.problem import Problem

__all__ = ["Packed", "can_pack", "pack"]

# CP-SAT's own measure of work for a question, about as many seconds: at first, and to make sure.
QUICK = 0.6
LONG = 60.0


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
    sizes = Counter(run.length + problem.loss for run in problem.runs)
    while graph := build_graph(sizes, problem.plank + problem.loss, bound):
        answer, paths = _fit(graph, stop)
        if answer is Answer.FOUND:
            return Packed(_laid(problem, graph, paths), len(paths), bound)
        if answer is Answer.UNDECIDED:
            break
        bound += 1
    return Packed(None, 0, bound)


def _fit(graph: Graph, stop: Stop) -> tuple[Answer, list[list[int]]]:
    """Ask one solver after another; "none" only when two of them say so, or the graph by itself."""
    if graph.leaves_out_a_piece:
        return Answer.NONE, []
    quick = fit_by_constraints(graph, work=QUICK, presolve=True, stop=stop)
    if quick[0] is Answer.FOUND:
        return quick
    branched = fit_by_branching(graph, stop=stop)
    if branched[0] is not Answer.NONE or quick[0] is Answer.NONE:
        return branched
    return fit_by_constraints(graph, work=LONG, presolve=False, stop=stop)


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
