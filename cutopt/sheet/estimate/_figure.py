"""The figure of one job: what to order, the habit beside it, and where the loss goes."""

from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from cutopt.model.estimate import Figure, Habit
from cutopt.model.words import Block, Heading, Line, Table
from cutopt.sheet._text import WIDTH, count, labels, para, shorten
from cutopt.sheet.estimate._losses import area_unit, loss_words
from cutopt.sheet.estimate._told import (
    at_least,
    box_price,
    boxes_of,
    money,
    percent,
    plank_size,
    size,
    total_price,
)
from cutopt.units import TICKS_PER_MM, format_area

__all__ = ["figure_words", "head", "needs", "price_of_area", "unopened", "verdict"]

_WORTH_TELLING = Fraction(1, 1000)


def head(title: str, answer: str) -> list[Block]:
    """Return a title, a rule below it and the answer in short."""
    return [Line(shorten(title, WIDTH) or "Estimate"), Line("=" * WIDTH), para(answer)]


def figure_words(figure: Figure) -> list[Block]:
    """Return the answer for one job: boxes and waste factor, the habit beside it, and where the loss goes."""
    waste = f"waste factor {percent(figure.as_bought)} as bought, {percent(figure.as_laid)} as laid"
    return [
        *head(figure.title, f"{boxes_of(figure.boxes)} to order; {waste}"),
        Heading("Figure"),
        labels(_figure_rows(figure)),
        Heading("Beside the habit"),
        Table((("", "boxes", ""), *_habit_rows(figure)), frozenset({1})),
        *_remarks(figure),
        Heading("Where it goes"),
        *loss_words(figure),
    ]


def price_of_area(figure: Figure) -> str:
    """Return what a unit of net area comes to with tax, nothing without a price."""
    total = total_price(figure)
    if total is None:
        return ""
    square, name = area_unit(figure.unit)
    units = figure.losses.net / square
    return f"{money(total * units.denominator / units.numerator)} per {name} of floor"


def unopened(figure: Figure) -> str:
    """Return how many boxes are expected to stay sealed."""
    used = ceil(figure.planks / (1 - figure.culls))
    loose = (figure.boxes - figure.unopened) * figure.plank.per_box - used
    spare = ", spare planks in it" if figure.unopened == 1 else ", spare planks in them"
    kept = spare if figure.unopened and figure.spare > loose else ""
    return (
        f"{boxes_of(figure.unopened) if figure.unopened else 'no box'} expected still sealed at the end{kept}"
    )


def needs(figure: Figure, proof: str = "") -> str:
    """Return what the boxes are for: planks to lay (and how well that is proven), culls and spare."""
    parts = [f"{count(figure.planks, 'plank')} to lay{proof}"]
    if figure.culls:
        culls = ceil(figure.planks / (1 - figure.culls)) - figure.planks
        parts.append(f"{count(culls, 'cull')} expected at {float(figure.culls * 100):g} %")
    if figure.spare:
        parts.append(f"{figure.spare} spare")
    return ", ".join(parts)


def _figure_rows(figure: Figure) -> Iterator[tuple[str, str]]:
    if figure.jobs > 1:
        yield "jobs", f"{figure.jobs} ordered together"
    yield "net area", size(figure.losses.net, figure.unit)
    yield "plank", plank_size(figure)
    yield "planks", f"{figure.planks} to lay ({at_least(figure)}), {count(figure.cuts, 'cut')}"
    yield "boxes", f"{figure.boxes} of {figure.plank.per_box}: {needs(figure)}; rounded up once"
    yield "as laid", f"{percent(figure.as_laid)} waste: planks opened over net area"
    yield "as bought", f"{percent(figure.as_bought)} waste: all boxes over net area"
    yield "unopened", unopened(figure)
    total = total_price(figure)
    if figure.price is None or total is None:
        return
    yield "price", f"{figure.boxes} x {box_price(figure)} = {money(figure.price)}"
    if figure.tax:
        yield "tax", f"{float(figure.tax_share * 100):g} % = {money(figure.tax)}"
    yield "total", f"{money(total)}, {price_of_area(figure)}"


def _habit_rows(figure: Figure) -> Iterator[tuple[str, str, str]]:
    yield "computed", str(figure.boxes), ""
    for habit in figure.habits:
        yield f"net area + {float(habit.share * 100):g} %", str(habit.boxes), verdict(habit, figure)


def verdict(habit: Habit, figure: Figure) -> str:
    """Return how a habit comes out beside the boxes computed."""
    over = habit.boxes - figure.boxes
    if not over:
        return "the same"
    return f"{boxes_of(abs(over))} {'too many' if over > 0 else 'short'}"


def _remarks(figure: Figure) -> Iterator[Block]:
    """Yield what the habit has to cover besides cutting, and where the area it goes by is not that of the planks."""
    extra = [word for word, told in (("culls", figure.culls), ("spare planks", figure.spare)) if told]
    if extra:
        yield para(
            f"The boxes computed hold {' and '.join(extra)}: a habit must cover these too.", first="  - "
        )
    plank = figure.plank
    width = plank.width if plank.nominal_width is None else plank.nominal_width
    computed = Fraction(plank.length * width * plank.per_box, TICKS_PER_MM**2)
    printed = plank.box_coverage_mm2
    if printed is not None and abs(printed / computed - 1) >= _WORTH_TELLING:
        yield para(
            f"A box says {format_area(printed, figure.unit)}, its planks come to "
            f"{format_area(computed, figure.unit)}: the habit goes by what it says, the boxes computed by planks.",
            first="  - ",
        )
