"""Tolerance: within what is stated no rule breaks, whatever the walls do; one tick beyond, one does."""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from nests import mitred_jobs
from out_of_true import as_laid, longer
from plan_documents import PLANS
from planner_jobs import (
    FloorJob,
    floors,
    jogged_jobs,
    mirrored,
    off_step_jobs,
    planned,
    row_jobs,
    settled_jobs,
)
from runs import run_of

from cutopt.check import check_plan
from cutopt.model.floor import DownRun, Floor
from cutopt.model.job import Ends, Lay, PlankSpec, Rules
from cutopt.model.plan import Bound, Cutting, Part, PieceCut
from cutopt.model.tolerance import Breaks, common_tolerance
from cutopt.numbering import number
from cutopt.planfile import read_plan
from cutopt.tolerance import tolerances

STEADY = settings(
    derandomize=True, deadline=None, max_examples=40, suppress_health_check=[HealthCheck.too_slow]
)
P = 100


def ripped(job):
    """The job with its first and last row ripped to less than half the planks' width."""
    runs = job.floor.runs
    narrow = [replace(run, width=40, area2=80 * run.length) for run in (runs[0], runs[-1])]
    return replace(job, floor=replace(job.floor, runs=(narrow[0], *runs[1:-1], narrow[1])))


jobs = st.one_of(row_jobs(), jogged_jobs(), settled_jobs(), off_step_jobs(), floors(), floors().map(ripped))


def breaches(plan, errors):
    return check_plan(as_laid(plan, errors))


def errors_within(told, chance):
    """Errors of all runs at once, many of them as large as may be."""
    found = []
    for one in told:
        low, high = -one.shorter.ticks, one.longer.ticks
        found.append(chance.choice([low, high, 0, chance.randint(low, high)]))
    return found


def alone(plan, index, error):
    return breaches(plan, [error if nth == index else 0 for nth in range(len(plan.rows))])


# The promise


@STEADY
@given(jobs | mitred_jobs(), st.randoms(use_true_random=False))
def test_no_rule_breaks_while_all_walls_are_out_within_their_tolerance(job, chance):
    plan = planned(job)
    assume(plan is not None)
    assert breaches(plan, [0] * len(plan.rows)) == ()
    told = tolerances(plan)
    corners = [[one.longer.ticks for one in told], [-one.shorter.ticks for one in told]]
    for errors in (*corners, *(errors_within(told, chance) for _ in range(6))):
        assert breaches(plan, errors) == (), errors


@STEADY
@given(jobs | mitred_jobs())
def test_alone_a_run_may_be_out_so_far_and_no_tick_more(job):
    plan = planned(job)
    assume(plan is not None)
    for index, one in enumerate(tolerances(plan)):
        for sign, way in ((1, one.longer), (-1, one.shorter)):
            assert way.alone >= way.ticks >= 0
            assert alone(plan, index, sign * way.alone) == ()
            beyond = sign * (way.alone + 1)
            if can_be(plan, index, beyond):
                assert alone(plan, index, beyond), (index, beyond, way)


def can_be(plan, index, error):
    """Whether a run may be out so far by what a run is: it ends before the next of its row, square somewhere.

    The check lets more pass.
    """
    run = longer(plan.rows[index].run, error, plan.rules.lay is Lay.RIGHT_TO_LEFT)
    others = [laid.run for nth, laid in enumerate(plan.rows) if nth != index and laid.run.row == run.row]
    meets = any(run.offset < other.right and other.offset < run.right for other in others)
    return not meets and run.length > max(abs(run.left_slant), abs(run.right_slant))


@STEADY
@given(jobs)
def test_all_walls_out_by_more_than_the_common_tolerance_break_a_rule(job):
    plan = planned(job)
    assume(plan is not None)
    told = tolerances(plan)
    most = common_tolerance(told)
    assert breaches(plan, [most] * len(told)) == breaches(plan, [-most] * len(told)) == ()
    least = [way for one in told for way in (one.longer, one.shorter) if way.ticks == most]
    assume(not any(way.breaks in {Breaks.NEXT_RUN, Breaks.GONE} for way in least))
    assert any(breaches(plan, [(most + 1) * sign for sign in signs]) for signs in some_signs(len(told)))


def some_signs(runs):
    """All longer, all shorter, one run or the rows at one wall shorter than the rest, one run by itself."""
    yield from ([1] * runs, [-1] * runs)
    for nth in range(runs):
        yield [-1 if other == nth else 1 for other in range(runs)]
        yield from ([sign * (other == nth) for other in range(runs)] for sign in (1, -1))


@STEADY
@given(st.one_of(row_jobs(), jogged_jobs(), settled_jobs()))
def test_a_mirrored_plan_allows_the_same(job):
    plan = planned(job)
    assume(plan is not None)
    there = seen_in_a_mirror(plan)
    assert check_plan(there) == ()
    assert tolerances(there) == tolerances(plan)


def seen_in_a_mirror(plan):
    job = mirrored(
        FloorJob(Floor(runs=tuple(laid.run for laid in plan.rows), down=plan.down), plan.plank, plan.rules)
    )
    turned = dict(zip((laid.run for laid in plan.rows), job.floor.runs, strict=True))
    cuts = as_laid(plan, [0] * len(plan.rows))
    rows = tuple(replace(laid, run=turned[laid.run], pieces=mirrored_pieces(laid)) for laid in cuts.rows)
    planks = tuple(mirrored_plank(plank) for plank in cuts.planks)
    return replace(cuts, rules=job.rules, rows=rows, planks=planks, down=job.floor.down)


def mirrored_pieces(laid):
    return tuple(
        replace(
            piece,
            left=piece.right,
            right=piece.left,
            left_slant=piece.right_slant,
            right_slant=piece.left_slant,
        )
        for piece in laid.pieces[::-1]
    )


def mirrored_plank(plank):
    turned = {"left": "right", "right": "left"}
    return replace(
        plank,
        pieces=plank.pieces[::-1],
        offcuts=tuple(
            replace(offcut, keeps=type(offcut.keeps)(turned.get(offcut.keeps, offcut.keeps)))
            for offcut in plank.offcuts
        ),
    )


STORED = [*PLANS.glob("*.json"), *(PLANS.parent / "sheets").glob("*/plan.json")]


@pytest.mark.parametrize("path", STORED, ids=lambda path: f"{path.parent.name} {path.stem}")
def test_stored_plans_keep_the_promise(path):
    plan = read_plan(path)
    told = tolerances(plan)
    chance = Random(path.stem)  # noqa: S311 - chance, not secrets
    assert [one.length for one in told] == [laid.run.length for laid in plan.rows]
    for _ in range(20):
        assert breaches(plan, errors_within(told, chance)) == ()


# Floors worked out by hand: planks of 100, kerf 2, minimum piece 10


def plan_of(rows, *, offsets=None, widths=None, down=(), **rules):
    """A plan of rows of (part, length, plank[, beside]); nothing between joints unless told."""
    usual = {"stagger": 0, "min_piece": 10, "h_joint": 0, "stair_step": 0, "cut_step": 1, "max_waiting": None}
    runs = tuple(
        run_of(
            nth,
            sum(piece[1] for piece in row),
            offset=(offsets or {}).get(nth, 0),
            width=(widths or {}).get(nth, 100),
        )
        for nth, row in enumerate(rows, 1)
    )
    spec = PlankSpec(length=P, width=100, per_box=8, ends=Ends.HANDED, kerf=2)
    job = FloorJob(Floor(runs=runs, down=down), spec, Rules(**usual | rules))
    cuts = tuple(
        tuple(
            PieceCut(part=part, length=length, plank=plank, beside=beside[0] if beside else None)
            for part, length, plank, *beside in row
        )
        for row in rows
    )
    cutting = Cutting(runs=cuts, bound=Bound(planks=1, reason="by hand"))
    plan = number(job.floor, cutting, job.job(), 0)
    assert check_plan(plan) == ()
    return plan


S, W, E, ONE = Part.STARTER, Part.WHOLE, Part.END, Part.SINGLE


def ways(plan):
    return [(one.shorter.ticks, one.longer.ticks) for one in tolerances(plan)]


def test_an_end_piece_takes_the_error_down_to_the_minimum_and_up_to_a_plank():
    plan = plan_of([[(S, 50, 1), (E, 30, 2)]])
    (row,) = tolerances(plan)
    assert (row.piece, row.name) == ("1.2", "1")
    assert (row.shorter.ticks, row.shorter.breaks) == (20, Breaks.MIN_PIECE)
    assert (row.longer.ticks, row.longer.breaks) == (70, Breaks.PLANK)


def test_the_rest_that_feeds_a_later_row_bounds_it():
    # 100 - 30 - 60 leaves 10, of which the saw takes 2 and fit 3.
    plan = plan_of([[(S, 50, 1), (E, 30, 2)], [(S, 60, 2), (E, 40, 3)]], fit=3)
    first, second = tolerances(plan)
    assert (first.longer.ticks, first.longer.breaks, first.longer.piece) == (5, Breaks.REST, "2.1")
    assert (second.longer.ticks, second.longer.breaks) == (60, Breaks.PLANK)


def test_a_whole_plank_at_the_end_may_be_cut_but_not_made_longer():
    assert ways(plan_of([[(S, 50, 1), (W, P, 2)]])) == [(90, 0)]


def test_runs_that_share_a_plank_share_what_it_has_to_spare():
    # 100 - 20 - 30 - 31 - 2 x 2 = 15, for one end piece and two single ones.
    plan = plan_of([[(S, 50, 1), (E, 20, 2)], [(ONE, 30, 2)], [(ONE, 31, 2)]])
    told = tolerances(plan)
    assert [one.longer.ticks for one in told] == [5, 5, 5]
    assert [one.longer.alone for one in told] == [15, 15, 15]
    assert {one.longer.piece for one in told} == {"3.1"}
    assert common_tolerance(told) == 5


def test_what_one_run_cannot_use_is_there_for_the_others():
    # The first may reach no further than 2: a row that lies there already has a joint beyond its wall.
    down = (DownRun(field="Loft", line=0, offset=0, length=200, joints=(54,)),)
    plan = plan_of([[(ONE, 50, 1)], [(ONE, 30, 1)]], down=down)
    assert [one.longer.ticks for one in tolerances(plan)] == [9, 9]
    plan = plan_of(
        [[(S, 40, 2), (E, 20, 1)], [(ONE, 60, 1)]], down=(replace(down[0], joints=(63,)),), stagger=24
    )
    assert [one.longer.ticks for one in tolerances(plan)] == [2, 16]
    assert tolerances(plan)[0].longer.breaks is Breaks.STAGGER


def test_a_single_piece_may_be_of_any_length_that_is_left():
    assert ways(plan_of([[(ONE, 40, 1)]])) == [(39, 60)]


def test_a_longer_row_is_reached_no_further_than_stagger_allows():
    # The joint of row 2 at 85 lies beyond row 1, and 35 from its joint at 50.
    rows = [[(S, 50, 1), (E, 30, 2)], [(S, 85, 3), (E, 40, 4)]]
    assert ways(plan_of(rows, stagger=35))[0] == (20, 70)
    assert ways(plan_of(rows, stagger=36))[0] == (20, 4)


def test_three_rows_are_held_against_each_other_where_two_must_reach_further():
    # Joints at 85 and 86 in rows 1 and 3; row 2 ends at 80, row 3 is there.
    rows = [[(S, 85, 1), (E, 40, 2)], [(S, 50, 3), (E, 30, 4)], [(S, 86, 5), (E, 40, 6)]]
    told = tolerances(plan_of(rows, h_joint=5))
    assert (told[1].longer.ticks, told[1].longer.breaks) == (5, Breaks.H_JOINT)


def test_a_run_that_would_come_to_touch_another_keeps_off_its_stair():
    # Row 1 ends 5 before row 2 begins. Joints lie at 50, 145 and 240, each 95 on from the one before.
    rows = [[(S, 50, 1), (E, 30, 2)], [(S, 60, 3), (E, 40, 4)], [(S, 75, 5), (W, P, 6), (E, 60, 7)]]
    for third, expected in ((55, (5, Breaks.STAIR_STEP)), (65, (70, Breaks.PLANK))):
        rows[2][0] = (S, third, 5)
        told = tolerances(plan_of(rows, offsets={2: 85, 3: 85}, stair_step=5))
        assert (told[0].longer.ticks, told[0].longer.breaks) == expected


def test_a_starter_off_the_cut_step_lets_nothing_change_on_its_plank():
    rows = [[(S, 50, 1), (E, 35, 2)], [(S, 63, 2), (E, 40, 3)]]
    assert ways(plan_of(rows, cut_step=1))[0] == (25, 0)
    plan = plan_of(rows, cut_step=5)
    first = tolerances(plan)[0]
    assert (first.shorter.ticks, first.longer.ticks, first.shorter.breaks) == (0, 0, Breaks.CUT_STEP)
    assert first.shorter.piece == "2.1"


EDGES = {1: 40, 3: 40}


def test_a_strip_is_shorter_with_the_piece_beside_it():
    # The strip beside 1.2 is 80 long and gives 75; the 5 between are shared by rows 1 and 3.
    rows = [
        [(S, 50, 1), (E, 80, 2)],
        [(S, 60, 3), (E, 60, 4)],
        [(S, 70, 5), (E, 75, 2, (0, 1))],
    ]
    first, _, third = tolerances(plan_of(rows, widths=EDGES))
    assert (first.shorter.ticks, first.shorter.alone, first.shorter.breaks) == (2, 5, Breaks.STRIP)
    assert first.shorter.piece == "3.2"
    assert (third.longer.ticks, third.longer.alone, third.longer.breaks) == (3, 5, Breaks.REST)


def test_a_strip_that_gives_a_starter_needs_the_whole_plank_beside_it():
    rows = [
        [(S, 50, 1), (W, P, 2)],
        [(S, 60, 3), (E, 60, 4)],
        [(S, 70, 2, (0, 1)), (E, 75, 5)],
    ]
    first = tolerances(plan_of(rows, widths=EDGES))[0]
    assert (first.shorter.ticks, first.shorter.breaks, first.longer.ticks) == (0, Breaks.STRIP_END, 0)


def test_two_runs_of_a_row_do_not_meet():
    plan = planned(
        FloorJob(
            Floor(runs=(run_of(1, 50), run_of(1, 40, offset=53, nth=2))),
            PlankSpec(length=P, width=100, per_box=8, ends=Ends.HANDED, kerf=0),
            Rules(stagger=0, min_piece=1, h_joint=0, stair_step=0, cut_step=1),
        )
    )
    first, second = tolerances(plan)
    assert (first.name, second.name) == ("1", "1b")
    assert (first.longer.ticks, first.longer.breaks) == (3, Breaks.NEXT_RUN)
    assert second.longer.ticks == 7


def test_what_is_cut_already_is_as_long_as_it_is():
    # Two end pieces and a single piece share 15; with row 1 laid, the others have it all.
    plan = plan_of([[(S, 50, 1), (E, 20, 2)], [(ONE, 30, 2)], [(ONE, 31, 2)]])
    planks = tuple(
        replace(cut, done=tuple(name for name in cut.pieces if name[0] == "1")) for cut in plan.planks
    )
    second, third = tolerances(replace(plan, planks=planks))
    assert [(one.name, one.longer.ticks) for one in (second, third)] == [("2", 7), ("3", 8)]


def test_a_part_that_was_in_hand_gives_no_more_than_it_is_long():
    plan = plan_of([[(S, 50, 1), (E, 30, 2)]])
    first, second = plan.planks
    (row,) = tolerances(replace(plan, planks=(first, replace(second, length=37))))
    assert row.longer.ticks == 7
