"""The joint rules of the check against a dumb judge that compares every run with every other."""

from itertools import pairwise, product

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cutopt.check import Fault, check_plan
from cutopt.model.floor import Run
from cutopt.model.job import Ends, Order, PlankSpec, Rules
from cutopt.model.plan import Bound, End, LaidRun, Piece, Plan, Totals
from cutopt.units import Unit

PLANK = 12
STEADY = settings(
    derandomize=True, deadline=None, max_examples=400, suppress_health_check=[HealthCheck.too_slow]
)


@st.composite
def laid_run(draw, row, run):
    """Draw a run of starter, whole planks and end piece, anywhere along a short common line."""
    starter, wholes, end = draw(st.integers(1, PLANK)), draw(st.integers(0, 2)), draw(st.integers(1, PLANK))
    lengths = [starter, *[PLANK] * wholes, end] if draw(st.integers(0, 9)) else [starter]
    return LaidRun(
        run=Run(
            room="R",
            field="R",
            line=row,
            row=row,
            run=run,
            offset=draw(st.integers(0, 40)),
            length=sum(lengths),
            width=1,
            area2=2 * sum(lengths),
        ),
        pieces=tuple(
            Piece(id=f"{row}.{run}.{nth}", plank=0, length=length, left=End.CUT, right=End.CUT)
            for nth, length in enumerate(lengths)
        ),
    )


@st.composite
def plans(draw):
    counts = draw(st.lists(st.integers(1, 3), min_size=1, max_size=4))
    rows = [draw(laid_run(row, run)) for row, count in enumerate(counts, 1) for run in range(1, count + 1)]
    stagger, h_joint, stair_step = (draw(st.integers(0, PLANK)) for _ in range(3))
    return Plan(
        title="",
        unit=Unit.MM,
        plank=PlankSpec(length=PLANK, width=1, per_box=1, ends=Ends.HANDED),
        rules=Rules(stagger=stagger, min_piece=0, h_joint=h_joint, stair_step=stair_step, cut_step=1),
        order=Order(),
        rows=tuple(rows),
        planks=(),
        totals=Totals(planks=1, boxes=1, cuts=0, peak_waiting=0, net_area_mm2=0, waste_factor_percent=0),
        bound=Bound(planks=0, reason=""),
    )


def joints(laid, low, high):
    position, found = laid.run.offset, []
    for piece in laid.pieces[:-1]:
        position += piece.length
        found.append(position)
    return [joint for joint in found if low <= joint <= high]


def closest(one, other, common):
    low, high = max(laid.run.offset for laid in common), min(laid.run.right for laid in common)
    return min((abs(a - b) for a in joints(one, low, high) for b in joints(other, low, high)), default=None)


def touch(one, other):
    reach = min(one.run.right, other.run.right) - max(one.run.offset, other.run.offset)
    return other.run.line == one.run.line + 1 and reach > 0


def far(phase):
    return min(phase % PLANK, -phase % PLANK)


def judged(plan):
    """Every breach of the joint rules, found by trying all pairs and all triples."""
    rules = plan.rules
    for one, other in product(plan.rows, repeat=2):
        if touch(one, other):
            apart = closest(one, other, (one, other))
            if apart is not None and apart < rules.stagger:
                yield Fault.JOINTS_CLOSE, (one.run.row, other.run.row), other.run.run, apart
    for first, middle, last in product(plan.rows, repeat=3):
        if not (touch(first, middle) and touch(middle, last)):
            continue
        rows = (first.run.row, middle.run.row, last.run.row)
        apart = closest(first, last, (first, middle, last))
        if apart is not None and apart < rules.h_joint:
            yield Fault.H_CLOSE, rows, last.run.run, apart
        chain = [joints(laid, laid.run.offset, laid.run.right) for laid in (first, middle, last)]
        if all(chain):
            shifts = [after[-1] - before[0] for before, after in pairwise(chain)]
            apart = far(shifts[1] - shifts[0])
            if apart < rules.stair_step:
                yield Fault.STEPS_ALIKE, rows, last.run.run, apart


@STEADY
@given(plans())
def test_the_check_finds_what_the_dumb_judge_finds(plan):
    about_joints = (Fault.JOINTS_CLOSE, Fault.H_CLOSE, Fault.STEPS_ALIKE)
    found = sorted(
        (finding.fault.name, finding.rows, finding.run, finding.found)
        for finding in check_plan(plan)
        if finding.fault in about_joints
    )
    assert found == sorted((fault.name, rows, run, apart) for fault, rows, run, apart in judged(plan))


@STEADY
@given(plans())
def test_the_place_of_a_close_joint_is_a_joint(plan):
    runs = {(laid.run.row, laid.run.run): laid for laid in plan.rows}
    for finding in check_plan(plan):
        if finding.fault in (Fault.JOINTS_CLOSE, Fault.H_CLOSE, Fault.STEPS_ALIKE):
            laid = runs[finding.rows[-1], finding.run]
            assert finding.place + laid.run.offset in joints(laid, laid.run.offset, laid.run.right)
