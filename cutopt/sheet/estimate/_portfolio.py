"""Many units: types, then what is ordered where."""

from collections.abc import Iterator, Sequence

from cutopt.model.estimate import Figure
from cutopt.model.portfolio import Group, Level, PortfolioTotals
from cutopt.model.words import Block, Heading, Table
from cutopt.sheet._text import clean, count, para, shorten
from cutopt.sheet.estimate._figure import head
from cutopt.sheet.estimate._told import boxes_of, fitted, money, per_cent, plank_size, size

__all__ = ["portfolio_words"]

_TITLES = {Level.FLOOR: "Floors", Level.BUILDING: "Buildings", Level.PHASE: "Phases"}
_REASON = 200


def portfolio_words(totals: PortfolioTotals) -> list[Block]:
    """Return a portfolio: the answer, its types, and the boxes of every floor, building and phase."""
    whole = totals.whole
    price = "" if whole.price is None else f", {money(whole.price)}"
    blocks: list[Block] = [
        *head(totals.title, f"{boxes_of(whole.boxes or 0)} to order for {count(whole.units, 'unit')}{price}"),
        *(para(text, first="!! ") for text in _left_out(totals)),
        Heading("Types"),
        fitted(list(_types(totals))),
        *(para(text, first="  - ") for text in _reasons(totals)),
    ]
    for level, title in _TITLES.items():
        groups = [group for group in totals.groups if group.level is level]
        if groups:
            blocks += [Heading(title), _groups(groups), *_part_of_more(groups)]
    blocks += [Heading("Orders"), *(para(text, first="  - ") for text in _orders(whole))]
    return blocks


def _types(totals: PortfolioTotals) -> Iterator[tuple[str, ...]]:
    yield "type", "units", "net area", "planks", "least", "boxes", "laid %", "bought %"
    for one in totals.types:
        yield one.name, str(one.count), *_figure(one.figure)


def _figure(figure: Figure | None) -> tuple[str, ...]:
    if figure is None:
        return ("?",) * 6
    return (
        size(figure.losses.net, figure.unit),
        str(figure.planks),
        str(figure.bound),
        str(figure.boxes),
        per_cent(figure.as_laid),
        per_cent(figure.as_bought),
    )


def _groups(groups: Sequence[Group]) -> Table:
    """Return places; where several kinds of plank are ordered, each kind below its place."""
    priced = any(group.price is not None for group in groups)
    rows = [("", "units", "planks", "boxes", "price"), *(row for group in groups for row in _group(group))]
    return fitted(rows if priced else [row[:-1] for row in rows])


def _part_of_more(groups: Sequence[Group]) -> Iterator[Block]:
    if any(group.boxes is None for group in groups):
        yield para("-: part of a larger order, whose boxes are rounded up once", first="  ")


def _group(group: Group) -> Iterator[tuple[str, ...]]:
    planks = str(sum(order.planks for order in group.orders)) if group.orders else "-"
    boxes = "-" if group.boxes is None else str(group.boxes)
    price = "" if group.price is None else money(group.price)
    yield _place(group), str(group.units), planks, boxes, price
    if len(group.orders) > 1:
        each = map(str, group.boxes_each) if group.boxes_each else ("-" for _ in group.orders)
        for order, own in zip(group.orders, each, strict=True):
            yield f"- of {plank_size(order)}", "", str(order.planks), own, ""


def _place(group: Group) -> str:
    """Return a place as a person reads it, with its lot and what is missing in it."""
    lot = f" ({clean(group.lot)})" if group.lot else ""
    missing = f", without {', '.join(map(clean, group.missing))}" if group.missing else ""
    return clean(group.name) + lot + missing


def _orders(whole: Group) -> Iterator[str]:
    for order, boxes in zip(whole.orders, whole.boxes_each or (None,) * len(whole.orders), strict=True):
        own = "" if boxes is None else f"{boxes_of(boxes)} of "
        spare = f", {order.spare} spare" if order.spare else ""
        price = "" if order.price is not None else "; it has no price"
        yield f"{own}{plank_size(order)}: {count(order.planks, 'plank')} to lay{spare}{price}"


def _left_out(totals: PortfolioTotals) -> Iterator[str]:
    names = [shorten(one.name, 30) for one in totals.types if one.failed is not None]
    if names:
        yield f"Left out of all sums, for it could not be planned: {', '.join(names)}."


def _reasons(totals: PortfolioTotals) -> Iterator[str]:
    for one in totals.types:
        if one.failed is not None:
            why = shorten("; ".join(one.failed.problems[:1]), _REASON)
            yield f"{shorten(one.name, 40)}: {one.failed.why}" + (f" ({why})" if why else "")
