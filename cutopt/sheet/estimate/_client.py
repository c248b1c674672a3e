"""The client's page: what is ordered, what it costs, why, what it rests on, and what to mind."""

from collections.abc import Iterator, Sequence

from cutopt.model.estimate import Figure, Margin, Risk
from cutopt.model.job import Job, SourceKind
from cutopt.model.papers import ClientWords
from cutopt.model.words import Block, Heading
from cutopt.sheet._cautions import caution_texts
from cutopt.sheet._text import clean, count, labels, para, shorten
from cutopt.sheet.estimate._figure import LOSSES, boxes_of, loss_parts, price_of_area, total_price
from cutopt.sheet.estimate._told import at_least, money, percent, plank_size, size
from cutopt.units import Unit, format_length

__all__ = ["client_words"]

_MATTER = ("rules.stagger", "rules.min_piece", "rules.gap", "rules.pattern", "plank.kerf", "order.culls")
_MARGINS_TOLD = 4
_NEARLY = 0.999


def client_words(
    figure: Figure, margins: Sequence[Margin], risk: Risk | None, job: Job, *, made: str
) -> ClientWords:
    """Return what one page tells the client; ``made`` says with what it can be made again."""
    blocks: tuple[Block, ...] = (
        Heading("What is ordered"),
        labels(tuple(_order(figure))),
        Heading("Why so much"),
        *(para(text, first="  - ") for text in _reasons(figure)),
        *_sure(figure, margins, risk, job.unit),
        Heading("What this rests on"),
        *(para(text, first="  - ") for text in _rests_on(job)),
        Heading("Mind"),
        *(para(text, first="  - ") for text in caution_texts(job.plank.kind)),
        para(clean(made)),
    )
    return ClientWords(title=clean(figure.title), answer=_answer(figure), blocks=blocks)


def _answer(figure: Figure) -> str:
    total = total_price(figure)
    cost = "" if total is None else f" - {money(total)}" + (" with tax" if figure.tax else "")
    return f"{boxes_of(figure.boxes)} for {size(figure.losses.net, figure.unit)} of floor{cost}"


def _order(figure: Figure) -> Iterator[tuple[str, str]]:
    yield "net area", size(figure.losses.net, figure.unit)
    yield "plank", plank_size(figure)
    culls = f", {float(figure.culls * 100):g} % culls expected" if figure.culls else ""
    spare = f", {figure.spare} spare for repairs" if figure.spare else ""
    yield "boxes", f"{figure.boxes}: {figure.planks} planks to lay ({at_least(figure)}){culls}{spare}"
    total = total_price(figure)
    if figure.price is not None and total is not None:
        tax = f" + {money(figure.tax)} tax = {money(total)}" if figure.tax else ""
        yield "price", f"{money(figure.price)}{tax}, {price_of_area(figure)}"
    yield "unopened", f"{boxes_of(figure.unopened)} expected still sealed at the end"


def _reasons(figure: Figure) -> Iterator[str]:
    net = figure.losses.net
    parts = [
        f"{name} {percent(part / net)}"
        for name, part in zip(LOSSES, loss_parts(figure), strict=True)
        if part > 0
    ]
    yield (
        f"{percent(figure.as_laid)} more than the net area is opened to lay the floor, "
        f"{percent(figure.as_bought)} more is bought. In shares of the net area: {', '.join(parts)}."
    )
    told = [
        f"{float(habit.share * 100):g} % would buy {boxes_of(habit.boxes)}"
        for habit in figure.habits
        if habit.boxes != figure.boxes
    ]
    if told:
        yield f"A flat percentage on the area, for comparison: {', '.join(told)}."


def _sure(figure: Figure, margins: Sequence[Margin], risk: Risk | None, unit: Unit) -> Iterator[Block]:
    texts = []
    if risk is not None:
        enough = next((one.enough for one in risk.orders if one.boxes == figure.boxes), None)
        if enough is not None and enough < 1:
            chance = f"{enough * 100:.1f}" if enough < _NEARLY else "over 99.9"
            texts.append(f"{boxes_of(figure.boxes)} are enough with a chance of {chance} %.")
    texts += [
        f"{shorten(one.of.what, 40)}: good up to {format_length(one.good, unit)}."
        for one in margins[:_MARGINS_TOLD]
        if one.good > one.of.now
    ]
    if texts:
        yield Heading("How sure")
        yield from (para(text, first="  - ") for text in texts)


def _rests_on(job: Job) -> Iterator[str]:
    values = [one for one in job.assumptions if one.key in _MATTER]
    if values:
        told = (f"{one.name} {one.value}{_from(one.source)}" for one in values)
        yield f"Rules: {', '.join(told)}."
    yield (
        f"{count(len(job.rooms), 'room')} as measured; the product's own instructions and local codes come first. "
        "Not included: trim, transitions, underlay, adhesive, preparing the floor below."
    )


def _from(source: SourceKind) -> str:
    return " (job)" if source is SourceKind.JOB else ""
