"""A scale of percent along a bar."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import count
from math import ceil

from cutopt.drawing.charts._chart import RULE, SMALL, Chart

__all__ = ["Scale", "scale_of"]

_MOST_STEPS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """From 0 at ``left`` to ``steps`` of ``step`` percent, over ``width`` points."""

    left: float
    width: float
    step: int
    steps: int

    def at(self, share: Fraction) -> float:
        """Return where a share stands."""
        return self.left + float(share * 100) / (self.step * self.steps) * self.width

    def marks(self) -> list[tuple[float, str]]:
        """Return where the steps stand, with their figures."""
        shown = range(0, self.step * self.steps + 1, self.step)
        return [(self.at(Fraction(percent, 100)), f"{percent} %") for percent in shown]

    def draw_head(self, chart: Chart, y: float) -> None:
        """Write the figures on a line."""
        for x, text in self.marks():
            chart.text(x, y, text, SMALL, anchor="middle")

    def draw_lines(self, chart: Chart, top: float, foot: float) -> None:
        """Draw a line down from each step."""
        for x, _ in self.marks():
            chart.line([(x, top), (x, foot)], RULE)


def scale_of(shares: Sequence[Fraction], *, left: float, width: float) -> Scale:
    """Return a scale of few round steps that has room for all ``shares``."""
    most = max([*shares, Fraction(1, 100)]) * 100
    rounds = (digit * 10**power for power in count() for digit in (1, 2, 5))
    step = next(step for step in rounds if most <= step * _MOST_STEPS)
    return Scale(left=left, width=width, step=step, steps=ceil(most / step))
