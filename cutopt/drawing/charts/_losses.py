"""Where the area bought goes: one bar of all of it, and the part that is not floor enlarged below."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from cutopt.drawing._letters import shortened, text_width
from cutopt.drawing._scene import Style
from cutopt.drawing.charts._chart import MARGIN, SMALL, Chart, Fill
from cutopt.drawing.charts._told import percent
from cutopt.model.estimate import Figure, Losses
from cutopt.units import format_area

__all__ = ["draw_losses"]

_WIDTH = 515.0
_BAR = 26.0
_ENLARGED = 18.0
_FAN = 16.0
_SIZE = 8.0
_ACROSS = 3
"""Of the list below the bars, how many stand beside each other."""

_EDGE = Style(width=0.8)
_DASHED = Style(width=0.4, dash=(2, 2))
_FLOOR = Fill(grey=0.93)
_NET = "floor (net area)"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """A part of the area bought, in square millimetres."""

    name: str
    area: Fraction
    fill: Fill


def draw_losses(figure: Figure, *, titled: bool) -> Chart:
    """Return the bars, with a title and margins or bare."""
    margin = MARGIN if titled else 0.0
    title = f"Where the area bought goes: {figure.title}"
    chart = Chart(title=title, about="Area of planks bought, by use", width=_WIDTH + 2 * margin)
    if titled:
        chart.y = margin + 12
        chart.text(margin, chart.y, shortened(title, _WIDTH, 14, bold=True), 14, bold=True)
        chart.y += 12
    parts = [part for part in _parts(figure.losses) if part.area > 0]
    _draw_all(chart, figure, parts, margin)
    if parts:
        _draw_enlarged(chart, figure.losses, parts, margin)
    _draw_list(chart, figure, [_Part(name=_NET, area=figure.losses.net, fill=_FLOOR), *parts], margin)
    chart.y += margin + 3
    return chart


def _parts(losses: Losses) -> tuple[_Part, ...]:
    """Return all that is not floor, in the order it is lost: at the saw first, then in the order for boxes."""
    return (
        _Part(name="cut ends", area=losses.ends, fill=Fill(grey=1.0, hatches=((45.0, 4.0),))),
        _Part(name="rips", area=losses.rips, fill=Fill(grey=1.0, hatches=((0.0, 3.0),))),
        _Part(
            name="slanted cuts", area=losses.slants, fill=Fill(grey=1.0, hatches=((45.0, 4.0), (90.0, 4.0)))
        ),
        _Part(name="kerf", area=losses.kerf, fill=Fill(grey=0.2)),
        _Part(name="culls", area=losses.culls, fill=Fill(grey=1.0, hatches=((45.0, 4.0), (135.0, 4.0)))),
        _Part(name="spare planks", area=losses.spare, fill=Fill(grey=0.7)),
        _Part(name="rounding to boxes", area=losses.rounding, fill=Fill(grey=1.0)),
    )


def _draw_all(chart: Chart, figure: Figure, parts: Sequence[_Part], left: float) -> None:
    """Draw the bar of all that is bought, to scale."""
    losses = figure.losses
    floor = float(losses.net / losses.bought) * _WIDTH
    chart.box(left, chart.y, floor, _BAR, fill=_FLOOR, edge=_EDGE)
    text = f"{_NET} {_told(losses.net, figure)}"
    if text_width(text, 9, bold=True) + 12 < floor:
        chart.text(left + 6, chart.y + 16, text, 9, bold=True)
    _draw_stack(chart, parts, left + floor, _BAR, Fraction(_WIDTH) / losses.bought)
    chart.y += _BAR


def _draw_stack(chart: Chart, parts: Sequence[_Part], left: float, high: float, scale: Fraction) -> None:
    """Draw parts beside each other, ``scale`` points for a square millimetre, with names where they have room."""
    before = Fraction(0)
    for part in parts:
        x, wide = left + float(before * scale), float(part.area * scale)
        chart.box(x, chart.y, wide, high, fill=part.fill, edge=_EDGE)
        if text_width(part.name, SMALL, bold=True) + 10 < wide:
            middle = x + wide / 2, chart.y + high / 2 + 2.5
            chart.text(*middle, part.name, SMALL, bold=True, anchor="middle", bare=True)
        before += part.area


def _draw_enlarged(chart: Chart, losses: Losses, parts: Sequence[_Part], left: float) -> None:
    """Draw what is not floor as wide as all, tied to its place in the bar above."""
    right = left + _WIDTH
    floor = left + float(losses.net / losses.bought) * _WIDTH
    chart.line([(floor, chart.y), (left, chart.y + _FAN)], _DASHED)
    chart.line([(right, chart.y), (right, chart.y + _FAN)], _DASHED)
    chart.y += _FAN
    _draw_stack(chart, parts, left, _ENLARGED, Fraction(_WIDTH) / sum(part.area for part in parts))
    chart.y += _ENLARGED


def _draw_list(chart: Chart, figure: Figure, parts: Sequence[_Part], left: float) -> None:
    """List the parts, each with its area and its share of all that is bought, which stands last."""
    bought = _Part(name="= bought", area=figure.losses.bought, fill=Fill())
    chart.y += 2
    for nth, part in enumerate((*parts, bought)):
        if nth % _ACROSS == 0:
            chart.y += 13
        x = left + nth % _ACROSS * _WIDTH / _ACROSS
        if part is not bought:
            chart.box(x, chart.y - 7.5, 14, 9, fill=part.fill)
        x = chart.text(x + 19, chart.y, part.name, _SIZE, bold=True)
        chart.text(x + 5, chart.y, _told(part.area, figure), _SIZE)


def _told(area: Fraction, figure: Figure) -> str:
    return f"{format_area(area, figure.unit)}, {percent(area / figure.losses.bought)}"
