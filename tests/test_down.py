"""Rows that lie already, and runs that touch no more than they name: planner, check and plan file."""

import json
from dataclasses import replace

import pytest
from enumerator import fewest_planks
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from planner_jobs import LOOKS, FloorJob, clash_of, floors, planned, settled_jobs
from runs import run_of

from cutopt.check import Fault, check_plan, describe
from cutopt.errors import PlanFileError
from cutopt.model.floor import DownRun, Floor
from cutopt.model.job import Ends, Lay, Pattern, PlankSpec, Rules, ShareOffcuts
from cutopt.model.plan import Bound, Cutting, Part, PieceCut
from cutopt.numbering import number
from cutopt.planfile import read_plan, write_plan
from cutopt.planner import Limits, plan_cuts

STEADY = settings(derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
# Looks that a proof of a clash may take.
PROOF = 2000
NO_RULES = Rules(stagger=0, min_piece=1, h_joint=0, stair_step=0, cut_step=1, max_waiting=None)
PLANK = PlankSpec(length=10, width=100, per_box=8, ends=Ends.HANDED)


def down(line, *joints, offset=0, length=25, field="Loft"):
    return DownRun(field=field, line=line, offset=offset, length=length, joints=joints)


def job_of(runs, *lies, **rules):
    return FloorJob(Floor(runs=tuple(runs), down=lies), PLANK, replace(NO_RULES, **rules))


def laid_by_hand(job, *starters):
    """A plan that lays every run from a starter, all from fresh planks; only its joints matter."""
    runs, plank = [], 0
    for run, starter in zip(job.floor.runs, starters, strict=True):
        wholes, end = divmod(run.length - starter, PLANK.length)
        lengths = [starter, *[PLANK.length] * wholes, end]
        parts = [Part.STARTER, *[Part.WHOLE] * wholes, Part.END]
        pieces = []
        for part, length in zip(parts, lengths, strict=True):
            plank += 1
            pieces.append(PieceCut(part=part, length=length, plank=plank))
        runs.append(tuple(pieces))
    cutting = Cutting(runs=tuple(runs), bound=Bound(planks=0, reason="none"))
    return number(job.floor, cutting, job.job(), 0)


def found(job, *starters):
    return {(one.fault, one.found) for one in check_plan(laid_by_hand(job, *starters))}


# The planner


@settings(STEADY, max_examples=60)
@given(settled_jobs())
def test_tiny_floors_beside_rows_that_lie_already_are_laid_where_they_can_be(job):
    fewest = fewest_planks(job.floor, job.plank, job.rules)
    plan = planned(job, looks=PROOF if fewest is None else LOOKS)
    assert (plan is None) == (fewest is None)
    if plan is None:
        return
    assert plan.bound.planks <= fewest <= plan.totals.planks
    if all(run.length > job.plank.length for run in job.floor.runs):
        assert plan.totals.planks == fewest


@settings(STEADY, max_examples=20)
@given(floors(), st.data())
def test_plans_of_some_rows_pass_the_check_and_are_the_same_again(job, data):
    joints = data.draw(st.sets(st.integers(1, 59), max_size=3))
    even = tuple(range(data.draw(st.integers(1, job.plank.length - 1)), 60, job.plank.length))
    lies = (down(0, *even, length=60), down(-1, *sorted(joints), length=60))
    job = replace(job, floor=replace(job.floor, down=lies))
    plan = planned(job)
    assert plan == planned(job)
    assert plan is None or (plan.down == lies and plan == read_plan(write_plan(plan)))


def test_what_lies_already_needs_and_gives_no_planks():
    plain = planned(job_of([run_of(1, 25), run_of(2, 25)]))
    beside = planned(job_of([run_of(1, 25), run_of(2, 25)], down(0, 3, 13, 23)))
    assert beside.totals == plain.totals


def test_rooms_that_keep_their_offcuts_are_each_laid_beside_what_lies_in_them():
    rooms = [run_of(1, 13), run_of(1, 13, room="Den", row=2), run_of(1, 13, room="Hall", row=3)]
    lies = (down(0, 4, length=13), down(0, 9, length=13, field="Den"), down(0, 4, length=13, field="Hall"))
    plan = planned(job_of(rooms, *lies, stagger=5, share_offcuts=ShareOffcuts.ROOM))
    joints = [laid.pieces[0].length for laid in plan.rows]
    assert [abs(joint - one.joints[0]) >= 5 for joint, one in zip(joints, lies, strict=True)] == [True] * 3


def test_rooms_whose_rows_run_through_share_their_offcuts():
    hall = replace(run_of(2, 15, room="Hall"), field="Loft")
    plan = planned(job_of([run_of(1, 15), hall], share_offcuts=ShareOffcuts.ROOM))
    assert plan.totals.planks == 3


@pytest.mark.parametrize("lay", Lay)
@pytest.mark.parametrize(("pattern", "stagger"), [(Pattern.HALF, 5), (Pattern.THIRD, 3)])
def test_a_fixed_pattern_starts_where_it_keeps_the_stagger_beside_what_lies(lay, pattern, stagger):
    runs = [run_of(line, 25) for line in (1, 2, 3)]
    # The H-joint and the stair-step are off: the row before last has the joints of the first.
    job = job_of(runs, down(0, 2, 12, 22), down(-1, 7, 17), pattern=pattern, stagger=stagger, lay=lay)
    first = planned(job).rows[0].pieces[0].length
    assert stagger <= (first - 2) % 10 <= 10 - stagger


def test_a_pattern_that_cannot_start_beside_what_lies_says_so():
    job = job_of([run_of(1, 25)], down(0, 2, 5, 8, 12, 15, 18, 22), pattern=Pattern.HALF, stagger=3)
    told = clash_of(job)
    assert "cannot be kept beside the joints of the floor that is there" in told
    assert "rules.stagger" in told
    assert "lower it to 0.00625 mm" in told


def test_a_clash_names_the_floor_that_is_there_and_what_would_do():
    job = job_of([run_of(1, 25), run_of(2, 25)], down(0, 2, 5, 8, 12, 15, 18, 22), stagger=4)
    told = clash_of(job)
    assert "stagger 0.0125 mm cannot be kept beside the joints of the floor that is there" in told
    assert 'room "Loft", row 1' in told
    assert "stagger 0.00625 mm would do" in told
    assert planned(job.ruled(stagger=2)) is not None
    assert clash_of(job.ruled(stagger=3))


def test_a_best_effort_beside_what_lies_breaks_the_stagger_as_little_as_can_be():
    job = job_of([run_of(1, 25), run_of(2, 25)], down(0, 2, 5, 8, 12, 15, 18, 22), stagger=4)
    cutting = plan_cuts(job.floor, job.plank, job.rules, Limits(seconds=5, best_effort=True, searches=2))
    findings = check_plan(number(job.floor, cutting, job.job(), 0))
    broken = [finding for finding in findings if finding.fault is not Fault.IS_PROVEN]
    assert [(one.fault, one.found, one.beside_down) for one in broken] == [(Fault.JOINTS_CLOSE, 2, True)]


# The check: a breach beside what lies is found, and nothing else is

NOTHING = set()
BREACHES = {
    "stagger": ([down(0, 4)], {"stagger": 3}, [7], [6], (Fault.JOINTS_CLOSE, 2)),
    "H-joint, both rows before lie": (
        [down(0), down(-1, 4)],
        {"h_joint": 2},
        [6],
        [5],
        (Fault.H_CLOSE, 1),
    ),
    "H-joint, one row before lies": ([down(0, 4)], {"h_joint": 2}, [9, 6], [9, 5], (Fault.H_CLOSE, 1)),
    "stair-step, both rows before lie": (
        [down(0, 5, 15), down(-1, 2, 12, 22)],
        {"stair_step": 2},
        [6],
        [7],
        (Fault.STEPS_ALIKE, 1),
    ),
    "stair-step, one row before lies": (
        [down(0, 2, 12, 22)],
        {"stair_step": 2},
        [4, 8],
        [4, 7],
        (Fault.STEPS_ALIKE, 1),
    ),
}


@pytest.mark.parametrize(("lies", "rules", "kept", "broken", "breach"), BREACHES.values(), ids=BREACHES)
def test_the_check_finds_a_breach_beside_what_lies_and_nothing_else(lies, rules, kept, broken, breach):
    job = job_of([run_of(line, 23) for line in range(1, len(kept) + 1)], *lies, **rules)
    free = job_of(job.floor.runs, **rules)
    assert found(job, *kept) == found(free, *broken)
    assert found(job, *broken) - found(free, *broken) == {breach}


def test_a_breach_beside_what_lies_is_told_as_such():
    job = job_of([run_of(1, 23)], down(0, 4), stagger=3)
    (told,) = [one for one in check_plan(laid_by_hand(job, 6)) if one.fault is Fault.JOINTS_CLOSE]
    assert "row 1, beside the floor that is there" in describe(told, str)


def test_planks_of_any_length_break_the_chain_of_the_stair_step():
    even, uneven = down(0, 2, 12, 22), down(0, 2, 12, 21)
    for lies, breaches in ((even, 1), (uneven, 0)):
        job = job_of([run_of(1, 23), run_of(2, 23)], lies, stair_step=2)
        assert sum(fault is Fault.STEPS_ALIKE for fault, _ in found(job, 4, 7)) == breaches


def test_rows_that_lie_break_no_rule_among_themselves():
    lies = [down(0, 2, 12, 22), down(-1, 2, 12, 22), down(-2, 2, 12, 22)]
    job = job_of([run_of(1, 23, room="Den")], *lies, stagger=3, h_joint=2, stair_step=2)
    assert found(job, 5) == found(job_of(job.floor.runs, stagger=3), 5)


def test_what_lies_comes_before_the_rows_of_its_field():
    job = job_of([run_of(1, 23)], down(1))
    assert (Fault.DOWN_LATE, 1) in found(job, 5)


# Touching


@pytest.mark.parametrize(("touches", "breaches"), [(None, 1), ((1,), 1), ((2,), 0), ((), 0)])
def test_joints_count_between_runs_that_touch_alone(touches, breaches):
    after = replace(run_of(2, 23), touches=touches)
    job = job_of([run_of(1, 23), after], stagger=3)
    assert sum(fault is Fault.JOINTS_CLOSE for fault, _ in found(job, 5, 6)) == breaches


@pytest.mark.parametrize(("middle", "last"), [(None, None), ((1,), (1,)), ((), None), (None, ())])
@pytest.mark.parametrize(
    ("rules", "fault"), [({"h_joint": 2}, Fault.H_CLOSE), ({"stair_step": 2}, Fault.STEPS_ALIKE)]
)
def test_three_runs_count_where_each_touches_the_next(middle, last, rules, fault):
    runs = [run_of(1, 23), replace(run_of(2, 23), touches=middle), replace(run_of(3, 23), touches=last)]
    counts = () not in (middle, last)
    assert (fault in {one for one, _ in found(job_of(runs, **rules), 4, 4, 4)}) is counts


def test_the_planner_lays_runs_that_do_not_touch_as_it_likes():
    runs = [run_of(1, 15), run_of(2, 15)]
    assert clash_of(job_of(runs, stagger=6))
    parted = [runs[0], replace(runs[1], touches=())]
    assert planned(job_of(parted, stagger=6)).totals.planks == 3


# The plan file


def written():
    runs = [run_of(1, 23), replace(run_of(2, 23), touches=(1,)), replace(run_of(3, 23), touches=())]
    return laid_by_hand(job_of(runs, down(0, 4, 11), down(-1)), 5, 6, 7)


def test_a_plan_with_rows_that_lie_reads_back_the_same():
    plan = written()
    assert read_plan(write_plan(plan)) == plan
    document = json.loads(write_plan(plan))
    assert document["down"][0] == {"field": "Loft", "line": 0, "offset": 0, "length": 25, "joints": [4, 11]}
    assert [row.get("touches") for row in document["rows"]] == [None, [1], []]


def test_a_plan_without_such_rows_says_nothing_of_them():
    document = json.loads(write_plan(laid_by_hand(job_of([run_of(1, 23)]), 5)))
    assert "down" not in document
    assert "touches" not in document["rows"][0]


WRONG = {
    "joints that do not rise": (("down", 0, "joints"), [11, 4], "down[1].joints[2]"),
    "a joint beyond its run": (("down", 0, "joints"), [4, 25], "down[1].joints[2]"),
    "a joint at the left end": (("down", 0, "joints"), [0], "down[1].joints[1]"),
    "a joint that is a text": (("down", 0, "joints"), ["4"], "down[1].joints[1]"),
    "no length": (("down", 0, "length"), 0, "down[1].length"),
    "a line that is none": (("down", 1, "line"), 0.5, "down[2].line"),
    "touches that are no list": (("rows", 1, "touches"), 1, "rows[2].touches"),
    "touches a run 0": (("rows", 1, "touches"), [1, 0], "rows[2].touches[2]"),
    "touches a name": (("rows", 1, "touches"), ["1"], "rows[2].touches[1]"),
    "touches null": (("rows", 1, "touches"), None, "rows[2].touches"),
}


@pytest.mark.parametrize(("at", "value", "place"), WRONG.values(), ids=WRONG)
def test_what_is_wrong_is_refused_with_its_place(at, value, place):
    document = json.loads(write_plan(written()))
    table, nth, key = at
    document[table][nth][key] = value
    with pytest.raises(PlanFileError) as refused:
        read_plan(json.dumps(document))
    assert f"plan file: {place}" in {problem.where for problem in refused.value.problems}
