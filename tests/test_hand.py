"""Parts of planks in hand: cut from the start, held against trying everything, and never for nothing."""

from dataclasses import replace

import pytest
from hands import cutting_with, fewest_fresh, fresh, hand_jobs, peak_with, whole_plan
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from planner_jobs import FloorJob, jogged_jobs, mirrored, off_step_jobs, row_jobs
from runs import run_of

from cutopt.check import check_plan
from cutopt.errors import RulesClashError
from cutopt.model.floor import Floor
from cutopt.model.job import Ends, Lay, PlankSpec, Rules
from cutopt.model.plan import HandPart, Keeps
from cutopt.numbering import number

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
