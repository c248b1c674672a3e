"""Signs that are told apart without colour, each about a middle."""

from math import cos, pi, sin

from cutopt.drawing._scene import XY, Style
from cutopt.drawing.charts._chart import Chart

__all__ = ["cheapest", "least_waste", "over", "short"]

_BLACK = Style(width=0.3, fill=0.0)
_OPEN = Style(width=1.1, fill=1.0)


def least_waste(chart: Chart, at: XY, size: float) -> None:
    """Draw a star, ``size`` points high."""
    x, y = at
    radii = (size / 2, size / 5)
    turns = [nth * pi / 5 for nth in range(10)]
    chart.shape(
        [(x + radii[nth % 2] * sin(turn), y - radii[nth % 2] * cos(turn)) for nth, turn in enumerate(turns)],
        _BLACK,
    )


def cheapest(chart: Chart, at: XY, size: float) -> None:
    """Draw a coin: a ring about a dot, ``size`` points high."""
    for radius, style in ((size * 0.44, _OPEN), (size * 0.2, _BLACK)):
        turns = [nth * pi / 8 for nth in range(16)]
        chart.shape([(at[0] + radius * cos(turn), at[1] + radius * sin(turn)) for turn in turns], style)


def short(chart: Chart, at: XY, size: float) -> None:
    """Draw a full triangle that points down, ``size`` points high."""
    x, y = at
    half = size / 2
    chart.shape([(x - half, y - half), (x + half, y - half), (x, y + half)], _BLACK)


def over(chart: Chart, at: XY, size: float) -> None:
    """Draw an empty box, ``size`` points high."""
    x, y = at
    half = size * 0.42
    ring = [(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)]
    chart.shape(ring, _OPEN)
