"""Where the joints of every run lie, and the rules on them, as a model for the constraint solver."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np

from cutopt.planner.cpsat.run import Writing
from cutopt.planner.problem import NO_JOINT, Problem
from cutopt.units import Ticks

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

__all__ = ["Joints"]

_FAR = 1 << 40

Place = tuple[Ticks, Ticks]
Band = tuple[int | None, int | None]


class Joints:
    """The first joint of every run of a floor, under the rules on joints, in a model to be added to.

    ``first`` holds, per run, its first joint from the field's origin in units (any where it has none),
    ``jointed`` what must be true for the run to have joints (nothing: it always has some). A unit is the
    greatest length that divides all of these and the lengths ``also``. Joints nearer than ``margin`` to
    the left or right end of the stretch that runs have in common are left in peace.
    """

    def __init__(
        self, problem: Problem, writing: Writing, *, also: Iterable[Ticks] = (), margin: Place = (0, 0)
    ) -> None:
        """Write the rules down."""
        from ortools.sat.python import cp_model as api  # noqa: PLC0415 - half a second, paid only where needed

        self._api = api
        self._problem = problem
        self._writing = writing
        self._margin = margin
        self.model = api.CpModel()
        self.unit = self._greatest_unit(also)
        self.first = [self._first_joint(run) for run in range(len(problem.runs))]
        self.jointed = [self._has_joints(run) for run in range(len(problem.runs))]
        self._add_rules()

    def way(self, solver: cp_model.CpSolver, run: int) -> int:
        """Return the way to lay a run that a solver found."""
        choices = self._problem.choices[run]
        first = NO_JOINT
        if all(map(solver.boolean_value, self.jointed[run])):
            first = solver.value(self.first[run]) * self.unit - self._problem.runs[run].offset
        return int(np.flatnonzero(choices.first == first)[0])

    def keep(
        self, amount: cp_model.LinearExprT, bands: list[Band], when: Sequence[cp_model.LiteralT]
    ) -> None:
        """Keep an amount within one of the bands (``None``: no limit) wherever all of ``when`` hold."""
        limits = [(-_FAR if low is None else low, _FAR if high is None else high) for low, high in bands]
        limits = [(low, high) for low, high in limits if low <= high]
        if not self._writing.choose:
            domain = self._api.Domain.from_intervals([list(limit) for limit in limits])
            self.model.add_linear_expression_in_domain(amount, domain).only_enforce_if(when)
            return
        chosen = [self.model.new_bool_var("") for _ in limits]
        self.model.add_bool_or(chosen).only_enforce_if(when)
        for choice, (low, high) in zip(chosen, limits, strict=True):
            if low > -_FAR:
                self.model.add(amount >= low).only_enforce_if(choice)
            if high < _FAR:
                self.model.add(amount <= high).only_enforce_if(choice)

    def _greatest_unit(self, also: Iterable[Ticks]) -> Ticks:
        phases = (phase for link in self._problem.links for phase in link.phases)
        unit = math.gcd(self._problem.plank, *also, *phases)
        for run, choices in zip(self._problem.runs, self._problem.choices, strict=True):
            unit = math.gcd(unit, run.offset, int(np.gcd.reduce(choices.first[choices.first < NO_JOINT])))
        return unit

    def _first_joint(self, run: int) -> cp_model.IntVar:
        choices = self._problem.choices[run]
        joints = choices.first[choices.first < NO_JOINT] + self._problem.runs[run].offset
        values = (joints // self.unit).tolist() or [0]
        return self.model.new_int_var_from_domain(self._api.Domain.from_values(values), f"first {run}")

    def _has_joints(self, run: int) -> list[cp_model.IntVar]:
        first = self._problem.choices[run].first
        if (first < NO_JOINT).all():
            return []
        jointed = self.model.new_bool_var(f"jointed {run}")
        if (first >= NO_JOINT).all():
            self.model.add(jointed == 0)
        return [jointed]

    def _add_rules(self) -> None:
        rules = self._problem.rules
        for link in self._problem.links:
            self._add_apart(link.before, link.after, (link.low, link.high), rules.stagger)
            for phase in link.phases if rules.stair_step > 0 else ():
                self._keep_round([(link.before, -2), (link.after, 1)], rules.stair_step, phase)
        for triples in self._problem.triples_to:
            for triple in triples:
                self._add_apart(triple.first, triple.last, (triple.low, triple.high), rules.h_joint)
                if rules.stair_step > 0:
                    shifts = [(triple.first, 1), (triple.middle, -2), (triple.last, 1)]
                    self._keep_round(shifts, rules.stair_step)

    def _add_apart(self, before: int, after: int, stretch: Place, apart: Ticks) -> None:
        """Keep every joint of one run from every joint of another where both lie in the stretch."""
        if apart <= 0 or stretch[0] > stretch[1]:
            return
        if stretch[1] - stretch[0] >= 3 * self._problem.plank:
            # As in keep_apart: only the phases matter.
            self._keep_round([(after, 1), (before, -1)], apart)
            return
        stretch = stretch[0] + self._margin[0], stretch[1] - self._margin[1]
        least = -(-apart // self.unit)
        ours, theirs = list(self._places(before, stretch)), list(self._places(after, stretch))
        plank = self._problem.plank // self.unit
        for nth, here in ours:
            for other, there in theirs:
                shift = self.first[after] - self.first[before] + (other - nth) * plank
                if abs(other - nth) <= self._reach(before, after, apart):
                    self.keep(shift, [(None, -least), (least, None)], [*here, *there])

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
                inside = self.model.new_bool_var(f"joint {nth} of {run} inside")
                bounds = -(-(low - nth * plank) // self.unit), (high - nth * plank) // self.unit
                self.keep(self.first[run], [(None, bounds[0] - 1), (bounds[1] + 1, None)], [~inside])
                yield nth, [*self.jointed[run], inside]

    def _keep_round(self, terms: list[tuple[int, int]], apart: Ticks, more: Ticks = 0) -> None:
        """Keep a sum of first joints with factors, and ``more``, so far from nought, round the plank."""
        plank, least = self._problem.plank // self.unit, -(-apart // self.unit)
        offsets = sum(factor * self._problem.runs[run].offset for run, factor in terms)
        base = (offsets + more) // self._problem.plank
        # A first joint lies within one plank of its run's left end.
        reach = sum(abs(factor) for _, factor in terms)
        turns = range(base - reach, base + reach + 1)
        self.keep(
            sum(factor * self.first[run] for run, factor in terms) + more // self.unit,
            [(turn * plank + least, (turn + 1) * plank - least) for turn in turns],
            [one for run, _ in terms for one in self.jointed[run]],
        )
