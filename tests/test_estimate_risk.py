"""How sure an order is: exact, held against tables, scipy, trying everything and simulation."""

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import product
from math import ceil, prod, sqrt
from statistics import fmean, stdev

import pytest
from estimates import PLANK, job_of, tally_of
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from cutopt.estimate import boxes_needed, risk
from cutopt.estimate._usable import Usable

F = Fraction
NONE = F(0)
TRIED = settings(derandomize=True, deadline=None, max_examples=40)
BOX = replace(PLANK, per_box=4, box_price=Decimal("50.00"))
SINGLE = replace(PLANK, per_box=1)


def priced(**changed):
    """Planks in boxes of 4 at 50, a fifth tax: 60 a box."""
    return job_of(BOX, **{"tax": F(1, 5), "return_fee": 5, "trip": 40, "delay": 100} | changed)


def of(job, *planks):
    return risk(job, [tally_of(job, need) for need in planks])


def order(found, boxes):
    return next(one for one in found.orders if one.boxes == boxes)


def certainty(need, planks, *, culls=NONE, damage=(NONE, NONE)):
    usable = Usable.of(culls, damage)
    (ways,) = usable.ways([need], planks)
    return F(ways, usable.total(planks))


# The probability


@pytest.mark.parametrize(
    ("planks", "culls", "most_culled", "published"),
    [
        # NAG Library, example results of nag_binomial_dist (g01bjc): P(X <= k).
        (4, "0.5", 2, "0.68750"),
        (19, "0.44", 13, "0.99138"),
        (100, "0.75", 67, "0.04460"),
        (2000, "0.33", 700, "0.97251"),
        # statistics-website.pages.dev, binomial distribution table, n = 5.
        (5, "0.05", 0, "0.77378"),
        (5, "0.05", 1, "0.97741"),
        (5, "0.10", 1, "0.91854"),
        (5, "0.20", 2, "0.94208"),
    ],
)
def test_where_only_culls_count_it_is_what_tables_of_the_binomial_say(planks, culls, most_culled, published):
    found = certainty(planks - most_culled, planks, culls=F(culls))
    assert round(found, 5) == F(published)


@given(st.integers(1, 300), st.integers(0, 60), st.integers(0, 400), st.integers(0, 400))
@TRIED
def test_culls_and_a_known_damage_are_the_binomial_of_scipy(need, more, culls, damage):
    found = certainty(need, need + more, culls=F(culls, 1000), damage=(F(damage, 1000),) * 2)
    usable = (1 - culls / 1000) * (1 - damage / 1000)
    assert float(found) == pytest.approx(stats.binom.sf(need - 1, need + more, usable), rel=1e-9, abs=1e-14)


@given(st.integers(1, 60), st.integers(0, 20), st.integers(0, 300), st.integers(0, 300), st.integers(1, 200))
@TRIED
def test_a_damage_between_two_figures_is_the_mean_over_them(need, more, culls, damage, range_):
    low, high = damage / 1000, (damage + range_) / 1000
    found = certainty(
        need, need + more, culls=F(culls, 1000), damage=(F(damage, 1000), F(damage + range_, 1000))
    )

    def at(share):
        return stats.binom.sf(need - 1, need + more, (1 - culls / 1000) * (1 - share))

    area, error = integrate.quad(at, low, high, epsabs=1e-12)
    assert abs(float(found) - area / (high - low)) < 1e-9 + error / (high - low)


def test_a_range_that_closes_in_comes_to_the_figure_between():
    wide = [certainty(20, 24, damage=(F(1, 10) - half, F(1, 10) + half)) for half in (F(1, 20), F(1, 10**4))]
    known = certainty(20, 24, damage=(F(1, 10),) * 2)
    assert abs(wide[1] - known) < F(1, 10**6) < abs(wide[0] - known)


@pytest.mark.parametrize(("culls", "damage"), [(F(1, 5), F(0)), (F(1, 10), F(1, 4))])
def test_on_tiny_orders_it_is_what_all_outcomes_come_to(culls, damage):
    # Every plank is culled, else spoiled, else laid: all ways that eight planks can go, one by one.
    chances = {"culled": culls, "spoiled": (1 - culls) * damage, "laid": (1 - culls) * (1 - damage)}
    usable = dict.fromkeys(range(9), F(0))
    for outcome in product(chances, repeat=8):
        usable[outcome.count("laid")] += prod(chances[fate] for fate in outcome)
    assert sum(usable.values()) == 1
    for need in range(1, 10):
        enough = sum(chance for laid, chance in usable.items() if laid >= need)
        assert certainty(need, 8, culls=culls, damage=(damage, damage)) == enough


@pytest.mark.parametrize(("damage", "seed"), [((F(3, 100),) * 2, 1), ((F(0), F(12, 100)), 2)])
def test_damage_simulated_plank_by_plank_comes_to_the_same(damage, seed):
    # Laid as it goes: take a plank, look at it, cut it, take another where it spoils. Within 4 standard errors.
    chance = random.Random(seed)  # noqa: S311 - chance, not secrets
    trials, need, culls = 20_000, 30, 0.05
    planks_used = [
        planks_for(need, culls, chance.uniform(*map(float, damage)), chance) for _ in range(trials)
    ]
    for planks in (31, 33, 35):
        found = float(certainty(need, planks, culls=F(5, 100), damage=damage))
        share = sum(used <= planks for used in planks_used) / trials
        assert abs(share - found) < 4 * sqrt(found * (1 - found) / trials)


def planks_for(need, culls, damage, chance):
    used = 0
    while need:
        used += 1
        if chance.random() >= culls and chance.random() >= damage:
            need -= 1
    return used


# The levels


@given(
    st.integers(1, 80),
    st.integers(0, 300),
    st.tuples(st.integers(0, 200), st.integers(0, 200)).map(sorted),
    st.integers(0, 9),
)
@TRIED
def test_more_boxes_are_never_less_sure_and_a_level_is_reached_with_no_fewer(need, culls, damage, spare):
    job = priced(culls=F(culls, 1000), damage=[F(one, 1000) for one in damage], spare=spare)
    found = of(job, need)
    sure = [one.enough for one in found.orders]
    assert sure == sorted(sure)
    assert sure[-1] >= 0.999
    assert [one.boxes for one in found.orders] == list(
        range(found.orders[0].boxes, found.orders[-1].boxes + 1)
    )
    assert found.orders[0].boxes == ceil(need / 4)
    assert [level for level, _ in found.levels] == [F(9, 10), F(95, 100), F(99, 100)]
    for level, boxes in found.levels:
        assert order(found, boxes).enough >= float(level)
        assert boxes == found.orders[0].boxes or order(found, boxes - 1).enough < float(level)
    assert found.simulated == 0
    assert {one.error for one in found.orders} == {0.0}


@given(st.integers(1, 200), st.integers(0, 30))
@TRIED
def test_with_nothing_culled_or_spoiled_the_boxes_needed_are_certain(need, spare):
    found = of(priced(spare=spare), need)
    enough = boxes_needed(need, F(0), 0, 4)
    assert {boxes for _, boxes in found.levels} == {enough}
    assert order(found, enough).enough == 1
    assert found.orders[0].boxes == enough
    assert found.orders[-1].boxes == boxes_needed(need, F(0), spare, 4)


def test_a_level_met_exactly_is_met():
    # One plank of ten is culled: one plank is enough with a probability of 9/10 to the last digit, two with 99/100.
    found = of(job_of(SINGLE, culls=F(1, 10)), 1)
    assert found.levels == ((F(9, 10), 1), (F(95, 100), 2), (F(99, 100), 2))
    # A hair more culls and one is not.
    assert of(job_of(SINGLE, culls=F(1, 10) + F(1, 10**30)), 1).levels[0][1] == 2


def test_culls_and_damage_that_may_leave_nothing_are_refused():
    for wrong in ({"culls": 1}, {"damage": (0, 1)}, {"damage": (F(1, 10), F(1, 20))}):
        with pytest.raises(ValueError, match="must leave planks"):
            of(priced(**wrong), 10)


# Rooms that the tape got wrong


def test_over_rooms_the_tape_got_wrong_it_is_the_mean_and_its_error_comes_of_their_spread():
    job = priced(culls=F(1, 20))
    needs = [37, 38, 38, 39, 40, 40, 40, 41]
    found = of(job, 5, *needs)  # the plan as measured is no sample
    assert found.simulated == len(needs)
    for one in found.orders:
        each = [float(certainty(need, 4 * one.boxes, culls=F(1, 20))) for need in needs]
        assert one.enough == pytest.approx(fmean(each), rel=1e-12)
        assert one.error == pytest.approx(stdev(each) / sqrt(len(needs)), rel=1e-9, abs=1e-15)
    assert found.orders[0].boxes == ceil(37 / 4)


def test_a_single_room_tried_says_nothing_of_the_spread():
    found = of(priced(culls=F(1, 20)), 40, 41)
    assert found.simulated == 1
    assert {one.error for one in found.orders if one.enough} == {0.5}


def test_rooms_that_all_need_the_same_are_as_sure_as_one():
    job = priced(culls=F(1, 20), spare=3)
    same, alone = of(job, 40, *[40] * 9), of(job, 40)
    assert replace(same, simulated=0) == alone


# The cost


def cost_by_trying(job, need, boxes):
    """The expected cost and boxes back, by how many planks are used up: the negative binomial of scipy."""
    per_box, price = job.plank.per_box, float(job.plank.box_price * Decimal(6) / 5)
    usable = float((1 - job.order.culls) * (1 - job.risk.damage[0]))
    cost = back = 0.0
    for spoiled in range(240):
        chance = stats.nbinom.pmf(spoiled, need, usable)
        taken = ceil((need + spoiled + job.order.spare) / per_box)
        sealed = max(0, boxes - taken)
        returned = sealed if job.pricing.returnable and sealed >= job.pricing.return_least else 0
        paid = price * max(boxes, taken) - returned * (price - float(job.pricing.return_fee))
        if need + spoiled > boxes * per_box:
            paid += float(job.pricing.trip + job.pricing.delay)
        cost += chance * paid
        back += chance * returned
    return cost, back


@pytest.mark.parametrize(
    "changed",
    [
        {},
        {"spare": 6},
        {"return_least": 2},
        {"returnable": False},
        {"culls": F(1, 4), "damage": (F(1, 10), F(1, 10))},
        {"culls": F(0), "damage": (F(1, 50), F(1, 50)), "spare": 3},
    ],
)
def test_the_cost_is_what_all_that_may_be_used_up_comes_to(changed):
    job = priced(**{"culls": F(1, 10)} | changed)
    for one in of(job, 21).orders:
        cost, back = cost_by_trying(job, 21, one.boxes)
        assert one.cost == pytest.approx(cost, rel=1e-9)
        assert one.returned == pytest.approx(back, rel=1e-9, abs=1e-12)


def test_the_cost_simulated_box_by_box_comes_to_the_same():
    job = priced(culls=F(1, 10), damage=(F(0), F(1, 5)), return_least=2)
    chance = random.Random(3)  # noqa: S311 - chance, not secrets
    trials, need = 5000, 21
    used = [planks_for(need, 0.1, chance.uniform(0, 0.2), chance) for _ in range(trials)]
    for one in of(job, need).orders:
        paid = [paid_for(one.boxes, ceil(planks / 4)) for planks in used]
        assert abs(fmean(paid) - one.cost) < 4 * stdev(paid) / sqrt(trials) + 1e-9


def paid_for(boxes, taken):
    """60 a box, 55 back for each that is returned if two are; 140 for want of any."""
    sealed = boxes - taken
    if sealed < 0:
        return 60 * taken + 140
    return 60 * boxes - (55 * sealed if sealed >= 2 else 0)


def test_what_is_certain_costs_what_it_says():
    # 21 planks, none culled: 6 boxes of 4. Five want a trip and a delay; of seven, one goes back for its fee.
    found = of(priced(spare=7), 21)
    assert [(one.boxes, one.cost, one.returned) for one in found.orders] == [(6, 420, 0), (7, 420, 0)]
    kept = of(priced(spare=0), 21)
    assert [(one.boxes, one.cost) for one in kept.orders] == [(6, 360)]


def test_spare_planks_are_no_part_of_enough_and_their_boxes_do_not_go_back():
    without, with_spare = (of(priced(culls=F(1, 10), spare=spare), 21) for spare in (0, 12))
    for one in without.orders:
        kept = order(with_spare, one.boxes)
        assert kept.enough == one.enough
        assert kept.returned <= one.returned
    assert without.levels == with_spare.levels
    # Three boxes more are wanted anyhow: with them an order costs at least as much.
    assert all(order(with_spare, one.boxes).cost > one.cost for one in without.orders)


def test_the_cheapest_is_the_least_of_its_orders_and_the_surer_of_two_alike():
    found = of(priced(culls=F(1, 10)), 21)
    least = min(round(one.cost, 2) for one in found.orders)
    assert found.cheapest == max(one.boxes for one in found.orders if round(one.cost, 2) == least)
    assert of(priced(spare=7), 21).cheapest == 7  # as dear as 6
    assert of(job_of(culls=F(1, 10)), 21).cheapest is None


def test_less_than_a_cent_is_no_reason_for_a_box_less():
    # With returns for nothing a third box costs what it brings, and makes a wait of 140 less likely by 1 in 10**8.
    found = of(priced(culls=F(1, 100), spare=12, return_fee=0), 4)
    two, three = order(found, 2), order(found, 3)
    assert 0 < two.cost - three.cost < 1e-5
    assert (
        found.cheapest
        == max(one.boxes for one in found.orders if round(one.cost, 2) == round(two.cost, 2))
        > 2
    )


def test_a_dearer_wait_makes_for_more_boxes_and_dear_returns_for_fewer():
    cheapest = [of(priced(culls=F(1, 10), delay=delay), 21).cheapest for delay in (0, 100, 1000, 10_000)]
    assert cheapest == sorted(cheapest)
    assert cheapest[0] < cheapest[-1]
    fees = [of(priced(culls=F(1, 10), return_fee=fee), 21).cheapest for fee in (0, 20, 59)]
    assert fees == sorted(fees, reverse=True)
    assert fees[0] > fees[-1]


def test_nothing_goes_back_that_costs_more_than_it_brings():
    gone = of(priced(culls=F(1, 10), return_fee=60), 21)
    assert {one.returned for one in gone.orders} == {0.0}
    assert gone == of(priced(culls=F(1, 10), returnable=False), 21)
    assert any(one.returned for one in of(priced(culls=F(1, 10), return_fee=59), 21).orders)


def test_boxes_without_a_price_still_tell_how_sure_they_are_and_what_goes_back():
    job = priced(culls=F(1, 10))
    found, bare = of(job, 21), of(replace(job, plank=replace(BOX, box_price=None)), 21)
    assert bare.levels == found.levels
    assert [(one.enough, one.returned) for one in bare.orders] == [
        (one.enough, one.returned) for one in found.orders
    ]
    assert {one.cost for one in bare.orders} == {None}


def test_the_same_job_has_the_same_risk():
    job = priced(culls=F(1, 10), damage=(F(0), F(1, 10)), spare=5)
    assert of(job, 21, 20, 22, 23) == of(job, 21, 23, 22, 20)
