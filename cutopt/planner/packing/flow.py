"""Bin packing as a flow: every plank is a path of pieces from one end of the plank to the other.

The arc-flow model of Valerio de Carvalho (Annals of Operations Research 86, 1999, 629-659): nodes
are lengths used up, an arc is a piece cut there, and along a path pieces never grow longer, which
leaves one path for every set of pieces. It is solved in seconds where piece-to-plank variables
are hopeless.
"""

import math
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum, auto
from threading import Thread

from cutopt.planner.limits import Stop
from cutopt.units import Ticks

__all__ = ["Answer", "Graph", "build_graph", "fit_by_branching", "fit_by_constraints"]

Arc = tuple[int, int, int]

_POLL = 0.02


class Answer(Enum):
    """What a solve said."""

    FOUND = auto()
    NONE = auto()
    UNDECIDED = auto()


@dataclass(frozen=True, slots=True)
class Graph:
    """Arcs (from, to, piece) over used lengths; ``counts`` is how many of each piece are needed.

    Lengths are in units of ``unit`` ticks and include one cut's loss each.
    """

    capacity: int
    counts: dict[int, int]
    arcs: tuple["Arc", ...]
    unit: Ticks


def build_graph(sizes: Counter[Ticks], capacity: Ticks) -> Graph:
    """Return the graph for pieces of these sizes (ticks, loss included) in planks of ``capacity``."""
    unit = math.gcd(*sizes)
    counts = {size // unit: count for size, count in sorted(sizes.items(), reverse=True)}
    room = capacity // unit
    reached, arcs = {0}, set()
    for size, count in counts.items():
        ends = set(reached)
        for start in reached:
            for nth in range(min(count, (room - start) // size)):
                at = start + nth * size
                arcs.add((at, at + size, size))
                ends.add(at + size)
        reached = ends
    return Graph(room, counts, tuple(sorted(arcs)), unit)


def fit_by_constraints(
    graph: Graph, planks: int, *, work: float, presolve: bool, stop: Stop
) -> tuple[Answer, list[list[int]]]:
    """Say, by CP-SAT, whether all pieces fit in so many planks, and what each is cut into (graph units).

    ``work`` is the solver's own measure, about as many seconds; so the answer does not depend on the
    clock unless ``stop`` ends it.
    """
    from ortools.sat.python import cp_model  # noqa: PLC0415 - half a second, paid only where needed

    model = cp_model.CpModel()
    flow = {arc: model.new_int_var(0, min(planks, graph.counts[arc[2]]), "") for arc in graph.arcs}
    for terms, least, most in _limits(graph, planks):
        model.add_linear_constraint(sum(factor * flow[arc] for arc, factor in terms), least, most)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = work
    solver.parameters.cp_model_presolve = presolve
    solver.parameters.catch_sigint_signal = False
    _run(lambda: solver.solve(model), solver.stop_search, stop)
    status = solver.response_proto.status
    if status == cp_model.INFEASIBLE:
        return Answer.NONE, []
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Answer.UNDECIDED, []
    return Answer.FOUND, _paths({arc: solver.value(one) for arc, one in flow.items()})


def fit_by_branching(graph: Graph, planks: int, *, stop: Stop) -> tuple[Answer, list[list[int]]]:
    """Say the same by SCIP, branching on the linear program: better where pieces must fit to the tick."""
    from ortools.linear_solver import pywraplp  # noqa: PLC0415 - loaded only where needed

    solver = pywraplp.Solver.CreateSolver("SCIP")
    flow = {arc: solver.IntVar(0, min(planks, graph.counts[arc[2]]), "") for arc in graph.arcs}
    for terms, least, most in _limits(graph, planks):
        row = solver.Constraint(float(least), float(most))
        for arc, factor in terms:
            row.SetCoefficient(flow[arc], float(factor))
    found: list[int] = []
    _run(lambda: found.append(solver.Solve()), solver.InterruptSolve, stop)
    if found[0] == pywraplp.Solver.INFEASIBLE:
        return Answer.NONE, []
    if found[0] not in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE):
        return Answer.UNDECIDED, []
    return Answer.FOUND, _paths({arc: round(one.solution_value()) for arc, one in flow.items()})


def _run(solve: Callable[[], object], interrupt: Callable[[], object], stop: Stop) -> None:
    """Solve beside the main thread, which stays free for a Ctrl-C."""
    thread = Thread(target=solve)
    thread.start()
    while thread.is_alive():
        thread.join(_POLL)
        if stop():
            interrupt()


def _limits(graph: Graph, planks: int) -> Iterator[tuple[list[tuple[Arc, int]], int, int]]:
    """Yield every constraint as (arcs with factors, least, most)."""
    at, cut = defaultdict(list), defaultdict(list)
    for arc in graph.arcs:
        start, end, size = arc
        at[start].append((arc, -1))
        at[end].append((arc, 1))
        cut[size].append((arc, 1))
    for size, count in graph.counts.items():
        yield cut[size], count, count
    pieces = sum(graph.counts.values())
    for node, terms in sorted(at.items()):
        # Paths may end anywhere: what is left of a plank is left over.
        yield terms, 0 if node else -planks, pieces if node else 0


def _paths(flow: dict[Arc, int]) -> list[list[int]]:
    """Return the pieces along each path of a flow."""
    left: dict[int, list[list[int]]] = defaultdict(list)
    for (start, end, size), amount in sorted(flow.items()):
        if amount:
            left[start].append([end, size, amount])
    paths = []
    while left[0]:
        at, path = 0, []
        while left[at]:
            arc = left[at][-1]
            arc[2] -= 1
            if not arc[2]:
                left[at].pop()
            path.append(arc[1])
            at = arc[0]
        paths.append(path)
    return paths
