"""A table of rooms as heat maps, one for each shape."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from cutopt.drawing._letters import shortened, text_width
from cutopt.drawing._scene import XY, Style
from cutopt.drawing.charts import _signs
from cutopt.drawing.charts._chart import MARGIN, SMALL, Anchor, Chart, Fill
from cutopt.drawing.charts._told import percent, size_of
from cutopt.model.estimate import Figure, RoomCell
from cutopt.model.pricing import Shape
from cutopt.units import Ticks, Unit, format_length

__all__ = ["draw_rooms"]

_WIDE, _HIGH = 56.0, 30.0
"""A cell."""

_SIDE = 64.0
"""For the sizes across, left of the cells."""

_SIZE = 8.0
_LEAST_WIDTH = 540.0
_HABIT = Fraction(1, 10)
_LIMITS = (5, 10, 15, 20)
_GREYS = (1.0, 0.9, 0.8, 0.7, 0.6)
"""Grey by waste, lighter than the figures need to be read on it: up to 5 percent, 10, 15, 20, and more."""

_NAMES = {
    Shape.RECTANGLE: "Rectangular rooms",
    Shape.L_ROOM: "L-shaped rooms",
    Shape.HALL: "Halls",
    Shape.FLAT: "Flats",
}
_SIGN = 7.5
_NO_PLAN = Fill(grey=1.0, hatches=((45.0, 5.0),))
_SHORT_EDGE = Style(width=1.8)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Map:
    """The rooms of one shape: sizes along and across, and what each comes to."""

    shape: Shape
    along: tuple[Ticks, ...]
    across: tuple[Ticks, ...]
    cells: dict[tuple[Ticks, Ticks], RoomCell]

    @property
    def figures(self) -> list[Figure]:
        return [cell.figure for cell in self.cells.values() if cell.figure is not None]


def draw_rooms(cells: Sequence[RoomCell], unit: Unit) -> Chart:
    """Return the chart of a table of rooms."""
    maps = _maps(cells)
    width = max([_LEAST_WIDTH, *(2 * MARGIN + _SIDE + _WIDE * len(one.along) for one in maps)])
    chart = Chart(title="Waste by the size of the room", about="Waste of plank floors by room", width=width)
    _draw_top(chart, [figure for one in maps for figure in one.figures], unit)
    for one in maps:
        _draw_map(chart, one, unit)
    chart.y += MARGIN - 8
    return chart


def _maps(cells: Iterable[RoomCell]) -> list[_Map]:
    shapes: dict[Shape, dict[tuple[Ticks, Ticks], RoomCell]] = {}
    for cell in cells:
        shapes.setdefault(cell.shape, {})[cell.along, cell.across] = cell
    return [
        _Map(
            shape=shape,
            along=tuple(sorted({along for along, _ in found})),
            across=tuple(sorted({across for _, across in found})),
            cells=found,
        )
        for shape, found in shapes.items()
    ]


def _draw_top(chart: Chart, figures: Sequence[Figure], unit: Unit) -> None:
    """Draw the title, what is shown, and the signs with their meanings."""
    chart.text(MARGIN, MARGIN + 12, chart.title, 14, bold=True)
    plank = f"Plank {size_of(figures[0].plank, unit)}. " if figures else ""
    told = f"{plank}Waste as laid (planks opened over the net area), and the boxes to order."
    chart.text(MARGIN, MARGIN + 27, shortened(told, chart.width - 2 * MARGIN, _SIZE), _SIZE)
    told = (
        "Rooms by their size wall to wall: along the rows to the right, across them down. "
        "No plan: the rules cannot be met there."
    )
    chart.text(MARGIN, MARGIN + 38, told, _SIZE)
    chart.y = MARGIN + 56
    _draw_greys(chart)
    chart.y += 15
    _draw_signs(chart, figures)


def _draw_greys(chart: Chart) -> None:
    texts = [f"up to {limit} %" for limit in _LIMITS] + [f"more than {_LIMITS[-1]} %"]
    x = MARGIN
    for grey, text in zip(_GREYS, texts, strict=True):
        chart.box(x, chart.y - 8, 20, 10, fill=Fill(grey=grey))
        x = chart.text(x + 25, chart.y, text, SMALL) + 16


def _draw_signs(chart: Chart, figures: Sequence[Figure]) -> None:
    """Draw the signs, with how many rooms they stand in."""
    short = [figure for figure in figures if _missing(figure) > 0]
    over = [figure for figure in figures if _missing(figure) < 0]
    rooms = f"of {len(figures)} rooms"
    samples: tuple[tuple[Callable[[Chart, XY, float], None], str], ...] = (
        (_signs.short, f"10 % on the net area is short, by so many boxes ({len(short)} {rooms})"),
        (_signs.over, f"10 % buys so many boxes more than needed ({len(over)} {rooms})"),
    )
    x = MARGIN
    for sign, text in samples:
        if x + 25 + text_width(text, SMALL, bold=True) > chart.width - MARGIN:
            x, chart.y = MARGIN, chart.y + 13
        if sign is _signs.short:
            chart.box(x, chart.y - 9, 20, 12, fill=Fill(), edge=_SHORT_EDGE)
        sign(chart, (x + 10, chart.y - 3), _SIGN)
        x = chart.text(x + 25, chart.y, text, SMALL, bold=True) + 16


def _draw_map(chart: Chart, one: _Map, unit: Unit) -> None:
    chart.y += 30
    chart.text(MARGIN, chart.y, _NAMES[one.shape], 11, bold=True)
    left, top = MARGIN + _SIDE, chart.y + 20
    for nth, along in enumerate(one.along):
        _draw_size(chart, (left + (nth + 0.5) * _WIDE, top - 5), along, unit, anchor="middle")
    for nth, across in enumerate(one.across):
        y = top + nth * _HIGH
        _draw_size(chart, (left - 6, y + _HIGH / 2 + 3), across, unit, anchor="end")
    for (along, across), cell in one.cells.items():
        column, row = one.along.index(along), one.across.index(across)
        _draw_cell(chart, cell.figure, (left + column * _WIDE, top + row * _HIGH))
    chart.y = top + len(one.across) * _HIGH


def _draw_size(chart: Chart, at: XY, length: Ticks, unit: Unit, *, anchor: Anchor) -> None:
    chart.text(*at, format_length(length, unit), _SIZE, bold=True, anchor=anchor)


def _draw_cell(chart: Chart, figure: Figure | None, at: XY) -> None:
    x, y = at
    if figure is None:
        chart.box(x, y, _WIDE, _HIGH, fill=_NO_PLAN)
        chart.text(x + _WIDE / 2, y + 18, "no plan", SMALL, anchor="middle", bare=True)
        return
    chart.box(x, y, _WIDE, _HIGH, fill=Fill(grey=_grey(figure.as_laid)))
    chart.text(x + 5, y + 13, percent(figure.as_laid), 9.5, bold=True)
    chart.text(x + 5, y + 25, f"{figure.boxes:,} {'box' if figure.boxes == 1 else 'boxes'}", SMALL)
    if missing := _missing(figure):
        if missing > 0:
            chart.outline(x + 1, y + 1, _WIDE - 2, _HIGH - 2, edge=_SHORT_EDGE)
        sign = _signs.short if missing > 0 else _signs.over
        count = f"{abs(missing):,}"
        sign(chart, (x + _WIDE - 9 - text_width(count, _SIZE, bold=True), y + 22.5), _SIGN)
        chart.text(x + _WIDE - 4, y + 25.4, count, _SIZE, bold=True, anchor="end")


def _grey(waste: Fraction) -> float:
    return _GREYS[sum(waste * 100 > limit for limit in _LIMITS)]


def _missing(figure: Figure) -> int:
    """Return how many boxes 10 percent on the net area are short; below 0, how many it buys too many."""
    return next((figure.boxes - habit.boxes for habit in figure.habits if habit.share == _HABIT), 0)
