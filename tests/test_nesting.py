"""Slanted ends that nest on a plank: by trying everything, by worked examples, and by what the check refuses."""

import csv
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from layings import INCH, SIXTEENTH
from nests import fewest_nested, mitred, mitred_jobs, overlap
from planner_jobs import FloorJob, planned

from cutopt.check import check_plan
from cutopt.check._finding import Fault
from cutopt.layout import lay_out
from cutopt.model.floor import Floor
from cutopt.model.job import Ends, Job, Lay, LayoutSpec, Order, Pattern, PlankSpec, Rules
from cutopt.model.plan import Keeps, Offcut
from cutopt.model.rooms import SizeRoom
from cutopt.model.slants import kerf_along, saved_by_nesting
from cutopt.numbering import number
from cutopt.planfile import read_plan, write_plan
from cutopt.planner import Limits, plan_cuts
from cutopt.sheet import render_csv, render_sheet
from cutopt.units import Unit, format_length

TRIED = settings(
    derandomize=True,
    deadline=None,
    max_examples=80,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
slants = st.integers(-6, 6)


def left_apart(job):
    """The same floor with ends that are no mitres: nothing nests."""
    runs = tuple(replace(run, left_mitre=False, right_mitre=False) for run in job.floor.runs)
    return replace(job, floor=replace(job.floor, runs=runs))


@given(right=slants, left=slants, kerf=st.integers(0, 3), width=st.integers(3, 7))
@TRIED
def test_two_ends_overlap_as_far_as_they_can_be_moved_together(right, left, kerf, width):
    assert saved_by_nesting(right, left, kerf=kerf, width=width) == overlap(right, left, kerf, width)


@given(
    right=st.integers(-(10**6), 10**6),
    left=st.integers(-(10**6), 10**6),
    kerf=st.integers(0, 4000),
    width=st.integers(4000, 10**5),
)
@TRIED
def test_nesting_saves_at_most_the_lesser_slant_and_never_costs(right, left, kerf, width):
    saved = saved_by_nesting(right, left, kerf=kerf, width=width)
    least = min(abs(right), abs(left))
    assert 0 <= saved <= least
    assert (saved > 0) <= (right * left > 0)
    # Half a turn swaps the two parts; a mirror turns both signs.
    assert saved == saved_by_nesting(left, right, kerf=kerf, width=width)
    assert saved == saved_by_nesting(-right, -left, kerf=kerf, width=width)
    along = kerf_along(kerf, least, width)
    exact2 = Fraction(kerf**2 * (width**2 + least**2), width**2)
    assert along**2 >= exact2
    assert along == 0 or (along - 1) ** 2 < exact2


def test_a_saw_at_45_degrees_takes_its_kerf_times_the_root_of_2():
    # 1/8 in of kerf: 0.17678 in along the plank.
    assert kerf_along(INCH // 8, 4 * INCH, 4 * INCH) == 1437
    assert kerf_along(INCH // 8, 0, 4 * INCH) == INCH // 8


@given(mitred_jobs())
@TRIED
def test_bound_and_plan_lie_on_either_side_of_the_fewest_planks_found_by_trying_everything(job):
    plan, best = planned(job), fewest_nested(job)
    if plan is None:
        assert best is None
        return
    assert plan.bound.planks <= best <= plan.totals.planks


@given(mitred_jobs())
@TRIED
def test_nesting_never_costs_planks_and_a_plan_that_saves_none_is_the_one_without(job):
    apart, plan = planned(left_apart(job)), planned(job)
    assume(plan is not None)
    assert plan.totals.planks <= apart.totals.planks
    assert plan.bound.planks <= apart.bound.planks
    if plan.totals.planks == apart.totals.planks:
        assert _planks_of(plan) == _planks_of(apart)


def _planks_of(plan):
    return [(piece.id, piece.length, piece.plank) for row in plan.rows for piece in row.pieces]


@given(mitred_jobs())
@TRIED
def test_a_floor_in_a_mirror_takes_as_many_planks(job):
    runs = tuple(
        replace(
            run,
            offset=-run.right,
            left_slant=-run.right_slant,
            right_slant=-run.left_slant,
            left_mitre=run.right_mitre,
            right_mitre=run.left_mitre,
        )
        for run in job.floor.runs
    )
    other = Lay.LEFT_TO_RIGHT if job.rules.lay is Lay.RIGHT_TO_LEFT else Lay.RIGHT_TO_LEFT
    mirror = replace(job, floor=Floor(runs=runs)).ruled(lay=other)
    here, there = planned(job), planned(mirror)
    assert (here and here.totals.planks) == (there and there.totals.planks)


@given(mitred_jobs())
@TRIED
def test_on_a_fixed_pattern_bound_and_check_hold_with_nesting(job):
    plan = planned(job.ruled(pattern=Pattern.HALF, stagger=0, min_piece=1))
    assume(plan is not None)
    best = fewest_nested(job.ruled(stagger=0, min_piece=1))
    assert plan.bound.planks <= plan.totals.planks
    assert best <= plan.totals.planks


def one_row(length, slants, *, ends=Ends.HANDED, kerf=0, plank=48):
    """One row of 4 in planks between mitred walls, lengths in inches."""
    run = mitred(1, int(length * INCH), tuple(slant * INCH for slant in slants), width=4 * INCH)
    area2 = 2 * run.width * run.length - run.width * (abs(run.left_slant) + abs(run.right_slant))
    spec = PlankSpec(length=plank * INCH, width=4 * INCH, per_box=8, ends=ends, kerf=kerf)
    rules = Rules(stagger=0, min_piece=6 * INCH, h_joint=0, stair_step=0, cut_step=SIXTEENTH, max_waiting=6)
    return FloorJob(Floor(runs=(replace(run, area2=area2),)), spec, rules)


def lost(plan):
    """What is opened and not laid, in square inches."""
    run = plan.rows[0].run
    opened = plan.totals.planks * plan.plank.length * run.width
    return Fraction(2 * opened - run.area2, 2 * INCH**2)


def test_two_ends_at_45_degrees_lose_a_square_of_the_planks_width_where_they_do_not_nest():
    # "Two 45 degree ends waste a square of board width; 4 in boards = 16 sq in" (diychatroom.com, "45 degree
    # calculation"): the walls lean to each other, and end piece and starter use up one plank.
    plan = planned(one_row(96, (4, -4)))
    assert (plan.totals.planks, lost(plan)) == (2, 16)


def test_between_walls_that_are_parallel_a_row_loses_nothing_to_the_slant():
    job = one_row(96 + 4, (4, 4))
    plan = planned(job)
    assert (plan.totals.planks, plan.bound.proven, lost(plan)) == (2, True, 0)
    assert planned(left_apart(job)).totals.planks == 3
    # One tick more is more than two planks hold.
    longer = replace(job, floor=Floor(runs=(replace(job.floor.runs[0], length=100 * INCH + 1),)))
    assert planned(longer).totals.planks == 3


def in_ticks(lengths, slants, *, ends=Ends.HANDED, kerf=0, min_piece=3):
    """Rows, none beside another, in planks of 48 by 4 ticks."""
    runs = tuple(mitred(2 * nth + 1, length, slants, row=nth + 1) for nth, length in enumerate(lengths))
    spec = PlankSpec(length=48, width=4, per_box=8, ends=ends, kerf=kerf)
    rules = Rules(stagger=0, min_piece=min_piece, h_joint=0, stair_step=0, cut_step=1, max_waiting=6)
    return FloorJob(Floor(runs=runs), spec, rules)


def test_a_kerf_on_the_slant_is_longer_than_one_across():
    # A kerf of 1 takes 1.414 at 45 degrees, 2 in whole ticks: 48 + 48 + 4 - 2.
    assert planned(in_ticks([98], (4, 4), kerf=1)).totals.planks == 2
    assert planned(in_ticks([99], (4, 4), kerf=1)).totals.planks == 3
    assert planned(in_ticks([95], (4, -4), kerf=1)).totals.planks == 2
    # Two whole planks have no cut between them; with one there, 48 + 48 - 1 is all.
    assert planned(in_ticks([97], (4, -4), kerf=1)).totals.planks == 3


def test_pieces_turned_end_for_end_nest_where_their_slants_have_one_sign():
    # Two end pieces at walls that lean the same way: handed planks give one each, square ones both from one.
    # With a minimum of 22 both rows are a whole plank and an end piece of 26: two are 52 long.
    assert planned(in_ticks([74, 74], (0, 4), ends=Ends.SQUARE, min_piece=22)).totals.planks == 3
    assert planned(in_ticks([74, 74], (0, 4), ends=Ends.HANDED, min_piece=22)).totals.planks == 4


# What the check refuses


@pytest.fixture(name="plan")
def nested_plan():
    """A row of two planks in which a starter of 33 in nests with an end piece of 19 in."""
    plan = planned(one_row(100, (4, 4)).ruled(min_piece=9 * INCH))
    assert [len(plank.pieces) for plank in plan.planks].count(2) == 1
    return plan


def faults(plan):
    return {finding.fault for finding in check_plan(plan)}


def changed(plan, *, run, pieces):
    (row,) = plan.rows
    found = tuple(replace(piece, **some) for piece, some in zip(row.pieces, pieces, strict=True))
    return replace(plan, rows=(replace(row, run=replace(row.run, **run), pieces=found),))


def test_a_nest_of_opposite_slants_is_refused(plan):
    turned = changed(plan, run={"right_slant": -4 * INCH}, pieces=[{}, {}, {"right_slant": -4 * INCH}])
    assert Fault.PLANK_TOO_FULL in faults(turned)


def test_a_nest_with_a_straight_end_is_refused(plan):
    straight = changed(plan, run={"right_slant": 0}, pieces=[{}, {}, {"right_slant": 0}])
    assert Fault.PLANK_TOO_FULL in faults(straight)


@pytest.mark.parametrize("slant", [4 * INCH - 1, 3 * INCH])
def test_a_nest_saves_no_more_than_the_lesser_slant(plan, slant):
    less = changed(plan, run={"left_slant": slant}, pieces=[{"left_slant": slant}, {}, {}])
    assert Fault.PLANK_TOO_FULL in faults(less)
    more = changed(plan, run={"left_slant": 5 * INCH}, pieces=[{"left_slant": 5 * INCH}, {}, {}])
    assert Fault.PLANK_TOO_FULL not in faults(more)


def test_a_nest_with_a_tick_too_much_is_refused(plan):
    (row,) = plan.rows
    longer = [{}, {}, {"length": row.pieces[-1].length + 1}]
    assert Fault.PLANK_TOO_FULL in faults(changed(plan, run={"length": row.run.length + 1}, pieces=longer))


@pytest.mark.parametrize(
    "run",
    [
        {"left_mitre": False},
        {"right_mitre": False},
        {"width": 4 * INCH - 1},
        {"wide": 4 * INCH, "narrow": 3 * INCH},
    ],
)
def test_ends_that_are_no_mitres_of_whole_planks_do_not_nest(plan, run):
    assert Fault.PLANK_TOO_FULL in faults(changed(plan, run=run, pieces=[{}, {}, {}]))


@pytest.mark.parametrize("kerf", [1, INCH // 8])
def test_a_nest_leaves_the_kerf_its_room(plan, kerf):
    assert Fault.PLANK_TOO_FULL in faults(replace(plan, plank=replace(plan.plank, kerf=kerf)))


@pytest.mark.parametrize("kerf", [0, INCH // 8])
def test_the_offcut_between_nested_pieces_is_as_long_as_its_shorter_edge(kerf):
    job = one_row(98, (4, 4), kerf=kerf)
    plan = planned(job)
    (shared,) = [plank for plank in plan.planks if len(plank.pieces) > 1]
    # Parallel to both: what is left of 48 in once both parts are cut on the slant.
    length = {piece.id: piece.length for piece in plan.rows[0].pieces}
    left = 48 * INCH + 4 * INCH - sum(length[name] for name in shared.pieces)
    left -= 2 * kerf_along(kerf, 4 * INCH, 4 * INCH)
    assert shared.offcuts == (Offcut(length=left, keeps=Keeps.NONE),)
    for other in (left - 1, left + 1):
        planks = tuple(
            replace(plank, offcuts=(Offcut(length=other, keeps=Keeps.NONE),)) if plank == shared else plank
            for plank in plan.planks
        )
        assert Fault.OFFCUT_LENGTH in faults(replace(plan, planks=planks))


def test_a_plan_file_says_which_ends_are_mitres(plan):
    text = write_plan(plan)
    assert read_plan(text) == plan
    without = text.replace('"left_mitre": true, ', "").replace('"right_mitre": true, ', "")
    assert without != text
    assert Fault.PLANK_TOO_FULL in faults(read_plan(without))


def test_the_sheet_tells_the_points_of_a_slanted_piece_and_what_lies_beside_its_slant():
    job = one_row(100, (4, 4)).ruled(min_piece=9 * INCH)
    plan = planned(job)
    shared = next(plank for plank in plan.planks if len(plank.pieces) > 1)
    text = " ".join(render_sheet(plan, job.job(), job.floor).split())
    for name in shared.pieces:
        assert f"the slanted end of {name} lies beside it on the plank" in text
    starter = plan.rows[0].pieces[0]
    shown = format_length(starter.length - 4 * INCH, plan.unit, SIXTEENTH)
    assert f"left end slants: far long edge {format_length(4 * INCH, plan.unit, SIXTEENTH)} shorter" in text
    assert f"(short point {shown})" in text
    rows = list(csv.DictReader(render_csv(plan).splitlines()))
    assert [row["slant beside that of"] for row in rows] == [shared.pieces[0], "", shared.pieces[1]]


# Floors on the plan


def diagonal(along, across, *, ends, degrees=45):
    """A room of planks 36 in by 6 in, rows at an angle; in inches."""
    return Job(
        title="",
        unit=Unit.IN,
        plank=PlankSpec(length=36 * INCH, width=6 * INCH, per_box=8, ends=ends),
        rules=Rules(
            stagger=4 * INCH,
            min_piece=4 * INCH,
            h_joint=0,
            stair_step=0,
            cut_step=INCH // 2,
            max_waiting=6,
            gap=0,
            min_rip=2 * INCH,
        ),
        order=Order(),
        rooms=(SizeRoom(name="Loft", along=along * INCH, across=across * INCH),),
        layout=LayoutSpec(direction=Fraction(degrees)),
    )


def test_rows_at_45_degrees_end_in_mitres_but_where_they_meet_a_corner():
    runs = lay_out(diagonal(96, 60, ends=Ends.HANDED)).runs
    size = 6 * INCH
    for run in runs[1:-1]:
        for slant, mitre in ((run.left_slant, run.left_mitre), (run.right_slant, run.right_mitre)):
            assert mitre == (abs(slant) in (size, size + 1)), run
    straight = [run.line for run in runs if run.left_mitre and run.right_mitre]
    assert len(straight) >= len(runs) - 4
    signs = [(run.left_slant > 0, run.right_slant > 0) for run in runs if run.line in straight]
    # From one corner the walls lean apart, between the next two the same way, then to each other.
    assert [pair for nth, pair in enumerate(signs) if nth == 0 or pair != signs[nth - 1]] in (
        [(False, True), (True, True), (True, False)],
        [(False, True), (False, False), (True, False)],
    )


def test_square_walls_and_bent_ends_are_no_mitres():
    runs = lay_out(diagonal(96, 60, ends=Ends.HANDED, degrees=0)).runs
    assert not any(run.left_mitre or run.right_mitre for run in runs)


@pytest.mark.parametrize("ends", Ends)
def test_a_room_on_the_diagonal_takes_fewer_planks_with_nesting(ends):
    job = diagonal(180, 40, ends=ends)
    floor = lay_out(job)
    apart = Floor(
        runs=tuple(replace(run, left_mitre=False, right_mitre=False) for run in floor.runs),
        ground=floor.ground,
    )
    limits = Limits(seconds=600, searches=0)
    plans = [number(one, plan_cuts(one, job.plank, job.rules, limits), job, 0) for one in (floor, apart)]
    assert [check_plan(plan) for plan in plans] == [(), ()]
    nested, plain = (plan.totals.planks for plan in plans)
    assert nested < plain


def test_an_end_called_a_mitre_on_a_bent_wall_is_refused():
    job = diagonal(60, 44, ends=Ends.HANDED)
    floor = lay_out(job)
    plan = number(floor, plan_cuts(floor, job.plank, job.rules, Limits(seconds=600, searches=1)), job, 0)
    tried = 0
    for at, row in enumerate(plan.rows):
        for slant, mitre in (("left_slant", "left_mitre"), ("right_slant", "right_mitre")):
            if getattr(row.run, slant) and not getattr(row.run, mitre):
                rows = list(plan.rows)
                rows[at] = replace(row, run=replace(row.run, **{mitre: True}))
                assert Fault.MITRE in faults(replace(plan, rows=tuple(rows)))
                tried += 1
    assert tried
