"""Pictures of the studies as SVG: one set of points a method, told apart by marker as well as by colour.

Drawn with matplotlib (the extra ``bench``); the same table gives the same file.
"""

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.axis import Axis

__all__ = ["Points", "draw"]

# Markers alone tell the methods apart in black and white; the colours are those of Okabe and Ito (2008).
LOOKS = (
    ("o", "#0072b2"),
    ("x", "#d55e00"),
    ("^", "#009e73"),
    ("s", "#000000"),
    ("D", "#cc79a7"),
    ("+", "#56b4e9"),
)
# How far apart methods with the same count are drawn, in counts.
APART = 0.08


@dataclass(frozen=True, slots=True, kw_only=True)
class Points:
    """What one method did: places along and up, joined by a line where ``line`` says so."""

    name: str
    places: Sequence[tuple[float, float]]
    line: bool = False


def draw(  # noqa: PLR0913 - a picture and what stands on it
    file: Path,
    sets: Sequence[Points],
    *,
    title: str,
    along: str,
    up: str,
    counts: bool = False,
) -> bool:
    """Draw on logarithmic axes and write the file; say whether matplotlib was there to do it.

    ``counts``: what goes up is a small count, often nought: it is drawn on a scale that begins there, and the
    methods a little apart, so that none hides another.
    """
    try:
        from matplotlib import rc_context  # noqa: PLC0415 - only where pictures are wanted
        from matplotlib.figure import Figure  # noqa: PLC0415 - same
    except ModuleNotFoundError:
        print("no pictures: pip install -e '.[bench]'", file=sys.stderr)
        return False
    with rc_context({"svg.hashsalt": "cutopt", "svg.fonttype": "none", "font.size": 10}):
        figure = Figure(figsize=(7.5, 4.8), layout="constrained")
        axes = figure.add_subplot()
        for nth, points in enumerate(sets):
            _add(axes, points, nth, lift=APART * ((len(sets) - 1) / 2 - nth) if counts else 0)
        axes.set_xscale("log")
        _plain_numbers(axes.xaxis)
        if counts:
            _count_up(axes, max((up for points in sets for _, up in points.places), default=1))
        else:
            axes.set_yscale("log")
            _plain_numbers(axes.yaxis)
        axes.set(title=title, xlabel=along, ylabel=up)
        axes.grid(visible=True, color="0.88", linewidth=0.6)
        axes.set_axisbelow(True)
        figure.legend(loc="outside lower center", ncols=len(sets), frameon=False, columnspacing=1.2)
        figure.savefig(file, metadata={"Date": None, "Creator": None} if file.suffix == ".svg" else {})
    return True


def _add(axes: "Axes", points: Points, nth: int, *, lift: float) -> None:
    marker, colour = LOOKS[nth % len(LOOKS)]
    axes.plot(
        [along for along, _ in points.places],
        [up + lift for _, up in points.places],
        linestyle="-" if points.line else "",
        linewidth=0.9,
        marker=marker,
        markersize=6,
        markerfacecolor="none",
        color=colour,
        label=points.name,
    )


def _plain_numbers(axis: "Axis") -> None:
    """Mark a logarithmic axis at 1, 2 and 5, and with numbers rather than powers."""
    from matplotlib.ticker import LogLocator, NullFormatter  # noqa: PLC0415 - as above

    axis.set_major_locator(LogLocator(subs=(1, 2, 5)))
    axis.set_major_formatter(lambda value, _: f"{value:,.6g}")
    axis.set_minor_formatter(NullFormatter())


def _count_up(axes: "Axes", most: float) -> None:
    """Give the upward axis room for nought, and plain numbers."""
    axes.set_yscale("symlog", linthresh=1)
    marks = [0, *(step * ten for ten in (1, 10, 100, 1000) for step in (1, 2, 5) if step * ten <= 2 * most)]
    axes.set_yticks(marks, [str(mark) for mark in marks], minor=False)
    axes.set_yticks([], minor=True)
    axes.set_ylim(bottom=-0.3)
