"""Several jobs: one by one in a table, then what is ordered together."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from cutopt.model.estimate import Figure
from cutopt.model.words import Block, Heading, Table
from cutopt.sheet._text import count, para
from cutopt.sheet.estimate._figure import needs
from cutopt.sheet.estimate._losses import area_unit
from cutopt.sheet.estimate._told import (
    boxes_of,
    fitted,
    money,
    per_cent,
    percent,
    plank_size,
    size,
    total_price,
)

__all__ = ["figures_words"]


def figures_words(figures: Sequence[Figure], orders: Sequence[Figure]) -> list[Block]:
    """Return several jobs in a table, then what is ordered in all: jobs with the same plank are rounded up together."""
    return [
        Heading("Jobs"),
        _jobs(figures),
        para("Planks to lay, and the least that any plan needs; waste as laid and as bought.", first="  - "),
        Heading("Ordered together"),
        *(para(_order(order, figures), first="  - ") for order in orders),
        *(para(text, first="  - ") for text in _in_all(orders)),
    ]


def _jobs(figures: Sequence[Figure]) -> Table:
    units = {area_unit(figure.unit)[1] for figure in figures}
    unit = units.pop() if len(units) == 1 else ""
    header = ("job", unit or "net area", "planks", "least", "boxes", "laid %", "bought %")
    return fitted([header, *(_job(figure, unit) for figure in figures)])


def _job(figure: Figure, unit: str) -> tuple[str, ...]:
    return (
        figure.title,
        size(figure.losses.net, figure.unit).removesuffix(f" {unit}"),
        str(figure.planks),
        str(figure.bound),
        str(figure.boxes),
        per_cent(figure.as_laid),
        per_cent(figure.as_bought),
    )


def _order(order: Figure, figures: Sequence[Figure]) -> str:
    jobs = count(order.jobs, "job")
    parts = [
        f"{plank_size(order)}: {boxes_of(order.boxes)} for {jobs} ({needs(order)})",
        f"waste factor {percent(order.as_bought)} as bought",
    ]
    apart = sum(figure.boxes for figure in figures if _terms(figure) == _terms(order))
    if apart > order.boxes:
        parts.append(f"{apart} if each job were rounded up by itself")
    total = total_price(order)
    if total is not None:
        parts.append(f"{money(total)} with tax" if order.tax else money(total))
    return "; ".join(parts) + "."


def _terms(figure: Figure) -> object:
    """Return what is the same in figures that one order is of."""
    return figure.plank, figure.culls, figure.tax_share


def _in_all(orders: Sequence[Figure]) -> Iterator[str]:
    """Yield what several orders come to, and what is not in it for want of a price."""
    if len(orders) < 2:  # noqa: PLR2004 - one order is its own sum
        return
    totals = [total for order in orders if (total := total_price(order)) is not None]
    text = f"In all {boxes_of(sum(order.boxes for order in orders))}"
    if totals:
        text += f", {money(sum(totals, Decimal(0)))}"
        if len(totals) < len(orders):
            text += f" without {count(len(orders) - len(totals), 'order')} that {'has' if len(orders) - len(totals) == 1 else 'have'} no price"
    yield text + "."
