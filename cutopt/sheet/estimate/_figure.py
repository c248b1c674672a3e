"""The figure of one job, of several, and where the loss goes."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from math import ceil

from cutopt.model.estimate import Figure
from cutopt.model.words import Block, Heading, Line, Table
from cutopt.sheet._text import clean, count, labels, para, shorten
from cutopt.sheet.estimate._told import at_least, money, percent, plank_size, shares, size
from cutopt.units import TICKS_PER_MM, format_area

__all__ = [
    "LOSSES",
    "boxes_of",
    "figure_words",
    "figures_words",
    "loss_parts",
    "price_of_area",
    "total_price",
]

LOSSES = ("cut ends", "slants and shapes", "rips", "kerf", "culls", "spare", "rounding to boxes")
"""What is lost between what is bought and the net area, in the order told."""

_SQUARE_FOOT = Fraction(3048, 10) ** 2
_SQUARE_METRE = Fraction(10**6)
_WORTH_TELLING = Fraction(1, 1000)
_RULE = "=" * 80


def loss_parts(figure: Figure) -> tuple[Fraction, ...]:
    """Return the areas of :data:`LOSSES`, in square millimetres; with the net area they add up to what is bought."""
    losses = figure.losses
    return (
        losses.ends,
        losses.slants,
        losses.rips,
        losses.kerf,
        losses.culls,
        losses.spare,
        losses.rounding,
    )


def total_price(figure: Figure) -> Decimal | None:
    """Return the price with tax, where boxes are priced."""
    return None if figure.price is None else figure.price + (figure.tax or Decimal(0))


def price_of_area(figure: Figure) -> str:
    """Return what a unit of net area comes to with tax, nothing without a price."""
    total = total_price(figure)
    if total is None:
        return ""
    area, name = (_SQUARE_METRE, "m2") if figure.unit.is_metric else (_SQUARE_FOOT, "sq ft")
    units = figure.losses.net / area
    return f"{money(total * units.denominator / units.numerator)} per {name} of floor"


def boxes_of(number: int) -> str:
    """Return a number of boxes with its noun."""
    return count(number, "box", "boxes")


def figure_words(figure: Figure) -> list[Block]:
    """Return the answer for one job: boxes and waste factor, the habit beside it, and where the loss goes."""
    head: list[Block] = [
        Line(shorten(figure.title, 80)),
        Line(_RULE),
        Line(
            f"{boxes_of(figure.boxes)} to order; waste factor {percent(figure.as_bought)} as bought, {percent(figure.as_laid)} as laid"
        ),
        Heading("Figure"),
        labels(_figure_rows(figure)),
        *_coverage(figure),
        Heading("Beside the habit"),
        Table(tuple(_habit_rows(figure)), frozenset({1})),
        *_covers(figure),
    ]
    return [*head, Heading("Where it goes"), *_loss_table(figure)]


def _figure_rows(figure: Figure) -> Iterator[tuple[str, str]]:
    yield "net area", size(figure.losses.net, figure.unit)
    yield "plank", plank_size(figure)
    yield "planks", f"{figure.planks} to lay ({at_least(figure)}), {count(figure.cuts, 'cut')}"
    yield "boxes", _boxes(figure)
    yield "as laid", f"{percent(figure.as_laid)} waste: planks opened over net area"
    yield "as bought", f"{percent(figure.as_bought)} waste: all boxes over net area"
    yield "unopened", f"{boxes_of(figure.unopened)} expected still sealed at the end"
    total = total_price(figure)
    if figure.price is not None and total is not None:
        yield "price", f"{figure.boxes} x {money(figure.price / figure.boxes)} = {money(figure.price)}"
        if figure.tax:
            yield "tax", f"{float(figure.tax_share * 100):g} % = {money(figure.tax)}"
        yield "total", f"{money(total)}, {price_of_area(figure)}"


def _boxes(figure: Figure) -> str:
    parts = [count(figure.planks, "plank")]
    culls = ceil(figure.planks / (1 - figure.culls)) - figure.planks
    if figure.culls:
        parts.append(f"{count(culls, 'cull')} expected at {float(figure.culls * 100):g} %")
    if figure.spare:
        parts.append(f"{figure.spare} spare")
    return f"{boxes_of(figure.boxes)} of {figure.plank.per_box}: {', '.join(parts)}, rounded up once"


def _coverage(figure: Figure) -> Iterator[Block]:
    """Yield a word where the area printed on a box is not that of its planks."""
    plank = figure.plank
    width = plank.width if plank.nominal_width is None else plank.nominal_width
    computed = Fraction(plank.length * width * plank.per_box, TICKS_PER_MM**2)
    printed = plank.box_coverage_mm2
    if printed is not None and abs(printed / computed - 1) >= _WORTH_TELLING:
        yield para(
            f"A box says {format_area(printed, figure.unit)}; its planks come to {format_area(computed, figure.unit)}. "
            "Planks are counted here, so that decides nothing.",
            first="  - ",
        )


def _habit_rows(figure: Figure) -> Iterator[tuple[str, ...]]:
    yield "", "boxes", ""
    yield "computed", str(figure.boxes), ""
    for habit in figure.habits:
        over = habit.boxes - figure.boxes
        verdict = "the same" if not over else f"{boxes_of(abs(over))} {'too many' if over > 0 else 'short'}"
        yield f"net area + {float(habit.share * 100):g} %", str(habit.boxes), verdict


def _covers(figure: Figure) -> Iterator[Block]:
    """Yield what the habit has to cover besides cutting, where anything."""
    extra = [word for word, told in (("culls", figure.culls), ("spare planks", figure.spare)) if told]
    if extra:
        yield para(
            f"The boxes computed hold {' and '.join(extra)}: a habit must cover these too.", first="  - "
        )


def _loss_table(figure: Figure) -> Iterator[Block]:
    losses, unit = figure.losses, figure.unit
    parts = (losses.net, *loss_parts(figure))
    told = shares(parts, losses.net)
    opened = 5
    rows = [("", "area", "of the net area"), ("net area", size(losses.net, unit), told[0])]
    rows += [
        (name, size(part, unit), share)
        for name, part, share in zip(LOSSES[: opened - 1], parts[1:opened], told[1:opened], strict=True)
    ]
    rows.append(("= planks opened", size(losses.opened, unit), _sum(told[:opened])))
    rows += [
        (name, size(part, unit), share)
        for name, part, share in zip(LOSSES[opened - 1 :], parts[opened:], told[opened:], strict=True)
    ]
    rows.append(("= bought", size(losses.bought, unit), _sum(told)))
    yield Table(tuple(rows), frozenset({1, 2}))


def _sum(told: Sequence[str]) -> str:
    return f"{sum((Decimal(share.removesuffix(' %')) for share in told), Decimal(0))} %"


def figures_words(figures: Sequence[Figure], orders: Sequence[Figure]) -> list[Block]:
    """Return several jobs in a table, then what is ordered in all: jobs with the same plank are rounded together."""
    header = ("job", "net area", "planks", "at least", "boxes", "as laid", "as bought")
    rows = [header, *(_job_row(figure) for figure in figures)]
    blocks: list[Block] = [Heading("Jobs"), Table(tuple(rows), frozenset(range(1, 7)))]
    blocks.append(Heading("Ordered together"))
    for order in orders:
        apart = sum(figure.boxes for figure in figures if figure.plank == order.plank)
        text = (
            f"{plank_size(order)}: {boxes_of(order.boxes)} for {count(order.jobs, 'job')} "
            f"({count(order.planks, 'plank')} to lay), waste factor {percent(order.as_bought)} as bought"
        )
        if apart > order.boxes:
            text += f"; {apart} if each job were rounded up by itself"
        total = total_price(order)
        if total is not None:
            text += f"; {money(total)} with tax" if order.tax else f"; {money(total)}"
        blocks.append(para(text + ".", first="  - "))
    return blocks


def _job_row(figure: Figure) -> tuple[str, ...]:
    return (
        shorten(clean(figure.title), 22),
        size(figure.losses.net, figure.unit).removesuffix(" sq ft").removesuffix(" m2"),
        str(figure.planks),
        str(figure.bound),
        str(figure.boxes),
        percent(figure.as_laid),
        percent(figure.as_bought),
    )
