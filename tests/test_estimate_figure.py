"""The figure of a job: parts that add up to the boxes bought, boxes sealed at the end, money; and orders together."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from math import ceil
from pathlib import Path

import pytest
from estimates import PLANK, job_of, tally_of
from hypothesis import given, settings
from hypothesis import strategies as st

from cutopt.estimate import figure, same_order, tally, together
from cutopt.jobfile import read_job
from cutopt.pipeline import plan_job
from cutopt.planner import Limits, Unwatched

F = Fraction
STUDIO = Path(__file__).parents[1] / "examples" / "boathouse-studio.toml"
BOX_MM2 = 8 * 1000 * 200

losses = st.tuples(*[st.integers(0, 20)] * 4)
culls = st.sampled_from([F(0), F(2, 100), F(37, 1000), F(1, 3)])
TRIED = settings(derandomize=True, deadline=None, max_examples=80)


@st.composite
def figures(draw, plank=PLANK, share=None):
    job = job_of(
        replace(plank, box_price=Decimal("61.45")),
        culls=draw(culls) if share is None else share,
        spare=draw(st.integers(0, 20)),
        tax=F(33, 400),
    )
    planks = draw(st.integers(1, 400))
    return figure(job, tally_of(job, planks, lost=draw(losses), bound=draw(st.integers(1, planks))))


def every_part(one):
    parts = one.losses
    return (
        parts.net,
        parts.slants,
        parts.rips,
        parts.kerf,
        parts.ends,
        parts.culls,
        parts.spare,
        parts.rounding,
    )


@given(figures())
@TRIED
def test_all_that_is_lost_and_laid_adds_up_to_the_boxes_bought(one):
    assert sum(every_part(one)) == one.losses.bought == one.boxes * BOX_MM2
    assert min(every_part(one)) >= 0
    assert one.losses.opened == one.planks * F(BOX_MM2, 8)
    assert one.losses.rounding < BOX_MM2
    assert one.as_bought >= one.as_laid >= 0


@given(figures())
@TRIED
def test_sealed_boxes_are_those_that_planks_and_culls_do_not_break_into(one):
    broken_into = ceil(one.planks / (1 - one.culls) / 8)
    assert one.unopened == one.boxes - broken_into >= 0
    if one.spare < 8:
        assert one.unopened <= 1


def test_a_plan_says_the_same_boxes_and_waste_as_its_figure():
    job = read_job(STUDIO)
    plan = plan_job(job, Limits(seconds=60, searches=0), Unwatched()).plan
    found = figure(job, tally(plan))
    assert (found.boxes, found.planks, found.cuts) == (
        plan.totals.boxes,
        plan.totals.planks,
        plan.totals.cuts,
    )
    assert float(found.losses.net) == pytest.approx(plan.totals.net_area_mm2, rel=1e-12)
    assert float(found.as_laid) * 100 == pytest.approx(plan.totals.waste_factor_percent, rel=1e-12)
    assert (found.title, found.unit, found.plank, found.spare) == (
        job.title,
        job.unit,
        job.plank,
        job.order.spare,
    )


def test_habits_go_by_what_is_printed_on_the_box():
    # 100 planks of which 10 are lost: 18 m2 of floor; boxes of 1.6 m2, said to cover 1.9.
    job = job_of()
    found = figure(job, tally_of(job, 100, lost=(0, 0, 0, 10)))
    assert [(habit.share, habit.boxes) for habit in found.habits] == [
        (F(1, 20), 12),
        (F(1, 10), 13),
        (F(3, 20), 13),
    ]
    told = job_of(replace(PLANK, box_coverage_mm2=F(1_900_000)))
    assert [habit.boxes for habit in figure(told, tally_of(told, 100, lost=(0, 0, 0, 10))).habits] == [
        10,
        11,
        11,
    ]


@pytest.mark.parametrize(
    ("price", "tax", "paid"),
    [
        ("10.10", F(5, 1000), ("10.10", "0.05")),  # 0.0505
        ("10.00", F(45, 10000), ("10.00", "0.05")),  # 0.045: half a cent goes up, not to the even one
        ("10.00", F(35, 10000), ("10.00", "0.04")),  # 0.035
        ("10.00", F(1, 3), ("10.00", "3.33")),
        ("0.005", F(0), ("0.01", "0.00")),
        ("10.004", F(5, 4), ("10.00", "12.50")),  # on the price that is paid, not on the 10.004
    ],
)
def test_money_is_rounded_to_the_cent_half_a_cent_up(price, tax, paid):
    job = job_of(replace(PLANK, box_price=Decimal(price)), tax=tax)
    found = figure(job, tally_of(job, 8))
    assert (str(found.price), str(found.tax)) == paid


def test_boxes_without_a_price_have_none():
    job = job_of(tax=F(1, 10))
    found = figure(job, tally_of(job, 8))
    assert (found.price, found.tax) == (None, None)


# Together


def lots(share):
    return st.lists(st.tuples(figures(share=share), st.integers(1, 30)), min_size=1, max_size=4)


@given(culls.flatmap(lots))
@TRIED
def test_together_never_takes_more_boxes_or_money_than_apart(several):
    whole = together("Row", several)
    apart = sum(one.boxes * count for one, count in several)
    assert whole.boxes <= apart
    assert apart - whole.boxes < sum(count for _, count in several)
    assert whole.price <= sum(one.price * count for one, count in several)
    assert sum(every_part(whole)) == whole.boxes * BOX_MM2
    for part in ("net", "slants", "rips", "kerf", "ends", "culls", "spare"):
        assert getattr(whole.losses, part) == sum(getattr(one.losses, part) * count for one, count in several)
    for counted in ("planks", "bound", "cuts", "pieces", "spare"):
        assert getattr(whole, counted) == sum(getattr(one, counted) * count for one, count in several)
    assert whole.jobs == sum(count for _, count in several)


@given(culls.flatmap(lots))
@TRIED
def test_it_does_not_matter_in_which_order_or_in_how_many_steps(several):
    whole = together("Row", several)
    assert together("Row", several[::-1]) == whole
    assert (
        together("Row", [(together("", several[:1]), 1), *[(one, count) for one, count in several[1:]]])
        == whole
    )
    assert together("Row", [(one, 1) for one, count in several for _ in range(count)]) == whole


@given(figures())
@TRIED
def test_one_alone_is_itself(one):
    assert together(one.title, [(one, 1)]) == one


def test_only_what_is_one_order_is_ordered_together():
    job = job_of()
    one = figure(job, tally_of(job, 10))
    others = [
        job_of(replace(PLANK, width=PLANK.width + 1)),
        job_of(replace(PLANK, per_box=9)),
        job_of(culls=F(1, 100)),
        job_of(tax=F(1, 100)),
    ]
    for other in others:
        unlike = figure(other, tally_of(other, 10))
        assert not same_order(one, unlike)
        with pytest.raises(ValueError, match="different planks or order terms"):
            together("Row", [(one, 1), (unlike, 1)])
    assert same_order(one, figure(job_of(spare=3, title="Den"), tally_of(job, 5)))
    with pytest.raises(ValueError, match="no figures"):
        together("Row", [])
