"""What must hold of any plan, whatever the search: laws on drawn floors, brute force on tiny ones."""

from dataclasses import replace

from enumerator import fewest_planks
from hypothesis import HealthCheck, given, note, settings
from hypothesis import strategies as st
from perfect_jobs import equal_rows, rows_of_any_length
from planner_jobs import clash_of, cutting_of, floors, jogged_jobs, mirrored, off_step_jobs, planned, row_jobs

from cutopt.errors import RulesClashError
from cutopt.model.job import Ends
from cutopt.model.plan import Part

STEADY = settings(derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
# Looks at a search that is known to have an end: a plan without waste exists.
PATIENT = 5000


def fewer_or_as_many(free, strict):
    """Hold the plan of a floor with more freedom against one with less."""
    assert free is not None
    if free.bound.proven and strict.bound.proven:
        assert free.totals.planks <= strict.totals.planks
    assert free.bound.planks <= strict.totals.planks


# Tiny floors, where everything can be tried


@settings(STEADY, max_examples=150)
@given(st.one_of(row_jobs(), jogged_jobs()))
def test_tiny_floors_get_the_fewest_planks_there_are(job):
    fewest = fewest_planks(job.floor, job.plank, job.rules)
    plan = planned(job)
    assert (plan and plan.totals.planks) == fewest
    assert plan is None or plan.bound.planks <= fewest


@settings(STEADY, max_examples=60)
@given(off_step_jobs())
def test_off_the_cut_step_no_bound_and_no_clash_is_claimed_that_is_not_so(job):
    fewest = fewest_planks(job.floor, job.plank, job.rules)
    plan = planned(job)
    if plan is None:
        assert fewest is None or "with cuts in steps of" in clash_of(job)
    else:
        assert plan.bound.planks <= fewest <= plan.totals.planks


# Laws on floors of some rows


@settings(STEADY, max_examples=40)
@given(floors())
def test_a_plan_conserves_length_and_keeps_to_its_bound(job):
    plan = planned(job)  # checked by the independent check, and held against its bound
    if plan is None:
        return
    laid = sum(piece.length for row in plan.rows for piece in row.pieces)
    assert laid == sum(run.length for run in job.floor.runs)
    trim = {cut.plank: plan.plank.length for cut in plan.planks}
    for row in plan.rows:
        for piece in row.pieces:
            trim[piece.plank] -= piece.length
    assert all(rest >= 0 for rest in trim.values())
    assert sum(trim.values()) == plan.totals.planks * plan.plank.length - laid
    assert laid <= plan.bound.planks * plan.plank.length


@settings(STEADY, max_examples=30)
@given(floors(), st.data())
def test_a_smaller_measure_never_costs_planks(job, data):
    strict = planned(job)
    if strict is None:
        return  # nothing can be laid under the strict rules: whatever the free ones allow is no loss
    for rule, least in (("stagger", 0), ("min_piece", 1), ("h_joint", 0), ("stair_step", 0)):
        smaller = data.draw(st.integers(least, getattr(job.rules, rule)), label=rule)
        if smaller < getattr(job.rules, rule):
            fewer_or_as_many(planned(job.ruled(**{rule: smaller})), strict)


FREER = {
    "no kerf": lambda job: job.with_plank(kerf=0),
    "square ends": lambda job: job.with_plank(ends=Ends.SQUARE),
    "no fit": lambda job: job.ruled(fit=0),
    "any number waiting": lambda job: job.ruled(max_waiting=None),
    "a row less": lambda job: replace(job, floor=replace(job.floor, runs=job.floor.runs[:-1])),
}


@settings(STEADY, max_examples=30)
@given(floors())
def test_more_freedom_never_costs_planks(job):
    strict = planned(job)
    if strict is None:
        return
    for name, more in FREER.items():
        free = more(job)
        if free != job:  # the same job has the same plan, as another law says
            note(name)
            fewer_or_as_many(planned(free), strict)


@settings(STEADY, max_examples=40)
@given(st.one_of(floors(), row_jobs()))
def test_a_mirrored_floor_laid_from_the_other_side_needs_as_many(job):
    one, other = planned(job), planned(mirrored(job))
    assert (one is None) == (other is None)
    if one and other:
        fewer_or_as_many(one, other)
        fewer_or_as_many(other, one)


@settings(STEADY, max_examples=60)
@given(st.one_of(equal_rows(), rows_of_any_length()))
def test_a_floor_cut_apart_from_a_plan_without_waste_is_laid_without_waste(perfect):
    plan = planned(perfect.job, looks=PATIENT)
    assert plan is not None
    assert (plan.totals.planks, plan.bound.proven) == (perfect.planks, True)


@settings(STEADY, max_examples=20)
@given(floors(), st.integers(0, 3))
def test_the_same_job_and_seed_give_the_same_plan(job, seed):
    assert planned(job, seed=seed) == planned(job, seed=seed)


@settings(STEADY, max_examples=30)
@given(st.one_of(floors(), row_jobs()))
def test_whole_planks_are_called_whole_and_two_pieces_of_one_plank_are_never_laid_as_a_short_run(job):
    try:
        cutting = cutting_of(job)
    except RulesClashError:
        return
    for run, pieces in zip(job.floor.runs, cutting.runs, strict=True):
        assert all((piece.part is Part.WHOLE) == (piece.length == job.plank.length) for piece in pieces)
        if run.length <= job.plank.length and len(pieces) > 1:
            assert len({piece.plank for piece in pieces}) == len(pieces)
