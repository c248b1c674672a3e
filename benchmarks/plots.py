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

    ``counts``: what goes up is a small count, often nought, and drawn on a scale that begins there.
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
            _add(axes, points, nth)
        axes.set_xscale("log")
        if counts:
            _count_up(axes, max((up for points in sets for _, up in points.places), default=1))
        else:
            axes.set_yscale("log")
        axes.set(title=title, xlabel=along, ylabel=up)
        axes.grid(visible=True, color="0.88", linewidth=0.6)
        axes.set_axisbelow(True)
        axes.legend(frameon=True, framealpha=1, edgecolor="0.8")
        figure.savefig(file, metadata={"Date": None, "Creator": None} if file.suffix == ".svg" else {})
    return True


def _add(axes: "Axes", points: Points, nth: int) -> None:
    marker, colour = LOOKS[nth % len(LOOKS)]
    along, up = zip(*points.places, strict=True) if points.places else ((), ())
    axes.plot(
        along,
        up,
        linestyle="-" if points.line else "",
        linewidth=0.9,
        marker=marker,
        markersize=6,
        markerfacecolor="none",
        color=colour,
        label=points.name,
    )


def _count_up(axes: "Axes", most: float) -> None:
    """Give the upward axis room for nought, and plain numbers."""
    axes.set_yscale("symlog", linthresh=1)
    marks = [0, *(step * ten for ten in (1, 10, 100, 1000) for step in (1, 2, 5) if step * ten <= 2 * most)]
    axes.set_yticks(marks, [str(mark) for mark in marks], minor=False)
    axes.set_yticks([], minor=True)
    axes.set_ylim(bottom=-0.4)
