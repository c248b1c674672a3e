"""How likely enough of the planks bought end up in the floor, exactly.

A plank that is taken from its box is culled with probability c, else spoiled while it is cut and laid with
probability d, each plank by itself: it is of use with q = (1 - c)(1 - d). A spoiled plank gives nothing and another
takes its place, so the floor is laid when the N-th plank of use has been found, and n planks are enough exactly
when at least N of the first n are of use, however the laying goes on: P = P(Bin(n, q) >= N).

Where d lies evenly between two figures, and is the same for the whole job, so does q, between q0 and q1, and P is
the mean of that over them. By repeated integration by parts P(Bin(n, q) >= N) is the distribution function at q of a beta
density f with parameters N and n - N + 1 (Abramowitz and Stegun, Handbook of Mathematical Functions, 26.5.24), and
q f(q) is N / (n + 1) times the density with parameters N + 1 and n - N + 1. By parts again, from 0 to x:

    integral of P(Bin(n, q) >= N) = x P(Bin(n, x) >= N) - N / (n + 1) P(Bin(n + 1, x) >= N + 1)

so the mean, too, is a rational number.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import lcm
from typing import Self

__all__ = ["Usable"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Usable:
    """The share of planks of use: evenly between ``least / parts`` and ``most / parts``."""

    least: int
    most: int
    parts: int

    @classmethod
    def of(cls, culls: Fraction, damage: tuple[Fraction, Fraction]) -> Self:
        """Return what is left by culls and damage. Raises ``ValueError`` where that may be nothing."""
        most, least = ((1 - culls) * (1 - share) for share in damage)
        if not 0 < least <= most <= 1:
            raise ValueError(f"culls {culls} and damage {damage[0]} to {damage[1]} must leave planks to lay")
        parts = lcm(least.denominator, most.denominator)
        return cls(least=int(least * parts), most=int(most * parts), parts=parts)

    def total(self, planks: int) -> int:
        """Return what the :meth:`ways` of so many planks are out of."""
        whole: int = self.parts**planks
        return whole if self.least == self.most else (planks + 1) * whole * (self.most - self.least)

    def ways(self, needs: Sequence[int], planks: int) -> tuple[int, ...]:
        """Return, for each need, how many of :meth:`total` leave as many planks of use among ``planks``.

        So this over that is a probability.
        """
        if self.least == self.most:
            return self._at_least(needs, planks, self.most)
        most, least = (self._up_to(needs, planks, use) for use in (self.most, self.least))
        return tuple(high - low for high, low in zip(most, least, strict=True))

    def _up_to(self, needs: Sequence[int], planks: int, use: int) -> Iterator[int]:
        """Yield integrals up to a share ``use / parts``, times ``(planks + 1) * parts ** (planks + 1)``."""
        here = self._at_least(needs, planks, use)
        beyond = self._at_least([need + 1 for need in needs], planks + 1, use)
        for need, one, other in zip(needs, here, beyond, strict=True):
            yield (planks + 1) * use * one - need * other

    def _at_least(self, needs: Sequence[int], planks: int, use: int) -> tuple[int, ...]:
        """Return P(Bin(planks, use / parts) >= need), times ``parts ** planks``, for each need."""
        lost, found, ways = self.parts - use, 0, 1
        by_failed = []
        for failed in range(planks - min(needs) + 1):
            # Horner's rule; ways: choose(planks, failed) * lost ** failed.
            found = found * use + ways
            ways = ways * lost * (planks - failed) // (failed + 1)
            by_failed.append(found)
        return tuple(by_failed[planks - need] * _power(use, need) if need <= planks else 0 for need in needs)


@lru_cache(maxsize=512)
def _power(base: int, exponent: int) -> int:
    """Return a power: of planks by the thousand it is costly, and asked for again and again."""
    result: int = base**exponent
    return result
