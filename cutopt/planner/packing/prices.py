"""Prices of pieces, and packings made by them.

The duals of the linear program price the pieces so that no plank is worth more than 1, and what all
pieces are worth then bounds the planks: recomputed here in whole numbers, whatever the program said.
Planks worth most are cut one after another from the pieces that are left (sequential value correction:
Mukhacheva, Belov, Kartak and Mukhacheva, Pesquisa Operacional 20, 2000, 149-168): they are new columns,
and now and then a packing better than all before.
"""

from dataclasses import dataclass
from itertools import islice

from cutopt.planner.limits import Stop
from cutopt.planner.packing.fill import Packing
from cutopt.planner.packing.knapsack import can_price, planks_by
from cutopt.planner.packing.master import Master
from cutopt.planner.packing.pieces import Pieces

__all__ = ["Prices", "price_pieces", "whole_price"]

# What a plank is worth in whole numbers, while prices are sought.
WORTH = 10_000_000
ROUNDS = 200
# Planks a round cuts at its prices; every so many rounds it cuts all.
PLANKS = 12
ALL = 8


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


def price_pieces(
    pieces: Pieces, master: Master, packing: Packing, bound: int, stop: Stop
) -> tuple[Prices, Packing]:
    """Return prices that prove as much as the linear program can, and the best packing met on the way.

    ``bound`` is known already, ``packing`` given. The search ends where one meets the other, where no
    plank is worth a new column, or when ``stop`` says so. It starts from lengths as prices; columns are
    priced half-way between the best prices and the program's duals, which settles far sooner (Wentges,
    International Transactions in Operational Research 4, 1997, 151-162).
    """
    best = _listed(pieces, {size: size for size in pieces.counts}, pieces.room)
    for nth in range(ROUNDS if can_price(pieces) else 0):
        if stop() or len(packing) <= max(bound, best.planks):
            break
        master.solve()
        duals = master.duals()
        for share in (0.5, 1.0):
            prices = {
                size: whole_price(share * duals[size] + (1 - share) * best.of[size] / best.plank)
                for size in pieces.counts
            }
            planks = list(islice(planks_by(prices, pieces, stop), None if nth % ALL == 0 else PLANKS))
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


def whole_price(share: float) -> int:
    """Return the price of so much of a plank; never nothing, so that room is used."""
    return max(1, int(share * WORTH))
