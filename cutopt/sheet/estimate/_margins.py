"""How far things may grow before another box is needed."""

from collections.abc import Iterator, Sequence

from cutopt.model.estimate import Margin
from cutopt.model.words import Block, Heading
from cutopt.sheet._text import clean, para, shorten
from cutopt.sheet.estimate._told import boxes_of
from cutopt.units import Unit, format_length

__all__ = ["good_to", "margin_words"]

_TOLD = 3
"""Lengths named on either side that need fewer boxes, or more."""


def margin_words(margins: Sequence[Margin], unit: Unit) -> list[Block]:
    """Return how far each dimension may grow, what was tried, and lengths that need fewer boxes, or more."""
    if not margins:
        return []
    blocks: list[Block] = [
        Heading("Before another box"),
        para(
            "Every length tried was planned anew. Of lengths between nothing is said, for boxes do not simply rise "
            "with a length."
        ),
    ]
    for margin in margins:
        blocks.append(para(_margin(margin, unit), first="  - "))
        blocks += [para(text, first="      ") for text in _besides(margin, unit)]
    return blocks


def good_to(margin: Margin, unit: Unit) -> str:
    """Return how far something is good, and how much more or less than told that is."""
    change = margin.good - margin.of.now
    if not change:
        return "good only as told"
    way, word = ("up", "more") if change > 0 else ("down", "less")
    return f"good {way} to {format_length(margin.good, unit)} ({format_length(abs(change), unit)} {word})"


def _margin(margin: Margin, unit: Unit) -> str:
    told = f"{shorten(margin.of.what, 60)}, {format_length(margin.of.now, unit)}"
    if margin.open_end:
        tried = "as far as tried" if margin.good != margin.of.now else "nothing else could be tried"
        return f"{told}: {good_to(margin, unit)}, {tried}."
    if margin.next_boxes is None:
        return f"{told}: {good_to(margin, unit)}."
    return f"{told}: {good_to(margin, unit)}; the next length tried needs {boxes_of(margin.next_boxes)}."


def _besides(margin: Margin, unit: Unit) -> Iterator[str]:
    note = f"; {clean(margin.note)}" if margin.note else ""
    yield f"tried every {format_length(margin.grain, unit)}{note}"
    for words, lengths in (("fewer boxes", margin.cheaper), ("more boxes", margin.dearer)):
        if lengths:
            told = (f"{boxes} at {format_length(at, unit)}" for at, boxes in lengths[:_TOLD])
            yield f"{words}: {', '.join(told)}"
