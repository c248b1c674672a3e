"""Orders counted in planks or by area, their boxes as they should be rounded and as they are misrounded, and all that explained."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from cutopt.model.words import Block, Heading, Line
from cutopt.teach.topics._numbers import area, by_float, plain
from cutopt.teach.topics._tape import para, steps
from cutopt.units import Unit

__all__ = [
    "ByArea",
    "ByPlanks",
    "boxes_added",
    "boxes_apart",
    "boxes_of",
    "boxes_twice",
    "explain",
    "told_boxes",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class ByPlanks:
    """An order counted in planks: those each room needs, spare ones, culls in percent of what is bought, planks a box."""

    rooms: tuple[int, ...]
    spare: int
    culls: int = 0
    per_box: int

    @property
    def laid(self) -> int:
        """The planks that all rooms need."""
        return sum(self.rooms)

    @property
    def bought(self) -> Fraction:
        """The planks to buy, not rounded yet: enough that what is left of them when culled is enough."""
        return Fraction(100 * self.laid, 100 - self.culls) + self.spare


@dataclass(frozen=True, slots=True, kw_only=True)
class ByArea:
    """An order by area: hundredths of sq ft or m2 of the floor and of a plank, percent added, planks a box."""

    floor: int
    percent: int
    plank: int
    per_box: int

    @property
    def planks(self) -> Fraction:
        """The planks that the floor alone comes to, not rounded yet."""
        return Fraction(self.floor, self.plank)

    @property
    def bought(self) -> Fraction:
        """The planks to buy, not rounded yet."""
        return self.planks * (100 + self.percent) / 100


def boxes_of(order: ByPlanks | ByArea) -> int:
    """Return the boxes: rounded up once, at the end."""
    return ceil(order.bought / order.per_box)


def boxes_apart(order: ByPlanks) -> int:
    """Return the boxes where rooms and spare planks are each rounded up to boxes."""
    share = Fraction(100, 100 - order.culls)
    parts = [*(room * share for room in order.rooms), Fraction(order.spare)]
    return sum(ceil(part / order.per_box) for part in parts)


def boxes_added(order: ByPlanks) -> int:
    """Return the boxes where the culls' percent is added, not grossed up."""
    return ceil((Fraction(order.laid * (100 + order.culls), 100) + order.spare) / order.per_box)


def boxes_twice(floor: ByArea) -> int:
    """Return the boxes where those of the floor alone are rounded up before the percent is added."""
    return ceil(Fraction(ceil(floor.planks / floor.per_box) * (100 + floor.percent), 100))


def told_boxes(planks: int | Fraction, per_box: int, boxes: int) -> str:
    """Tell how planks become boxes."""
    exact = Fraction(planks) / per_box
    return f"In boxes: {plain(planks)} / {per_box} = {plain(exact)}, rounded up once: {boxes}."


def explain(unit: Unit) -> tuple[Block, ...]:
    """Return ordering explained on two rooms, and on a floor that comes to exactly 11 boxes."""
    order = ByPlanks(rooms=(93, 57), spare=4, culls=5, per_box=8)
    plank, per_box, net = (20, 12, 2400) if unit.is_metric else (220, 10, 22000)
    floor = ByArea(floor=net, percent=10, plank=plank, per_box=per_box)
    boxes, box = boxes_of(order), plank * floor.per_box
    return (
        Heading("Ordering boxes"),
        para(
            "An order is counted in planks: those the layout needs, more so that the bad ones can be put aside (culls), "
            "and some to keep (spare). It is rounded up to boxes once, at the very end."
        ),
        Line(),
        *_pictured(order, boxes),
        Line(),
        *steps(
            f"Culls are a share of what is bought: {order.laid} / {plain(Fraction(100 - order.culls, 100))} = "
            f"{plain(order.bought - order.spare)} planks, not {order.laid} x {plain(Fraction(100 + order.culls, 100))} = "
            f"{plain(Fraction(order.laid * (100 + order.culls), 100))}.",
            f"Add the spare ones, not rounded yet: {plain(order.bought)}.",
            told_boxes(order.bought, order.per_box, boxes),
            f"Rooms of {order.rooms[0]} and {order.rooms[1]} planks and the spare ones rounded up by themselves come to "
            f"{boxes_apart(order)} boxes: every rounding costs.",
            f"By area with a percentage: {area(floor.floor, unit)} and {floor.percent} % in boxes of {area(box, unit)} are "
            f"{boxes_of(floor)} boxes exactly. A program that counts in binary fractions makes it "
            f"{by_float(floor.floor, floor.percent, box)}: count in whole numbers.",
            "A percentage of the area is a guess at the waste; planks counted from a layout are not. Compare an area on "
            "the box with length x width x count: they may differ.",
        ),
        Line(),
        para(
            "Sources: 66 m2 in planks of 0.2 m2, 8 a box, with 10 % come to 46 boxes in a problem of the University of "
            "Waterloo (CEMC, Problem of the Week B 2023-24); 5 x 4 m with 10 % in packs of 1.243 m2 to 18 packs "
            "(builderstips.blogspot.com). Up to 5 % of culls in wood is what makers' sheets call the standard. Spare "
            "planks to keep: common practice, no source."
        ),
    )


def _pictured(order: ByPlanks, boxes: int) -> Iterator[Line]:
    """Yield the boxes in rows of ten, a sign a plank: # laid, x culls, s spare, . over."""
    culled = ceil(order.bought - order.spare) - order.laid
    kinds = "#" * order.laid + "x" * culled + "s" * order.spare
    signs = kinds.ljust(boxes * order.per_box, ".")
    shut = [signs[at : at + order.per_box] for at in range(0, len(signs), order.per_box)]
    for at in range(0, boxes, 7):
        yield Line("  " + " ".join(f"[{box}]" for box in shut[at : at + 7]))
    yield Line("  # to lay   x culls   s spare   . over")
