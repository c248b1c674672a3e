"""From planks and areas to boxes: exact rationals, rounded up once, at the end."""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from cutopt.model.job import PlankSpec
from cutopt.units import TICKS_PER_MM

__all__ = [
    "HABITS",
    "Coverage",
    "add_on",
    "boxes_needed",
    "gross_up",
    "habit_boxes",
    "plank_mm2",
    "planks_needed",
    "printed_coverage",
]

HABITS = (Fraction(5, 100), Fraction(10, 100), Fraction(15, 100))
"""Flat percentages that the trade adds (a how-to article of a floor retailer and others: 5 to 10 straight, 10 to 15 at a slant)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """What a box covers, in square millimetres: as printed on it (``None``: nothing is) and as its planks come to."""

    printed: Fraction | None
    computed: Fraction

    @property
    def told(self) -> Fraction:
        """What someone reads who goes by area: the box, where that tells it."""
        return self.computed if self.printed is None else self.printed

    @property
    def off(self) -> Fraction:
        """By what share the print is above what the planks come to; below: negative."""
        return self.told / self.computed - 1


def printed_coverage(plank: PlankSpec) -> Coverage:
    """Return what a box of a plank covers; where rows have been measured, by the cover width as told."""
    width = plank.width if plank.nominal_width is None else plank.nominal_width
    return Coverage(
        printed=plank.box_coverage_mm2,
        computed=Fraction(plank.length * width * plank.per_box, TICKS_PER_MM**2),
    )


def plank_mm2(plank: PlankSpec) -> Fraction:
    """Return the area of a plank in square millimetres, as its rows are laid."""
    return Fraction(plank.length * plank.width, TICKS_PER_MM**2)


def planks_needed(planks: int, culls: Fraction, spare: int) -> Fraction:
    """Return the planks to buy so that ``planks`` are left when the share ``culls`` is rejected, and the spare ones."""
    return gross_up(Fraction(planks), culls) + spare


def boxes_needed(planks: int, culls: Fraction, spare: int, per_box: int) -> int:
    """Return the boxes that cover planks, culls and spare, rounded up once."""
    return ceil(planks_needed(planks, culls, spare) / per_box)


def habit_boxes(area_mm2: Fraction, share: Fraction, box_mm2: Fraction) -> int:
    """Return the boxes that a flat percentage on the net area buys; any unit of area will do if it is the same twice."""
    return ceil(add_on(area_mm2, share) / box_mm2)


def add_on(area: Fraction, share: Fraction) -> Fraction:
    """Return an area and a share of it on top: what people mean by "add 20 percent"."""
    return area * (1 + share)


def gross_up(area: Fraction, share: Fraction) -> Fraction:
    """Return what must be bought so that an area is left when a share of the purchase is lost; ``share`` below 1."""
    return area / (1 - share)
