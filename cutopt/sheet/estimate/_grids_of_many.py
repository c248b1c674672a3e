"""Studies, tables of rooms and portfolios as tables for a spreadsheet."""

from collections.abc import Iterator, Sequence

from cutopt.model.estimate import Failed, Figure, RoomCell, Study, StudyRow
from cutopt.model.grids import Grid, GridCell
from cutopt.model.portfolio import Group, PortfolioTotals
from cutopt.model.pricing import Choice, Varied
from cutopt.sheet._csv_cells import unit_of
from cutopt.sheet.estimate._grids import HABIT_TITLES, area_cells, habit_cells, length_cell
from cutopt.sheet.estimate._told import total_price
from cutopt.units import Unit, format_length

__all__ = ["portfolio_grids", "study_grid", "waste_grid"]


def study_grid(study: Study, unit: Unit) -> Grid:
    """Return all choices with what they come to; what could not be planned has its reason.

    Whatever is varied has a column of its own (lengths in the unit it names, directions in degrees), empty where
    the choice leaves it as the job has it.
    """
    varied = tuple(dict.fromkeys(what for row in study.rows for what, _ in row.changed))
    header = (
        "choice",
        *(_title(what, unit) for what in varied),
        "net area",
        "area in",
        "planks",
        "planks at least",
        "boxes",
        "waste as laid",
        "waste as bought",
        "price with tax",
        "cheapest",
        "least waste",
        "failed",
    )
    rows = tuple(_study_row(study, nth, varied, unit) for nth in range(len(study.rows)))
    percent = frozenset(header.index(title) for title in ("waste as laid", "waste as bought"))
    return Grid(name="study", header=header, rows=rows, percent=percent)


def _title(what: Varied, unit: Unit) -> str:
    name = what.replace("_", " ")
    if what is Varied.DIRECTION:
        return f"{name} (degrees)"
    return f"{name} ({unit_of(unit)})" if what in _LENGTHS else name


_LENGTHS = {Varied.STAGGER, Varied.MIN_PIECE, Varied.FIRST_WIDTH, Varied.KERF}


def _study_row(study: Study, nth: int, varied: Sequence[Varied], unit: Unit) -> tuple[GridCell, ...]:
    row = study.rows[nth]
    return (
        row.name,
        *_choices(row, varied, unit),
        *_study_cells(row.figure, unit),
        "yes" if nth in study.cheapest else "",
        "yes" if nth in study.least_waste else "",
        _why(row.failed),
    )


def _choices(row: StudyRow, varied: Sequence[Varied], unit: Unit) -> Iterator[GridCell]:
    changed = dict(row.changed)
    for what in varied:
        yield _choice(what, changed.get(what), unit)


def _choice(what: Varied, choice: "Choice | None", unit: Unit) -> GridCell:
    if what in _LENGTHS and isinstance(choice, int):
        return length_cell(choice, unit)
    return choice


def _study_cells(figure: Figure | None, unit: Unit) -> tuple[GridCell, ...]:
    if figure is None:
        return (None,) * 8
    return (
        *area_cells(figure.losses.net, unit),
        figure.planks,
        figure.bound,
        figure.boxes,
        figure.as_laid,
        figure.as_bought,
        total_price(figure),
    )


def _why(failed: Failed | None) -> str:
    return "" if failed is None else ": ".join(filter(None, (failed.why, "; ".join(failed.problems))))


def waste_grid(cells: Sequence[RoomCell], unit: Unit) -> Grid:
    """Return the rooms of a table, one a row, lengths in the unit that ``in`` names."""
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
        *HABIT_TITLES,
        "failed",
    )
    rows = tuple(
        (
            cell.shape.value,
            length_cell(cell.along, unit),
            length_cell(cell.across, unit),
            unit_of(unit),
            *_room(cell.figure),
            _why(cell.failed),
        )
        for cell in cells
    )
    return Grid(name="rooms", header=header, rows=rows, percent=frozenset({7, 8}))


def _room(figure: Figure | None) -> tuple[GridCell, ...]:
    if figure is None:
        return (None,) * (5 + len(HABIT_TITLES))
    counts = (figure.planks, figure.bound, figure.boxes)
    return (*counts, figure.as_laid, figure.as_bought, *habit_cells(figure))


def portfolio_grids(totals: PortfolioTotals) -> tuple[Grid, ...]:
    """Return a portfolio: places with their boxes, what of each plank is ordered there, and types.

    Floors add up to buildings and these to phases: sum the rows of one level only.
    """
    places = [(group.level.value, group) for group in totals.groups]
    places.append(("all", totals.whole))
    return (
        Grid(
            name="places",
            header=("level", "place", "lot", "units", "planks", "boxes", "price", "missing"),
            rows=tuple(_place(level, group) for level, group in places),
        ),
        Grid(
            name="planks",
            header=(
                "level",
                "place",
                "plank",
                "planks per box",
                "planks",
                "spare planks",
                "boxes",
                "net area",
                "area in",
            ),
            rows=tuple(row for level, group in places for row in _orders(level, group)),
        ),
        _types(totals),
    )


def _place(level: str, group: Group) -> tuple[GridCell, ...]:
    planks = sum(order.planks for order in group.orders) if group.orders else None
    missing = ", ".join(group.missing)
    return level, group.name, group.lot, group.units, planks, group.boxes, group.price, missing


def _orders(level: str, group: Group) -> Iterator[tuple[GridCell, ...]]:
    for order, boxes in zip(group.orders, group.boxes_each or (None,) * len(group.orders), strict=True):
        plank = f"{format_length(order.plank.length, order.unit)} x {format_length(order.plank.width, order.unit)}"
        yield (
            level,
            group.name,
            plank,
            order.plank.per_box,
            order.planks,
            order.spare,
            boxes,
            *area_cells(order.losses.net, order.unit),
        )


def _types(totals: PortfolioTotals) -> Grid:
    header = (
        "type",
        "units",
        "net area",
        "area in",
        "planks",
        "planks at least",
        "boxes",
        "waste as laid",
        "waste as bought",
        "failed",
    )
    rows = tuple((one.name, one.count, *_type(one.figure), _why(one.failed)) for one in totals.types)
    return Grid(name="types", header=header, rows=rows, percent=frozenset({7, 8}))


def _type(figure: Figure | None) -> tuple[GridCell, ...]:
    if figure is None:
        return (None,) * 7
    area = area_cells(figure.losses.net, figure.unit)
    counts = (figure.planks, figure.bound, figure.boxes)
    return (*area, *counts, figure.as_laid, figure.as_bought)
