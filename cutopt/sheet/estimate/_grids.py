"""What is told of jobs as tables for a spreadsheet: the same figures, unrounded, and tables as CSV."""

import csv
import io
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from math import floor

from cutopt.model.estimate import Figure, Margin, Risk
from cutopt.model.grids import Grid, GridCell
from cutopt.sheet._csv_cells import quotient_cell, text_cell, unit_of
from cutopt.sheet.estimate._losses import LOSSES, area_unit, loss_parts
from cutopt.sheet.estimate._told import total_price
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks, Unit

__all__ = [
    "HABIT_TITLES",
    "area_cells",
    "grid_csv",
    "habit_cells",
    "length_cell",
    "loss_grid",
    "margin_grid",
    "order_grid",
    "risk_grid",
]

_TICKS = {"in": TICKS_PER_INCH, "mm": TICKS_PER_MM, "cm": 10 * TICKS_PER_MM, "m": 1000 * TICKS_PER_MM}
_HABITS = (5, 10, 15)
_MILLION = 10**6

HABIT_TITLES = tuple(f"boxes at {share} %" for share in _HABITS)


def grid_csv(grid: Grid) -> str:
    """Return a table as CSV (RFC 4180). Areas, lengths and shares are decimals rounded to a millionth, money is exact.

    Shares are fractions of 1. Text that a spreadsheet would run as a formula is put behind an apostrophe.
    """
    out = io.StringIO()
    table = csv.writer(out)
    table.writerow(map(text_cell, grid.header))
    for row in grid.rows:
        table.writerow([_cell(cell) for cell in row])
    return out.getvalue()


def _cell(cell: GridCell) -> str:
    match cell:
        case None:
            return ""
        case str():
            return text_cell(cell)
        case Fraction():
            return quotient_cell(cell)
        case Decimal():
            return f"{cell:f}"
        case _:
            return str(cell)


def area_cells(mm2: Fraction, unit: Unit) -> tuple[Fraction, str]:
    """Return an area in square feet or metres, and which."""
    square, name = area_unit(unit)
    return mm2 / square, name


def length_cell(ticks: Ticks, unit: Unit) -> Fraction:
    """Return a length in the unit that ``unit_of`` names: inches for feet."""
    return Fraction(ticks, _TICKS[unit_of(unit)])


def habit_cells(figure: Figure) -> tuple[int | None, ...]:
    """Return the boxes of :data:`HABIT_TITLES`."""
    habits = {habit.share: habit.boxes for habit in figure.habits}
    return tuple(habits.get(Fraction(share, 100)) for share in _HABITS)


def order_grid(figures: Sequence[Figure]) -> Grid:
    """Return what is ordered, a row for each figure; ``jobs`` is over 1 where that is the order of several."""
    header = (
        "job",
        "jobs",
        "net area",
        "area in",
        "planks",
        "planks at least",
        "culls",
        "spare planks",
        "planks per box",
        "boxes",
        "price per box",
        "price",
        "tax",
        "total",
        "waste as laid",
        "waste as bought",
        *HABIT_TITLES,
        "unopened boxes",
    )
    percent = frozenset(header.index(title) for title in ("culls", "waste as laid", "waste as bought"))
    return Grid(name="order", header=header, rows=tuple(map(_order_row, figures)), percent=percent)


def _order_row(figure: Figure) -> tuple[GridCell, ...]:
    return (
        figure.title,
        figure.jobs,
        *area_cells(figure.losses.net, figure.unit),
        figure.planks,
        figure.bound,
        figure.culls,
        figure.spare,
        figure.plank.per_box,
        figure.boxes,
        figure.plank.box_price,
        figure.price,
        figure.tax,
        total_price(figure),
        figure.as_laid,
        figure.as_bought,
        *habit_cells(figure),
        figure.unopened,
    )


def loss_grid(figures: Sequence[Figure]) -> Grid:
    """Return where the area bought goes: one part a row, the last row of a job their sum."""
    rows: list[tuple[GridCell, ...]] = []
    for figure in figures:
        net = figure.losses.net
        parts = zip(LOSSES, loss_parts(figure), strict=True)
        for name, part in (("net area", net), *parts, ("bought", figure.losses.bought)):
            rows.append((figure.title, name, *area_cells(part, figure.unit), part / net))
    header = ("job", "part", "area", "area in", "share of net area")
    return Grid(name="losses", header=header, rows=tuple(rows), percent=frozenset({4}))


def margin_grid(margins: Sequence[Margin], unit: Unit) -> Grid:
    """Return how far things may grow, in the unit that ``in`` names; a row for every other length with its boxes.

    These rows have the length in ``good to`` empty: they are lengths found on the way that need fewer, or more.
    """
    header = (
        "what",
        "now",
        "in",
        "good to",
        "boxes at the next",
        "tried every",
        "at length",
        "boxes there",
        "note",
    )
    rows: list[tuple[GridCell, ...]] = []
    for one in margins:
        same = (one.of.what, length_cell(one.of.now, unit), unit_of(unit))
        good, grain = length_cell(one.good, unit), length_cell(one.grain, unit)
        rows.append((*same, good, one.next_boxes, grain, None, None, _note(one)))
        rows += [
            (*same, None, None, None, length_cell(at, unit), boxes, note)
            for lengths, note in ((one.cheaper, "fewer boxes"), (one.dearer, "more boxes"))
            for at, boxes in lengths
        ]
    return Grid(name="margins", header=header, rows=tuple(rows))


def _note(margin: Margin) -> str:
    return "; ".join(filter(None, ("as far as tried" if margin.open_end else "", margin.note)))


def risk_grid(risk: Risk, figure: Figure) -> Grid:
    """Return what every order means; chances are rounded down to a millionth, so that none becomes certain by it."""
    header = (
        "job",
        "boxes",
        "enough",
        "standard error",
        "boxes going back",
        "expected cost",
        "cheapest",
        "as figured",
        *(f"enough for {float(level * 100):g} %" for level, _ in risk.levels),
    )
    rows = tuple(
        (
            figure.title,
            order.boxes,
            Fraction(floor(order.enough * _MILLION), _MILLION),
            Fraction(f"{order.error:.6f}"),
            Fraction(f"{order.returned:.6f}"),
            None if order.cost is None else Decimal(f"{order.cost:.2f}"),
            _yes(order.boxes == risk.cheapest),
            _yes(order.boxes == figure.boxes),
            *(_yes(order.boxes >= boxes) for _, boxes in risk.levels),
        )
        for order in risk.orders
    )
    return Grid(name="risk", header=header, rows=rows, percent=frozenset({2, 3}))


def _yes(holds: bool) -> str:  # noqa: FBT001 - a cell's own value
    return "yes" if holds else ""
