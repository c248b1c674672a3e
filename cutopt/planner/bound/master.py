"""The pattern model as a linear program, to find good prices for pieces.

Runs choose how they are laid, planks choose what they are cut into; stagger and order are left
out. Pieces that keep a factory end are nested: a longer one can be trimmed to a shorter. Columns
for layings and planks are added while they pay (column generation: Gilmore and Gomory 1961).
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

from cutopt.planner.bound.patterns import Pattern, first_patterns, paying_patterns
from cutopt.planner.bound.prices import PriceList, Steps, worth_of_plank
from cutopt.planner.bound.ways import Ways
from cutopt.units import Ticks

__all__ = ["Demand", "solve_prices"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

# What a whole plank is worth in the whole-number price list.
WORTH = 10_000_000
# Layings offered at first, over all kinds of run; the rest are generated while they pay.
FIRST_WAYS = 2400
ROUNDS = 80
PAYS = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """Runs that are alike: how many, and the ways to lay one."""

    count: int
    ways: Ways


def solve_prices(demands: list[Demand], *, plank: Ticks, loss: Ticks, handed: bool) -> PriceList:
    """Return whole-number prices that are as good as the linear program's optimum, or nearly.

    The prices are safe whatever the solver answered: ``plank`` in the list is recomputed as the
    most that one plank can be cut into.
    """
    master = _Master(demands, plank=plank, loss=loss, handed=handed)
    for _ in range(ROUNDS):
        master.solve()
        if not master.add_paying():
            break
    return master.price_list()


class _Chain:
    """Rows that balance pieces of one sort by length, longest trimmed down to the next."""

    def __init__(self, solver: pywraplp.Solver, lengths: Ints) -> None:
        self.lengths = lengths
        self.rows = [solver.Constraint(0.0, solver.infinity()) for _ in lengths]
        for lower, upper in zip(self.rows, self.rows[1:], strict=False):
            trim = solver.NumVar(0.0, solver.infinity(), "")
            upper.SetCoefficient(trim, -1.0)
            lower.SetCoefficient(trim, 1.0)

    def supply(self, variable: pywraplp.Variable, length: Ticks, amount: float) -> None:
        """Let a variable supply (or, below 0, use) pieces of a length in the chain."""
        row = self.rows[int(np.searchsorted(self.lengths, length))]
        row.SetCoefficient(variable, row.GetCoefficient(variable) + amount)

    def duals(self) -> Floats:
        """Return the price of each length, made to rise with length."""
        raw = np.array([max(0.0, row.dual_value()) for row in self.rows])
        rising: Floats = np.maximum.accumulate(raw) if len(raw) else raw
        return rising


class _Master:
    def __init__(self, demands: list[Demand], *, plank: Ticks, loss: Ticks, handed: bool) -> None:
        self.demands, self.plank, self.loss, self.handed = demands, plank, loss, handed
        self.solver = pywraplp.Solver.CreateSolver("GLOP")
        starts = _lengths(demand.ways.starter for demand in demands)
        ends = _lengths(demand.ways.end for demand in demands)
        if not handed:
            starts = ends = np.union1d(starts, ends)
        self.start = _Chain(self.solver, starts)
        self.end = _Chain(self.solver, ends) if handed else self.start
        singles = _lengths(demand.ways.single for demand in demands)
        self.singles = {int(length): self._row(0.0, self.solver.infinity()) for length in singles}
        self.kinds = [self._row(demand.count, demand.count) for demand in demands]
        self.offered = [np.zeros(len(demand.ways.starter), dtype=bool) for demand in demands]
        self.patterns: set[Pattern] = set()
        self._open()

    def _row(self, low: float, high: float) -> pywraplp.Constraint:
        return self.solver.Constraint(low, high)

    def _open(self) -> None:
        share = max(24, FIRST_WAYS // max(1, len(self.demands)))
        for kind, demand in enumerate(self.demands):
            count = len(demand.ways.starter)
            for way in np.unique(np.linspace(0, count - 1, min(share, count)).astype(int)):
                self._add_way(kind, int(way))
        for pattern in first_patterns(
            self.start.lengths, self.end.lengths, list(self.singles), plank=self.plank, loss=self.loss
        ):
            self._add_pattern(pattern)

    def _add_way(self, kind: int, way: int) -> None:
        ways = self.demands[kind].ways
        self.offered[kind][way] = True
        laid = self._column(float(ways.wholes[way]))
        self.kinds[kind].SetCoefficient(laid, 1.0)
        if ways.starter[way]:
            self.start.supply(laid, int(ways.starter[way]), -1.0)
        if ways.end[way]:
            self.end.supply(laid, int(ways.end[way]), -1.0)
        if ways.single[way]:
            self.singles[int(ways.single[way])].SetCoefficient(laid, -1.0)

    def _add_pattern(self, pattern: Pattern) -> bool:
        if pattern in self.patterns:
            return False
        self.patterns.add(pattern)
        cut = self._column(1.0)
        if pattern.starter:
            self.start.supply(cut, pattern.starter, 1.0)
        if pattern.end:
            self.end.supply(cut, pattern.end, 1.0)
        for length, count in pattern.singles:
            self.singles[length].SetCoefficient(cut, float(count))
        return True

    def _column(self, cost: float) -> pywraplp.Variable:
        column = self.solver.NumVar(0.0, self.solver.infinity(), "")
        self.solver.Objective().SetCoefficient(column, cost)
        return column

    def solve(self) -> None:
        """Solve the program and take its duals; any answer of the solver is safe to use."""
        self.solver.Solve()
        # All duals at once: the solver forgets them as soon as a column is added.
        self.kind_duals = [row.dual_value() for row in self.kinds]
        self.start_duals = self.start.duals()
        self.end_duals = self.end.duals() if self.handed else self.start_duals
        self.single_duals = {length: max(0.0, row.dual_value()) for length, row in self.singles.items()}

    def add_paying(self) -> bool:
        """Add the layings and planks that pay at the present prices; say whether there were any."""
        added = [self._add_paying_ways(kind) for kind in range(len(self.demands))]
        patterns = paying_patterns(
            (self.start.lengths, self.start_duals),
            (self.end.lengths, self.end_duals),
            self.single_duals,
            plank=self.plank,
            loss=self.loss,
        )
        added += [self._add_pattern(pattern) for pattern in patterns]
        return any(added)

    def _add_paying_ways(self, kind: int) -> bool:
        cost = self._cost(self.demands[kind].ways) - self.kind_duals[kind]
        cost[self.offered[kind]] = 0.0
        paying = np.flatnonzero(cost < -PAYS)
        best = paying[np.argsort(cost[paying], kind="stable")[:8]]
        for way in best:
            self._add_way(kind, int(way))
        return len(best) > 0

    def _cost(self, ways: Ways) -> Floats:
        def at(lengths: Ints, duals: Floats, wanted: Ints) -> Floats:
            if not len(lengths):
                return np.zeros(len(wanted))
            place = np.minimum(np.searchsorted(lengths, wanted), len(lengths) - 1)
            return np.where(wanted > 0, duals[place], 0.0)

        singles = np.array([self.single_duals.get(int(length), 0.0) for length in ways.single])
        cost: Floats = (
            ways.wholes
            + at(self.start.lengths, self.start_duals, ways.starter)
            + at(self.end.lengths, self.end_duals, ways.end)
            + singles
        )
        return cost

    def price_list(self) -> PriceList:
        """Return the present duals as safe whole-number prices."""

        def whole(lengths: Ints, duals: Floats) -> Steps:
            values: Ints = np.floor(np.minimum(duals, 1.0) * WORTH).astype(np.int64)
            return Steps(lengths, values)

        start = whole(self.start.lengths, self.start_duals)
        prices = PriceList(
            plank=WORTH,
            start=start,
            end=whole(self.end.lengths, self.end_duals) if self.handed else start,
            single={length: int(dual * WORTH) for length, dual in self.single_duals.items()},
        )
        worth = max(WORTH, worth_of_plank(prices, plank=self.plank, loss=self.loss))
        return PriceList(plank=worth, start=prices.start, end=prices.end, single=prices.single)


def _lengths(parts: Iterator[Ints]) -> Ints:
    found: Ints = np.unique(np.concatenate([*parts, np.zeros(1, dtype=np.int64)]))
    return found[found > 0]
