"""Figures of floors, made up to be charted: every part is there, and all add up."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from cutopt.model.estimate import Failed, Figure, Habit, Losses, RoomCell, Study, StudyRow, Why
from cutopt.model.job import Ends, PlankSpec
from cutopt.model.pricing import Shape, Varied
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Unit

FOOT = 12 * TICKS_PER_INCH
PLANK = PlankSpec(
    length=48 * TICKS_PER_INCH,
    width=13 * TICKS_PER_INCH // 4,
    per_box=20,
    ends=Ends.HANDED,
    kerf=TICKS_PER_INCH // 8,
    box_price=Decimal("64.99"),
)
AREA = Fraction(PLANK.length * PLANK.width, TICKS_PER_MM**2)
"""Of a plank, in square millimetres."""


def figure(planks=186, net=170, *, boxes=None, unit=Unit.IN, title="Quay Row"):
    """Return the figure of a floor ``net`` planks large that opens ``planks``; 3 are culls and 2 kept."""
    boxes = boxes or -(-(planks + 5) // PLANK.per_box)
    lost = AREA * (planks - net)
    losses = Losses(
        net=AREA * net,
        slants=lost / 20,
        rips=lost / 2,
        kerf=lost / 25,
        ends=lost * Fraction(41, 100),
        culls=AREA * 3,
        spare=AREA * 2,
        rounding=AREA * (boxes * PLANK.per_box - planks - 5),
    )
    return Figure(
        title=title,
        unit=unit,
        plank=PLANK,
        culls=Fraction(1, 50),
        spare=2,
        planks=planks,
        bound=planks,
        boxes=boxes,
        cuts=50,
        pieces=planks + 30,
        losses=losses,
        habits=tuple(
            Habit(share=Fraction(share, 100), boxes=-(-net * (100 + share) // (100 * PLANK.per_box)))
            for share in (5, 10, 15)
        ),
        unopened=0,
        price=PLANK.box_price * boxes,
    )


def study(planks=(186, 180, 201, None, 176), *, names=(), priced=True):
    """Return a study of so many planks, the job as told first; ``None`` could not be laid."""
    rows = tuple(
        StudyRow(
            changed=((Varied.STAGGER if nth < 3 else Varied.KERF, nth),) if nth else (),
            name=names[nth] if nth < len(names) else f"stagger {nth}",
            figure=None if found is None else _choice(found, found - nth % 3, priced=priced),
            failed=Failed(why=Why.CLASH, problems=("no joint fits",)) if found is None else None,
        )
        for nth, found in enumerate(planks)
    )
    least = min((found for found in planks if found is not None), default=0)
    best = tuple(nth for nth, found in enumerate(planks) if found == least)
    return Study(rows=rows, cheapest=best[:1], least_waste=best)


def _choice(planks, bound, *, priced):
    one = replace(figure(planks), bound=bound)
    return one if priced else replace(one, price=None)


def rooms(shapes=(Shape.RECTANGLE,), *, along=(8, 10, 12), across=(8, 9)):
    """Return a table of rooms in feet, with a room that could not be laid; waste goes up and down with the size."""
    return tuple(
        RoomCell(
            shape=shape,
            along=x * FOOT,
            across=y * FOOT,
            figure=None if (x, y) == (10, 8) else figure(x * y + (3 * x + 5 * y) % 23, x * y),
        )
        for shape in shapes
        for x in along
        for y in across
    )
