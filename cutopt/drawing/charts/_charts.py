"""Each chart in one call: the libraries are loaded only then."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from cutopt.model.estimate import Figure, RoomCell, Study
from cutopt.units import Unit

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

__all__ = ["loss_drawing", "loss_svg", "study_svg", "waste_svg"]


def study_svg(study: Study, unit: Unit) -> str:
    """Return a study as SVG: a bar for each choice, its waste as laid, with planks, boxes and price beside it.

    A tick stands where the waste would be if as many planks were opened as no plan can do without. The best are
    told by a sign, a word and a hatch. Lengths are written in ``unit``. The same study gives the same text.
    """
    from cutopt.drawing.charts._study import draw_study  # noqa: PLC0415

    return draw_study(study, unit).svg()


def waste_svg(cells: Sequence[RoomCell], unit: Unit) -> str:
    """Return a table of rooms as SVG: a heat map for each shape, along the rows to the right, across them down.

    Every cell has its waste as laid and its boxes, and a sign where 10 percent on the net area would be short, or
    would buy more boxes than needed. Lengths are written in ``unit``. The same cells give the same text.
    """
    from cutopt.drawing.charts._rooms import draw_rooms  # noqa: PLC0415

    return draw_rooms(cells, unit).svg()


def loss_svg(figure: Figure) -> str:
    """Return as SVG where the area bought goes: a bar of all of it, and what is not floor enlarged below."""
    from cutopt.drawing.charts._losses import draw_losses  # noqa: PLC0415

    return draw_losses(figure, titled=True).svg()


def loss_drawing(figure: Figure) -> "Drawing":
    """Return the same bars as a drawing of ReportLab, 515 points wide and without a title, to stand on a page."""
    from cutopt.drawing.charts._losses import draw_losses  # noqa: PLC0415

    return draw_losses(figure, titled=False).drawing()
