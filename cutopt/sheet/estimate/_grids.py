"""What is told as tables for a spreadsheet: the same figures, unrounded, in columns that may be summed."""

import csv
import io
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from cutopt.model.estimate import Figure, Margin, Risk, RoomCell, Study
from cutopt.model.grids import Grid, GridCell
from cutopt.model.portfolio import Group, PortfolioTotals
from cutopt.sheet._csv_cells import quotient_cell, text_cell, unit_of
from cutopt.sheet.estimate._figure import LOSSES, loss_parts, total_price
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks, Unit

__all__ = [
    "grid_csv",
    "loss_grid",
    "margin_grid",
    "order_grid",
    "portfolio_grids",
    "risk_grid",
    "study_grid",
    "waste_grid",
]

_SQUARE_FOOT = Fraction(3048, 10) ** 2
_SQUARE_METRE = Fraction(10**6)
_SIZES = {"in": TICKS_PER_INCH, "mm": TICKS_PER_MM, "cm": 10 * TICKS_PER_MM, "m": 1000 * TICKS_PER_MM}


def grid_csv(grid: Grid) -> str:
    """Return a table as CSV (RFC 4180): decimals exact to a millionth, no text a spreadsheet would run as a formula."""
    out = io.StringIO()
    table = csv.writer(out)
    table.writerow(grid.header)
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


def order_grid(figures: Sequence[Figure]) -> Grid:
    """Return what is ordered, job by job."""
    header = (
        "job",
        "jobs",
        "net area",
        "area in",
        "planks",
        "planks at least",
        "spare planks",
        "planks per box",
        "boxes",
        "price per box",
        "price",
        "tax",
        "total",
        "waste as laid",
        "waste as bought",
        *(f"boxes at {share} %" for share in (5, 10, 15)),
        "unopened boxes",
    )
    return Grid(
        name="order", header=header, rows=tuple(map(_order_row, figures)), percent=frozenset({13, 14})
    )


def _order_row(figure: Figure) -> tuple[GridCell, ...]:
    area, name = _area(figure.losses.net, figure.unit)
    habits = {habit.share: habit.boxes for habit in figure.habits}
    return (
        figure.title,
        figure.jobs,
        area,
        name,
        figure.planks,
        figure.bound,
        figure.spare,
        figure.plank.per_box,
        figure.boxes,
        figure.plank.box_price,
        figure.price,
        figure.tax,
        total_price(figure),
        figure.as_laid,
        figure.as_bought,
        *(habits.get(Fraction(share, 100)) for share in (5, 10, 15)),
        figure.unopened,
    )


def _area(mm2: Fraction, unit: Unit) -> tuple[Fraction, str]:
    return (mm2 / _SQUARE_METRE, "m2") if unit.is_metric else (mm2 / _SQUARE_FOOT, "sq ft")


def _length(ticks: Ticks, unit: Unit) -> Fraction:
    return Fraction(ticks, _SIZES[unit_of(unit)])


def loss_grid(figures: Sequence[Figure]) -> Grid:
    """Return where the area bought goes: one part a row, the last row of a job their sum."""
    rows: list[tuple[GridCell, ...]] = []
    for figure in figures:
        net = figure.losses.net
        parts = (
            ("net area", net),
            *zip(LOSSES, loss_parts(figure), strict=True),
            ("bought", figure.losses.bought),
        )
        for name, part in parts:
            area, unit = _area(part, figure.unit)
            rows.append((figure.title, name, area, unit, part / net))
    return Grid(
        name="losses",
        header=("job", "part", "area", "area in", "share of net area"),
        rows=tuple(rows),
        percent=frozenset({4}),
    )


def margin_grid(margins: Sequence[Margin], unit: Unit) -> Grid:
    """Return how far things may grow, in the unit that ``in`` names."""
    name = unit_of(unit)
    rows = tuple(
        (
            margin.of.what,
            _length(margin.of.now, unit),
            _length(margin.good, unit),
            name,
            _length(margin.grain, unit),
            margin.next_boxes,
            "as far as tried" if margin.open_end else "",
        )
        for margin in margins
    )
    header = ("what", "now", "good to", "in", "tried every", "boxes at the next", "note")
    return Grid(name="margins", header=header, rows=rows)


def study_grid(study: Study, unit: Unit) -> Grid:
    """Return all choices with what they come to; what could not be planned has its reason."""
    header = (
        "choice",
        "planks",
        "planks at least",
        "boxes",
        "price with tax",
        "waste as laid",
        "waste as bought",
        "cheapest",
        "least waste",
        "net area",
        "area in",
        "failed",
    )
    rows: list[tuple[GridCell, ...]] = []
    for nth, row in enumerate(study.rows):
        figure = row.figure
        if figure is None:
            why = "" if row.failed is None else f"{row.failed.why}: {'; '.join(row.failed.problems)}"
            rows.append((row.name, *(None,) * 10, why))
            continue
        marks = ("yes" if nth in study.cheapest else "", "yes" if nth in study.least_waste else "")
        rows.append(
            (
                row.name,
                figure.planks,
                figure.bound,
                figure.boxes,
                total_price(figure),
                figure.as_laid,
                figure.as_bought,
                *marks,
                *_area(figure.losses.net, unit),
                "",
            )
        )
    return Grid(name="study", header=header, rows=tuple(rows), percent=frozenset({5, 6}))


def risk_grid(risk: Risk, figure: Figure) -> Grid:
    """Return what every order means; chances as they were computed, to twelve digits."""
    rows = tuple(
        (
            figure.title,
            order.boxes,
            _float(order.enough),
            _float(order.error),
            _float(order.returned),
            None if order.cost is None else Decimal(f"{order.cost:.2f}"),
            "yes" if order.boxes == risk.cheapest else "",
        )
        for order in risk.orders
    )
    header = ("job", "boxes", "enough", "standard error", "sealed over", "expected cost", "cheapest")
    return Grid(name="risk", header=header, rows=rows, percent=frozenset({2, 3}))


def _float(value: float) -> Fraction:
    return Fraction(f"{value:.12f}")


def waste_grid(cells: Sequence[RoomCell], unit: Unit) -> Grid:
    """Return the rooms of a table, one a row."""
    name = unit_of(unit)
    rows: list[tuple[GridCell, ...]] = []
    for cell in cells:
        where = (cell.shape.value, _length(cell.along, unit), _length(cell.across, unit), name)
        figure = cell.figure
        if figure is None:
            rows.append((*where, *(None,) * 8, "" if cell.failed is None else cell.failed.why.value))
            continue
        habits = {habit.share: habit.boxes for habit in figure.habits}
        rows.append(
            (
                *where,
                figure.planks,
                figure.bound,
                figure.boxes,
                figure.as_laid,
                figure.as_bought,
                *(habits.get(Fraction(share, 100)) for share in (5, 10, 15)),
                "",
            )
        )
    header = (
        "shape",
        "along",
        "across",
        "in",
        "planks",
        "planks at least",
        "boxes",
        "waste as laid",
        "waste as bought",
        *(f"boxes at {share} %" for share in (5, 10, 15)),
        "failed",
    )
    return Grid(name="rooms", header=header, rows=tuple(rows), percent=frozenset({7, 8}))


def portfolio_grids(totals: PortfolioTotals) -> tuple[Grid, ...]:
    """Return a portfolio: places with their boxes, and types."""
    whole = ("all", *_place_row(totals.whole)[1:])
    places = (*map(_place_row, totals.groups), whole)
    types = tuple(
        (
            one.name,
            one.count,
            *_figure_cells(one.figure),
            "" if one.failed is None else f"{one.failed.why}: {'; '.join(one.failed.problems)}",
        )
        for one in totals.types
    )
    return (
        Grid(
            name="places",
            header=("level", "place", "lot", "units", "planks", "boxes", "price", "missing"),
            rows=places,
        ),
        Grid(
            name="types",
            header=("type", "units", "planks", "planks at least", "boxes", "waste as laid", "failed"),
            rows=types,
            percent=frozenset({5}),
        ),
    )


def _place_row(group: Group) -> tuple[GridCell, ...]:
    planks = sum(order.planks for order in group.orders) if group.orders else None
    missing = ", ".join(group.missing)
    return group.level.value, group.name, group.lot, group.units, planks, group.boxes, group.price, missing


def _figure_cells(figure: Figure | None) -> tuple[GridCell, ...]:
    if figure is None:
        return (None,) * 4
    return figure.planks, figure.bound, figure.boxes, figure.as_laid
