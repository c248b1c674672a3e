"""Parts of planks in hand: cut from the start, held against trying everything, and never for nothing."""

from dataclasses import replace
from pathlib import Path

import pytest
from hands import cutting_with, fewest_fresh, fresh, hand_jobs, hands, peak_with, ripped_jobs, whole_plan
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pattern_floors import pattern_jobs
from planner_jobs import LOOKS, FloorJob, Patience, jogged_jobs, mirrored, off_step_jobs, row_jobs
from runs import run_of

from cutopt.check import check_plan
from cutopt.errors import RulesClashError
from cutopt.jobfile import read_job
from cutopt.model.floor import Floor
from cutopt.model.job import Ends, Lay, PlankSpec, Rules
from cutopt.model.plan import Bound, Cutting, HandPart, Keeps, Part, PieceCut
from cutopt.model.replan import Changes
from cutopt.numbering import number
from cutopt.pipeline import plan_job
from cutopt.pipeline._plan import LEFT_UNKEPT
from cutopt.planner import Limits, plan_cuts
from cutopt.planner.limits import Clock, Unwatched
from cutopt.planner.rooms import room_by_room
from cutopt.replan import remaining

EXAMPLES = Path(__file__).parents[1] / "examples"
STEADY = settings(derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def planned(job, hand):
    """The cutting of a floor with parts in hand, held against the independent check; ``None``: the rules clash."""
    try:
        cutting = cutting_with(job, hand)
    except RulesClashError:
        return None
    plan = number(job.floor, whole_plan(hand, cutting), job.job(), 0)
    assert check_plan(plan) == ()
    assert plan.totals.planks == fresh(cutting)
    assert cutting.bound.proven == (fresh(cutting) == cutting.bound.planks)
    most = job.rules.max_waiting
    assert most is None or peak_with(job, hand, cutting) <= most
    return cutting


# Tiny floors, where everything can be tried


@settings(STEADY, max_examples=120)
@given(hand_jobs())
def test_tiny_floors_open_the_fewest_fresh_planks_there_are(case):
    job, hand = case
    fewest = fewest_fresh(job, hand)
    cutting = planned(job, hand)
    assert (cutting and fresh(cutting)) == fewest
    assert cutting is None or cutting.bound.planks <= fewest


@settings(STEADY, max_examples=80)
@given(hand_jobs(keeps=tuple(Keeps), jobs=st.one_of(row_jobs(), jogged_jobs(), off_step_jobs())))
def test_no_bound_is_claimed_that_parts_can_beat(case):
    job, hand = case
    cutting = planned(job, hand)
    if cutting is not None:
        assert cutting.bound.planks <= fewest_fresh(job, hand) <= fresh(cutting)


# Laws


@settings(STEADY, max_examples=60)
@given(hand_jobs(), st.data())
def test_more_parts_in_hand_never_need_more_fresh_planks(case, data):
    job, hand = case
    fewer = data.draw(st.sets(st.sampled_from(range(len(hand))), max_size=len(hand) - 1))
    some, every = planned(job, tuple(hand[nth] for nth in sorted(fewer))), planned(job, hand)
    if some is not None:
        if some.bound.proven and every.bound.proven:
            assert fresh(every) <= fresh(some)
        assert every.bound.planks <= fresh(some)
        # Each part saves a plank at the most.
        assert some.bound.planks - (len(hand) - len(fewer)) <= fresh(every)


@settings(STEADY, max_examples=40)
@given(hand_jobs())
def test_a_mirrored_floor_with_mirrored_parts_needs_as_many(case):
    job, hand = case
    other = {Keeps.LEFT: Keeps.RIGHT, Keeps.RIGHT: Keeps.LEFT, Keeps.BOTH: Keeps.BOTH}
    seen = tuple(replace(part, keeps=other[part.keeps]) for part in hand)
    one, two = planned(job, hand), planned(mirrored(job), seen)
    assert (one is None) == (two is None)
    if one is not None and two is not None:
        assert (fresh(one), one.bound.planks) == (fresh(two), two.bound.planks)


@settings(STEADY, max_examples=25)
@given(hand_jobs(), st.integers(0, 5))
def test_the_same_job_hand_and_seed_give_the_same_plan(case, seed):
    job, hand = case
    try:
        cutting = cutting_with(job, hand, seed=seed)
    except RulesClashError:
        return
    assert cutting_with(job, hand, seed=seed) == cutting


# Floors worked out by hand: planks of 10, handed, laid from the left; a starter keeps the right end

PLANK = PlankSpec(length=10, width=100, per_box=8, ends=Ends.HANDED, kerf=0)
RULES = Rules(stagger=3, min_piece=2, h_joint=0, stair_step=0, cut_step=1)


def rows(*lengths, **rules):
    runs = tuple(run_of(line, length) for line, length in enumerate(lengths, 1))
    return FloorJob(Floor(runs=runs), PLANK, replace(RULES, **rules))


def part(length, keeps, plank=None, field=""):
    return HandPart(length=length, keeps=keeps, plank=plank, field=field)


@pytest.mark.parametrize(
    ("job", "hand", "fewest"),
    [
        # 16 is 4 + 10 + 2 or the like: a starter of 4 in hand, and an end piece of 2 or more, save both planks
        (rows(16), [part(4, Keeps.RIGHT), part(2, Keeps.LEFT)], 1),
        (rows(16), [part(4, Keeps.LEFT), part(2, Keeps.RIGHT)], 1),
        (rows(16), [part(4, Keeps.RIGHT), part(2, Keeps.RIGHT)], 2),
        (rows(16, lay=Lay.RIGHT_TO_LEFT), [part(4, Keeps.LEFT), part(2, Keeps.RIGHT)], 1),
        # both pieces of a row from one part that keeps both ends: 4 + 2, or 2 + 4
        (rows(16), [part(6, Keeps.BOTH)], 1),
        (rows(16), [part(5, Keeps.BOTH)], 2),
        # a starter of 9, or two pieces that leave too little of the other row
        (rows(15, 18), [part(9, Keeps.BOTH)], 3),
        # no part of the plan's may wait, one that is found may be cut for one row
        (rows(16, max_waiting=0), [part(6, Keeps.BOTH, plank=1)], 2),
        (rows(16, max_waiting=0), [part(6, Keeps.BOTH)], 1),
        (rows(16, max_waiting=1), [part(4, Keeps.RIGHT, plank=1), part(2, Keeps.LEFT, plank=2)], 2),
        (rows(16, max_waiting=2), [part(4, Keeps.RIGHT, plank=1), part(2, Keeps.LEFT, plank=2)], 1),
        # single pieces from what keeps no end, and from what is left between two that kept theirs
        (rows(5, 5), [part(5, Keeps.NONE), part(6, Keeps.NONE)], 0),
        (rows(5), [part(4, Keeps.NONE)], 1),
        # a part for another room
        (rows(16), [part(6, Keeps.BOTH, field="Den")], 2),
        (rows(16), [part(6, Keeps.BOTH, field="Loft")], 1),
        (rows(6, 4), [part(6, Keeps.RIGHT), part(4, Keeps.LEFT)], 0),
    ],
)
def test_floors_worked_out_by_hand(job, hand, fewest):
    cutting = planned(job, tuple(hand))
    assert fewest_fresh(job, hand) == fewest
    assert (fresh(cutting), cutting.bound.planks) == (fewest, fewest)


# Floors planned without parts, these put in at the end


@settings(STEADY, max_examples=30)
@given(pattern_jobs(), st.data())
def test_on_a_pattern_parts_are_put_in_and_no_bound_is_too_high(job, data):
    floor = FloorJob(job.floor, job.plank, job.rules)
    hand = data.draw(hands(floor))
    without, cutting = planned(floor, ()), planned(floor, hand)
    assert (without is None) == (cutting is None)
    if cutting is not None:
        assert cutting.bound.planks <= fresh(cutting) <= fresh(without)
        assert fresh(without) - len(hand) <= fresh(cutting) or not without.bound.proven


@settings(STEADY, max_examples=25)
@given(hand_jobs(jobs=ripped_jobs()))
def test_where_edge_rows_share_planks_parts_are_put_in(case):
    job, hand = case
    without, cutting = planned(job, ()), planned(job, hand)
    if cutting is not None:
        assert cutting.bound.planks <= fresh(cutting) <= fresh(without)


@settings(STEADY, max_examples=25)
@given(hand_jobs())
def test_a_best_effort_uses_parts_and_its_bound_holds(case):
    job, hand = case
    strict = job.ruled(stagger=job.plank.length // 2 + 1, min_piece=job.plank.length // 2)
    limits = Limits(seconds=600, best_effort=True)
    bent = plan_cuts(strict.floor, strict.plank, strict.rules, limits, Patience(LOOKS), hand=hand)
    plan = number(job.floor, whole_plan(hand, bent), strict.job(), 0)
    assert {finding.rule for finding in check_plan(plan)} <= LEFT_UNKEPT
    assert bent.bound.planks <= fresh(bent)


# Going on with a plan


def test_going_on_after_any_row_opens_no_more_planks_than_the_plan():
    job = read_job(EXAMPLES / "landing.toml")
    plan = plan_job(job, Limits(seconds=30), Unwatched()).plan
    assert plan.bound.proven
    for laid in range(1, plan.rows[-1].run.row):
        left = remaining(plan, Changes(laid_rows=laid))
        cut = {plank.plank for plank in plan.planks if not left.done.keys().isdisjoint(plank.pieces)}
        rules = replace(plan.rules, max_waiting=left.max_waiting)
        floor = replace(left.floor, down=left.down)
        again = plan_cuts(floor, plan.plank, rules, Limits(seconds=30), hand=left.hand)
        assert (fresh(again), again.bound.planks) == (plan.totals.planks - len(cut),) * 2


# Rooms one by one


def test_rooms_one_by_one_share_neither_planks_nor_parts():
    runs = tuple(run_of(1, 9, room=room, row=row) for row, room in enumerate(("Loft", "Den", "Bay"), 1))
    hand = (part(9, Keeps.RIGHT), part(5, Keeps.RIGHT, field="Den"), part(9, Keeps.RIGHT))
    offered = []

    def plan(room, own, clock):  # noqa: ARG001 - what a planner is told
        """The last part of all that there are, and a fresh plank, which is numbered from 0."""
        offered.append(len(own))
        planks = [-len(own), 0]
        pieces = tuple(PieceCut(part=Part.SINGLE, length=4, plank=plank) for plank in planks)
        return Cutting(runs=(pieces,), bound=Bound(planks=1, reason="", proven=True))

    cutting = room_by_room(Floor(runs=runs), hand, Clock(Limits(seconds=5), Unwatched()), plan)
    assert offered == [2, 2, 1]
    planks = [[piece.plank for piece in pieces] for pieces in cutting.runs]
    assert planks == [[-3, 1], [-2, 2], [-1, 3]]
    # One part that any room might have had went to a room before the last.
    assert (cutting.bound.planks, cutting.bound.proven) == (2, False)
