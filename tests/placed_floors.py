"""Floors with a place on the plan, made by hand, and plans that lay them: in mm, planks 1000 by 100."""

from dataclasses import replace
from fractions import Fraction
from math import ceil, floor

from cutopt.model.floor import Field, Floor, Frame, Ground, Run
from cutopt.model.job import Ends, Job, Order, PlankSpec, Rules
from cutopt.model.plan import Bound, Cutting, Part, PieceCut
from cutopt.numbering import number
from cutopt.units import Unit

MM = 320
P, WIDTH = 1000 * MM, 100 * MM

JOB = Job(
    title="Sail loft",
    unit=Unit.MM,
    plank=PlankSpec(length=P, width=WIDTH, per_box=8, ends=Ends.SQUARE),
    rules=Rules(stagger=0, min_piece=1, h_joint=0, stair_step=0, cut_step=1, max_waiting=None),
    order=Order(),
    rooms=(),
)


def ring(*corners):
    """Corners in mm; what is between ticks is refused."""
    places = [[Fraction(x) * MM for x in corner] for corner in corners]
    assert all(x.denominator == 1 for corner in places for x in corner)
    return tuple((int(x), int(y)) for x, y in places)


def box(left, low, right, high):
    return ring((left, low), (right, low), (right, high), (left, high))


def field_of(*areas, lines, name="Loft", rooms=None, degrees=0):
    return Field(
        name=name,
        rooms=rooms or (name,),
        frame=Frame(degrees=Fraction(degrees)),
        areas=areas,
        lines=tuple(MM * line for line in lines),
    )


def run_on(  # noqa: PLR0913 - a run
    line, left, right, *, nth=1, height=100, area=None, slants=(0, 0), touches=None, name="Loft"
):
    """A run in mm (left and right may be fractions; area in square mm, of its span if not told)."""
    start, end = Fraction(left) * MM, Fraction(right) * MM
    offset, length = floor(start), ceil(end - start)
    area2 = 2 * length * height * MM if area is None else round(2 * Fraction(area) * MM**2)
    return Run(
        room=name,
        field=name,
        line=line,
        row=line,
        run=nth,
        offset=offset,
        length=length,
        width=height * MM,
        left_slant=away(slants[0] * MM),
        right_slant=away(slants[1] * MM),
        area2=area2,
        touches=touches,
    )


def away(slant):
    """A slant rounded up in size."""
    return ceil(slant) if slant > 0 else -ceil(-slant)


def cut(to_lay, job=JOB):
    """A fresh plank for every piece: whole planks, then an end piece."""
    planks = iter(range(10**9))
    runs = []
    for run in to_lay.runs:
        wholes, rest = divmod(run.length, P)
        part = Part.END if wholes else Part.SINGLE
        pieces = [PieceCut(part=Part.WHOLE, length=P, plank=next(planks)) for _ in range(wholes)]
        if rest:
            pieces.append(PieceCut(part=part, length=rest, plank=next(planks)))
        runs.append(tuple(pieces))
    bound = Bound(planks=next(planks), reason="by construction")
    return number(to_lay, Cutting(runs=tuple(runs), bound=bound), job, 0)


def plan_of(field, *runs, **others):
    return cut(Floor(runs=runs, ground=Ground(fields=(field,), **others)))


def with_run(plan, at, **changed):
    """A plan with something else said of one run; its pieces stay."""
    rows = list(plan.rows)
    rows[at] = replace(rows[at], run=replace(rows[at].run, **changed))
    return replace(plan, rows=tuple(rows))


def with_field(plan, **changed):
    (field,) = plan.ground.fields
    return replace(plan, ground=replace(plan.ground, fields=(replace(field, **changed),)))
