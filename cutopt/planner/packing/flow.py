"""Planks as a flow of paths: whether all pieces fit in so many planks, asked of two solvers.

A flow through the graph of :mod:`~cutopt.planner.packing.graph` that takes every piece is a packing;
it is found or ruled out in seconds where piece-to-plank variables are hopeless.
"""

import math
from collections import Counter, defaultdict
from collections.abc import Iterator

from cutopt.planner.cpsat import Answer, Writing, run_aside, solve_aside
from cutopt.planner.limits import Stop
from cutopt.planner.packing.fill import Packing
from cutopt.planner.packing.graph import Arc, Graph

__all__ = ["Answer", "fit_by_branching", "fit_by_constraints"]


def fit_by_constraints(graph: Graph, *, work: float, presolve: bool, stop: Stop) -> tuple[Answer, Packing]:
    """Say, by CP-SAT, whether all pieces fit in the planks, and how.

    ``work`` is the solver's own measure, about as many seconds; so the answer does not depend on the
    clock unless ``stop`` ends it.
    """
    from ortools.sat.python import cp_model  # noqa: PLC0415 - half a second, paid only where needed

    model = cp_model.CpModel()
    flow = {
        arc: model.new_int_var(0, min(graph.planks, graph.pieces.counts[arc[2]]), "") for arc in graph.arcs
    }
    for terms, least, most in _limits(graph):
        model.add_linear_constraint(sum(factor * flow[arc] for arc, factor in terms), least, most)
    writing = Writing(choose=False, presolve=presolve, seed=1)
    answer, solver = solve_aside(model, writing, work=work, stop=stop)
    if answer is not Answer.FOUND:
        return answer, []
    return _checked(graph, {arc: solver.value(one) for arc, one in flow.items()})


def fit_by_branching(graph: Graph, *, stop: Stop, seconds: float = math.inf) -> tuple[Answer, Packing]:
    """Say the same by SCIP, branching on the linear program: better where pieces must fit to the tick.

    It does not look up from a linear program to be stopped: so it is told the ``seconds`` left.
    """
    from ortools.linear_solver import pywraplp  # noqa: PLC0415 - loaded only where needed

    solver = pywraplp.Solver.CreateSolver("SCIP")
    flow = {arc: solver.IntVar(0, min(graph.planks, graph.pieces.counts[arc[2]]), "") for arc in graph.arcs}
    for terms, least, most in _limits(graph):
        row = solver.Constraint(float(least), float(most))
        for arc, factor in terms:
            row.SetCoefficient(flow[arc], float(factor))
    if seconds < math.inf:
        solver.SetTimeLimit(max(1, int(seconds * 1000)))
    status = run_aside(solver.Solve, solver.InterruptSolve, stop)
    if status == pywraplp.Solver.INFEASIBLE:
        return Answer.NONE, []
    if status not in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE):
        return Answer.UNDECIDED, []
    return _checked(graph, {arc: round(one.solution_value()) for arc, one in flow.items()})


def _limits(graph: Graph) -> Iterator[tuple[list[tuple[Arc, int]], int, int]]:
    """Yield every constraint as (arcs with factors, least, most)."""
    at, cut = defaultdict(list), defaultdict(list)
    for arc in graph.arcs:
        start, end, size = arc
        at[start].append((arc, -1))
        at[end].append((arc, 1))
        cut[size].append((arc, 1))
    for size, count in graph.pieces.counts.items():
        yield cut[size], count, count
    pieces, full = sum(graph.pieces.counts.values()), graph.pieces.room - graph.slack
    for node, terms in sorted(at.items()):
        # Paths may end where no more than the slack is left over.
        yield terms, 0 if node else -graph.planks, pieces if node and node >= full else 0


def _checked(graph: Graph, flow: dict[Arc, int]) -> tuple[Answer, Packing]:
    """Return the packing that a flow is, unless rounding spoilt it."""
    packing = _paths(flow)
    cut = Counter(size for plank in packing for size in plank)
    return (Answer.FOUND, packing) if cut == graph.pieces.counts else (Answer.UNDECIDED, [])


def _paths(flow: dict[Arc, int]) -> Packing:
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
