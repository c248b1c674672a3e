"""Floors to lay, chosen and by chance, and their rules measured by another route than the planner's."""

from itertools import product
from math import prod

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from runs import run_of

from cutopt.check import Rule as Checked
from cutopt.check import check_plan
from cutopt.model.floor import Floor
from cutopt.model.job import Ends, Job, Order, PlankSpec, Rules
from cutopt.model.plan import Bound, Cutting
from cutopt.numbering import number
from cutopt.planner.problem import build_problem
from cutopt.units import Unit

INCH = 8128
SIXTEENTH = 508
STEADY = settings(
    derandomize=True, deadline=None, max_examples=150, suppress_health_check=[HealthCheck.too_slow]
)


def run(line, length, *, offset=0, nth=1, slants=(0, 0)):
    return run_of(line, length, offset=offset, nth=nth, slants=slants, width=1)


def problem_of(runs, *, plank, ends=Ends.HANDED, kerf=0, **rules):
    every = {"stagger": 0, "min_piece": 1, "h_joint": 0, "stair_step": 0, "cut_step": 1, **rules}
    spec = PlankSpec(length=plank, width=1, per_box=1, ends=ends, kerf=kerf)
    return build_problem(Floor(runs=tuple(runs)), spec, Rules(**every))


def rows_of(lengths, *, plank, **rules):
    return problem_of([run(line, length) for line, length in enumerate(lengths, 1)], plank=plank, **rules)


def attic(**changed):
    """Ten rows of 108-3/4 in and planks of 36 in: a worked example."""
    rules = {"stagger": 12 * INCH, "min_piece": 12 * INCH, "h_joint": 2 * INCH, "cut_step": SIXTEENTH}
    return rows_of([108 * INCH + 6096] * 10, plank=36 * INCH, **rules | changed)


def joints_of(problem, index, way):
    """All joints of one way of a run, from the field's origin, counted out one by one."""
    choices, offset = problem.choices[index], problem.runs[index].offset
    if choices.first[way] > choices.last[way]:
        return ()
    return tuple(range(offset + choices.first[way], offset + choices.last[way] + 1, problem.plank))


def breaches_of(problem, ways, laid=None):
    """Yield every shortfall under the joint rules, each pair of joints measured in the open.

    ``laid`` is the problem that the ways are ways of, where it is not the same.
    """
    joints = [joints_of(laid or problem, index, way) for index, way in enumerate(ways)]
    rules, plank = problem.rules, problem.plank

    def near(one, other, low, high, least):
        pairs = product(*([j for j in joints[run] if low <= j <= high] for run in (one, other)))
        closest = min((abs(a - b) for a, b in pairs), default=least)
        if closest < least:
            yield least - closest

    for link in problem.links:
        yield from near(link.before, link.after, link.low, link.high, rules.stagger)
    for triple in (triple for triples in problem.triples_to for triple in triples):
        yield from near(triple.first, triple.last, triple.low, triple.high, rules.h_joint)
        three = [joints[index] for index in (triple.first, triple.middle, triple.last)]
        if all(three):
            turn = (three[2][0] - 2 * three[1][0] + three[0][0]) % plank
            short = rules.stair_step - min(turn, plank - turn)
            if short > 0:
                yield short


def keeps_all(problem, ways):
    return not any(breaches_of(problem, ways))


def brute_force(problem):
    return any(keeps_all(problem, ways) for ways in every_laying(problem))


@st.composite
def chains(draw, most_rows=4, plank=8):
    rows = draw(st.integers(1, most_rows))
    alike = draw(st.booleans())
    lengths = [draw(st.integers(2, 3 * plank + 2))] * rows if alike else None
    runs = [
        run(
            line,
            lengths[line - 1] if lengths else draw(st.integers(2, 3 * plank + 2)),
            offset=0 if alike else draw(st.integers(0, 6)),
        )
        for line in range(1, rows + 1)
    ]
    limit = plank // 2 + 1
    return problem_of(
        runs,
        plank=plank,
        stagger=draw(st.integers(0, limit)),
        min_piece=draw(st.integers(1, limit)),
        h_joint=draw(st.integers(0, limit)),
        stair_step=draw(st.integers(0, limit)),
        cut_step=draw(st.integers(1, 2)),
    )


@st.composite
def jogged(draw, plank=7):
    """Rows of one or two runs, so that runs touch several."""
    runs = []
    for line in range(1, draw(st.integers(2, 4)) + 1):
        at = draw(st.integers(0, 4))
        for nth in range(1, draw(st.integers(1, 2)) + 1):
            length = draw(st.integers(2, 2 * plank))
            runs.append(run(line, length, offset=at, nth=nth))
            at += length + draw(st.integers(1, 3))
    limits = {rule: draw(st.integers(0, 3)) for rule in ("stagger", "h_joint", "stair_step")}
    return problem_of(runs, plank=plank, min_piece=draw(st.integers(1, 3)), **limits)


def shortfalls(problem, laid, ways):
    """Every shortfall of ways of ``laid`` under the rules of ``problem``, of pieces and of joints."""
    found = list(breaches_of(problem, ways, laid))
    for index, run in enumerate(problem.runs):
        joints = joints_of(laid, index, ways[index])
        if joints:
            pieces = joints[0] - run.offset, run.right - joints[-1]
            slants = abs(run.left_slant), abs(run.right_slant)
            asked = [problem.rules.min_piece + slant for slant in slants]
            found += [least - piece for piece, least in zip(pieces, asked, strict=True) if piece < least]
    return found


def count_ways(problem):
    return prod(map(len, problem.choices))


def every_laying(problem):
    return product(*map(range, map(len, problem.choices)))


def checked(problem, spec, laid):
    """What the independent check finds in a cutting of a floor."""
    job = Job(title="Loft", unit=Unit.MM, plank=spec, rules=problem.rules, order=Order(), rooms=())
    floor = Floor(runs=problem.runs)
    plan = number(floor, Cutting(runs=laid, bound=Bound(planks=0, reason="none")), job, 0)
    return plan, [finding for finding in check_plan(plan) if finding.rule is not Checked.BOUND]
