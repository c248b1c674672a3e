"""A study as bars, one for each choice."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from cutopt.drawing._letters import plain, shortened, text_width
from cutopt.drawing._scene import XY, Style
from cutopt.drawing.charts import _signs
from cutopt.drawing.charts._chart import BOLD_LINE, FINE, MARGIN, RULE, SMALL, Chart, Fill
from cutopt.drawing.charts._scale import Scale, scale_of
from cutopt.drawing.charts._told import percent, size_of
from cutopt.model.estimate import Figure, Study, StudyRow
from cutopt.units import Unit

__all__ = ["draw_study"]

_SIZE = 8.0
_ROW = 16.0
_BAR_TOP, _BAR = 3.0, 10.0
_PARTED = 6.0
"""Between choices of one thing and those of another."""

_SIGNS = 26.0
_NAMES = (100.0, 480.0)
_BARS = 200.0
_AFTER_BAR = 40.0
_COLUMNS = (("planks", 36.0), ("at least", 40.0), ("boxes", 36.0), ("with tax", 62.0))
_WORDS = 92.0
_LEGEND = 42.0
_HEAD_EVERY = 40
"""Rows: on a tall picture the titles of the columns are never far."""

_PLAIN = Fill(grey=0.86)
_LEAST = Fill(grey=0.86, hatches=((45.0, 3.0),))
_CHEAP = Fill(grey=1.0, hatches=((135.0, 3.0),))
_BOTH = Fill(grey=0.86, hatches=((45.0, 3.0), (135.0, 3.0)))
_FILLS = {(False, False): _PLAIN, (True, False): _LEAST, (False, True): _CHEAP, (True, True): _BOTH}
_ROW_RULE = Style(width=0.3, stroke=0.8)
_AS_TOLD = Style(width=0.8, stroke=0.3, dash=(3, 2))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Best:
    """Whether a choice is the best in waste, and in cost."""

    least: bool
    cheap: bool

    @property
    def fill(self) -> Fill:
        return _FILLS[self.least, self.cheap]

    @property
    def words(self) -> str:
        return ", ".join([*(["least waste"] * self.least), *(["cheapest"] * self.cheap)])


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """Where the columns stand, and the scale of the bars."""

    names: float
    scale: Scale
    columns: tuple[tuple[str, float], ...]

    @property
    def words(self) -> float:
        return self.columns[-1][1] + 12

    @property
    def width(self) -> float:
        return self.words + _WORDS + MARGIN


def draw_study(study: Study, unit: Unit) -> Chart:
    """Return the chart of a study."""
    figures = [row.figure for row in study.rows if row.figure is not None]
    frame = _frame(study.rows, figures)
    title = "What moves the waste" + (f": {figures[0].title}" if figures else "")
    chart = Chart(title=title, about="Waste of plank floors by choice", width=frame.width)
    _draw_top(chart, study, frame, unit)
    for first in range(0, len(study.rows), _HEAD_EVERY):
        _draw_part(chart, study, range(first, min(first + _HEAD_EVERY, len(study.rows))), frame)
    chart.y += MARGIN - 8
    return chart


def _frame(rows: Sequence[StudyRow], figures: Sequence[Figure]) -> _Frame:
    least, most = _NAMES
    widest = max((text_width(plain(row.name), _SIZE, bold=True) for row in rows), default=0.0)
    names = min(most, max(least, widest))
    left = MARGIN + _SIGNS + names + 10
    scale = scale_of([figure.as_laid for figure in figures], left=left, width=_BARS)
    x, columns = left + _BARS + _AFTER_BAR, []
    for name, wide in _COLUMNS:
        if name != "with tax" or any(figure.price is not None for figure in figures):
            x += wide
            columns.append((name, x))
    return _Frame(names=names, scale=scale, columns=tuple(columns))


def _draw_top(chart: Chart, study: Study, frame: _Frame, unit: Unit) -> None:
    """Draw the title, what is shown, and the signs with their meanings."""
    room = frame.width - 2 * MARGIN
    chart.text(MARGIN, MARGIN + 12, shortened(chart.title, room, 14, bold=True), 14, bold=True)
    first = study.rows[0].figure if study.rows else None
    plank = f"As told: plank {size_of(first.plank, unit)}. " if first else ""
    chart.text(MARGIN, MARGIN + 26, f"{plank}Waste as laid: planks opened over the net area.", _SIZE)
    chart.y = MARGIN + 44
    x = MARGIN
    for sign, text in _legend(study):
        if x + _LEGEND + text_width(text, SMALL) > MARGIN + room:
            x, chart.y = MARGIN, chart.y + 13
        _draw_sample(chart, sign, (x, chart.y))
        x = chart.text(x + _LEGEND - 18, chart.y, text, SMALL) + 18
    chart.y += 12


def _legend(study: Study) -> Iterator[tuple[str, str]]:
    yield "bar", "waste as laid"
    yield "tick", "no plan wastes less (planks at least)"
    yield "told", "the job as told"
    if study.least_waste:
        yield "least", "least waste"
    if study.cheapest:
        yield "cheap", "cheapest"


def _draw_sample(chart: Chart, sign: str, at: XY) -> None:
    """Draw what a sign looks like, at the left of its meaning."""
    x, y = at
    if sign == "tick":
        chart.line([(x + 15, y - 8), (x + 15, y + 2)], BOLD_LINE)
    elif sign == "told":
        chart.line([(x + 2, y - 2.5), (x + 20, y - 2.5)], _AS_TOLD)
    else:
        best = _Best(least=sign == "least", cheap=sign == "cheap")
        _draw_signs(chart, best, (x - 4, y - 2.5))
        chart.box(x + 3, y - 7, 17, 8, fill=best.fill)


def _draw_part(chart: Chart, study: Study, places: range, frame: _Frame) -> None:
    """Draw some rows below the titles of the columns."""
    head = chart.y + 12
    frame.scale.draw_head(chart, head)
    for name, x in frame.columns:
        chart.text(x, head, name, SMALL, bold=True, anchor="end")
    chart.text(MARGIN + _SIGNS, head, "choice", SMALL, bold=True)
    top = head + 4
    tops = list(_tops(study, places, top))
    foot = tops[-1] + _ROW
    frame.scale.draw_lines(chart, top, foot)
    _draw_rules(chart, [*tops, foot], frame)
    told = study.rows[0].figure
    if told is not None and not study.rows[0].changed:
        x = frame.scale.at(told.as_laid)
        chart.line([(x, top), (x, foot)], _AS_TOLD)
    for place, y in zip(places, tops, strict=True):
        best = _Best(least=place in study.least_waste, cheap=place in study.cheapest)
        _draw_row(chart, study.rows[place], best, y, frame)
    chart.y = foot


def _draw_rules(chart: Chart, tops: Sequence[float], frame: _Frame) -> None:
    """Draw lines across between rows, heavier in the gaps, heaviest above the first and below the last."""
    for nth, y in enumerate(tops):
        parted = nth > 0 and y - tops[nth - 1] > _ROW
        style = FINE if y in {tops[0], tops[-1]} else RULE if parted else _ROW_RULE
        at = y - _PARTED / 2 if parted else y
        chart.line([(MARGIN, at), (frame.width - MARGIN, at)], style)


def _tops(study: Study, places: range, top: float) -> Iterator[float]:
    """Yield where rows begin, those that change another thing a little further down."""
    y = top
    for place in places:
        if place > places.start and _thing(study.rows[place]) != _thing(study.rows[place - 1]):
            y += _PARTED
        yield y
        y += _ROW


def _thing(row: StudyRow) -> str:
    return row.changed[0][0] if len(row.changed) == 1 else ""


def _draw_row(chart: Chart, row: StudyRow, best: _Best, y: float, frame: _Frame) -> None:
    line = y + _BAR_TOP + 7.6
    bold = bool(best.words) or not row.changed
    name = shortened(row.name, frame.names, _SIZE, bold=bold)
    chart.text(MARGIN + _SIGNS, line, name, _SIZE, bold=bold)
    if row.figure is None:
        why = row.failed.why if row.failed else "not planned"
        room = frame.width - MARGIN - frame.scale.left - 4
        chart.text(frame.scale.left + 4, line, shortened(f"no plan: {why}", room, _SIZE), _SIZE, bare=True)
        return
    _draw_bar(chart, row.figure, best, y, frame.scale)
    for (_, x), text in zip(frame.columns, _figures(row.figure), strict=False):
        chart.text(x, line, text, _SIZE, bold=bool(best.words), anchor="end")
    _draw_signs(chart, best, (MARGIN + 6, y + _BAR_TOP + _BAR / 2))
    chart.text(frame.words, line, best.words, _SIZE, bold=True)


def _draw_bar(chart: Chart, figure: Figure, best: _Best, y: float, scale: Scale) -> None:
    """Draw a bar with its figure at its end, and a tick at what no plan can do without."""
    end = scale.at(figure.as_laid)
    chart.box(scale.left, y + _BAR_TOP, end - scale.left, _BAR, fill=best.fill)
    bound = scale.at(max(Fraction(0), _bound(figure)))
    chart.line([(bound, y + 0.5), (bound, y + _ROW - 0.5)], BOLD_LINE)
    told = percent(figure.as_laid)
    chart.text(end + 5, y + _BAR_TOP + 7.6, told, _SIZE, bold=bool(best.words), bare=True)


def _bound(figure: Figure) -> Fraction:
    """Return the waste factor as laid if no more planks were opened than every plan needs."""
    return figure.losses.opened * figure.bound / figure.planks / figure.losses.net - 1


def _figures(figure: Figure) -> tuple[str, ...]:
    price = "" if figure.price is None else f"{figure.price + (figure.tax or 0):,.2f}"
    return (f"{figure.planks:,}", f"{figure.bound:,}", f"{figure.boxes:,}", price)


def _draw_signs(chart: Chart, best: _Best, at: XY) -> None:
    x, y = at
    if best.least:
        _signs.least_waste(chart, (x, y), 9)
    if best.cheap:
        _signs.cheapest(chart, (x + (11 if best.least else 0), y), 8)
