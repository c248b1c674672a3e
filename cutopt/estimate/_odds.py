"""How sure so many planks are, over all that may be needed."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

from cutopt.estimate._usable import Usable
from cutopt.model.estimate import Tally
from cutopt.model.job import Job

__all__ = ["Chance", "Odds"]

_MOST_SPREAD = 0.5
"""The most that a probability can deviate, as a standard deviation."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """How likely so many planks are enough, or are not, and which of the levels asked for that reaches.

    ``error`` is the standard error, 0 where nothing was simulated.
    """

    enough: float
    short: float
    error: float
    reached: frozenset[Fraction]


@dataclass(frozen=True, slots=True, kw_only=True)
class Odds:
    """What may be needed, with how many of the rooms tried need so much, and how likely a plank is of use.

    ``levels`` are probabilities of which whole numbers decide whether they are reached.
    """

    usable: Usable
    needs: tuple[int, ...]
    times: tuple[int, ...]
    simulated: bool
    levels: tuple[Fraction, ...]

    @staticmethod
    def of(job: Job, needs: Sequence[Tally], levels: tuple[Fraction, ...]) -> "Odds":
        """Take the first of the needs for certain where it is the only one, else the others."""
        counted = dict(sorted(Counter(tally.planks for tally in needs[1:] or needs).items()))
        return Odds(
            usable=Usable.of(job.order.culls, job.risk.damage),
            needs=tuple(counted),
            times=tuple(counted.values()),
            simulated=len(needs) > 1,
            levels=levels,
        )

    def chance(self, planks: int) -> Chance:
        """Return how likely so many planks are enough."""
        if planks < min(self.needs):
            return Chance(enough=0.0, short=1.0, error=0.0, reached=frozenset())
        ways = self.usable.ways(self.needs, planks)
        each = self.usable.total(planks)
        found = sum(times * one for times, one in zip(self.times, ways, strict=True))
        total = each * sum(self.times)
        return Chance(
            enough=found / total,
            short=(total - found) / total,
            error=self._error([one / each for one in ways], found / total),
            reached=frozenset(
                level for level in self.levels if found * level.denominator >= level.numerator * total
            ),
        )

    def _error(self, each: Sequence[float], mean: float) -> float:
        if not self.simulated:
            return 0.0
        trials = sum(self.times)
        if trials == 1:
            return _MOST_SPREAD
        spread = sum(times * (one - mean) ** 2 for times, one in zip(self.times, each, strict=True))
        return sqrt(spread / (trials - 1) / trials)
