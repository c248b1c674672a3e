"""Where the planks opened go: every square tick once, by hand on small floors and as a law on drawn ones."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from nests import mitred, mitred_jobs
from planner_jobs import FloorJob, planned, row_jobs
from runs import run_of

from cutopt.estimate import tally
from cutopt.jobfile import read_job
from cutopt.model.floor import Floor
from cutopt.model.job import Ends, PlankSpec, Rules
from cutopt.model.plan import Source
from cutopt.pipeline import plan_job
from cutopt.planner import Limits, Unwatched

INCH = 8128
EXAMPLES = Path(__file__).parents[1] / "examples"
TRIED = settings(derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def floor_job(*runs, length=48, width=4, kerf=0, ends=Ends.HANDED):
    spec = PlankSpec(
        length=int(length * INCH), width=int(width * INCH), per_box=8, ends=ends, kerf=int(kerf * INCH)
    )
    rules = Rules(stagger=0, min_piece=2 * INCH, h_joint=0, stair_step=0, cut_step=508)
    return FloorJob(Floor(runs=runs), spec, rules)


def row(line, length, width=4, **changed):
    return replace(run_of(line, int(length * INCH), width=int(width * INCH)), **changed)


def parts(job):
    """Net, slants, rips, kerf and ends in square inches."""
    found = tally(planned(job))
    areas = (found.net2, found.slants2, found.rips2, found.kerf2, found.ends2)
    return [area / (2 * INCH**2) for area in areas]


def adds_up(found, plank):
    return 2 * found.planks * plank.length * plank.width == (
        found.net2 + found.slants2 + found.rips2 + found.kerf2 + found.ends2
    )


def none_negative(found):
    return min(found.slants2, found.rips2, found.kerf2, found.ends2) >= 0


# By hand


def test_a_crosscut_plank_is_its_piece_a_kerf_and_a_cut_end():
    assert parts(floor_job(row(1, 40), kerf=0.125)) == [160, 0, 0, 0.5, 31.5]


def test_a_last_trim_takes_no_more_than_there_is():
    assert parts(floor_job(row(1, 47.9375), kerf=0.125)) == [191.75, 0, 0, 0.25, 0]


def test_what_is_ripped_off_is_lost_less_what_the_saw_takes():
    # 4 in planks ripped to 1-1/2 in: 2-3/8 in is left beside a cut of 1/8 in.
    assert parts(floor_job(row(1, 48, 1.5), kerf=0.125)) == [72, 0, 48 * 2.375, 48 * 0.125, 0]


def test_a_strip_beside_a_ripped_piece_is_laid_and_both_its_rips_are_kerf():
    # Two planks: one for the whole row, one for both edge rows. Across that: 1.5 + 1/8 + 1.5 + 1/8 and 3/4 in lost.
    job = floor_job(row(1, 40, 1.5), row(2, 40), row(3, 40, 1.5), kerf=0.125)
    assert tally(planned(job)).planks == 2
    assert parts(job) == [280, 0, 40 * 0.75, 2 * 0.5 + 40 * 0.25, 2 * 31.5]


def test_a_strip_is_crosscut_in_its_own_width():
    # The strip is 1 in wide and 40 in long; 30 in of it are laid, 9-7/8 in are left.
    job = floor_job(row(1, 40, 2.5), row(2, 40), row(3, 30, 1), kerf=0.125)
    kerf = 2 * 0.5 + 40 * (0.125 + 0.125) + 0.125
    assert parts(job) == [100 + 160 + 30, 0, 40 * 0.25, kerf, 2 * 31.5 + 9.875]


def test_a_taper_is_lost_with_the_slants():
    # From 3 in to 2 in over 40 in: ripped to 3 in, the wedge of 20 sq in comes off after.
    tapered = row(1, 40, wide=3 * INCH, narrow=2 * INCH, area2=2 * 100 * INCH**2)
    assert parts(floor_job(tapered)) == [100, 20, 40, 0, 32]


def one_row(length, slants, *, kerf=0):
    """One row of planks 48 by 4 ticks between mitred walls; its end piece and starter may share one."""
    run = mitred(1, length, slants, width=4)
    run = replace(run, area2=run.area2 - 4 * sum(map(abs, slants)))
    spec = PlankSpec(length=48, width=4, per_box=8, ends=Ends.HANDED, kerf=kerf)
    rules = Rules(stagger=0, min_piece=3, h_joint=0, stair_step=0, cut_step=1)
    return FloorJob(Floor(runs=(run,)), spec, rules)


def areas2(job):
    """Planks, then net, slants, rips, kerf and ends, twice in square ticks."""
    found = tally(planned(job))
    return found.planks, found.net2, found.slants2, found.rips2, found.kerf2, found.ends2


def test_two_ends_at_45_degrees_lose_a_square_of_the_planks_width_where_they_do_not_nest():
    # "Two 45 degree ends waste a square of board width; 4 in boards = 16 sq in" (diychatroom.com, "45 degree
    # calculation").
    assert areas2(one_row(96, (4, -4))) == (2, 2 * (96 * 4 - 16), 2 * 16, 0, 0, 0)


def test_pieces_that_nest_lose_nothing_to_their_slants():
    # 100 of points lie on two planks of 48: end piece and starter overlap by the 4 of their slant.
    assert areas2(one_row(100, (4, 4))) == (2, 2 * 96 * 4, 0, 0, 0, 0)


def test_the_cut_between_nested_pieces_takes_its_kerf_on_the_slant():
    # At 45 degrees a kerf of 1 takes 1.4 along the plank, 2 in whole ticks.
    assert areas2(one_row(98, (4, 4), kerf=1)) == (2, 2 * (98 * 4 - 16), 0, 0, 2 * 2 * 4, 0)


def test_the_steeper_of_two_nested_slants_loses_the_rest():
    # Slants of 4 and 2 overlap by 2: a wedge 2 long over 4 is left between them.
    assert areas2(one_row(98, (4, 2))) == (2, 2 * (98 * 4 - 12), 2 * 4, 0, 0, 0)


def test_what_is_told_of_the_plan_is_its_own():
    plan = planned(floor_job(row(1, 100), row(2, 100)))
    found = tally(plan)
    assert (found.planks, found.cuts, found.peak_waiting) == (
        plan.totals.planks,
        plan.totals.cuts,
        plan.totals.peak_waiting,
    )
    assert found.pieces == sum(len(laid.pieces) for laid in plan.rows)
    assert (found.bound, found.reason, found.proven) == (
        plan.bound.planks,
        plan.bound.reason,
        plan.bound.proven,
    )


# As a law


@pytest.mark.parametrize(
    "name", ["lake-bay", "tide-room", "landing", "chart-room", "harbour-parlour", "lamp-gallery"]
)
def test_the_parts_of_an_example_add_up_to_its_planks(name):
    job = read_job(EXAMPLES / f"{name}.toml")
    found = tally(plan_job(job, Limits(seconds=60, searches=0), Unwatched()).plan)
    assert adds_up(found, job.plank)
    assert none_negative(found)


@given(mitred_jobs())
@settings(TRIED, max_examples=40)
def test_where_slants_nest_nothing_is_counted_twice(job):
    lost = [job.plank.width * (abs(run.left_slant) + abs(run.right_slant)) for run in job.floor.runs]
    runs = tuple(replace(run, area2=run.area2 - less) for run, less in zip(job.floor.runs, lost, strict=True))
    plan = planned(replace(job, floor=Floor(runs=runs)), looks=5)
    if plan is None:
        return
    found = tally(plan)
    assert adds_up(found, job.plank)
    assert none_negative(found)
    assert found.slants2 <= sum(lost)
    assert found.rips2 == 0
    # Without a kerf nothing is sawn away; else every cut that parts two pieces takes at least one.
    partings = sum(len(cut.pieces) - 1 for cut in plan.planks)
    assert (found.kerf2 > 0) == (job.plank.kerf > 0 and found.cuts > 0)
    assert found.kerf2 >= 2 * partings * job.plank.kerf * job.plank.width


@given(row_jobs(), st.integers(20, 60), st.integers(20, 60))
@settings(TRIED, max_examples=40)
def test_where_strips_are_shared_nothing_is_counted_twice(job, first, last):
    runs = job.floor.runs
    edges = [
        replace(run, width=width, area2=2 * width * run.length)
        for run, width in ((runs[0], first), (runs[-1], last))
    ]
    plan = planned(replace(job, floor=Floor(runs=(edges[0], *runs[1:-1], edges[1]))), looks=5)
    if plan is None:
        return
    found = tally(plan)
    assert adds_up(found, job.plank)
    assert none_negative(found)
    assert found.slants2 == 0
    if not job.plank.kerf:
        # All that lies beside the pieces of whole planks, less the strips that are used of it.
        strips = [cut for cut in plan.planks if cut.strip is not None]
        fed = {name for cut in strips for name in cut.pieces}
        beside = sum(
            piece.length * (100 - laid.run.width)
            for laid in plan.rows
            for piece in laid.pieces
            if piece.id not in fed
        )
        assert found.rips2 == 2 * (beside - sum(cut.length * cut.width for cut in strips))


# What cannot be tallied


def test_parts_in_hand_and_spoiled_planks_are_refused():
    plan = planned(floor_job(row(1, 40), row(2, 40)))
    begun = [
        replace(plan, spoiled=(7,)),
        replace(
            plan, planks=(replace(plan.planks[0], source=Source.HAND, length=45 * INCH), *plan.planks[1:])
        ),
        replace(plan, planks=(replace(plan.planks[0], lost=INCH), *plan.planks[1:])),
    ]
    for one in begun:
        with pytest.raises(ValueError, match="only whole planks"):
            tally(one)
