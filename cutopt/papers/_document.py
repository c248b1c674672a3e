"""All papers in one document."""

from collections.abc import Iterable, Iterator, Sequence
from io import BytesIO
from itertools import chain

from reportlab.graphics.shapes import Drawing
from reportlab.platypus import Flowable, NextPageTemplate, PageBreak

from cutopt.model.papers import PAPER_SIZES, PaperName, PaperWords
from cutopt.model.words import Para
from cutopt.papers._bands import Space
from cutopt.papers._blocks import answer, section, set_blocks, spelled, title
from cutopt.papers._lists import cutting_list, racking_list
from cutopt.papers._pages import FLOOR, WORDS, FloorPage, Pages, space_on
from cutopt.papers._rows import row_blocks

__all__ = ["document"]

_AHEAD = (
    "For those who cut ahead: set the stop once for all pieces of one mark. Where a piece comes from a rest, cut "
    "the piece named first. Write its number on every piece."
)
_RACKING = "The lengths of every row in the order laid, for laying the planks out beside the floor before they are fixed."


def document(words: PaperWords, drawings: Sequence[Drawing], paper: PaperName) -> bytes:
    """Return the papers of a plan as PDF, black on white: the same bytes for the same plan.

    ``drawings`` are pages of their own, each as large as the paper, either way up. The papers are made
    twice, for only then it is known how many pages there are.
    """
    pages = _written(words, drawings, paper, total=0)[1]
    return _written(words, drawings, paper, total=pages)[0]


def _written(
    words: PaperWords, drawings: Sequence[Drawing], paper: PaperName, *, total: int
) -> tuple[bytes, int]:
    """Return the papers, and how many pages they have."""
    size = PAPER_SIZES[paper]
    floor_size = (drawings[0].width, drawings[0].height) if drawings else size
    out = BytesIO()
    pages = Pages(out, title=words.title, size=size, floor_size=floor_size, total=total)
    pages.build(list(_story(words, drawings, space_on(size), shown=total > 0)))
    return out.getvalue(), pages.page


def _story(
    words: PaperWords, drawings: Sequence[Drawing], space: Space, *, shown: bool
) -> Iterator[Flowable]:
    yield title(words.title, space)
    yield answer(words.answer, space)
    names = (words.title, *(row.room for row in words.rows))
    yield from set_blocks((*words.cover, *spelled(names)), space)
    yield from _floor(drawings, shown=shown)
    parts: tuple[tuple[str, Iterable[Flowable]], ...] = (
        ("Setting out", set_blocks(words.setting_out, space)),
        ("Cut sheet", chain(set_blocks(words.legend, space), row_blocks(words, space))),
        ("Cutting list", chain(set_blocks([_para(_AHEAD)], space), cutting_list(words, space))),
        ("Racking list", chain(set_blocks([_para(_RACKING)], space), racking_list(words, space))),
        ("Leftovers", set_blocks(words.leftovers, space)),
    )
    empty = {"Setting out": not words.setting_out, "Cutting list": not (words.settings or words.rips)}
    for name, blocks in parts:
        if not empty.get(name):
            yield PageBreak()
            yield section(name, space)
            yield from blocks


def _floor(drawings: Sequence[Drawing], *, shown: bool) -> Iterator[Flowable]:
    """Yield the pages of the drawing, and go back to pages of words behind them."""
    for drawing in drawings:
        yield NextPageTemplate(FLOOR)
        yield PageBreak()
        yield FloorPage(drawing, shown=shown)
    yield NextPageTemplate(WORDS)


def _para(text: str) -> Para:
    return Para(tuple(text.split()))
