"""Habits of layouts, and the first plank saved, in figures worked out by hand or published."""

from fractions import Fraction
from itertools import accumulate, combinations
from math import cos, isclose, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mendings import INCH, inches, lengths_of, plan_of
from planner_jobs import floors, planned

from cutopt.check import check_plan
from cutopt.mend import first_saved, habits
from cutopt.model.job import Ends, Lay
from cutopt.model.judgement import Repeat

STEADY = settings(derandomize=True, deadline=None)


def layout(starters, *, length=150, plank=48, **rules):
    rows = [
        lengths_of(round(start * INCH) or plank * INCH, length * INCH, plank * INCH) for start in starters
    ]
    return plan_of(rows, plank=plank * INCH, **rules)


def test_a_step_of_13_and_a_half_in_boards_of_36_repeats_every_8_rows():
    """A planner by hand, 134 in room: 8 x 13-1/2 = 3 x 36 (a builder's public diary on the web)."""
    starts = [(4 + 13.5 * row) % 36 for row in range(19)]
    found = habits(layout(starts, length=134, plank=36))
    assert found.repeats == (Repeat(period=8, first=1, times=2),)
    assert found.regularity == 1


@pytest.mark.parametrize(("parts", "rows", "times"), [(2, 6, 3), (3, 9, 3), (3, 7, 2)])
def test_half_and_third_offset_repeat_every_2_and_3_rows(parts, rows, times):
    found = habits(layout([(10 + 48 / parts * row) % 48 for row in range(rows)]))
    assert found.repeats == (Repeat(period=parts, first=1, times=times),)
    assert found.regularity == 1
    assert found.alike == Fraction(rows - parts, rows - 1)


def test_a_repeat_need_not_begin_with_the_first_row_and_asks_for_three():
    starts = [11, 30, 7, 20, 10, 34, 10, 34, 10]
    assert habits(layout(starts)).repeats == (Repeat(period=2, first=5, times=2),)
    assert habits(layout(starts[:-1])).repeats == ()


def test_rows_a_sixteenth_apart_are_alike_and_rows_further_apart_are_not():
    close = [10, 30, 10 + 1 / 16, 30, 10]
    assert habits(layout(close)).repeats == (Repeat(period=2, first=1, times=2),)
    assert habits(layout([10, 30, 10 + 1 / 8, 30, 10])).repeats == ()


def test_the_chain_of_offcuts_is_one_shift_throughout():
    """Rows of 130 in, planks of 48 in: every row begins with what the one before leaves, 14 in on."""
    found = habits(layout([48, 14, 28, 42, 8], length=130))
    assert found.regularity == 1
    assert found.repeats == ()
    # Joints at 48, 96; 14, 62, 110; 28, 76, 124: the first of row 2 is 34 in from row 1, all others are 14 in from the row before.
    assert habits(layout([48, 14, 28], length=130, stagger=10 * INCH)).near == Fraction(5, 6)
    assert habits(layout([48, 14, 28], length=130, stagger=9 * INCH)).near == 0


def test_near_counts_joints_of_the_later_row():
    """Row 2 (joints 16, 64, 112) is 8 in from row 1 (8, 56, 104); row 3 is 20 in from row 2."""
    assert habits(layout([8, 16, 36])).near == Fraction(1, 2)
    assert habits(layout([8, 16, 36], stagger=0)).near is None
    assert habits(layout([8])).near is None


def test_opposite_shifts_are_not_regular():
    """12 in on and 12 in back are 180 degrees apart on a circle of 48 in; R is 0."""
    assert habits(layout([10, 22, 10, 22, 10])).regularity == 0
    # Shifts of 0 and a quarter of the plank: the cosine of 90 degrees.
    assert habits(layout([10, 10, 22])).regularity == 0
    # Three shifts of 8, 8 and 16 in are 60, 60 and 120 degrees: (1 + 1/2 + 1/2) / 3.
    assert habits(layout([4, 12, 20, 36])).regularity == Fraction(6667, 10000)
    assert habits(layout([4, 12])).regularity is None


@settings(STEADY, max_examples=50)
@given(st.lists(st.integers(0, 47), min_size=2, max_size=9))
def test_regularity_is_the_mean_cosine_of_two_shifts(shifts):
    starts = [start % 48 or 48 for start in accumulate(shifts, initial=5)]
    angles = [2 * pi * shift / 48 for shift in shifts]
    pairs = [cos(one - other) for one, other in combinations(angles, 2)]
    mean = max(0, sum(pairs) / len(pairs))
    assert isclose(habits(layout(starts)).regularity, mean, abs_tol=0.00006)


@pytest.mark.parametrize("lay", Lay)
def test_three_short_starters_of_four_are_a_cluster(lay):
    """Under 12 in is short with a minimum of 8 in; end pieces of rows 9 to 11 are, of 150 - 2 x 48 - starter."""
    starts = [20, 9, 30, 10, 11, 30, 40, 20, 44, 43, 45, 20]
    found = habits(layout(starts, lay=lay)).clusters
    assert found == ((2, 5, "starter"), (9, 11, "end piece"))


def test_clusters_that_overlap_are_one():
    assert habits(layout([9, 30, 10, 11, 30, 9, 10, 30, 11])).clusters == ((1, 9, "starter"),)
    assert habits(layout([9, 30, 10, 30, 9, 30])).clusters == ()
    assert habits(layout([9, 10, 11])).clusters == ((1, 3, "starter"),)
    assert habits(layout([9, 10, 11], min_piece=0)).clusters == ()


def test_one_row_has_no_habits():
    found = habits(layout([20]))
    assert (found.clusters, found.repeats, found.near, found.regularity, found.alike) == (
        (),
        (),
        None,
        None,
        None,
    )


def told(rows, planks, *, plank=48, **rules):
    return plan_of([inches(*row) for row in rows], plank=plank * INCH, planks=planks, **rules)


def test_a_starter_from_the_rest_of_an_end_piece():
    """Plank 3 gives 20 in and 28 in are left with the right end; row 2 starts with 21 in of a new one."""
    plan = told([[30, 48, 20], [21, 48, 29]], [[1, 2, 3], [4, 5, 6]])
    assert first_saved(plan) == (2, 'the rest of plank 3 (28")')


def test_a_rest_with_the_wrong_end_does_not_serve():
    """Plank 1 leaves 28 in with the left end: handed, no starter comes of it, but the end piece of row 2 does."""
    rows = [[20, 48, 40], [21, 48, 39]]
    plan = told(rows, [[1, 2, 3], [4, 5, 6]])
    assert first_saved(plan) is None
    assert first_saved(told(rows, [[1, 2, 3], [4, 5, 6]], ends=Ends.SQUARE)) == (
        2,
        'the rest of plank 1 (28")',
    )
    ends = told([[20, 48, 40], [42, 48, 27]], [[1, 2, 3], [4, 5, 6]])
    assert first_saved(ends) == (2, 'the rest of plank 1 (28")')


def test_the_kerf_decides():
    """48 - 20 in leaves 28 in, less 1/8 in for the saw."""
    rows = [[30, 48, 20], [28, 48, 22]]
    assert first_saved(told(rows, [[1, 2, 3], [4, 5, 6]])) == (2, 'the rest of plank 3 (28")')
    assert first_saved(told(rows, [[1, 2, 3], [4, 5, 6]], kerf=INCH // 8)) is None
    assert first_saved(told(rows, [[1, 2, 3], [4, 5, 6]], fit=1)) is None


def test_what_is_used_later_is_no_rest():
    """All of plank 3 is used by row 3; a plank that two pieces come of is saved where both had a rest."""
    rows = [[30, 48, 20], [21, 48, 40], [27, 48, 40]]
    assert first_saved(told(rows, [[1, 2, 3], [4, 5, 6], [3, 7, 8]])) is None
    shared = [[30, 48, 25], [21, 48, 44], [40, 48, 17]]
    assert first_saved(told(shared, [[1, 2, 3], [4, 5, 6], [7, 8, 4]])) == (
        2,
        'the rests of planks 3 (23") and 1 (18")',
    )


def test_a_rest_that_would_have_to_wait_too_long_does_not_serve():
    rows = [[30, 48, 20], [21, 48, 44]]
    assert first_saved(told(rows, [[1, 2, 3], [4, 5, 6]], max_waiting=0)) is None
    assert first_saved(told(rows, [[1, 2, 3], [4, 5, 6]], max_waiting=1)) == (2, 'the rest of plank 3 (28")')


@settings(STEADY, max_examples=10)
@given(floors())
def test_a_plan_proven_has_no_plank_to_save(job):
    plan = planned(job)
    if plan and plan.bound.proven:
        assert check_plan(plan) == ()
        assert first_saved(plan) is None
