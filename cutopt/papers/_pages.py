"""The pages: what stands at the head and the foot of each, and the floor drawn to scale on pages of its own."""

from io import BytesIO

from reportlab.graphics import renderPDF
from reportlab.graphics.shapes import Drawing
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate

from cutopt.papers._bands import Block, Space
from cutopt.papers._faces import refaced
from cutopt.papers._type import draw_text, text_width, wrapped

__all__ = ["FLOOR", "WORDS", "FloorPage", "Pages", "Size", "space_on"]

WORDS, FLOOR = "words", "floor"
_SIDE = 40.0
_TOP = 56.0
_FOOT = 44.0
_SMALL = 9.0
_FIRST = "The product's own instructions, local codes and licensed trades come first."

Size = tuple[float, float]


def space_on(size: Size) -> Space:
    """Return what a page leaves between head and foot."""
    return Space(size[0] - 2 * _SIDE, size[1] - _TOP - _FOOT)


class FloorPage(Flowable):
    """One sheet of the drawing, which fills a page."""

    def __init__(self, drawing: Drawing, *, shown: bool) -> None:
        """Take a drawing as large as its page; not ``shown``, its place is kept only."""
        super().__init__()
        self.drawing, self.shown = drawing, shown

    def wrap(self, aW: float, aH: float) -> Size:  # noqa: N803 - reportlab's names
        """Take the whole page."""
        return aW, aH

    def draw(self) -> None:
        """Draw the sheet."""
        if self.shown:
            renderPDF.draw(refaced(self.drawing), self.canv, 0, 0)


class Pages(BaseDocTemplate):
    """Pages of words, and of the floor, each with its number of ``total`` (0: not known yet).

    The same story gives the same bytes.
    """

    def __init__(self, out: BytesIO, *, title: str, size: Size, floor_size: Size, total: int) -> None:
        """Open a document of pages of two sizes, in points."""
        space = space_on(size)
        super().__init__(out, pagesize=size, title=title, creator="cutopt", invariant=1, pageCompression=1)
        words = _frame(_SIDE, _FOOT, space.width, space.height)
        floor = _frame(0, 0, *floor_size)
        self.addPageTemplates(
            [
                PageTemplate(id=WORDS, frames=[words], onPageEnd=self._finish_words, pagesize=size),
                PageTemplate(id=FLOOR, frames=[floor], onPageEnd=self._number, pagesize=floor_size),
            ]
        )
        self.head, self.size, self.total = title, size, total
        self.section, self.rows = "", list[str]()

    def afterFlowable(self, flowable: Flowable) -> None:  # noqa: N802 - reportlab's name
        """Note what the page tells of, for its head."""
        if not isinstance(flowable, Block):
            return
        if flowable.section:
            self.section = flowable.section
            self.canv.bookmarkPage(flowable.section)
            self.canv.addOutlineEntry(flowable.section, flowable.section, 0)
        if flowable.row:
            self.rows.append(flowable.row)

    def _finish_words(self, canvas: Canvas, _doc: BaseDocTemplate) -> None:
        """Set the head and the foot of a page, once it is known what stands between them."""
        width, height = self.size
        about = self.section + _rows(self.rows)
        self.rows = []
        room = width - 2 * _SIDE - text_width(about, _SMALL, bold=True) - 20
        lines = wrapped(self.head.split(), room, _SMALL)
        head = lines[0] + ("..." if len(lines) > 1 else "")
        y = height - 34
        draw_text(canvas, (_SIDE, y), head, _SMALL)
        draw_text(canvas, (width - _SIDE - text_width(about, _SMALL, bold=True), y), about, _SMALL, bold=True)
        canvas.setLineWidth(0.5)
        canvas.line(_SIDE, y - 6, width - _SIDE, y - 6)
        draw_text(canvas, (_SIDE, 18), _FIRST, 7.5)
        self._number(canvas, _doc)

    def _number(self, canvas: Canvas, _doc: BaseDocTemplate) -> None:
        """Set the number of the page."""
        text = f"page {self.page} of {self.total}"
        right = float(self.pageTemplate.pagesize[0]) - _SIDE
        draw_text(canvas, (right - text_width(text, _SMALL), 18), text, _SMALL)


def _frame(x: float, y: float, width: float, height: float) -> Frame:
    return Frame(x, y, width, height, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0)


def _rows(names: list[str]) -> str:
    if not names:
        return ""
    return f": row {names[0]}" if names[0] == names[-1] else f": rows {names[0]} to {names[-1]}"
