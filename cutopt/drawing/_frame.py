"""What stands round the floor on a page: title, legend, scale bar, overall dimensions, notes."""

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from cutopt.drawing._board import Box, boxed
from cutopt.drawing._draft import SMALLEST, Draft, lines_of
from cutopt.drawing._hatch import hatch
from cutopt.drawing._house import STRIP, THING_HATCH
from cutopt.drawing._letters import shortened, text_width, wrapped
from cutopt.drawing._names import GUIDE
from cutopt.drawing._pieces import CUT_HATCH, JOINT, PIECE
from cutopt.drawing._scene import XY, Line, Style, Text
from cutopt.drawing._view import View, scale_text
from cutopt.model.papers import PAPER_SIZES, PaperName
from cutopt.model.plan import Plan
from cutopt.units import TICKS_PER_MM, Ticks, Unit, format_length

__all__ = ["Page", "draw_dimensions", "draw_frame"]

_MARGIN = 28.0
_TITLE = 34.0
_FOOT = 84.0
_SURROUND = 30.0
_NOTE_LINES = 5
_NOTE_SIZE = 6.5
_THIN = Style(width=0.4)
_FRAME = Style(width=0.5)
_BLACK = Style(width=0.4, fill=0.0)
_BARE = Style(width=0.4, fill=1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """A paper one way up, in points."""

    paper: PaperName
    landscape: bool

    @property
    def size(self) -> tuple[int, int]:
        """Width and height."""
        short, long = PAPER_SIZES[self.paper]
        return (long, short) if self.landscape else (short, long)

    @property
    def window(self) -> tuple[float, float, float, float]:
        """What the floor and the texts about it may cover: left, low, right, high."""
        width, height = self.size
        return _MARGIN, _MARGIN + _FOOT, width - _MARGIN, height - _MARGIN - _TITLE

    @property
    def room(self) -> tuple[float, float]:
        """Width and height for the floor itself."""
        left, low, right, high = self.window
        return right - left - 2 * _SURROUND, high - low - 2 * _SURROUND


def draw_frame(draft: Draft, page: Page, texts: Sequence[str], unit: Unit) -> None:
    """Draw title, legend, scale bar and notes; ``texts`` are the title, what is said below it, and the notes."""
    title, about, *notes = texts
    width, height = page.size
    room = width - 2 * _MARGIN
    head = shortened(title, room, 13, bold=True)
    top = height - _MARGIN - 12
    draft.add("frame", _text((_MARGIN, top), head, 13, bold=True))
    draft.add("frame", _text((_MARGIN, top - 13), shortened(about, room, 8), 8))
    left, low, right, high = page.window
    draft.add("frame", Line(parts=((*_corners(left, low, right, high),),), style=_FRAME, closed=True))
    end = _legend(draft, (left, low - 14), right)
    _scale_bar(draft, draft.view, (left, end - 16), unit)
    lines = [line for note in notes for line in wrapped(note, room - 170, _NOTE_SIZE)]
    if len(lines) > _NOTE_LINES:
        lines[_NOTE_LINES - 1 :] = [
            shortened(lines[_NOTE_LINES - 1] + " " + "." * 400, room - 170, _NOTE_SIZE)
        ]
    for nth, line in enumerate(lines):
        draft.add("frame", _text((left + 170, end - 9 - nth * 8.5), line, _NOTE_SIZE))


def _corners(left: float, low: float, right: float, high: float) -> tuple[XY, ...]:
    return (left, low), (right, low), (right, high), (left, high)


def _text(at: XY, text: str, size: float, *, bold: bool = False) -> Text:
    return Text(at=at, text=text, size=size, width=text_width(text, size, bold=bold), bold=bold)


def _legend(draft: Draft, at: XY, right: float) -> float:
    """Draw the signs with their meanings, as many to a line as fit; return where the last line stands."""
    x, y = at
    left = x
    shown = {"thing": draft.items["things"], "strip": draft.items["doorways"], "guide": draft.items["guides"]}
    signs = [(name, sign) for name, sign in _SIGNS if shown.get(sign, True)]
    for nth, (name, style) in enumerate(signs):
        wide = 24 + text_width(name, 7) + 12
        if x + wide > right and nth:
            x, y = left, y - 12
        _sign(draft, (x, y), style)
        draft.add("frame", _text((x + 24, y), name, 7))
        x += wide
    return y


_SIGNS = (
    ("whole plank", "whole"),
    ("cut piece", "cut"),
    ("end joint", "joint"),
    ("fixed thing", "thing"),
    ("transition strip", "strip"),
    ("working line", "guide"),
    ("12.1 / p7: piece 12.1 (row 12), cut from plank 7", "number"),
)


def _sign(draft: Draft, at: XY, sign: str) -> None:
    x, y = at
    box = shapely.box(x, y - 1, x + 19, y + 6)
    ring = {"joint": PIECE, "strip": STRIP, "thing": _BARE}.get(sign, PIECE)
    if sign == "guide":
        draft.add("frame", Line(parts=(((x, y + 2.5), (x + 19, y + 2.5)),), style=GUIDE))
        return
    if sign == "number":
        draft.add("frame", _text((x + 6, y), "No.", SMALLEST))
        return
    draft.shape("frame", box, ring)
    if sign == "joint":
        draft.add("frame", Line(parts=(((x + 9.5, y - 1), (x + 9.5, y + 6)),), style=JOINT))
    for degrees, apart, style in {
        "cut": ((45.0, 5.0, CUT_HATCH),),
        "thing": ((45.0, 3.5, THING_HATCH), (135.0, 3.5, THING_HATCH)),
    }.get(sign, ()):
        lines = hatch(box, degrees=degrees, apart=apart)
        draft.add("frame", Line(parts=lines_of(lines), style=style))


def _scale_bar(draft: Draft, view: View, at: XY, unit: Unit) -> None:
    """Draw a bar of whole feet or a round length in metres, in two halves."""
    step = _bar_step(view, unit)
    x, y = at
    for nth, style in enumerate((_BLACK, _BARE)):
        left = x + nth * step * view.factor
        ring = _corners(left, y, left + step * view.factor, y + 4)
        draft.add("frame", Line(parts=(ring,), style=style, closed=True))
    for nth in range(3):
        text = "0" if nth == 0 else format_length(nth * step, Unit.M if unit.is_metric else Unit.FT)
        draft.add("frame", _text((x + nth * step * view.factor, y - 8), text, SMALLEST))
    draft.add("frame", _text((x, y - 19), f"Scale {scale_text(view.scale, unit)} as printed at 100 %", 7))


def _bar_step(view: View, unit: Unit) -> Ticks:
    """Return half a scale bar, in ticks: at most 60 points."""
    steps = (
        [TICKS_PER_MM * mm for mm in (50, 100, 200, 250, 500, 1000, 2000, 5000, 10_000, 20_000)]
        if unit.is_metric
        else [12 * 8128 * feet // 2 for feet in (1, 2, 4, 10, 20, 40, 100, 200)]
    )
    fitting = [step for step in steps if step * view.factor <= 60]  # noqa: PLR2004
    return fitting[-1] if fitting else steps[0]


def draw_dimensions(draft: Draft, bounds: tuple[float, float, float, float], plan: Plan) -> None:
    """Draw the overall width and height below and left of everything on the plan."""
    view = draft.view
    (left, low), (right, high) = view.at(bounds[:2]), view.at(bounds[2:])
    for start, end, length, turn in (
        ((left, low - 24), (right, low - 24), bounds[2] - bounds[0], 0.0),
        ((left - 24, low), (left - 24, high), bounds[3] - bounds[1], 90.0),
    ):
        ticks = ((-2.5, -2.5), (2.5, 2.5))
        parts = [(start, end)]
        parts += [
            ((x + ticks[0][0], y + ticks[0][1]), (x + ticks[1][0], y + ticks[1][1])) for x, y in (start, end)
        ]
        line = shapely.LineString([start, end])
        if not draft.window.covers(line):
            continue
        draft.add("tags", Line(parts=tuple(parts), style=_THIN))
        text = format_length(round(length), plan.unit, plan.rules.cut_step)
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        box: Box = boxed(text, 7, at=middle, degrees=turn)
        draft.board.take(line.buffer(2))
        draft.tag(box, text, 7)
