"""How sure so many boxes are, and which order is expected to cost least."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import count, takewhile

from cutopt.estimate._boxes import boxes_needed
from cutopt.estimate._odds import Chance, Odds
from cutopt.model.estimate import OrderCost, Risk, Tally
from cutopt.model.job import Job

__all__ = ["risk"]

_LEVELS = (Fraction(90, 100), Fraction(95, 100), Fraction(99, 100))
_SURE = Fraction(999, 1000)
_NEVER = 1e-12
"""What is less likely is no part of an expected cost."""


def risk(job: Job, needs: Sequence[Tally]) -> Risk:
    """Return how surely orders are enough to lay a job, and what they are expected to cost.

    ``needs`` are what is needed: of the plan as measured first, then of plans of rooms that the tape got wrong,
    each as likely as the others; without these the first is what is needed for certain.

    *Enough* means that the floor is laid. The probability is exact for given needs (:mod:`cutopt.estimate._usable`): whole
    numbers decide the levels. Over rooms the tape got wrong it is the mean, and its standard error the standard
    deviation of what it is for each of them over the root of their number; of a single one, at most a half.

    Orders go from the fewest boxes that could be enough to those that are 99.9 % sure, or to those of the figure
    (:func:`boxes_needed`) where that is more. The cost of one has: its boxes with tax; less, for sealed boxes that go back,
    their price with tax less the fee, where that is a gain and as many go back as are taken; and where it is not enough, one trip and
    one delay and the further boxes that turn out to be needed, no more. Spare planks are not needed to finish: they are kept from
    what is left, so that boxes they are in do not go back, and what is missing of them is bought as well, without trip or delay.
    Of orders that cost the same to the cent the surest is the cheapest: that of most boxes.

    Nothing is drawn by lot here. Raises ``ValueError`` where culls and damage may leave nothing.
    """
    odds = Odds.of(job, needs, (*_LEVELS, _SURE))
    chance = cache(odds.chance)
    per_box = job.plank.per_box
    first = -(-min(odds.needs) // per_box)

    def fewest(level: Fraction) -> int:
        return next(boxes for boxes in count(first) if level in chance(boxes * per_box).reached)

    figured = boxes_needed(needs[0].planks, job.order.culls, job.order.spare, per_box)
    costs = _Costs.of(job, chance)
    orders = tuple(costs.order(boxes) for boxes in range(first, max(fewest(_SURE), figured) + 1))
    priced = [(round(order.cost, 2), -order.boxes) for order in orders if order.cost is not None]
    return Risk(
        levels=tuple((level, fewest(level)) for level in _LEVELS),
        orders=orders,
        cheapest=-min(priced)[1] if priced else None,
        simulated=len(needs) - 1,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Costs:
    """What an order is expected to cost: expectations, so floats.

    ``over`` tells, by boxes from 0, how likely the floor and the spare planks take more. ``back`` are the fewest boxes that go back,
    ``None`` where none do. ``box`` and ``refund`` are a box's price with tax, and what is had for one that goes back.
    """

    chance: Callable[[int], Chance]
    per_box: int
    over: tuple[float, ...]
    back: int | None
    box: float | None
    refund: float
    shortage: float

    @staticmethod
    def of(job: Job, chance: Callable[[int], Chance]) -> "_Costs":
        pricing, price, per_box = job.pricing, job.plank.box_price, job.plank.per_box
        box = None if price is None else Fraction(price) * (1 + pricing.tax)
        refund = Fraction(0) if box is None else box - Fraction(pricing.return_fee)
        worth = pricing.returnable and (box is None or refund > 0)
        shorts = (chance(max(0, boxes * per_box - job.order.spare)).short for boxes in count())
        return _Costs(
            chance=chance,
            per_box=per_box,
            over=tuple(takewhile(lambda short: short >= _NEVER, shorts)),
            back=max(1, pricing.return_least) if worth else None,
            box=None if box is None else float(box),
            refund=float(refund),
            shortage=float(pricing.trip + pricing.delay),
        )

    def order(self, boxes: int) -> OrderCost:
        """Return what an order of so many boxes means."""
        chance = self.chance(boxes * self.per_box)
        returned = self._returned(boxes)
        return OrderCost(
            boxes=boxes,
            enough=chance.enough,
            error=chance.error,
            returned=returned,
            cost=self._cost(boxes, returned, chance.short),
        )

    def _cost(self, boxes: int, returned: float, short: float) -> float | None:
        if self.box is None:
            return None
        further = sum(self.over[boxes:])  # an expected count: the chances of more than 0, than 1, and so on
        return self.box * (boxes + further) - self.refund * returned + self.shortage * short

    def _returned(self, boxes: int) -> float:
        """Return how many boxes are expected to go back: all that are over, where these are enough to be taken."""
        if self.back is None:
            return 0.0
        over = (1.0, *self.over, *[0.0] * boxes)  # more than -1 boxes, than 0, ...
        return sum(
            sealed * (over[boxes - sealed] - over[boxes - sealed + 1])
            for sealed in range(self.back, boxes + 1)
        )
