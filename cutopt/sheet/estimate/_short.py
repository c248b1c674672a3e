"""One line a job, or one for a portfolio."""

from collections.abc import Iterator, Sequence

from cutopt.model.estimate import Figure
from cutopt.model.portfolio import PortfolioTotals
from cutopt.model.words import Block, Line
from cutopt.sheet._text import clean, count, para
from cutopt.sheet.estimate._told import at_least, boxes_of, money, percent, total_price

__all__ = ["short_words", "timed_words"]


def short_words(figures: Sequence[Figure], totals: PortfolioTotals | None) -> Iterator[Block]:
    """Yield a line for every job, or one for a portfolio."""
    if totals is not None:
        whole = totals.whole
        yield Line(f"{clean(totals.title)}: {boxes_of(whole.boxes or 0)} for {count(whole.units, 'unit')}")
    for figure in figures:
        total = total_price(figure)
        price = "" if total is None else f", {money(total)}"
        yield Line(
            f"{clean(figure.title)}: {boxes_of(figure.boxes)}{price}, {count(figure.planks, 'plank')} ({at_least(figure)}), "
            f"waste {percent(figure.as_laid)} as laid, {percent(figure.as_bought)} as bought"
        )


def timed_words(timed: int) -> Iterator[Block]:
    """Yield a warning where the clock ended plans, so that they may come out otherwise elsewhere."""
    if timed:
        verb = "was" if timed == 1 else "were"
        yield Line()
        yield para(
            f"{count(timed, 'plan')} {verb} ended by the clock: on another machine, or with another --time-limit, the figures "
            "may be others.",
            first="!! ",
        )
