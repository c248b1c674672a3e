"""How long a search may go on, and who watches it."""

import math
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Protocol

__all__ = ["Clock", "Limits", "Stop", "Unwatched", "Watch", "never"]

Stop = Callable[[], bool]
"""Asked now and then whether to give up."""


def never() -> bool:
    """Never give up."""
    return False


# The least that a share of the time may be, in seconds.
SHORTEST = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What a search may use: seconds on the clock, a seed, and whether rules may be broken.

    ``best_effort`` asks for the plan with the fewest breaches where the rules cannot all be kept.
    ``searches`` is how many searches may be made (``None``: as many as there is time for): ended by
    that, not by the clock, the same job and seed give the same plan on a slower machine too. ``tidy``: of plans
    with as few planks one is sought that has fewer of them waiting.
    """

    seconds: float = 10.0
    seed: int = 0
    best_effort: bool = False
    searches: int | None = None
    tidy: bool = True

    def __post_init__(self) -> None:
        """Refuse a time that is no time, and a search less than none."""
        if not (math.isfinite(self.seconds) and self.seconds > 0):
            raise ValueError(f"seconds must be above 0 and finite, not {self.seconds}")
        if self.searches is not None and self.searches < 0:
            raise ValueError(f"searches must be 0 or more, not {self.searches}")


class Watch(Protocol):
    """Someone who sees the search go on and may end it."""

    def report(self, bound: int, best: int | None, seconds: float) -> None:
        """Take note of the bound and the best plan so far (``None``: none yet), in planks."""

    def stop(self) -> bool:
        """Say whether the search should end now."""


class Unwatched:
    """A watch that sees nothing and never ends the search."""

    def report(self, bound: int, best: int | None, seconds: float) -> None:
        """Take no note."""

    def stop(self) -> bool:
        """Never end the search."""
        return False


@dataclass(frozen=True, slots=True)
class Clock:
    """The time a search has left, and whether somebody ended it."""

    limits: Limits
    watch: Watch
    started: float = field(default_factory=time.monotonic)
    now: Callable[[], float] = time.monotonic

    @property
    def seconds(self) -> float:
        """Seconds since the start."""
        return self.now() - self.started

    def out(self) -> bool:
        """Say whether the search must end, by time or by wish."""
        return self.seconds >= self.limits.seconds or self.watch.stop()

    def past(self, share: float) -> bool:
        """Say whether so much of the time is over, or somebody ended it."""
        return self.seconds >= share * self.limits.seconds or self.watch.stop()

    def half(self) -> Stop:
        """Return a stop after half the time that is left, or when somebody ends it."""
        end = (self.seconds + self.limits.seconds) / 2
        return lambda: self.seconds >= end or self.watch.stop()

    def share(self, parts: int) -> "Clock":
        """Return a clock, started now, over one of so many parts of the time that is left."""
        seconds = max(SHORTEST, (self.limits.seconds - self.seconds) / parts)
        return Clock(replace(self.limits, seconds=seconds), self.watch, self.now(), self.now)

    def tell(self, bound: int, best: int | None) -> None:
        """Report to the watch."""
        self.watch.report(bound, best, self.seconds)
