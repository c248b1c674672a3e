"""The floor set on paper: scales, and from ticks on the plan to points on the page."""

from dataclasses import dataclass
from fractions import Fraction

from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from cutopt.drawing._scene import XY
from cutopt.model.floor import Frame
from cutopt.units import TICKS_PER_INCH, Unit

__all__ = ["POINTS_PER_TICK", "View", "scale_text", "scales"]

POINTS_PER_TICK = 72 / TICKS_PER_INCH
"""At full size: a point is 1/72 in."""

_FEET = (4, 8, 12, 16, 20, 24, 32, 40, 48, 64, 80, 96, 128, 160, 192, 240, 384, 480, 768, 1536)
_METRES = (4, 5, 8, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500, 1000, 2000)


def scales(unit: Unit) -> tuple[int, ...]:
    """Return the scales 1:n that rulers of the trade have, from the largest."""
    return _METRES if unit.is_metric else _FEET


def scale_text(scale: int, unit: Unit) -> str:
    """Return a scale as drawings state it: ``1:25``, or ``1/2 in = 1 ft (1:24)``."""
    inches = Fraction(12, scale)
    if unit.is_metric or inches.denominator > 16 or 16 % inches.denominator:  # noqa: PLR2004 - sixteenths
        return f"1:{scale}"
    return f"{inches} in = 1 ft (1:{scale})"


_PLAN = Frame()


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """The plan at 1:``scale`` with ``origin``, in ticks, at ``corner``, in points on the page.

    ``window`` is what of the page the plan may cover: left, low, right, high in points.
    """

    scale: int
    origin: XY
    corner: XY
    window: tuple[float, float, float, float]

    @property
    def factor(self) -> float:
        """Points on paper for a tick on the floor."""
        return POINTS_PER_TICK / self.scale

    def at(self, point: XY) -> XY:
        """Return where a point of the plan lies on paper."""
        return (
            self.corner[0] + (point[0] - self.origin[0]) * self.factor,
            self.corner[1] + (point[1] - self.origin[1]) * self.factor,
        )

    def shape(self, shape: BaseGeometry, frame: Frame = _PLAN) -> BaseGeometry:
        """Return a shape as it lies on paper; ``frame`` is that of its field when it is along the rows."""
        axes = Frame(degrees=frame.degrees)
        (a, d), (b, e) = axes.to_plan((1, 0)), axes.to_plan((0, 1))
        x, y = self.at(frame.origin)
        k = self.factor
        return affine_transform(shape, [k * a, k * b, k * d, k * e, x, y])
