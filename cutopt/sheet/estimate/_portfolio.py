"""Many units: types, then what is ordered where."""

from collections.abc import Iterator, Sequence

from cutopt.model.estimate import Figure
from cutopt.model.portfolio import Group, Level, PortfolioTotals, TypeResult
from cutopt.model.words import Block, Heading, Line, Table
from cutopt.sheet._text import clean, count, para, shorten
from cutopt.sheet.estimate._figure import boxes_of
from cutopt.sheet.estimate._told import money, percent, plank_size

__all__ = ["portfolio_words"]

_TITLES = {Level.FLOOR: "Floors", Level.BUILDING: "Buildings", Level.PHASE: "Phases"}
_RULE = "=" * 80


def portfolio_words(totals: PortfolioTotals) -> list[Block]:
    """Return a portfolio: the answer, its types, and the boxes of every floor, building and phase."""
    whole = totals.whole
    blocks: list[Block] = [
        Line(shorten(totals.title, 80)),
        Line(_RULE),
        Line(f"{boxes_of(whole.boxes or 0)} to order for {count(whole.units, 'unit')}{_money(whole)}"),
        Heading("Types"),
        Table(tuple(_types(totals)), frozenset({1, 2, 3, 4, 5, 6})),
    ]
    for level, title in _TITLES.items():
        groups = [group for group in totals.groups if group.level is level]
        if groups:
            blocks += [Heading(title), _groups(groups)]
    blocks += [Heading("Orders"), *(_order(order) for order in whole.orders)]
    return [*blocks, *(para(text, first="  !! ") for text in _failures(totals))]


def _money(group: Group) -> str:
    return "" if group.price is None else f", {money(group.price)}"


def _types(totals: PortfolioTotals) -> Iterator[tuple[str, ...]]:
    yield "type", "units", "planks", "at least", "boxes", "as laid", "as bought"
    for one in totals.types:
        yield shorten(one.name, 26), str(one.count), *_figure(one.figure)


def _figure(figure: Figure | None) -> tuple[str, ...]:
    if figure is None:
        return ("?",) * 5
    return (
        str(figure.planks),
        str(figure.bound),
        str(figure.boxes),
        percent(figure.as_laid),
        percent(figure.as_bought),
    )


def _group_name(group: Group) -> str:
    """Return a place as a person reads it, with its lot."""
    return clean(group.name) + (f" ({clean(group.lot)})" if group.lot else "")


def _groups(groups: Sequence[Group]) -> Table:
    priced = any(group.price is not None for group in groups)
    rows = [("", "units", "planks", "boxes", "price"), *map(_group, groups)]
    return Table(tuple(row if priced else row[:-1] for row in rows), frozenset({1, 2, 3, 4}))


def _group(group: Group) -> tuple[str, ...]:
    planks = str(sum(order.planks for order in group.orders)) if group.orders else "-"
    boxes = "-" if group.boxes is None else str(group.boxes)
    price = "" if group.price is None else money(group.price)
    return shorten(_group_name(group), 42), str(group.units), planks, boxes, price


def _order(order: Figure) -> Block:
    text = f"{plank_size(order)}: {count(order.planks, 'plank')} to lay, {order.spare} spare"
    return para(text, first="  - ")


def _failures(totals: PortfolioTotals) -> Iterator[str]:
    failed: list[TypeResult] = [one for one in totals.types if one.failed is not None]
    if failed:
        names = ", ".join(shorten(one.name, 30) for one in failed)
        yield f"Left out of all sums, for it could not be planned: {names}."
