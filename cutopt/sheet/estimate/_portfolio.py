"""Many units: types, then what is ordered where."""

from collections.abc import Iterator

from cutopt.model.estimate import Figure
from cutopt.model.portfolio import Group, Level, PortfolioTotals, TypeResult
from cutopt.model.words import Block, Heading, Line, Table
from cutopt.sheet._text import clean, count, para, shorten
from cutopt.sheet.estimate._figure import boxes_of, total_price
from cutopt.sheet.estimate._told import money, percent, plank_size

__all__ = ["group_name", "portfolio_words", "price_of"]

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
            blocks += [Heading(title), Table(tuple(_groups(groups)), frozenset({1, 2, 3}))]
    blocks += [Heading("Orders"), *(_order(order) for order in whole.orders)]
    return [*blocks, *(para(text, first="  !! ") for text in _failures(totals))]


def _money(group: Group) -> str:
    price = price_of(group)
    return "" if price is None else f", {price}"


def price_of(group: Group) -> str | None:
    """Return what the boxes of a place cost with tax, where all have a price."""
    if group.boxes is None or len(group.orders) != 1 or group.orders[0].price is None:
        return None
    order = group.orders[0]
    if order.boxes != group.boxes or not order.boxes:
        return None
    total = total_price(order)
    return None if total is None else money(total)


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


def group_name(group: Group) -> str:
    """Return a place as a person reads it, with its lot."""
    return clean(group.name) + (f" ({clean(group.lot)})" if group.lot else "")


def _groups(groups: list[Group]) -> Iterator[tuple[str, ...]]:
    yield "", "units", "planks", "boxes"
    for group in groups:
        planks = str(sum(order.planks for order in group.orders)) if group.orders else "-"
        boxes = "-" if group.boxes is None else str(group.boxes)
        yield shorten(group_name(group), 50), str(group.units), planks, boxes


def _order(order: Figure) -> Block:
    text = f"{plank_size(order)}: {count(order.planks, 'plank')} to lay, {order.spare} spare"
    return para(text, first="  - ")


def _failures(totals: PortfolioTotals) -> Iterator[str]:
    failed: list[TypeResult] = [one for one in totals.types if one.failed is not None]
    if failed:
        names = ", ".join(shorten(one.name, 30) for one in failed)
        yield f"Left out of all sums, for it could not be planned: {names}."
