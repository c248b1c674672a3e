"""Small floors with hardly any waste to spare: what is found and what is ruled out, held against brute force."""

from collections import Counter
from dataclasses import replace
from threading import active_count
from time import monotonic

import pytest
from enumerator import fewest_planks, layings_at_most
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st
from layings import INCH, SIXTEENTH, rows_of
from planner_jobs import MOST_LAYINGS, FloorJob, jogged_jobs, off_step_jobs, row_jobs
from runs import run_of

from cutopt.check import Rule, check_plan
from cutopt.model.floor import Floor
from cutopt.model.job import Ends, Pattern, PlankSpec, Rules, ShareOffcuts
from cutopt.model.plan import Bound, Cutting
from cutopt.numbering import number
from cutopt.planner import Limits, cpsat, plan_cuts
from cutopt.planner.bound import area_bound
from cutopt.planner.cpsat import Answer
from cutopt.planner.exact import can_settle, settle
from cutopt.planner.exact.planks import Planks
from cutopt.planner.exact.proof import is_plan
from cutopt.planner.limits import never
from cutopt.planner.problem import build_problem

STEADY = settings(
    derandomize=True,
    deadline=None,
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)


def problem_of(job):
    return build_problem(job.floor, job.plank, job.rules)


def tiny(lengths, *, plank=10, ends=Ends.HANDED, kerf=0, **rules):
    """Rows of one run, one tick standing for a step of the saw; most rules off."""
    every = {"stagger": 0, "min_piece": 1, "h_joint": 0, "stair_step": 0, "cut_step": 1, "max_waiting": None}
    runs = tuple(run_of(row, length) for row, length in enumerate(lengths, 1))
    spec = PlankSpec(length=plank, width=1, per_box=1, ends=ends, kerf=kerf)
    return FloorJob(Floor(runs=runs), spec, Rules(**every | rules))


@st.composite
def long_runs(draw, jobs):
    """Floors of a few runs, each longer than a plank."""
    job = draw(jobs).ruled(share_offcuts=ShareOffcuts.JOB)
    runs = [run for run in job.floor.runs if run.length > job.plank.length]
    assume(runs)
    rows, seen = sorted({run.row for run in runs}), Counter()
    for nth, run in enumerate(runs):
        seen[run.row] += 1
        runs[nth] = replace(run, row=rows.index(run.row) + 1, run=seen[run.row])
    return replace(job, floor=Floor(runs=tuple(runs)))


def is_checked(job, laid, target):
    cutting = Cutting(runs=laid, bound=Bound(planks=0, reason="none"))
    plan = number(job.floor, cutting, job.job(), 0)
    assert [finding for finding in check_plan(plan) if finding.rule is not Rule.BOUND] == []
    return plan.totals.planks <= target


@STEADY
@given(long_runs(st.one_of(row_jobs(), jogged_jobs())))
def test_the_fewest_planks_are_found_and_a_plank_less_is_ruled_out(job):
    problem = problem_of(job)
    fewest = fewest_planks(job.floor, job.plank, job.rules)
    assume(can_settle(problem))
    if fewest is None:
        assert settle(problem, 99, never).answer is Answer.NONE
        return
    found = settle(problem, fewest, never)
    assert found.answer is Answer.FOUND
    assert is_checked(job, found.laid, fewest)
    assert settle(problem, fewest - 1, never).answer is Answer.NONE


@st.composite
def close_to_the_step(draw):
    """Two to four rows on the cut step whose rules let starters off it save a plank now and then."""
    step = draw(st.sampled_from([2, 3]))
    planks = st.integers(3, 5).map(lambda steps: step * steps)
    plank = PlankSpec(length=draw(planks), width=1, per_box=1, ends=draw(st.sampled_from(Ends)), kerf=0)
    along = st.integers(1, 2 * plank.length // step).map(lambda steps: plank.length + step * steps)
    length = draw(along)
    rows = draw(st.integers(2, 4))
    alike = draw(st.booleans())
    runs = [
        run_of(row, length if alike else draw(along), offset=0 if alike else step * draw(st.integers(0, 2)))
        for row in range(1, rows + 1)
    ]
    rules = Rules(
        stagger=draw(st.integers(0, plank.length // 2)),
        min_piece=draw(st.sampled_from([1, step])),
        h_joint=draw(st.integers(0, 3)),
        stair_step=draw(st.integers(0, 4)),
        cut_step=step,
        max_waiting=draw(st.sampled_from([None, 6, 1])),
    )
    job = FloorJob(Floor(runs=tuple(runs)), plank, rules)
    assume(layings_at_most(job.floor, plank, rules) <= MOST_LAYINGS)
    return job


@settings(STEADY, max_examples=120)
@given(st.one_of(close_to_the_step(), long_runs(off_step_jobs())))
# Only starters off the step keep these to 8 and to 9 planks.
@example(tiny([30, 30, 30], plank=12, ends=Ends.SQUARE, stagger=5, h_joint=2, cut_step=3))
@example(tiny([16, 16, 16, 16], plank=6, ends=Ends.SQUARE, stagger=1, stair_step=3, cut_step=2))
def test_a_plan_with_starters_off_the_cut_step_is_never_ruled_out(job):
    problem = problem_of(job)
    assume(can_settle(problem))
    fewest = fewest_planks(job.floor, job.plank, job.rules)
    if fewest is not None:
        assert settle(problem, fewest - 1, never).answer is not Answer.FOUND
        assert settle(problem, fewest, never).answer is not Answer.NONE


@pytest.mark.parametrize(
    ("change", "fewest"),
    [
        ({}, 5),
        ({"kerf": 2}, 5),
        ({"kerf": 3}, 6),
        ({"fit": 3}, 6),
        ({"max_waiting": 0}, 6),
        ({"max_waiting": 1}, 5),
        ({"kerf": 2, "stagger": 3}, 5),
        ({"kerf": 2, "stagger": 4}, 6),
        ({"kerf": 2, "stair_step": 3}, 5),
        ({"kerf": 2, "stair_step": 4}, 6),
        ({"ends": Ends.SQUARE}, 5),
    ],
    ids=str,
)
def test_each_rule_by_floors_worked_out_by_trying_everything(change, fewest):
    job = tiny([15, 15, 15], **change)
    assert fewest_planks(job.floor, job.plank, job.rules) == fewest
    assert settle(problem_of(job), fewest, never).answer is Answer.FOUND
    assert settle(problem_of(job), fewest - 1, never).answer is Answer.NONE


def test_joints_two_rows_apart():
    # On planks of 10, joints 4 apart from row to row leave 2 between the first and the third row at the most.
    assert settle(problem_of(tiny([15, 15, 15], stagger=4, h_joint=2)), 5, never).answer is Answer.FOUND
    assert settle(problem_of(tiny([15, 15, 15], stagger=4, h_joint=3)), 99, never).answer is Answer.NONE


def narrow_room():
    """Thirteen rows that prices alone would lay from 62 planks."""
    rules = {
        "stagger": 12 * INCH,
        "min_piece": 8 * INCH,
        "h_joint": 2 * INCH,
        "stair_step": INCH,
        "cut_step": SIXTEENTH,
    }
    return rows_of([170 * INCH + INCH // 8] * 13, plank=36 * INCH, **rules)


def test_thirteen_rows_are_laid_from_63_planks_and_62_are_ruled_out():
    assert settle(narrow_room(), 62, never).answer is Answer.NONE
    assert settle(narrow_room(), 63, never).answer is Answer.FOUND


def test_the_planner_proves_what_prices_alone_cannot(monkeypatch):
    monkeypatch.setattr("cutopt.planner.solve.FOR_SEARCH", 0.0)  # asked after one search: no clock decides
    problem = narrow_room()
    plank = PlankSpec(length=36 * INCH, width=1, per_box=1, ends=Ends.HANDED, kerf=0)
    cutting = plan_cuts(Floor(runs=problem.runs), plank, problem.rules, Limits(seconds=60))
    assert (cutting.bound.planks, cutting.bound.proven) == (63, True)
    assert cutting.bound.reason.startswith("no way to lay the rows from 62 planks exists")


def test_the_same_question_has_the_same_answer():
    assert settle(narrow_room(), 63, never) == settle(narrow_room(), 63, never)


def test_stop_ends_it_at_once_and_leaves_nothing_running():
    hard = rows_of([200 * INCH + INCH // 8 * row for row in range(40)], plank=36 * INCH, cut_step=SIXTEENTH)
    looks = iter(range(10**9))
    before, threads = monotonic(), active_count()
    assert settle(hard, area_bound(hard), lambda: next(looks) > 10).answer is Answer.UNDECIDED
    assert settle(hard, area_bound(hard), lambda: True).answer is Answer.UNDECIDED
    assert monotonic() - before < 5
    assert active_count() == threads


def test_one_solve_alone_can_rule_nothing_out(monkeypatch):
    def lying(model, writing, **asked):
        return (Answer.NONE, None) if writing.presolve else cpsat.solve_aside(model, writing, **asked)

    monkeypatch.setattr("cutopt.planner.exact.questions.solve_aside", lying)
    assert settle(narrow_room(), 63, never).answer is Answer.UNDECIDED


def test_a_wrong_plan_of_the_solver_is_found_out(monkeypatch):
    problem = problem_of(tiny([15, 15, 15], stagger=4))
    right = settle(problem, 5, never).laid
    assert is_plan(problem, right, 5)
    assert not is_plan(problem, right, 4)
    assert not is_plan(problem_of(tiny([15, 15, 15], stagger=4, max_waiting=0)), right, 5)
    assert not is_plan(problem_of(tiny([15, 15, 15], stagger=4, kerf=1)), right, 5)
    assert not is_plan(problem, (right[0], right[0], right[2]), 5)
    assert not is_plan(problem, (right[0][:1], *right[1:]), 5)
    monkeypatch.setattr(Planks, "laid", lambda _planks, _solver: (right[0], right[0], right[2]))
    assert settle(problem, 5, never).answer is Answer.UNDECIDED


@pytest.mark.parametrize(
    "job",
    [
        tiny([15, 10]),
        tiny([15, 7]),
        tiny([15, 15], cut_step=2),
        tiny([15, 15], pattern=Pattern.HALF),
        tiny([15] * 51),
        tiny([15], min_piece=9),
    ],
    ids=["a whole plank", "a single piece", "off the step", "a pattern", "too many runs", "no way"],
)
def test_floors_of_another_kind_are_left_to_the_search(job):
    assert not can_settle(problem_of(job))


def test_floors_of_its_kind_are_known():
    assert can_settle(problem_of(tiny([15] * 50)))
    assert can_settle(problem_of(tiny([11, 25], ends=Ends.SQUARE, kerf=1)))
