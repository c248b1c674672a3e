"""Single pieces into planks: the fewest, with the proof."""

import math
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, replace

from cutopt.model.plan import Laid, Part, PieceCut
from cutopt.planner.limits import Stop
from cutopt.planner.packing.dive import dive
from cutopt.planner.packing.fill import Packing, fill_planks
from cutopt.planner.packing.flow import Answer, fit_by_branching, fit_by_constraints
from cutopt.planner.packing.graph import Graph, build_graph
from cutopt.planner.packing.knapsack import can_price
from cutopt.planner.packing.master import Master
from cutopt.planner.packing.pieces import Pieces, pieces_of, size_in
from cutopt.planner.packing.prices import price_pieces
from cutopt.planner.problem import Problem

__all__ = ["Packed", "can_pack", "pack"]

# CP-SAT's own measure of work for a question, about as many seconds: at first, and to make sure.
QUICK = 0.6
LONG = 60.0
# Parts of a plank's length that coarse sizes are told in.
FINE = 20_000


@dataclass(frozen=True, slots=True)
class Packed:
    """The best packing found, in ``planks``; ``bound`` is how few are possible at the least.

    ``priced`` is what lengths and prices alone prove; what is above that is ruled out by solvers.
    """

    laid: Laid
    planks: int
    priced: int
    bound: int


def _endless() -> float:
    return math.inf


def can_pack(problem: Problem) -> bool:
    """Say whether a floor is plain bin packing: every run in one piece, any number of planks waiting.

    That is, whatever lies already: off the cut step there may be ways beside it. Pieces that may nest are
    no plain packing.
    """
    return (
        problem.rules.max_waiting is None
        and not problem.nesting.any
        and all(
            len(choices) == 1 and choices.first[0] > choices.last[0]
            for choices in replace(problem, down=()).choices
        )
    )


def pack(problem: Problem, bound: int, stop: Stop, left: Callable[[], float] = _endless) -> Packed:
    """Return the fewest planks for the single pieces of a floor, known to need ``bound`` at the least.

    ``left`` says how many seconds there are until ``stop`` will say so. Where lengths are too fine to
    price, they are rounded: down for the bound, up for the planks.
    """
    pieces = pieces_of(problem)
    bound = max(bound, pieces.by_length)
    if can_price(pieces):
        packing, priced, bound = _solved(pieces, bound, stop, left)
    else:
        unit = -(-(problem.plank + problem.loss) // FINE)
        shorter, pieces = pieces_of(problem, unit, longer=False), pieces_of(problem, unit)
        prices, _ = price_pieces(
            shorter, Master(shorter, []), [[size] for size in shorter.each()], bound, stop
        )
        priced = bound = max(bound, prices.planks)
        packing, _, _ = _solved(pieces, bound, stop, left)
    return Packed(_laid(problem, pieces, packing), len(packing), priced, bound)


def _solved(pieces: Pieces, bound: int, stop: Stop, left: Callable[[], float]) -> tuple[Packing, int, int]:
    """Return the best packing, what prices prove, and what is proved in the end.

    Planks are filled one by one, then by a linear program's prices, then by rounding that program;
    where what is found and what is proved still differ, solvers are asked. "Impossible" raises the bound
    only when two of them agree: OR-Tools 9.15 has open reports of wrong answers to such questions
    (google/or-tools issues 5274 and 5295).
    """
    packing = fill_planks(pieces, bound, stop)
    master = Master(pieces, packing)
    prices, packing = price_pieces(pieces, master, packing, bound, stop)
    priced = bound = max(bound, prices.planks)
    while len(packing) > bound and not stop():
        if found := dive(pieces, master, bound, stop):
            return found, priced, bound
        answer, found = _fit(build_graph(pieces, prices, bound), stop, left)
        if answer is Answer.UNDECIDED:
            break
        if answer is Answer.FOUND:
            packing = found
        else:
            bound += 1
    return packing, priced, bound


def _fit(graph: Graph | None, stop: Stop, left: Callable[[], float]) -> tuple[Answer, Packing]:
    """Ask one solver after another; "none" only when two of them say so, or the graph by itself."""
    if graph is None:
        return Answer.UNDECIDED, []
    if graph.leaves_out_a_piece:
        return Answer.NONE, []
    quick = fit_by_constraints(graph, work=QUICK, presolve=True, stop=stop)
    if quick[0] is Answer.FOUND:
        return quick
    branched = fit_by_branching(graph, stop=stop, seconds=left())
    if branched[0] is not Answer.NONE or quick[0] is Answer.NONE:
        return branched
    return fit_by_constraints(graph, work=LONG, presolve=False, stop=stop)


def _laid(problem: Problem, pieces: Pieces, packing: Packing) -> Laid:
    """Give every run the first plank that has a piece of its size left."""
    planks: defaultdict[int, list[int]] = defaultdict(list)
    for number, plank in enumerate(packing, 1):
        for size in plank:
            planks[size].append(number)
    for waiting in planks.values():
        waiting.reverse()
    return tuple(
        (
            PieceCut(
                part=Part.WHOLE if run.length == problem.plank else Part.SINGLE,
                length=run.length,
                plank=planks[size_in(pieces.unit, run.length + problem.loss, pieces.room)].pop(),
            ),
        )
        for run in problem.runs
    )
