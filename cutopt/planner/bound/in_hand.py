"""What parts of planks in hand are worth at most: what they save of the fresh planks that prices prove.

Put prices on pieces as ever: a fresh plank is worth no less than all that can be cut from one. A plan's pieces
come from fresh planks and from parts, and are worth no less than every run laid in its cheapest way. So its
fresh planks are worth that less what its parts give, and a part gives no more than the best it can be cut
into. Of the parts that a plan knows, those used wait after the last row it laid: ``max_waiting`` may, and the
best of them count. One that keeps one end gives one piece, and pays for waiting at every border before that
piece's segment; what any other part pays there is left aside.

Besides, a part saves one plank at the most: put a fresh plank in its place, and any plan is one without it, in
which no more planks wait.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from cutopt.model.plan import HandPart, Keeps
from cutopt.planner import parts
from cutopt.planner.bound.patterns import NO_PIECE, Pattern, Prices, paying_parts
from cutopt.planner.bound.prices import PriceList, worth_of_part
from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["Hand", "HandKind"]

A = TypeVar("A", bound=np.generic)

PAYS = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class HandKind:
    """Parts that are alike: whether they can give a starter and an end piece, and both."""

    length: Ticks
    starter: bool
    end: bool
    idle: bool

    @classmethod
    def of(cls, part: HandPart, problem: Problem) -> "HandKind":
        """Return the kind of a part; with square ends one that keeps one end gives what is called a starter.

        A slanted end may lie deeper in what a slanted cut has left of a plank than its length tells: by no more
        than its own slant, at each end that is cut. The part counts as so much longer.
        """
        handed, idle = problem.handed, parts.is_idle(part)
        starter = parts.gives_starter(part, handed=handed)
        end = parts.gives_end(part, handed=handed) and (handed or part.keeps is Keeps.BOTH)
        cut = {Keeps.BOTH: 0, Keeps.NONE: 2}.get(part.keeps, 1)
        length = part.length if idle else min(problem.plank, part.length + cut * problem.steepest)
        return cls(length=length, starter=starter, end=end, idle=idle)

    def worth(self, prices: PriceList, plank: Ticks, loss: Ticks) -> int:
        """Return the most that such a part can give, in price, less what it pays for waiting."""
        if self.starter and self.end and self.length >= plank:
            return prices.plank
        if any(map(len, prices.single)) or self.starter == self.end:
            return worth_of_part(prices, self.length, loss, starter=self.starter, end=self.end)
        table = prices.start if self.starter else prices.end
        place = int(np.searchsorted(prices.lengths, self.length, side="right")) - 1
        if place < 0:
            return 0
        return max(0, int((table[:, place] - self._paid(prices.border, len(table))).max()))

    def paying(self, prices: Prices, loss: Ticks, cost: float) -> Iterator[Pattern]:
        """Yield ways to cut such a part that are worth more than ``cost`` (planks) at these prices."""
        if prices.single or self.starter == self.end:
            yield from paying_parts(prices, self.length, loss, starter=self.starter, end=self.end, cost=cost)
            return
        table = prices.start if self.starter else prices.end
        place = int(np.searchsorted(prices.lengths, self.length, side="right")) - 1
        if place < 0:
            return
        gain = table[:, place] - self._paid(prices.border, len(table))
        best = int(gain.argmax())
        if gain[best] > cost + PAYS:
            piece = (best, int(prices.lengths[place]))
            waits = not (self.idle or len(prices.border) == len(table))
            cut = (piece, NO_PIECE) if self.starter else (NO_PIECE, piece)
            yield Pattern(*cut, borders=tuple(range(best)) if waits else ())

    def _paid(self, border: NDArray[A], segments: int) -> NDArray[A]:
        """Return, by segment, what a part pays for waiting until it is used there; nothing where segments come again."""
        if self.idle or len(border) == segments:
            return np.zeros(segments, dtype=border.dtype)
        return np.concatenate([np.zeros(1, dtype=border.dtype), np.cumsum(border)])


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """Parts in hand by kind, and how many of each; ``cap`` of those that wait already may (``None``: any number)."""

    count: dict[HandKind, int] = field(default_factory=dict)
    cap: int | None = None

    @classmethod
    def of(cls, problem: Problem) -> "Hand":
        """Return the parts in hand that some run of a floor may use."""
        fields = {"", *(run.field for run in problem.runs)}
        kinds = Counter(HandKind.of(part, problem) for part in problem.hand if part.field in fields)
        return cls(count=dict(kinds), cap=problem.rules.max_waiting)

    def worth(self, prices: PriceList, plank: Ticks, loss: Ticks) -> int:
        """Return the most that all parts used can give, in price."""
        each = ((kind, count, kind.worth(prices, plank, loss)) for kind, count in self.count.items())
        return self._most(each)

    @property
    def length(self) -> Ticks:
        """The most that all parts used are long together."""
        return self._most((kind, count, kind.length) for kind, count in self.count.items())

    def _most(self, each: Iterable[tuple[HandKind, int, int]]) -> int:
        total, known = 0, list[int]()
        for kind, count, worth in each:
            if kind.idle:
                total += count * worth
            else:
                known += [worth] * count
        return total + sum(sorted(known, reverse=True)[: self.cap])
