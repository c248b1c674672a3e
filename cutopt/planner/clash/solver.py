"""Floors of any shape, by the constraint solver: a laying, or two independent refutations.

The one wrong answer that would hurt is "impossible" where it is not, and OR-Tools 9.15 has open
reports of just that (google/or-tools issues 5274 and 5295). So "impossible" needs two
solves that share neither presolve nor the way the rules are written down, and a laying found is
checked by the planner's own rule functions.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from threading import Thread
from typing import TYPE_CHECKING

import numpy as np

from cutopt.planner.clash.answer import Answer, Verdict
from cutopt.planner.clash.tries import fitting_ways
from cutopt.planner.limits import Stop
from cutopt.planner.problem import NO_JOINT, Problem
from cutopt.units import Ticks

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

__all__ = ["decide_by_solver"]

WORK = 20.0
"""The solver's own measure of work, per solve: about as many seconds."""

_POLL = 0.05

Place = tuple[Ticks, Ticks]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Writing:
    """How the rules are written down: a distance as one domain, or as a choice between its intervals."""

    choose: bool
    presolve: bool
    seed: int


_WRITINGS = (
    _Writing(choose=False, presolve=True, seed=1),
    _Writing(choose=True, presolve=False, seed=2),
)


def decide_by_solver(problem: Problem, stop: Stop) -> Verdict:
    """Return whether a floor can be laid; undecided when the work runs out or the two solves disagree."""
    for writing in _WRITINGS:
        if stop():
            return Verdict(answer=Answer.UNDECIDED)
        verdict = _Model(problem, writing).decide(stop)
        if verdict.answer is not Answer.IMPOSSIBLE:
            return verdict
    return Verdict(answer=Answer.IMPOSSIBLE, upto=len(problem.runs) - 1)


class _Model:
    """A floor as the solver sees it; lengths in the largest unit that divides all starters."""

    def __init__(self, problem: Problem, writing: _Writing) -> None:
        from ortools.sat.python import cp_model  # noqa: PLC0415 - half a second, paid only where needed

        self._api = cp_model
        self._problem = problem
        self._writing = writing
        self._model = cp_model.CpModel()
        self._unit = self._greatest_unit()
        self._first = [self._first_joint(run) for run in range(len(problem.runs))]
        self._jointed = [self._has_joints(run) for run in range(len(problem.runs))]
        self._add_rules()

    def decide(self, stop: Stop) -> Verdict:
        """Solve and return what came of it; the main thread stays free for a Ctrl-C."""
        solver = self._api.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = self._writing.seed
        solver.parameters.cp_model_presolve = self._writing.presolve
        solver.parameters.max_deterministic_time = WORK
        solver.parameters.catch_sigint_signal = False
        thread = Thread(target=solver.solve, args=(self._model,))
        thread.start()
        while thread.is_alive():
            thread.join(_POLL)
            if stop():
                solver.stop_search()
        return self._verdict(solver)

    def _verdict(self, solver: cp_model.CpSolver) -> Verdict:
        status = solver.response_proto.status
        if status == self._api.INFEASIBLE:
            return Verdict(answer=Answer.IMPOSSIBLE)
        if status not in (self._api.FEASIBLE, self._api.OPTIMAL):
            return Verdict(answer=Answer.UNDECIDED)
        ways = [self._way(solver, run) for run in range(len(self._first))]
        right = all(fitting_ways(self._problem, ways[:run])[way] for run, way in enumerate(ways))
        return Verdict(
            answer=Answer.POSSIBLE if right else Answer.UNDECIDED, ways=tuple(ways) if right else ()
        )

    def _way(self, solver: cp_model.CpSolver, run: int) -> int:
        choices = self._problem.choices[run]
        first = NO_JOINT
        if solver.boolean_value(self._jointed[run]):
            first = solver.value(self._first[run]) * self._unit - self._problem.runs[run].offset
        return int(np.flatnonzero(choices.first == first)[0])

    def _greatest_unit(self) -> Ticks:
        unit = self._problem.plank
        for run, choices in zip(self._problem.runs, self._problem.choices, strict=True):
            unit = math.gcd(unit, run.offset, int(np.gcd.reduce(choices.first[choices.first < NO_JOINT])))
        return unit

    def _first_joint(self, run: int) -> cp_model.IntVar:
        """Return where a run's first joint lies, in units from the field's origin; any where it has none."""
        choices = self._problem.choices[run]
        joints = choices.first[choices.first < NO_JOINT] + self._problem.runs[run].offset
        values = (joints // self._unit).tolist() or [0]
        return self._model.new_int_var_from_domain(self._api.Domain.from_values(values), f"first {run}")

    def _has_joints(self, run: int) -> cp_model.IntVar:
        first = self._problem.choices[run].first
        jointed = self._model.new_bool_var(f"jointed {run}")
        if (first < NO_JOINT).all():
            self._model.add(jointed == 1)
        elif (first >= NO_JOINT).all():
            self._model.add(jointed == 0)
        return jointed

    def _add_rules(self) -> None:
        rules = self._problem.rules
        for link in self._problem.links:
            self._add_apart(link.before, link.after, (link.low, link.high), rules.stagger)
        for triples in self._problem.triples_to:
            for triple in triples:
                self._add_apart(triple.first, triple.last, (triple.low, triple.high), rules.h_joint)
                if rules.stair_step:
                    self._add_step(triple.first, triple.middle, triple.last)

    def _add_apart(self, before: int, after: int, stretch: Place, apart: Ticks) -> None:
        """Keep every joint of one run from every joint of another where both lie in the stretch."""
        if not apart or stretch[0] > stretch[1]:
            return
        least = -(-apart // self._unit)
        ours, theirs = list(self._places(before, stretch)), list(self._places(after, stretch))
        plank = self._problem.plank // self._unit
        for nth, here in ours:
            for other, there in theirs:
                shift = self._first[after] - self._first[before] + (other - nth) * plank
                if abs(other - nth) <= self._reach(before, after, apart):
                    self._keep(shift, [(None, -least), (least, None)], [*here, *there])

    def _reach(self, before: int, after: int, apart: Ticks) -> int:
        runs = self._problem.runs
        return 2 + (abs(runs[after].offset - runs[before].offset) + apart) // self._problem.plank

    def _places(self, run: int, stretch: Place) -> Iterator[tuple[int, list[cp_model.IntVar]]]:
        """Yield each joint of a run that may lie in the stretch, and what must be true for it to do so."""
        one, plank = self._problem.runs[run], self._problem.plank
        low = max(stretch[0], one.offset + 1)
        high = min(stretch[1], one.right - 1)
        for nth in range(one.length // plank + 1):
            if one.offset + nth * plank <= high and one.offset + (nth + 1) * plank >= low:
                inside = self._model.new_bool_var(f"joint {nth} of {run} inside")
                bounds = -(-(low - nth * plank) // self._unit), (high - nth * plank) // self._unit
                self._keep(self._first[run], [(None, bounds[0] - 1), (bounds[1] + 1, None)], [~inside])
                yield nth, [self._jointed[run], inside]

    def _add_step(self, first: int, middle: int, last: int) -> None:
        """Keep the shifts from run to run unlike, round the plank."""
        plank = self._problem.plank // self._unit
        least = -(-self._problem.rules.stair_step // self._unit)
        turn = self._first[first] - 2 * self._first[middle] + self._first[last]
        offsets = [self._problem.runs[run].offset // self._unit for run in (first, middle, last)]
        base = (offsets[0] - 2 * offsets[1] + offsets[2]) // plank
        bands: list[tuple[int | None, int | None]] = [
            (turns * plank + least, (turns + 1) * plank - least) for turns in range(base - 3, base + 4)
        ]
        self._keep(turn, bands, [self._jointed[run] for run in (first, middle, last)])

    def _keep(
        self,
        amount: cp_model.LinearExprT,
        bands: list[tuple[int | None, int | None]],
        when: Sequence[cp_model.LiteralT],
    ) -> None:
        """Keep an amount within one of the bands (``None``: no limit) wherever all of ``when`` hold."""
        far = 1 << 40
        limits = [(-far if low is None else low, far if high is None else high) for low, high in bands]
        limits = [(low, high) for low, high in limits if low <= high]
        if not self._writing.choose:
            domain = self._api.Domain.from_intervals([list(limit) for limit in limits])
            self._model.add_linear_expression_in_domain(amount, domain).only_enforce_if(when)
            return
        chosen = [self._model.new_bool_var("") for _ in limits]
        self._model.add_bool_or(chosen).only_enforce_if(when)
        for choice, (low, high) in zip(chosen, limits, strict=True):
            if low > -far:
                self._model.add(amount >= low).only_enforce_if(choice)
            if high < far:
                self._model.add(amount <= high).only_enforce_if(choice)
