"""Pictures of a plan: the floor to scale on printed sheets, a small one for the terminal, and both with breaches marked."""

from cutopt.drawing._judged_picture import judged_picture
from cutopt.drawing._picture import picture
from cutopt.drawing._scene import GuideLine
from cutopt.drawing._svg import drawings, judged_svg, outlines, render_svg

__all__ = ["GuideLine", "drawings", "judged_picture", "judged_svg", "outlines", "picture", "render_svg"]
