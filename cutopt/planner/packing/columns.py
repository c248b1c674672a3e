"""Prices of pieces, and packings made by them.

The linear program over ways to cut a plank (Gilmore and Gomory, Operations Research 9, 1961, 849-859):
its duals price the pieces so that no plank is worth more than 1, and what all pieces are worth then
bounds the planks. Planks worth most at these prices are cut one after another from the pieces that are
left (sequential value correction: Mukhacheva, Belov, Kartak and Mukhacheva, Pesquisa Operacional 20,
2000, 149-168): they are new columns, and now and then a packing better than all before.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

from cutopt.planner.limits import Stop
from cutopt.planner.packing.fill import Packing
from cutopt.planner.packing.pieces import Pieces

__all__ = ["Prices", "price_pieces"]

Ints = NDArray[np.int64]

# What a plank is worth in whole numbers, while prices are sought.
WORTH = 10_000_000
ROUNDS = 200
# Planks a round cuts at its prices; every so many rounds it cuts all.
PLANKS = 12
ALL = 8
PAYS = 1e-6
# Cells of the knapsack's table: more take too long.
MOST_CELLS = 40_000_000


@dataclass(frozen=True, slots=True)
class Prices:
    """Whole-number prices of sizes; no set of pieces that fits a plank is worth more than ``plank``."""

    of: dict[int, int]
    plank: int
    total: int

    @property
    def planks(self) -> int:
        """The planks that the pieces ask for at the least."""
        return -(-self.total // self.plank)


def price_pieces(pieces: Pieces, packing: Packing, bound: int, stop: Stop) -> tuple[Prices, Packing]:
    """Return prices that prove as much as the linear program can, and the best packing met on the way.

    ``bound`` is known already, ``packing`` given. The search ends where one meets the other, where no
    plank is worth a new column, or when ``stop`` says so. It starts from lengths as prices; columns are
    priced half-way between the best prices and the program's duals, which settles far sooner (Wentges,
    International Transactions in Operational Research 4, 1997, 151-162).
    """
    best = _listed(pieces, {size: size for size in pieces.counts}, pieces.room)
    if sum(_copies(pieces.counts, pieces.room).values()) * pieces.room > MOST_CELLS:
        return best, packing
    master = _Master(pieces, packing)
    for nth in range(ROUNDS):
        if stop() or len(packing) <= max(bound, best.planks):
            break
        duals = master.duals()
        for share in (0.5, 1.0):
            prices = {size: _mixed(best, size, duals[size], share) for size in pieces.counts}
            planks = list(islice(_planks_by(prices, pieces), None if nth % ALL == 0 else PLANKS))
            found = _listed(pieces, prices, sum(prices[size] for size in planks[0]))
            best = max(best, found, key=lambda listed: listed.total / listed.plank)
            if sum(map(len, planks)) == sum(pieces.counts.values()):
                packing = min(packing, planks, key=len)
            if master.add(planks, duals):
                break
        else:
            break
    return best, packing


def _listed(pieces: Pieces, prices: dict[int, int], plank: int) -> Prices:
    return Prices(prices, plank, sum(prices[size] * count for size, count in pieces.counts.items()))


def _mixed(best: Prices, size: int, dual: float, share: float) -> int:
    """Return a price between the best so far and the program's; never nothing, so that room is used."""
    return max(1, int(WORTH * (share * dual + (1 - share) * best.of[size] / best.plank)))


def _copies(counts: dict[int, int], room: int) -> dict[int, int]:
    """Return how many of each size one plank can hold."""
    return {size: min(count, room // size) for size, count in counts.items()}


def _planks_by(prices: dict[int, int], pieces: Pieces) -> Iterator[list[int]]:
    """Yield planks worth most at these prices, each cut from the pieces that those before left."""
    left = Counter(pieces.counts)
    while left:
        plank = _worth_most(prices, _copies(left, pieces.room), pieces.room)
        yield plank
        left -= Counter(plank)


def _worth_most(prices: dict[int, int], copies: dict[int, int], room: int) -> list[int]:
    """Return the pieces worth most in one plank, longest first (dynamic programming, one copy a step)."""
    worth: Ints = np.zeros(room + 1, dtype=np.int64)
    steps = []
    for size, count in copies.items():
        for _ in range(count):
            with_it = worth[:-size] + prices[size]
            pays = with_it > worth[size:]
            worth[size:][pays] = with_it[pays]
            steps.append((size, pays))
    plank, at = [], room
    for size, pays in reversed(steps):
        if at >= size and pays[at - size]:
            plank.append(size)
            at -= size
    return plank[::-1]


class _Master:
    """The linear program over the columns so far: enough of every piece, from as few planks as can be."""

    def __init__(self, pieces: Pieces, packing: Packing) -> None:
        self.solver = pywraplp.Solver.CreateSolver("GLOP")
        endless = self.solver.infinity()
        self.rows = {
            size: self.solver.Constraint(float(count), endless) for size, count in pieces.counts.items()
        }
        self.known: set[tuple[int, ...]] = set()
        for plank in packing:
            self._add(tuple(plank))

    def duals(self) -> dict[int, float]:
        """Solve the program and return what it would pay for a piece of each size; any answer is safe."""
        self.solver.Solve()
        return {size: min(1.0, max(0.0, row.dual_value())) for size, row in self.rows.items()}

    def add(self, planks: Packing, duals: dict[int, float]) -> bool:
        """Add the columns of planks; say whether one was worth more than it costs."""
        paying = [
            sum(duals[size] for size in plank) > 1 + PAYS for plank in planks if self._add(tuple(plank))
        ]
        return any(paying)

    def _add(self, plank: tuple[int, ...]) -> bool:
        if plank in self.known:
            return False
        self.known.add(plank)
        column = self.solver.NumVar(0.0, self.solver.infinity(), "")
        self.solver.Objective().SetCoefficient(column, 1.0)
        for size, count in Counter(plank).items():
            self.rows[size].SetCoefficient(column, float(count))
        return True
