"""The client's page: what is ordered, what it costs, why, what it rests on, and what to mind."""

from collections.abc import Iterator, Sequence

from cutopt.model.estimate import Figure, Habit, Margin, Risk
from cutopt.model.job import Assumption, Job, SourceKind
from cutopt.model.papers import ClientWords
from cutopt.model.words import Block, Heading
from cutopt.sheet._cautions import caution_texts
from cutopt.sheet._text import clean, count, labels, listed, para, shorten
from cutopt.sheet.estimate._figure import needs, price_of_area, unopened, verdict
from cutopt.sheet.estimate._losses import LOSSES, loss_parts, loss_shares
from cutopt.sheet.estimate._margins import good_to
from cutopt.sheet.estimate._risk import doubts
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
from cutopt.units import Unit, format_length

__all__ = ["client_words"]

_MATTER = ("rules.stagger", "rules.min_piece", "rules.gap", "rules.pattern", "plank.kerf")
"""The rules that move the number of planks most; the whole list stands on the cut sheet."""

_MARGINS_TOLD = 4
_SOURCE = 80
_NEARLY = 0.999

_NOT_INCLUDED = "Not included: trim, transitions, underlay, adhesive, and preparing the floor below."
_FIRST = "The product's own instructions and local codes always come first."


def client_words(
    figure: Figure, margins: Sequence[Margin], risk: Risk | None, job: Job, *, made: str
) -> ClientWords:
    """Return what one page tells the client; ``made`` says with what it can be made again."""
    blocks: tuple[Block, ...] = (
        Heading("What is ordered"),
        labels(tuple(_order(figure))),
        Heading("Why this many boxes"),
        *(para(words, first="  - ") for words in _reasons(figure)),
        *_sure(figure, margins, risk, job.unit),
        Heading("What this rests on"),
        *(para(text, first="  - ") for text in _rests_on(job)),
        Heading("Mind"),
        *(para(text, first="  - ") for text in (_FIRST, *caution_texts(job.plank.kind))),
        para(clean(made)),
    )
    return ClientWords(title=clean(figure.title) or "Estimate", answer=_answer(figure), blocks=blocks)


def _answer(figure: Figure) -> str:
    total = total_price(figure)
    cost = "" if total is None else f" - {money(total)}" + (" with tax" if figure.tax else "")
    return f"{boxes_of(figure.boxes)} for {size(figure.losses.net, figure.unit)} of floor{cost}"


def _order(figure: Figure) -> Iterator[tuple[str, str]]:
    yield "net area", size(figure.losses.net, figure.unit)
    yield "plank", plank_size(figure)
    yield "boxes", f"{figure.boxes}: {needs(figure, f' ({at_least(figure)})')}"
    total = total_price(figure)
    if figure.price is not None and total is not None:
        boxes = f"{figure.boxes} x {box_price(figure)} = {money(figure.price)}"
        tax = f" + {money(figure.tax)} tax = {money(total)}" if figure.tax else ""
        yield "price", f"{boxes}{tax}, {price_of_area(figure)}"
    yield "unopened", unopened(figure)


def _reasons(figure: Figure) -> Iterator[list[str]]:
    """Yield why so many, each text in parts between which its lines may end."""
    parts = [
        f"{name} {share}"
        for name, part, share in zip(LOSSES, loss_parts(figure), loss_shares(figure), strict=True)
        if part > 0
    ]
    yield _listing(
        f"{percent(figure.as_bought)} more than the net area is bought. In shares of that area:",
        [*parts, f"in all {percent(figure.as_bought)}."],
    )
    if figure.habits:
        *habits, last = [_habit(habit, figure) for habit in figure.habits]
        yield _listing("A flat percentage on the net area, for comparison:", [*habits, f"{last}."])


def _listing(text: str, items: Sequence[str]) -> list[str]:
    return [*text.split(), *listed(items)]


def _habit(habit: Habit, figure: Figure) -> str:
    return f"{float(habit.share * 100):g} % would buy {boxes_of(habit.boxes)} ({verdict(habit, figure)})"


def _sure(figure: Figure, margins: Sequence[Margin], risk: Risk | None, unit: Unit) -> Iterator[Block]:
    texts = [*(doubts(risk, figure) if risk else ()), *_chance(figure, risk)]
    texts += [
        f"{shorten(one.of.what, 40)}, {format_length(one.of.now, unit)}: {good_to(one, unit)} before another box."
        for one in margins[:_MARGINS_TOLD]
        if one.good > one.of.now
    ]
    if texts:
        yield Heading("How sure")
        yield from (para(text, first="  - ") for text in texts)


def _chance(figure: Figure, risk: Risk | None) -> Iterator[str]:
    orders = () if risk is None else risk.orders
    enough = next((one.enough for one in orders if one.boxes == figure.boxes), 1.0)
    if enough < 1:
        chance = f"{enough * 100:.1f}" if enough < _NEARLY else "over 99.9"
        yield f"{boxes_of(figure.boxes)} are enough with a chance of {chance} %."


def _rests_on(job: Job) -> Iterator[str]:
    """Yield the rules that matter, those told in the job apart from those taken as usual, and what is not included."""
    values = [one for one in job.assumptions if one.key in _MATTER]
    told = [f"{clean(one.name)} {clean(one.value)}" for one in values if one.source is SourceKind.JOB]
    usual = [_with_source(one) for one in values if one.source is not SourceKind.JOB]
    if told:
        yield f"By the job file: {' '.join(listed(told))}."
    if usual:
        yield f"Not set in the job file, so taken as usual: {'; '.join(usual)}."
    yield f"{count(len(job.rooms), 'room')} as measured. {_NOT_INCLUDED}"


def _with_source(one: Assumption) -> str:
    source = f"{one.source}: {shorten(one.citation, _SOURCE)}" if one.citation else str(one.source)
    return f"{clean(one.name)} {clean(one.value)} ({source})"
