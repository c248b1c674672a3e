"""What the searches are told: whose prices to follow, how to lean, and in which order to go."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import count

import numpy as np

from cutopt.planner.bound import Priced, lengths_below, local_prices
from cutopt.planner.bound.prices import PriceList
from cutopt.planner.bound.segments import stretches
from cutopt.planner.bound.ways import ways_below, worth_of_ways
from cutopt.planner.construct.beam import Hope, Temper
from cutopt.planner.construct.chains import can_chain, chain_worths
from cutopt.planner.construct.order import Order, as_laid, shuffled
from cutopt.planner.construct.worth import Worth, area_worth, best_of, plain_worth, worth_at
from cutopt.planner.limits import Stop, never
from cutopt.planner.problem import Choices, Problem
from cutopt.units import Ticks

__all__ = ["Attempt", "area_hope", "attempts", "first_attempts", "priced_hope"]

# Small searches first: most rooms need no more. Each round is wider than the one before.
WIDTHS = (48, 96, 192, 320, 480, 640)
# Over several stretches another guide does more than a wider search.
NARROW_WIDTHS = (24, 24, 48, 96, 192)
# By turns: what guides a search, and how much of plain length is mixed into its prices (of stretches,
# handing on to the next, the whole floor's) or what waiting costs along chains. Each has floors that it
# alone does well on; where a room is as good as the whole floor, prices do nearly all there is to do.
ONE_STRETCH = (
    ("prices", 0.05),
    ("prices", 0.0),
    ("prices", 0.5),
    ("chains", 0.06),
    ("prices", 0.02),
    ("prices", 0.1),
    ("prices", 0.2),
)
STRETCHES = (
    ("chains", 0.06),
    ("handing on", 0.05),
    ("floor chains", 0.03),
    ("chains", 0.12),
    ("floor", 0.5),
    ("chains", 0.03),
    ("stretches", 0.0),
    ("floor chains", 0.1),
    ("handing on", 0.02),
    ("chains", 0.01),
    ("stretches", 0.2),
    ("floor", 0.05),
)
# Leans that come again lean by another amount.
AGAIN = (1.0, 1.4, 0.7, 1.8, 0.5)
# Very many rows: what guides best at once.
MANY_ROWS = (("chains", 0.1), ("floor chains", 0.05), ("chains", 0.15), ("floor chains", 0.03))
NOISE = (0.1, 0.05, 0.15, 0.02)
# Plans count as of one kind up to these shares of a plank.
GRAINS = (80, 25, 160, 50)
# Searches by length alone, before any prices are known.
FIRST_NOISE = (0.02, 0.1, 0.05, 0.15)
FIRST_WIDTH = 48
FIRST_HOLDING = 0.05
# Searches of one width before wider ones; more where the order of rooms makes each a new one.
TURNS = 4
TURNS_IN_ANY_ORDER = 16
# More runs than this narrow the searches, down to so many plans.
MANY_RUNS = 400
NARROWEST = 12
# Runs before the end of a stretch whose rests are meant for the next one too.
EDGE = 3
# Seeds of one job's searches, apart from those of the next seed.
SEEDS = 1_000_003


@dataclass(frozen=True, slots=True)
class Attempt:
    """One search to make: in which order, what planks waiting after each run are worth, how it leans."""

    order: Order
    guides: Sequence[Worth]
    temper: Temper


def first_attempts(problem: Problem, seed: int) -> Iterator[Attempt]:
    """Yield quick searches that value waiting planks by their length, or where rows are many by chains.

    They do well on short rows in any order, which get a few; elsewhere one is a plan to go on from.
    """
    guides = _first_guides(problem)
    tries = len(FIRST_NOISE) if problem.rules.max_waiting is None else 1
    for turn, noise in enumerate(FIRST_NOISE[:tries]):
        start = seed * SEEDS + turn
        temper = Temper(_width(problem, FIRST_WIDTH), noise, _grain(problem, turn), seed=start)
        yield Attempt(_order(problem, turn, start), guides, temper)


def _first_guides(problem: Problem) -> list[Worth]:
    if len(problem.runs) > MANY_RUNS and can_chain(problem):
        by_length = [length / problem.plank for length in lengths_below(problem)]
        return chain_worths(problem, by_length, FIRST_HOLDING)
    return [plain_worth(problem)] * len(problem.runs)


def _order(problem: Problem, turn: int, seed: int) -> Order:
    return shuffled(problem, seed) if turn else as_laid(problem)


def _width(problem: Problem, width: int) -> int:
    """Return fewer plans side by side where there are very many runs, so that a search ends in time."""
    return max(NARROWEST, min(width, width * MANY_RUNS // len(problem.runs)))


def _grain(problem: Problem, turn: int) -> Ticks:
    return max(1, problem.plank // GRAINS[turn % len(GRAINS)])


def area_hope(order: Order) -> Hope:
    """Return the least that half-made plans still cost by the lengths still to lay."""
    problem = order.problem
    lengths = lengths_below(problem)
    ahead = sum(lengths) - np.cumsum(lengths)
    return Hope([area_worth(problem)] * len(lengths), [float(rest) / problem.plank for rest in ahead])


def priced_hope(priced: Priced, order: Order) -> Hope:
    """Return the bound on what is still to come, after each run."""
    problem = order.problem
    plank, segment_of, border = priced.prices.plank, priced.segment_of, priced.prices.border
    cap = problem.rules.max_waiting or 0
    tables = [worth_at(problem, priced.prices, segment) for segment in range(max(segment_of) + 1)]
    rest, ahead = [], 0
    for index in range(len(problem.runs) - 1, -1, -1):
        if index + 1 < len(segment_of) and segment_of[index + 1] != segment_of[index]:
            ahead -= cap * int(border[segment_of[index]])
        rest.append(ahead / plank)
        ahead += priced.cheapest[order.runs[index]]
    return Hope([tables[segment] for segment in segment_of], rest[::-1])


def attempts(problem: Problem, priced: Priced, seed: int, stop: Stop = never) -> Iterator[Attempt]:
    """Yield searches without end, leaning by turns; in any order of rooms, mostly on plain length.

    ``stop`` ends the search for the prices of stretches, which are then taken as they are.
    """
    prices = _Prices.of(problem, priced, stop)
    plain = [plain_worth(problem)] * len(problem.runs)
    any_order = problem.rules.max_waiting is None
    leans = prices.leans()
    one = len(prices.local) == 1
    rounds = TURNS_IN_ANY_ORDER if any_order else TURNS if one else len(leans)
    widths = WIDTHS if one else NARROW_WIDTHS
    for turn in count():
        whose, amount = leans[turn % len(leans)]
        again = AGAIN[turn // len(leans) % len(AGAIN)]
        guides = plain if any_order and turn % TURNS else prices.guides(whose, amount * again)
        yield Attempt(
            order=_order(problem, turn, seed * SEEDS + turn),
            guides=guides,
            temper=Temper(
                width=_width(problem, widths[min(turn // rounds, len(widths) - 1)]),
                noise=NOISE[(turn // 2) % len(NOISE)],
                grain=_grain(problem, turn // 2),
                seed=seed * SEEDS + turn,
            ),
        )


@dataclass(frozen=True)
class _Prices:
    """The price lists that guides are made of: one a stretch, and the bound's."""

    problem: Problem
    priced: Priced
    stretch_of: tuple[int, ...]
    local: list[tuple[PriceList, int]]

    @staticmethod
    def of(problem: Problem, priced: Priced, stop: Stop) -> "_Prices":
        stretch_of = stretches(problem)
        lists = local_prices(problem, stretch_of, stop=stop) if stretch_of[-1] else [priced.prices]
        return _Prices(problem, priced, stretch_of, [(prices, 0) for prices in lists])

    def leans(self) -> tuple[tuple[str, float], ...]:
        """Return what to lean on, by turns."""
        if not can_chain(self.problem):
            return tuple(lean for lean in self._leans() if "chains" not in lean[0])
        return MANY_ROWS if len(self.problem.runs) > MANY_RUNS else self._leans()

    def _leans(self) -> tuple[tuple[str, float], ...]:
        return STRETCHES if len(self.local) > 1 else ONE_STRETCH

    def guides(self, whose: str, amount: float) -> list[Worth]:
        """Return a guide for every run."""
        if whose == "chains":
            return chain_worths(self.problem, self.local_payments, amount)
        if whose == "floor chains":
            return chain_worths(self.problem, self.payments, amount)
        if whose in {"stretches", "prices"}:
            # What waits after the last run of a stretch is for the next one.
            ahead = [*self.stretch_of[1:], self.stretch_of[-1]]
            return _guides(self.problem, self.local, ahead, amount)
        segments = [(self.priced.prices, segment) for segment in range(max(self.priced.segment_of) + 1)]
        floor = _guides(self.problem, segments, self.priced.segment_of, amount)
        if whose == "floor":
            return floor
        return _handing_on(_guides(self.problem, self.local, self.stretch_of, amount), floor, self.stretch_of)

    @cached_property
    def payments(self) -> list[float]:
        """What laying each run is worth by the bound's prices, in planks."""
        return [least / self.priced.prices.plank for least in self.priced.cheapest]

    @cached_property
    def local_payments(self) -> list[float]:
        """What laying each run is worth by the prices of its stretch, in planks."""
        if len(self.local) == 1:
            return self.payments
        known: dict[tuple[int, Choices], float] = {}
        for index, stretch in enumerate(self.stretch_of):
            key = stretch, self.problem.choices[index]
            if key not in known:
                prices, segment = self.local[stretch]
                worth = worth_of_ways(prices, segment, ways_below(self.problem, index))
                known[key] = int(worth.min()) / prices.plank
        return [known[key] for key in zip(self.stretch_of, self.problem.choices, strict=True)]


def _guides(
    problem: Problem, lists: Sequence[tuple[PriceList, int]], places: Sequence[int], thrift: float
) -> list[Worth]:
    tables = [worth_at(problem, prices, segment, thrift=thrift) for prices, segment in lists]
    return [tables[place] for place in places]


def _handing_on(inside: list[Worth], bound: list[Worth], stretch_of: Sequence[int]) -> list[Worth]:
    """Return the guides inside stretches, with the bound's for the last rows before the next stretch.

    What waits there is for either stretch; earlier, planks kept for the next one only take up places.
    """
    guides = list(inside)
    for index in range(len(guides) - 1):
        following = next(
            (
                later
                for later in range(index + 1, min(index + EDGE, len(guides) - 1) + 1)
                if stretch_of[later] != stretch_of[index]
            ),
            None,
        )
        if following is not None:
            own = [] if following == index + 1 else [bound[index]]
            guides[index] = best_of(*own, bound[following])
    return guides
