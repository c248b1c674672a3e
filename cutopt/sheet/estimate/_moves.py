"""What moves a figure: how far things may grow, and what other choices come to."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from cutopt.model.estimate import Margin, Study, StudyRow
from cutopt.model.words import Block, Heading, Table
from cutopt.sheet._text import clean, count, para, shorten
from cutopt.sheet.estimate._figure import boxes_of, total_price
from cutopt.sheet.estimate._told import money, percent
from cutopt.units import Ticks, Unit, format_length

__all__ = ["margin_words", "study_words"]

_BAR = 7
_NAME, _NAME_UNPRICED = 24, 34
_TOLD = 3


def margin_words(margins: Sequence[Margin], unit: Unit) -> list[Block]:
    """Return how far each dimension may grow before another box is needed."""
    if not margins:
        return []
    blocks: list[Block] = [
        Heading("Before another box"),
        para("Every length named was planned anew; between those tried nothing is said."),
    ]
    for margin in margins:
        blocks += [para(text, first="  - ") for text in _margin(margin, unit)]
    return blocks


def _margin(margin: Margin, unit: Unit) -> Iterator[str]:
    def show(ticks: Ticks) -> str:
        return format_length(ticks, unit)

    now, good = margin.of.now, margin.good
    name = f"{shorten(margin.of.what, 40)}, {show(now)}"
    if good == now and margin.open_end:
        text = f"{name}: nothing else could be tried"
    elif margin.open_end:
        text = f"{name}: good {'up' if good > now else 'down'} to {show(good)}, as far as was tried"
    else:
        need = "" if margin.next_boxes is None else f"; the next length needs {boxes_of(margin.next_boxes)}"
        text = f"{name}: good {'up' if good >= now else 'down'} to {show(good)}{need}"
    steps = f"tried every {show(margin.grain)}"
    yield f"{text} ({steps}{', ' + clean(margin.note) if margin.note else ''})."
    yield from _odd(margin, show)


def _odd(margin: Margin, show: "object") -> Iterator[str]:
    write = show if callable(show) else str
    for length, boxes in margin.cheaper[:_TOLD]:
        longer = "longer" if length > margin.of.now else "shorter"
        yield f"at {write(length)}, which is {longer}, {boxes_of(boxes)} would do."
    for length, boxes in margin.dearer[:_TOLD]:
        shorter = "shorter" if length < margin.of.now else "longer"
        yield f"at {write(length)}, though {shorter}, it takes {boxes_of(boxes)}."


def study_words(study: Study, unit: Unit) -> list[Block]:
    """Return every choice with what it comes to, the best of them marked, and what could not be planned."""
    del unit  # names of choices are written already
    planned = [row for row in study.rows if row.figure is not None]
    if not planned:
        return [Heading("What moves it"), *_failed(study.rows)]
    priced = any(row.figure is not None and row.figure.price is not None for row in planned)
    header = ("choice", "planks", "least", "boxes", *(("price",) if priced else ()), "as laid", "", "")
    most = max(row.figure.as_laid for row in planned if row.figure is not None)
    rows = [
        _row(nth, row, study, most, priced=priced)
        for nth, row in enumerate(study.rows)
        if row.figure is not None
    ]
    table = Table((header, *rows), frozenset(range(1, 6 if priced else 5)))
    legend = "* least waste, $ cheapest" if priced else "* least waste, $ fewest boxes"
    return [
        Heading("What moves it"),
        para(f"Least: no plan opens fewer planks. Bars: waste as laid. {legend}."),
        table,
        *_failed(study.rows),
    ]


def _row(nth: int, row: StudyRow, study: Study, most: Fraction, *, priced: bool) -> tuple[str, ...]:
    figure = row.figure
    if figure is None:
        raise ValueError("only what could be planned has a row")
    total = total_price(figure)
    marks = ("*" if nth in study.least_waste else "") + ("$" if nth in study.cheapest else "")
    bar = "#" * (round(_BAR * figure.as_laid / most) if most else 0)
    money_cell = ("" if total is None else money(total),) if priced else ()
    return (
        shorten(row.name, _NAME if priced else _NAME_UNPRICED),
        str(figure.planks),
        str(figure.bound),
        str(figure.boxes),
        *money_cell,
        percent(figure.as_laid),
        marks,
        bar,
    )


def _failed(rows: Sequence[StudyRow]) -> Iterator[Block]:
    failed = [row for row in rows if row.failed is not None]
    if failed:
        yield para(f"{count(len(failed), 'choice')} could not be planned:")
    for row in failed:
        if row.failed is not None:
            why = "; ".join(map(clean, row.failed.problems[:1]))
            yield para(f"{shorten(row.name, 40)}: {row.failed.why} ({shorten(why, 200)})", first="  - ")
