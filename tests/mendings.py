"""Layouts for the mender: rows by their starters, planks one a piece or told, one tick a tick."""

from collections import Counter
from dataclasses import replace

from runs import run_of

from cutopt.check import Rule, check_plan
from cutopt.model.floor import Floor
from cutopt.model.job import Ends, Job, Lay, Order, PlankSpec, Rules
from cutopt.model.plan import Bound, Cutting, Part, PieceCut
from cutopt.numbering import number
from cutopt.units import TICKS_PER_INCH as INCH
from cutopt.units import Unit

SIXTEENTH = INCH // 16
UNCOUNTED = {Rule.TOTALS, Rule.BOUND}


def inches(*lengths):
    return [round(length * INCH) for length in lengths]


def faults(plan):
    """What the independent check finds, but for the totals, by rule and rows."""
    return Counter(
        (finding.rule, finding.rows) for finding in check_plan(plan) if finding.rule not in UNCOUNTED
    )


def rules_of(**changed):
    rules = {"stagger": 6 * INCH, "min_piece": 8 * INCH, "h_joint": 0, "stair_step": 0} | changed
    return Rules(**{"cut_step": SIXTEENTH, "max_waiting": None} | rules)


def lengths_of(starter, length, plank):
    wholes, end = divmod(length - starter, plank)
    return [starter, *[plank] * wholes, *([end] if end else [])]


def plan_of(rows, *, plank, planks=None, ends=Ends.HANDED, kerf=0, lay=Lay.LEFT_TO_RIGHT, **rules):  # noqa: PLR0913 - a layout
    """A layout of rows of lengths, in the order laid; ``planks`` number what each is cut from, else one a piece."""
    numbers = iter(range(1, 1 + sum(map(len, rows))))
    planks = planks or [[next(numbers) for _ in row] for row in rows]
    spec = PlankSpec(length=plank, width=100, per_box=8, ends=ends, kerf=kerf)
    job = Job(title="", unit=Unit.IN, plank=spec, rules=rules_of(lay=lay, **rules), order=Order(), rooms=())
    floor = Floor(runs=tuple(run_of(line, sum(row)) for line, row in enumerate(rows, 1)))
    cutting = Cutting(
        runs=tuple(
            tuple(
                PieceCut(part=_part(nth, len(row), length == plank), length=length, plank=of)
                for nth, (length, of) in enumerate(zip(row, numbers, strict=True))
            )
            for row, numbers in zip(rows, planks, strict=True)
        ),
        bound=Bound(planks=0, reason=""),
    )
    plan = number(floor, cutting, job, seed=0)
    return replace(plan, totals=replace(plan.totals, peak_waiting=0))


def _part(nth, count, whole):
    if whole:
        return Part.WHOLE
    if count == 1:
        return Part.SINGLE
    return Part.STARTER if nth == 0 else Part.END if nth == count - 1 else Part.WHOLE


def starters(plan):
    at = -1 if plan.rules.lay is Lay.RIGHT_TO_LEFT else 0
    return [laid.pieces[at].length for laid in plan.rows]
