"""The pattern model as a linear program, to find good prices for pieces.

Runs choose how they are laid, planks choose what they are cut into; stagger and the order of rows
within a segment are left out. Pieces that keep a factory end are nested: a longer one can be
trimmed to a shorter. Columns for layings and planks are added while they pay (column generation:
Gilmore and Gomory, Operations Research 9, 1961, 849-859).
"""

import math
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

from cutopt.planner.bound.in_hand import Hand, HandKind
from cutopt.planner.bound.patterns import Pattern, Prices, first_patterns, paying_patterns
from cutopt.planner.bound.prices import PriceList, worth_of_plank
from cutopt.planner.bound.ways import Ways, worth_of_ways
from cutopt.planner.limits import Stop, never
from cutopt.units import Ticks

__all__ = ["Demand", "Shop", "every_length", "given_back", "solve_prices"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

# What a whole plank is worth in the whole-number price list.
WORTH = 10_000_000
# Layings offered at first, over all kinds of run; the rest are generated while they pay.
FIRST_WAYS = 2400
ROUNDS = 60
PAYS = 1e-7
# Ways of a kind that one round may add.
SPREAD = 10
STRETCHES = 64
# Planks between what is proved and what the program could prove, when it is time to stop.
CLOSE = 1e-3
NEAR = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """Runs that are alike: how many, in which segment, and the ways to lay one."""

    count: int
    segment: int
    ways: Ways


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """What planks are cut under: length, loss a cut, hands, and how many may wait at borders.

    ``borders`` holds for each border between segments how many may wait there, over all times that it
    is passed (none: one segment). As many borders as segments: the first follows the last again. ``hand`` are
    parts of planks that cost nothing.
    """

    plank: Ticks
    loss: Ticks
    handed: bool
    borders: tuple[int, ...] = ()
    hand: Hand = field(default_factory=Hand)


def solve_prices(
    demands: list[Demand],
    shop: Shop,
    lengths: Ints | None = None,
    known: int = 0,
    stop: Stop = never,
) -> PriceList:
    """Return whole-number prices that are as good as the linear program's optimum, or nearly.

    Prices change at ``lengths`` (ticks, ascending; every length that occurs unless given). They are
    safe whatever the solver answered: ``plank`` in the list is recomputed as the most that one plank
    can be cut into. A bound of ``known`` planks is not worth proving again: the search for prices
    ends there, and when ``stop`` says so. New columns are priced half-way between the program's
    duals and the best prices so far, which settles far sooner (Wentges, International Transactions
    in Operational Research 4, 1997, 151-162).
    """
    master = _Master(demands, shop, every_length(demands) if lengths is None else lengths)
    # Parts in hand may be so many that only planks laid whole are worth anything.
    best, proved = master.prices, master.proves(master.prices) if shop.hand.count else -math.inf
    for _ in range(ROUNDS):
        if stop():
            break
        optimum = master.solve()
        candidates = [best.mixed_with(master.prices), master.prices] if proved > 0 else [master.prices]
        added = False
        for prices in candidates:
            total = master.proves(prices)
            if total > proved:
                best, proved = prices, total
            added = added or master.add_paying(prices)
        if not added or _settled(proved, optimum) or optimum <= known + CLOSE:
            break
    return master.price_list(best)


def given_back(prices: PriceList, shop: Shop) -> int:
    """Return the price of waiting at all borders, for as many planks as may wait there, and that of parts in hand."""
    waiting = sum(int(price) * most for price, most in zip(prices.border, shop.borders, strict=True))
    return waiting + shop.hand.worth(prices, shop.plank, shop.loss)


def _settled(proved: float, optimum: float) -> bool:
    """Say whether the bound cannot gain a plank, nor the prices much."""
    gap = optimum - proved
    return gap < CLOSE or (gap < NEAR and math.ceil(proved) == math.ceil(optimum - CLOSE))


def every_length(demands: list[Demand]) -> Ints:
    """Return all lengths of starters and end pieces to cut, ascending."""
    parts = [part for demand in demands for part in (demand.ways.starter, demand.ways.end)]
    found: Ints = np.unique(np.concatenate([*parts, np.zeros(1, dtype=np.int64)]))
    return found[found > 0]


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
        """Let a variable supply (or, below 0, use) pieces of a length; 0 is no piece.

        A length between two places counts as the shorter: prices may only be too low.
        """
        place = int(np.searchsorted(self.lengths, length, side="right")) - 1
        if place >= 0:
            row = self.rows[place]
            row.SetCoefficient(variable, row.GetCoefficient(variable) + amount)

    def duals(self) -> Floats:
        """Return the price of each length, made to rise with length."""
        raw = np.array([max(0.0, row.dual_value()) for row in self.rows])
        rising: Floats = np.maximum.accumulate(raw) if len(raw) else raw
        return rising


class _Master:
    def __init__(self, demands: list[Demand], shop: Shop, lengths: Ints) -> None:
        self.demands, self.shop = demands, shop
        self.segments = 1 + max(demand.segment for demand in demands)
        self.solver = pywraplp.Solver.CreateSolver("GLOP")
        endless = self.solver.infinity()
        self.lengths = lengths
        self.start = [_Chain(self.solver, self.lengths) for _ in range(self.segments)]
        self.end = (
            [_Chain(self.solver, self.lengths) for _ in range(self.segments)] if shop.handed else self.start
        )
        pieces = sorted(
            {(one.segment, int(length)) for one in demands for length in one.ways.single if length}
        )
        self.singles = {piece: self.solver.Constraint(0.0, endless) for piece in pieces}
        self.kinds = [self.solver.Constraint(demand.count, demand.count) for demand in demands]
        self.borders = [self.solver.Constraint(-endless, float(most)) for most in shop.borders]
        self.parts = {
            kind: self.solver.Constraint(-endless, float(count)) for kind, count in shop.hand.count.items()
        }
        if self.parts:
            most = endless if shop.hand.cap is None else float(shop.hand.cap)
            self.known = self.solver.Constraint(-endless, most)
        self.offered = [np.zeros(len(demand.ways.starter), dtype=bool) for demand in demands]
        self.patterns: set[tuple[HandKind | None, Pattern]] = set()
        self._open()
        self.prices = self._free_prices()

    def _open(self) -> None:
        share = max(24, FIRST_WAYS // len(self.demands))
        for kind, demand in enumerate(self.demands):
            count = len(demand.ways.starter)
            for way in np.unique(np.linspace(0, count - 1, min(share, count)).astype(int)):
                self._add_way(kind, int(way))
        plank, loss = self.shop.plank, self.shop.loss
        for pattern in first_patterns(
            self.lengths, self.segments, list(self.singles), plank=plank, loss=loss
        ):
            self._add_pattern(pattern)

    def _add_way(self, kind: int, way: int) -> None:
        ways, segment = self.demands[kind].ways, self.demands[kind].segment
        self.offered[kind][way] = True
        laid = self._column(float(ways.wholes[way]))
        self.kinds[kind].SetCoefficient(laid, 1.0)
        self.start[segment].supply(laid, int(ways.starter[way]), -1.0)
        self.end[segment].supply(laid, int(ways.end[way]), -1.0)
        if ways.single[way]:
            self.singles[segment, int(ways.single[way])].SetCoefficient(laid, -1.0)

    def _add_pattern(self, pattern: Pattern, part: HandKind | None = None) -> bool:
        """Add a way to cut a fresh plank, or a kind of parts."""
        if (part, pattern) in self.patterns:
            return False
        self.patterns.add((part, pattern))
        cut = self._column(1.0 if part is None else 0.0)
        if part is not None:
            self.parts[part].SetCoefficient(cut, 1.0)
            if not part.idle:
                self.known.SetCoefficient(cut, 1.0)
        self.start[pattern.starter[0]].supply(cut, pattern.starter[1], 1.0)
        self.end[pattern.end[0]].supply(cut, pattern.end[1], 1.0)
        for piece, count in pattern.singles:
            self.singles[piece].SetCoefficient(cut, float(count))
        for border in pattern.borders:
            self.borders[border].SetCoefficient(cut, 1.0)
        return True

    def _column(self, cost: float) -> pywraplp.Variable:
        column = self.solver.NumVar(0.0, self.solver.infinity(), "")
        self.solver.Objective().SetCoefficient(column, cost)
        return column

    def solve(self) -> float:
        """Solve the program, take its duals and return its optimum; any answer is safe to use."""
        self.solver.Solve()
        # All duals at once: the solver forgets them as soon as a column is added.
        self.kind_duals = [row.dual_value() for row in self.kinds]
        self.part_costs = {
            kind: max(0.0, -row.dual_value() - (0.0 if kind.idle else self.known.dual_value()))
            for kind, row in self.parts.items()
        }
        start = np.array([chain.duals() for chain in self.start])
        self.prices = Prices(
            lengths=self.lengths,
            start=start,
            end=np.array([chain.duals() for chain in self.end]) if self.shop.handed else start,
            single={piece: max(0.0, row.dual_value()) for piece, row in self.singles.items()},
            border=np.array([max(0.0, -row.dual_value()) for row in self.borders]),
        )
        optimum: float = self.solver.Objective().Value()
        return optimum

    def add_paying(self, prices: Prices) -> bool:
        """Add the layings and planks that pay best at these prices; say whether any was new."""
        added = [self._add_cheapest_ways(kind, prices) for kind in range(len(self.demands))]
        patterns = list(paying_patterns(prices, plank=self.shop.plank, loss=self.shop.loss))
        added += [self._add_pattern(pattern) for pattern in patterns]
        added += [
            self._add_pattern(pattern, kind)
            for kind, cost in self.part_costs.items()
            for pattern in kind.paying(prices, self.shop.loss, cost)
        ]
        return any(added)

    def _add_cheapest_ways(self, kind: int, prices: Prices) -> bool:
        cost = self._cost(self.demands[kind], prices)
        cost[self.offered[kind]] = np.inf
        # Neighbours repeat one another: take the cheapest of each stretch, then the best of these.
        stretches = np.array_split(np.arange(len(cost)), min(STRETCHES, len(cost)))
        leads = np.array([stretch[cost[stretch].argmin()] for stretch in stretches])
        paying = leads[cost[leads] < self.kind_duals[kind] - PAYS]
        best = paying[np.argsort(cost[paying], kind="stable")[:SPREAD]]
        for way in best:
            self._add_way(kind, int(way))
        return len(best) > 0

    def _cost(self, demand: Demand, prices: Prices) -> Floats:
        def at(duals: Floats, wanted: Ints) -> Floats:
            place = np.searchsorted(self.lengths, wanted, side="right")
            return np.append(0.0, duals)[place]

        ways, segment = demand.ways, demand.segment
        singles = [prices.single.get((segment, int(length)), 0.0) for length in ways.single]
        start, end = prices.start[segment], prices.end[segment]
        cost: Floats = ways.wholes + at(start, ways.starter) + at(end, ways.end) + np.array(singles)
        return cost

    def proves(self, prices: Prices) -> float:
        """Return the bound in planks that these prices prove."""
        listed = self.price_list(prices)
        cheapest = sum(
            demand.count * int(worth_of_ways(listed, demand.segment, demand.ways).min())
            for demand in self.demands
        )
        return (cheapest - given_back(listed, self.shop)) / listed.plank

    def price_list(self, prices: Prices) -> PriceList:
        """Return these prices as safe whole-number prices."""
        tables: list[dict[Ticks, int]] = [{} for _ in range(self.segments)]
        for (segment, length), price in prices.single.items():
            tables[segment][length] = int(price * WORTH)
        free = PriceList(
            plank=WORTH,
            lengths=self.lengths,
            start=_whole(prices.start),
            end=_whole(prices.end),
            single=tuple(tables),
            border=np.ceil(prices.border * WORTH).astype(np.int64),
        )
        worth = worth_of_plank(free, plank=self.shop.plank, loss=self.shop.loss)
        return replace(free, plank=max(WORTH, worth))

    def _free_prices(self) -> Prices:
        none = np.zeros((self.segments, len(self.lengths)))
        single = dict.fromkeys(self.singles, 0.0)
        border = np.zeros(len(self.borders))
        return Prices(lengths=self.lengths, start=none, end=none, single=single, border=border)


def _whole(duals: Floats) -> Ints:
    whole: Ints = np.floor(np.minimum(duals, 1.0) * WORTH).astype(np.int64)
    return whole
