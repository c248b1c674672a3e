"""A portfolio worked out: sums that do not hang on order, offcuts carried where asked, boxes rounded where asked."""

from dataclasses import replace
from functools import cache
from random import Random

import pytest

from cutopt.jobfile import parse_job
from cutopt.model.estimate import Failed, Tally, Why
from cutopt.model.portfolio import Level, Portfolio, Storey, UnitType
from cutopt.pipeline import Search, tally_of, work_out

SEARCH = Search(searches=1)


def job(title, along, across, spare=0, stagger=8):
    return parse_job(
        f"""
title = "{title}"
unit = "in"
[plank]
kind = "click vinyl"
length = 48
width = 7
per_box = 10
box_price = 50
[rules]
stagger = {stagger}
gap = 0
[order]
spare = {spare}
[[room]]
name = "Room"
size = [{along}, {across}]
""".encode(),
        title,
    )


SMALL, LONG = job("small", 61, 28), job("long", 133, 35, spare=1)
IMPOSSIBLE = job("impossible", 61, 28, stagger=40)


@cache
def planned(key_free_task):
    return tally_of(key_free_task)


def plan_all(tasks):
    return [planned(replace(task, key="")) for task in tasks]


def portfolio(**changes):
    return replace(
        Portfolio(
            title="Row",
            types=(UnitType(name="S", job=SMALL), UnitType(name="L", job=LONG)),
            storeys=(
                Storey(building="North", floor="1", phase="spring", units=(("S", 3), ("L", 1))),
                Storey(building="North", floor="2", phase="spring", units=(("S", 2),)),
                Storey(building="South", floor="1", phase="autumn", units=(("L", 2), ("S", 1))),
            ),
            lots=(("spring", "lot 7"),),
        ),
        **changes,
    )


def worked(**changes):
    return work_out(portfolio(**changes), SEARCH, plan_all)


def by_name(totals):
    return {(group.level, group.name): group for group in totals.groups}


def planks(group):
    return sum(order.planks for order in group.orders)


def test_units_that_share_nothing_are_summed():
    totals = worked()
    one = {result.name: result.figure for result in totals.types}
    assert {result.name: result.count for result in totals.types} == {"S": 6, "L": 3}
    assert planks(totals.whole) == 6 * one["S"].planks + 3 * one["L"].planks
    assert totals.whole.boxes == 6 * one["S"].boxes + 3 * one["L"].boxes
    assert totals.whole.units == 9
    assert sum(order.spare for order in totals.whole.orders) == 3


def test_every_level_adds_up():
    groups = by_name(worked())
    for level in (Level.FLOOR, Level.BUILDING, Level.PHASE):
        assert sum(group.boxes for (of, _), group in groups.items() if of is level) == worked().whole.boxes
    assert groups[Level.PHASE, "spring"].lot == "lot 7"
    assert groups[Level.PHASE, "autumn"].lot == ""


@pytest.mark.parametrize("share", Level)
@pytest.mark.parametrize("boxes", [Level.UNIT, Level.BUILDING])
def test_order_of_telling_changes_nothing(share, boxes):
    told = worked(share=share, round_boxes=boxes)
    mixed = portfolio(share=share, round_boxes=boxes)
    chance = Random(5)  # noqa: S311 - chance, not secrets
    storeys = chance.sample(mixed.storeys, 3)
    storeys = tuple(replace(one, units=tuple(chance.sample(one.units, len(one.units)))) for one in storeys)
    again = work_out(replace(mixed, storeys=storeys), SEARCH, plan_all)
    assert (again.whole.boxes, planks(again.whole)) == (told.whole.boxes, planks(told.whole))
    assert {key: (one.boxes, planks(one)) for key, one in by_name(again).items()} == {
        key: (one.boxes, planks(one)) for key, one in by_name(told).items()
    }


def test_offcuts_carried_on_save_planks_here_and_cost_none():
    apart, shared = worked(), worked(share=Level.PHASE)
    assert planks(shared.whole) < planks(apart.whole)
    assert shared.whole.boxes < apart.whole.boxes
    # what is laid from one heap cannot be told for less than that
    floor = by_name(shared)[Level.FLOOR, "spring, North, 1"]
    assert floor.orders == ()
    assert floor.boxes is None


def test_boxes_are_rounded_once_for_what_is_told():
    apart, once = worked(), worked(round_boxes=Level.PHASE)
    assert planks(apart.whole) == planks(once.whole)
    assert once.whole.boxes < apart.whole.boxes
    assert by_name(once)[Level.BUILDING, "spring, North"].boxes is None
    need = sum(order.planks + order.spare for order in once.whole.orders)
    assert once.whole.boxes * 10 >= need
    assert once.whole.boxes * 10 - need < 2 * 10, "two phases, each rounded once"


@pytest.mark.parametrize("boxes", [Level.UNIT, Level.FLOOR, Level.PHASE])
def test_each_plank_has_its_boxes(boxes):
    other = replace(LONG, plank=replace(LONG.plank, per_box=7))
    totals = worked(types=(UnitType(name="S", job=SMALL), UnitType(name="L", job=other)), round_boxes=boxes)
    for group in (*totals.groups, totals.whole):
        if group.boxes is not None:
            assert sum(group.boxes_each) == group.boxes
            for order, own in zip(group.orders, group.boxes_each, strict=True):
                assert own * order.plank.per_box >= order.planks + order.spare
    assert len(totals.whole.boxes_each) == 2


def test_a_type_that_cannot_be_planned_is_told_and_left_out():
    bad = UnitType(name="bad", job=None, failed=Failed(why=Why.FILE, problems=("no such file",)))
    clash = UnitType(name="clash", job=IMPOSSIBLE)
    types = (*portfolio().types, bad, clash)
    storeys = (
        *portfolio().storeys,
        Storey(building="", floor="", phase="", units=(("bad", 1), ("clash", 2))),
    )
    totals = worked(types=types, storeys=storeys)
    failed = {one.name: one.failed.why for one in totals.types if one.failed is not None}
    assert failed == {"bad": Why.FILE, "clash": Why.CLASH}
    assert totals.whole.missing == ("bad", "clash")
    assert totals.whole.boxes == worked().whole.boxes


def test_a_heap_is_planned_and_checked_as_one():
    (task,) = [
        task
        for task in _tasks(portfolio(share=Level.PHASE, storeys=portfolio().storeys[1:2]))
        if task.times > 1
    ]
    found = tally_of(task)
    assert isinstance(found, Tally)
    assert found.net2 == 2 * tally_of(replace(task, times=1)).net2


def _tasks(told):
    seen = []

    def note(tasks):
        seen.extend(tasks)
        return plan_all(tasks)

    work_out(told, SEARCH, note)
    return seen


def test_sharing_never_takes_more_planks_than_units_laid_apart():
    def clumsy(tasks):
        """Plan heaps badly: ten planks more than need be."""
        found = plan_all(tasks)
        return [
            replace(
                one, planks=one.planks + 10, ends2=one.ends2 + 20 * SMALL.plank.length * SMALL.plank.width
            )
            if task.times > 1 or task.beside
            else one
            for task, one in zip(tasks, found, strict=True)
        ]

    shared = work_out(portfolio(share=Level.FLOOR), SEARCH, clumsy)
    assert planks(shared.whole) <= planks(worked().whole)
