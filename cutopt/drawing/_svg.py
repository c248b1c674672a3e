"""A plan as SVG in one call."""

from collections.abc import Sequence

from cutopt.drawing._scene import GuideLine, PaperName
from cutopt.model.plan import Plan

__all__ = ["render_svg"]


def render_svg(
    plan: Plan, lines: Sequence[GuideLine] = (), paper: PaperName | None = None
) -> tuple[str, ...]:
    """Return a plan's sheets as SVG, the overview first where there are several.

    ``lines`` are drawn on top, dashed. By default ``paper`` is Letter for feet and inches, else A4.
    """
    # Loaded only here: a plan without drawings need not wait for the libraries.
    from cutopt.drawing._render import to_svg  # noqa: PLC0415
    from cutopt.drawing._sheets import draw_floor  # noqa: PLC0415

    return tuple(map(to_svg, draw_floor(plan, lines, paper)))
