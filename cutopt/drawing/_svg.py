"""A plan as SVG, as drawings to print, or as bare outlines, in one call: the libraries are loaded only then."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from cutopt.drawing._scene import GuideLine
from cutopt.model.judgement import Breach
from cutopt.model.papers import PaperName
from cutopt.model.plan import Plan
from cutopt.model.work import PieceOutline

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

__all__ = ["drawings", "judged_svg", "outlines", "render_svg"]


def render_svg(
    plan: Plan, lines: Sequence[GuideLine] = (), paper: PaperName | None = None
) -> tuple[str, ...]:
    """Return a plan's sheets as SVG, the overview first where there are several.

    ``lines`` are drawn on top, dashed. By default ``paper`` is Letter for feet and inches, else A4.
    """
    from cutopt.drawing._render import to_svg  # noqa: PLC0415
    from cutopt.drawing._sheets import draw_floor  # noqa: PLC0415

    return tuple(map(to_svg, draw_floor(plan, lines, paper)))


def drawings(
    plan: Plan, lines: Sequence[GuideLine] = (), paper: PaperName | None = None
) -> tuple["Drawing", ...]:
    """Return the same sheets as drawings of ReportLab, each as large as its paper."""
    from cutopt.drawing._render import to_drawing  # noqa: PLC0415
    from cutopt.drawing._sheets import draw_floor  # noqa: PLC0415

    return tuple(map(to_drawing, draw_floor(plan, lines, paper)))


def judged_svg(plan: Plan, breaches: Sequence[Breach], mended: Plan | None = None) -> str:
    """Return a layout as SVG, to scale, its first row at the bottom, and every breach marked where it is.

    A list beneath says under the number of each mark which rule is broken, what was found and what is wanted. With the
    ``mended`` layout the two are shown as before and after, the rows moved hatched. The same layout gives the same text.
    """
    from cutopt.drawing._judged import draw_judged  # noqa: PLC0415

    return draw_judged(plan, breaches, mended).svg()


def outlines(plan: Plan) -> tuple[PieceOutline, ...]:
    """Return where every piece lies, field by field in the order of rows; pieces without an area are left out."""
    from cutopt.drawing._outlines import outlines_of  # noqa: PLC0415

    return outlines_of(plan)
