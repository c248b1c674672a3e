"""Sheets of exercises as PDF: each begins a page of its own."""

from collections.abc import Iterator, Sequence
from io import BytesIO

from reportlab.platypus import Flowable, PageBreak

from cutopt.model.papers import PAPER_SIZES, PaperName
from cutopt.model.words import Block as Told
from cutopt.papers._bands import Space
from cutopt.papers._blocks import set_blocks
from cutopt.papers._pages import Pages, space_on

__all__ = ["lesson_pages"]


def lesson_pages(title: str, sheets: Sequence[Sequence[Told]], paper: PaperName) -> bytes:
    """Return sheets as PDF; they are made twice, for only then it is known how many pages there are."""
    return _written(title, sheets, paper, _written(title, sheets, paper, 0)[1])[0]


def _written(title: str, sheets: Sequence[Sequence[Told]], paper: PaperName, total: int) -> tuple[bytes, int]:
    size = PAPER_SIZES[paper]
    out = BytesIO()
    pages = Pages(out, title=title, size=size, floor_size=size, total=total)
    pages.build(list(_story(sheets, space_on(size))))
    return out.getvalue(), pages.page


def _story(sheets: Sequence[Sequence[Told]], space: Space) -> Iterator[Flowable]:
    for nth, sheet in enumerate(sheets):
        if nth:
            yield PageBreak()
        yield from set_blocks(sheet, space)
