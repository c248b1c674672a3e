"""The linear program over ways to cut a plank (Gilmore and Gomory, Operations Research 9, 1961, 849-859)."""

from collections import Counter

from ortools.linear_solver import pywraplp

from cutopt.planner.packing.fill import Packing
from cutopt.planner.packing.pieces import Pieces

__all__ = ["Column", "Master"]

Column = tuple[int, ...]
"""The sizes cut from a plank, longest first."""

# What a column is worth more than a plank, to be of use.
PAYS = 1e-6


class Master:
    """Enough of every piece from as few planks as can be, parts of planks allowed."""

    def __init__(self, pieces: Pieces, packing: Packing) -> None:
        """Start with the planks of a packing, and one for each size alone."""
        self.solver = pywraplp.Solver.CreateSolver("GLOP")
        endless = self.solver.infinity()
        self.rows = {
            size: self.solver.Constraint(float(most), endless) for size, most in pieces.counts.items()
        }
        self.columns: dict[Column, pywraplp.Variable] = {}
        for plank in [*packing, *([size] for size in pieces.counts)]:
            self._add(tuple(sorted(plank, reverse=True)))

    def solve(self) -> float:
        """Solve the program and return its optimum; any answer is safe to use."""
        self.solver.Solve()
        optimum: float = self.solver.Objective().Value()
        return optimum

    def duals(self) -> dict[int, float]:
        """Return what the program just solved would pay for a piece of each size, as a part of a plank."""
        return {size: min(1.0, max(0.0, row.dual_value())) for size, row in self.rows.items()}

    def uses(self) -> dict[Column, float]:
        """Return how many planks the program just solved cuts in each way."""
        return {column: use.solution_value() for column, use in self.columns.items()}

    def add(self, planks: Packing, duals: dict[int, float]) -> bool:
        """Add planks as columns; say whether one pays at these duals."""
        new = [plank for plank in planks if self._add(tuple(plank))]
        return any(sum(duals[size] for size in plank) > 1 + PAYS for plank in new)

    def ask_for(self, left: Counter[int]) -> None:
        """Ask for these pieces only, from planks that need no others."""
        for size, row in self.rows.items():
            row.SetLb(float(left[size]))
        for column, use in self.columns.items():
            use.SetUb(self.solver.infinity() if Counter(column) <= left else 0.0)

    def _add(self, column: Column) -> bool:
        if column in self.columns:
            return False
        self.columns[column] = use = self.solver.NumVar(0.0, self.solver.infinity(), "")
        self.solver.Objective().SetCoefficient(use, 1.0)
        for size, count in Counter(column).items():
            self.rows[size].SetCoefficient(use, float(count))
        return True
