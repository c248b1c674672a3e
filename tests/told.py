"""Everything an estimator may be told, made up by hand: one of each kind, with nothing planned."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from figured import AREA, FOOT, figure, rooms, study

from cutopt.model.estimate import Failed, Grown, Margin, OrderCost, Risk, StudyRow, Why
from cutopt.model.job import Assumption, Job, Order, Rules, SourceKind
from cutopt.model.portfolio import Group, Level, PortfolioTotals, TypeResult
from cutopt.model.pricing import Shape, Varied
from cutopt.model.rooms import SizeRoom
from cutopt.units import TICKS_PER_INCH, Unit

INCH = TICKS_PER_INCH
FAILED = Failed(why=Why.CLASH, problems=('stagger 30" cannot be kept', "nor can this"))


def taxed(title="Quay Row"):
    """A figure with tax, a box that says too much, and planks not proven fewest."""
    one = figure(title=title)
    plank = replace(one.plank, box_coverage_mm2=AREA * 21)
    return replace(one, plank=plank, bound=183, tax=Decimal("53.62"), tax_share=Fraction(33, 400), unopened=1)


def metric(title="Sail loft"):
    """A figure in metres without price, spare or culls, that the habit is right for."""
    one = figure(40, 38, boxes=2, unit=Unit.M, title=title)
    losses = replace(one.losses, culls=Fraction(0), spare=Fraction(0), rounding=Fraction(0), kerf=Fraction(0))
    plank = replace(one.plank, kerf=0, box_price=None)
    habits = tuple(replace(habit, boxes=boxes) for habit, boxes in zip(one.habits, (2, 2, 3), strict=True))
    return replace(one, plank=plank, culls=Fraction(0), spare=0, losses=losses, habits=habits, price=None)


def margins(what="Studio"):
    """A margin that ends, one that is open, one with no room at all and one that nothing could be tried of."""
    return (
        Margin(
            of=Grown(what=f"{what}, along the rows", now=150 * INCH),
            good=151 * INCH + INCH // 8,
            grain=INCH // 8,
            next_boxes=13,
            cheaper=((146 * INCH, 11), (152 * INCH, 11)),
            dearer=((147 * INCH, 13),),
            note='from 151" on every 1/8"',
        ),
        Margin(
            of=Grown(what="plank length, shorter", now=48 * INCH),
            good=47 * INCH,
            grain=INCH // 16,
            open_end=True,
        ),
        Margin(
            of=Grown(what=f"{what}, across the rows", now=90 * INCH),
            good=90 * INCH,
            grain=INCH // 8,
            next_boxes=13,
        ),
        Margin(
            of=Grown(what=f"{what}, wall A-B", now=90 * INCH), good=90 * INCH, grain=INCH // 8, open_end=True
        ),
    )


def risk(*, simulated=40, priced=True):
    """The risk of three orders; the middle one is that of :func:`taxed`."""
    orders = (
        OrderCost(boxes=9, enough=0.4, error=0.0634, returned=0.0, cost=790.5),
        OrderCost(boxes=10, enough=0.9625, error=0.00001, returned=0.25, cost=740.25),
        OrderCost(boxes=11, enough=0.9999999, error=0.0, returned=1.2, cost=735.0),
    )
    if not simulated:
        orders = tuple(replace(one, error=0.0) for one in orders)
    return Risk(
        levels=((Fraction(9, 10), 10), (Fraction(95, 100), 10), (Fraction(99, 100), 11)),
        orders=orders if priced else tuple(replace(one, cost=None) for one in orders),
        cheapest=11 if priced else None,
        simulated=simulated,
    )


def combined(name="stagger 8 in, direction 90 deg, plank Slate grey 9 x 60, rips not shared"):
    """A study of which one name is too long for a line; a choice is neither proven nor planned."""
    one = study((186, 201, None, 176))
    row = one.rows[1]
    changed = ((Varied.STAGGER, 8 * INCH), (Varied.DIRECTION, Fraction(90)), (Varied.PLANK, "=Slate"))
    rows = (one.rows[0], StudyRow(changed=changed, name=name, figure=row.figure), *one.rows[2:])
    return replace(one, rows=rows)


def many_rooms():
    """Tables of rooms of two shapes, so wide that each is set in parts."""
    cells = rooms((Shape.RECTANGLE, Shape.L_ROOM), along=range(8, 20), across=(8, 9))
    grown = (replace(cell, along=cell.along + cell.along // FOOT * INCH // 16) for cell in cells)
    return tuple(replace(cell, failed=FAILED if cell.figure is None else None) for cell in grown)


def totals(title="Quay Row", name="A"):
    """A portfolio of two floors in a building, with two planks; one of three types cannot be planned."""
    one, other = figure(186, title=name), metric("B")
    both = replace(one, planks=372, jobs=2, spare=4), other

    def group(level, place, **more):
        return Group(level=level, name=place, units=3, orders=both, boxes=21, boxes_each=(19, 2), **more)

    return PortfolioTotals(
        title=title,
        types=(
            TypeResult(name=name, count=4, figure=one),
            TypeResult(name="B", count=2, figure=other),
            TypeResult(name="=C", count=1, figure=None, failed=FAILED),
        ),
        groups=(
            Group(level=Level.FLOOR, name="North, 1", units=3, orders=(one,), boxes=None),
            Group(level=Level.FLOOR, name="North, 2", units=3, orders=(), boxes=None),
            group(Level.BUILDING, "North", missing=("=C",)),
            group(Level.PHASE, "spring", lot="lot 7", price=Decimal("1234.50")),
        ),
        whole=group(Level.PHASE, title),
    )


def job(title="Quay Row"):
    """A job of one room with rules of several sources."""
    one = taxed(title)
    told = {"key": "rules.stagger", "name": "stagger", "value": '8"', "source": SourceKind.JOB}
    usual = {
        "key": "rules.gap",
        "name": "expansion gap",
        "value": '1/4"',
        "source": SourceKind.MAKER,
        "citation": "a maker's rigid-core manual, page 6: 1/4 in up to 50 ft, and very much more that is cut off",
    }
    beside = {"key": "rules.lay", "name": "lay", "value": "left-to-right", "source": SourceKind.PRACTICE}
    return Job(
        title=title,
        unit=one.unit,
        plank=one.plank,
        rules=Rules(stagger=8 * INCH, min_piece=INCH, h_joint=0, stair_step=0, cut_step=1),
        order=Order(),
        rooms=(SizeRoom(name="Studio", along=10 * FOOT, across=8 * FOOT),),
        assumptions=tuple(Assumption(**one) for one in (told, usual, beside)),
    )
