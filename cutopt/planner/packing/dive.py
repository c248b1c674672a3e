"""A packing from the linear program, rounded step by step.

Diving with new columns on the way (Sadykov, Vanderbeck, Pessoa, Tahiri and Uchoa, INFORMS Journal on
Computing 31, 2019, 251-267).
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import islice

from cutopt.planner.limits import Stop
from cutopt.planner.packing.fill import Packing
from cutopt.planner.packing.knapsack import can_price, planks_by
from cutopt.planner.packing.master import Column, Master
from cutopt.planner.packing.pieces import Pieces
from cutopt.planner.packing.prices import whole_price

__all__ = ["dive"]

# Rounds of new columns, and planks added in each, before every step.
ROUNDS = 30
PLANKS = 12
CLOSE = 1e-6


def dive(pieces: Pieces, master: Master, planks: int, stop: Stop) -> Packing | None:
    """Return a packing into so many planks; ``None`` where the steps lead to none.

    The planks that the program cuts most of are taken, and it is solved again for the pieces left.
    """
    left, packing = Counter(pieces.counts), list[list[int]]()
    while left and can_price(pieces):
        master.ask_for(left)
        optimum = _settled(replace(pieces, counts=dict(left)), master, stop)
        if stop() or len(packing) + optimum > planks + CLOSE:
            return None
        for column in _taken(master.uses()):
            if Counter(column) <= left:
                packing.append(list(column))
                left -= Counter(column)
    return None if left else packing


def _settled(pieces: Pieces, master: Master, stop: Stop) -> float:
    """Return the program's optimum for these pieces, once no new column pays."""
    for _ in range(ROUNDS):
        master.solve()
        duals = master.duals()
        prices = {size: whole_price(dual) for size, dual in duals.items()}
        planks = list(islice(planks_by(prices, pieces, stop), PLANKS))
        if stop() or not master.add(planks, duals):
            break
    return master.solve()


def _taken(uses: dict[Column, float]) -> Iterator[Column]:
    """Yield every plank cut whole, as often as it is; where none is, the one cut most."""
    whole = [column for column, use in uses.items() for _ in range(int(use + CLOSE))]
    return iter(whole or [max(uses, key=lambda column: (uses[column], sum(column)))])
