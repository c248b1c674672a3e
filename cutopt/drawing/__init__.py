"""Pictures of a plan: the floor to scale on printed sheets, and a small one for the terminal."""

from cutopt.drawing._picture import picture
from cutopt.drawing._scene import GuideLine
from cutopt.drawing._svg import drawings, outlines, render_svg

__all__ = ["GuideLine", "drawings", "outlines", "picture", "render_svg"]
