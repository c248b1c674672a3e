"""Solvers beside the main thread, and the constraint solver told how much work it may do."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass
from enum import Enum, auto
from typing import TYPE_CHECKING, TypeVar

from cutopt.planner.limits import Stop

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

__all__ = ["Answer", "Writing", "run_aside", "solve_aside"]

_POLL = 0.02
T = TypeVar("T")


class Answer(Enum):
    """What a solve said."""

    FOUND = auto()
    NONE = auto()
    UNDECIDED = auto()


@dataclass(frozen=True, slots=True, kw_only=True)
class Writing:
    """How a question is put: how rules are written down, and whether the solver may rewrite them.

    A distance is one domain, or (``choose``) a choice between the intervals of that domain.
    """

    choose: bool
    presolve: bool
    seed: int


def run_aside(solve: Callable[[], T], interrupt: Callable[[], object], stop: Stop) -> T:
    """Return what a solve returns, run beside the main thread, which stays free for a Ctrl-C; none is left running."""
    with ThreadPoolExecutor(1) as pool:
        solved = pool.submit(solve)
        try:
            while wait([solved], _POLL).not_done:
                if stop():
                    interrupt()
        finally:
            while wait([solved], _POLL).not_done:
                interrupt()
    return solved.result()


def solve_aside(
    model: cp_model.CpModel, writing: Writing, *, work: float, stop: Stop, linear: bool = True
) -> tuple[Answer, cp_model.CpSolver]:
    """Solve a model; return what came of it, and the solver to ask for values.

    ``work`` is the solver's own measure, about as many seconds: so the answer does not depend on the clock
    unless ``stop`` ends it. Not ``linear``: without a linear program beside the search, often the faster way
    to an example.
    """
    from ortools.sat.python import cp_model as api  # noqa: PLC0415 - half a second, paid only where needed

    solver = api.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = writing.seed
    solver.parameters.cp_model_presolve = writing.presolve
    solver.parameters.max_deterministic_time = work
    solver.parameters.linearization_level = 1 if linear else 0
    solver.parameters.catch_sigint_signal = False
    status = run_aside(lambda: solver.solve(model), solver.stop_search, stop)
    if status == api.INFEASIBLE:
        return Answer.NONE, solver
    found = status in (api.FEASIBLE, api.OPTIMAL)
    return Answer.FOUND if found else Answer.UNDECIDED, solver
