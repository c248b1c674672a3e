"""First and last rows ripped from the same planks: what is saved, what is allowed, what the check refuses."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from planner_jobs import FloorJob, floors, mirrored, planned, row_jobs
from rips import fewest_with_strips
from runs import run_of

from cutopt.check import Fault, Rule, check_plan
from cutopt.errors import PlanFileError
from cutopt.model.floor import DownRun, Floor
from cutopt.model.job import Ends, Lay, Pattern, PlankSpec, Rules, ShareOffcuts, ShareRips
from cutopt.model.plan import Keeps
from cutopt.planfile import read_plan, write_plan
from cutopt.sheet import render_csv, render_sheet

INCH = 8128
SIXTEENTH = 508
STEADY = settings(derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def strip_floor(widths, *, length=100 * INCH, ends=Ends.HANDED, kerf=0, **rules):
    """Rows of planks 48 x 4 in, each as wide as told (in inches)."""
    usual = {"stagger": 6 * INCH, "min_piece": 6 * INCH, "h_joint": 2 * INCH, "stair_step": INCH}
    runs = tuple(run_of(row, length, width=int(width * INCH)) for row, width in enumerate(widths, 1))
    spec = PlankSpec(length=48 * INCH, width=4 * INCH, per_box=8, ends=ends, kerf=kerf)
    return FloorJob(Floor(runs=runs), spec, Rules(**usual | rules, cut_step=SIXTEENTH))


def ripped(job, width=40):
    """The floor with its first and last row ripped, planks being 100 wide."""
    runs = job.floor.runs
    narrow = [replace(run, width=width, area2=2 * width * run.length) for run in (runs[0], runs[-1])]
    return replace(job, floor=Floor(runs=(narrow[0], *runs[1:-1], narrow[1])))


def strips_of(plan):
    return [plank for plank in plan.planks if plank.strip is not None]


def shared_plan(**changed):
    plan = planned(strip_floor([1.5, 4, 4, 4, 1.5], **changed))
    assert strips_of(plan)
    return plan


# What is saved


def test_halves_of_a_remainder_share_planks_where_both_fit_across_one():
    # A remainder of 1 in on 4 in planks balances to 2-1/2 in each, not shareable; 3 in halves to 1-1/2 in
    # each (field case of the project's collection, computed).
    balanced, halves = (planned(strip_floor([edge, 4, 4, 4, edge])) for edge in (2.5, 1.5))
    assert not strips_of(balanced)
    assert strips_of(halves)
    assert halves.totals.planks < balanced.totals.planks
    assert halves.bound.proven


@pytest.mark.parametrize(("kerf", "fit", "shared"), [(0, 0, True), (8128, 0, True), (8129, 0, False)])
def test_the_rip_takes_a_kerf(kerf, fit, shared):
    plan = planned(strip_floor([1.5, 4, 4, 1.5], kerf=kerf, fit=fit))
    assert bool(strips_of(plan)) == shared


def test_fit_counts_across_as_it_does_along():
    assert strips_of(planned(strip_floor([1.5, 4, 4, 1.5], fit=INCH)))
    assert not strips_of(planned(strip_floor([1.5, 4, 4, 1.5], fit=INCH + 1)))


@pytest.mark.parametrize("remainder", [1, 2, 3])
@pytest.mark.parametrize("along", [100, 139.5])
def test_half_a_remainder_at_both_edges_never_saves_planks(remainder, along):
    # n whole rows and r / 2 twice, against n - 1 whole rows and (r + W) / 2 twice: as many planks at best.
    whole = 4
    length = int(along * INCH)
    halves = planned(strip_floor([remainder / 2, *[4] * whole, remainder / 2], length=length), looks=60)
    edge = (remainder + 4) / 2
    balanced = planned(strip_floor([edge, *[4] * (whole - 1), edge], length=length), looks=60)
    assert balanced.bound.planks <= halves.totals.planks
    if balanced.bound.proven and halves.bound.proven:
        assert balanced.totals.planks <= halves.totals.planks


def test_the_switch_turns_it_off():
    job = strip_floor([1.5, 4, 4, 1.5])
    assert not strips_of(planned(job.ruled(share_rips=ShareRips.NO)))
    assert not strips_of(planned(job.ruled(pattern=Pattern.HALF, stagger=0, h_joint=0, stair_step=0)))


def test_a_row_among_others_keeps_its_strip():
    inner = strip_floor([4, 1.5, 4, 4, 1.5])
    assert not strips_of(planned(inner))


def test_a_first_row_that_goes_on_from_an_old_floor_needs_both_edges():
    job = strip_floor([1.5, 4, 4, 1.5])
    down = DownRun(field="Loft", line=0, offset=0, length=100 * INCH, joints=(30 * INCH, 78 * INCH))
    plan = planned(replace(job, floor=replace(job.floor, down=(down,))))
    assert not strips_of(plan)


def test_a_tapered_row_counts_by_its_wide_end():
    job = strip_floor([1.5, 4, 4, 1.5])
    *others, last = job.floor.runs
    for wide, shared in ((int(2.5 * INCH), True), (int(2.5 * INCH) + 1, False)):
        run = replace(last, wide=wide, narrow=INCH, width=wide, area2=last.area2)
        plan = planned(replace(job, floor=Floor(runs=(*others, run))))
        assert bool(strips_of(plan)) == shared


@pytest.mark.parametrize("ends", Ends)
@pytest.mark.parametrize("kerf", [0, INCH // 8])
def test_rows_laid_from_the_right_share_as_well(ends, kerf):
    plan = planned(strip_floor([1.5, 4, 4, 1.5], ends=ends, kerf=kerf, lay=Lay.RIGHT_TO_LEFT))
    assert strips_of(plan)


def test_strips_stay_in_their_room_where_offcuts_do():
    runs = tuple(
        run_of(line, 100 * INCH, width=int(width * INCH), room=room, row=row)
        for row, (room, line, width) in enumerate(
            [(room, line, width) for room in ("Loft", "Den") for line, width in enumerate([1.5, 4, 1.5], 1)],
            1,
        )
    )
    job = replace(strip_floor([4]), floor=Floor(runs=runs))
    plan = planned(job.ruled(share_offcuts=ShareOffcuts.ROOM))
    rooms = {piece.id: laid.run.room for laid in plan.rows for piece in laid.pieces}
    strips = strips_of(plan)
    assert {rooms[strip.beside] for strip in strips} == {"Loft", "Den"}
    assert all(rooms[name] == rooms[strip.beside] for strip in strips for name in strip.pieces)


# Laws


@settings(STEADY, max_examples=30)
@given(row_jobs())
def test_on_tiny_floors_no_plan_has_fewer_planks_than_the_bound(job):
    runs = job.floor.runs
    assume(1 < len(runs) < 5 and not any(run.left_slant or run.right_slant for run in runs))
    assume(len({run.room for run in runs}) == 1)
    job = ripped(job.ruled(max_waiting=None, cut_step=1))
    plan = planned(job)
    fewest = fewest_with_strips(job.floor, job.plank, job.rules)
    assert (plan is None) == (fewest is None)
    if plan:
        assert plan.bound.planks <= fewest <= plan.totals.planks


@settings(STEADY, max_examples=15)
@given(floors(), st.integers(20, 60))
def test_sharing_never_costs_planks(job, width):
    job = ripped(job, width)
    free, strict = planned(job), planned(job.ruled(share_rips=ShareRips.NO))
    if strict is not None:
        assert free.bound.planks <= strict.totals.planks
        if strict.bound.proven:
            assert free.totals.planks <= strict.totals.planks


@settings(STEADY, max_examples=6)
@given(floors())
def test_a_mirrored_floor_has_the_same_bound(job):
    job = ripped(job)
    here, there = planned(job), planned(mirrored(job))
    assert (here is None) == (there is None)
    if here and here.bound.proven:
        assert there.bound.planks <= here.totals.planks <= there.totals.planks


# What is written


@pytest.mark.parametrize("ends", Ends)
def test_a_shared_plan_is_stored_and_read_back(ends):
    plan = shared_plan(ends=ends)
    again = read_plan(write_plan(plan))
    assert again.planks == plan.planks
    assert check_plan(again) == ()
    assert plan.totals.planks == len({plank.plank for plank in plan.planks}) < len(plan.planks)


def test_a_strip_without_its_measures_is_told_with_its_place():
    text = write_plan(shared_plan()).replace('"beside"', '"besides"', 1)
    with pytest.raises(PlanFileError, match='the key "beside" is missing'):
        read_plan(text)


def test_the_sheet_says_where_each_strip_goes():
    job = strip_floor([1.5, 4, 4, 4, 1.5])
    plan = planned(job)
    text = " ".join(render_sheet(plan, job.job(), job.floor).split())
    for strip in strips_of(plan):
        assert f"strip to {' and '.join(strip.pieces)}" in text
        assert f"the strip beside {strip.beside}" in text
    lines = render_csv(plan).splitlines()
    assert lines[0].endswith(",strip beside")
    strips = {name: strip.beside for strip in strips_of(plan) for name in strip.pieces}
    told = {line.split(",")[3]: line.split(",")[-1] for line in lines[1:]}
    assert {name: beside for name, beside in told.items() if beside} == strips


def test_a_taper_is_told_by_both_its_ends():
    job = strip_floor([4, 4, 3], share_rips=ShareRips.NO)
    *others, last = job.floor.runs
    floor = Floor(runs=(*others, replace(last, wide=3 * INCH, narrow=2 * INCH)))
    text = render_sheet(planned(replace(job, floor=floor)), job.job(), floor)
    assert "ripped to a taper: 76.2 mm at the wide end, 50.8 mm at the narrow one" in " ".join(text.split())


# What the check refuses


def with_strip(plan, **changed):
    first = strips_of(plan)[0]
    planks = tuple(replace(plank, **changed) if plank is first else plank for plank in plan.planks)
    return replace(plan, planks=planks)


def relined(plan, lines):
    rows = tuple(
        replace(laid, run=replace(laid.run, line=line)) for laid, line in zip(plan.rows, lines, strict=True)
    )
    return replace(plan, rows=rows)


MUTATIONS = {
    "too wide": (lambda plan: replace(plan, plank=replace(plan.plank, kerf=INCH + 1)), Fault.STRIPS_TOO_WIDE),
    "wrong width": (lambda plan: with_strip(plan, width=2 * INCH), Fault.STRIP_WIDTH),
    "wrong length": (lambda plan: with_strip(plan, length=47 * INCH), Fault.STRIP_LENGTH),
    "other ends": (lambda plan: with_strip(plan, factory=Keeps.NONE), Fault.STRIP_ENDS),
    "third strip": (lambda plan: with_strip(plan, strip=3), Fault.STRIP_NUMBER),
    "beside nothing": (lambda plan: with_strip(plan, beside="9.9"), Fault.STRIP_BESIDE),
    "beside a full row": (lambda plan: with_strip(plan, beside="2.1"), Fault.STRIP_BESIDE),
    "beside itself": (
        lambda plan: with_strip(plan, beside=strips_of(plan)[0].pieces[0]),
        Fault.STRIP_BESIDE,
    ),
    "listed twice": (
        lambda plan: replace(plan, planks=(*plan.planks, strips_of(plan)[0])),
        Fault.STRIP_TWICE,
    ),
    "of no plank": (
        lambda plan: replace(plan, planks=tuple(strips_of(plan))),
        Fault.STRIP_WHOLE,
    ),
    "not allowed": (
        lambda plan: replace(plan, rules=replace(plan.rules, share_rips=ShareRips.NO)),
        Fault.SHARED_RIPS,
    ),
    "both need the same edge": (lambda plan: relined(plan, (1, 2, 3, 4, 1)), Fault.STRIP_EDGE),
    "fed row among others": (lambda plan: relined(plan, (1, 2, 3, 5, 4)), Fault.STRIP_EDGE),
    "host row among others": (lambda plan: relined(plan, (2, 1, 3, 4, 5)), Fault.STRIP_EDGE),
}


@pytest.mark.parametrize("name", MUTATIONS)
def test_the_check_refuses(name):
    change, fault = MUTATIONS[name]
    plan = shared_plan()
    assert check_plan(plan) == ()
    assert fault in {finding.fault for finding in check_plan(change(plan))}
    assert fault.rule is Rule.SHARE_RIPS


def test_a_strip_longer_used_than_it_is_is_refused():
    plan = shared_plan()
    strip = next(strip for strip in strips_of(plan) if strip.length < plan.plank.length)
    grown = tuple(
        replace(
            laid,
            pieces=tuple(
                replace(piece, length=strip.length + INCH) if piece.id in strip.pieces else piece
                for piece in laid.pieces
            ),
        )
        for laid in plan.rows
    )
    faults = {finding.fault for finding in check_plan(replace(plan, rows=grown))}
    assert Fault.PIECE_TOO_LONG in faults
