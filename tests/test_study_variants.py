"""The choices of a study, and the best of them."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rooms import inch, job, outline, size
from studies import catalogue, closet, figure_of, real_boxes, row, small, studied

from cutopt.errors import JobError
from cutopt.model.job import Assumption, Pattern, ShareOffcuts, ShareRips, SourceKind
from cutopt.model.pricing import Varied
from cutopt.study import best, usual_study, variants
from cutopt.units import TICKS_PER_MM, Unit

STEADY = settings(derandomize=True, deadline=None, max_examples=60)

VALUES = {
    Varied.STAGGER: st.integers(0, 20).map(inch),
    Varied.MIN_PIECE: st.integers(0, 30).map(inch),
    Varied.PATTERN: st.sampled_from(["random", "half", "third"]),
    Varied.DIRECTION: st.sampled_from([Fraction(0), Fraction(90), Fraction(45, 2)]),
    Varied.FIRST_WIDTH: st.integers(1, 9).map(inch),
    Varied.KERF: st.sampled_from([0, inch("1/8")]),
    Varied.SHARE_RIPS: st.sampled_from(["yes", "no"]),
    Varied.SHARE_OFFCUTS: st.sampled_from(["job", "room"]),
    Varied.PLANK: st.sampled_from(["short", "long"]),
}


@st.composite
def studies(draw):
    things = draw(st.lists(st.sampled_from(list(VALUES)), unique=True, min_size=1, max_size=3))
    vary = [(what, tuple(draw(st.lists(VALUES[what], min_size=1, max_size=4)))) for what in things]
    return studied(catalogue(small(), short=36, long=60), *vary, every=draw(st.booleans()))


def told(one):
    return [(name, other) for _, name, other in variants(one)]


def rules_of(one, name):
    return dict(told(one))[name].rules


@given(studies())
@STEADY
def test_the_job_comes_first_and_none_comes_twice(one):
    found = variants(one)
    assert found[0] == ((), "as told", one)
    assert len({other for *_, other in found}) == len(found) == len({name for _, name, _ in found})


@given(studies())
@STEADY
def test_a_variant_changes_what_it_says_and_one_thing_at_a_time_unless_asked(one):
    asked = {(vary.what, choice) for vary in one.study.vary for choice in vary.choices}
    for changed, name, _ in variants(one)[1:]:
        assert set(changed) <= asked
        assert len(changed) == len({what for what, _ in changed}) == name.count(",") + 1
        assert one.study.every or len(changed) == 1


@given(studies())
@STEADY
def test_every_choice_asked_for_is_there(one):
    jobs = {other for *_, other in variants(one)}
    if not one.study.every:
        for vary in one.study.vary:
            for choice in vary.choices:
                alone = studied(one, (vary.what, (choice,)))
                assert {replace(other, study=one.study) for *_, other in variants(alone)} <= jobs


def test_every_combination_is_tried():
    one = studied(small(), (Varied.STAGGER, (inch(4), inch(8))), (Varied.KERF, (0, inch("1/8"))), every=True)
    assert [name for name, _ in told(one)] == [
        "as told",
        'stagger 4"',
        'stagger 4", kerf 1/8"',
        'stagger 8"',
        'stagger 8", kerf 1/8"',
    ]


def test_each_choice_has_its_name_and_its_place_in_the_job():
    one = studied(
        catalogue(small(), oak=60),
        (Varied.PLANK, ("oak",)),
        (Varied.STAGGER, (inch(8),)),
        (Varied.MIN_PIECE, (inch(4),)),
        (Varied.PATTERN, ("third",)),
        (Varied.DIRECTION, (Fraction(90),)),
        (Varied.FIRST_WIDTH, (inch("7/2"),)),
        (Varied.KERF, (inch("1/8"),)),
        (Varied.SHARE_RIPS, ("no",)),
        (Varied.SHARE_OFFCUTS, ("room",)),
    )
    named = dict(told(one)[1:])
    assert named["plank oak"].plank == one.catalogue[0].plank
    assert named['stagger 8"'].rules.stagger == inch(8)
    assert named['min piece 4"'].rules.min_piece == inch(4)
    assert named["joints a third of a plank apart"].rules.pattern is Pattern.THIRD
    assert named["direction 90 deg"].layout.direction == 90
    assert named['first row 3-1/2"'].layout.first_width == inch("7/2")
    assert named['kerf 1/8"'].plank.kerf == inch("1/8")
    assert named["rips not shared"].rules.share_rips is ShareRips.NO
    assert named["offcuts kept in rooms"].rules.share_offcuts is ShareOffcuts.ROOM
    assert len(named) == 9


def test_names_are_in_the_unit_of_the_job():
    one = studied(replace(small(), unit=Unit.MM), (Varied.STAGGER, (200 * TICKS_PER_MM,)))
    assert [name for name, _ in told(one)] == ["as told", "stagger 200 mm"]


def test_a_plank_brings_its_own_kerf_unless_that_is_varied_too():
    one = catalogue(small(), oak=60)
    vary = (Varied.KERF, (0,)), (Varied.PLANK, ("oak",))
    (name, both) = told(studied(one, *vary, every=True))[-1]
    assert name == "no kerf, plank oak"
    assert both.plank == replace(one.catalogue[0].plank, kerf=0)
    same = replace(one.catalogue[0], plank=replace(one.plank, kerf=inch("1/8")))
    vary = (Varied.KERF, (inch("1/8"),)), (Varied.PLANK, ("oak",))
    assert len(told(studied(replace(one, catalogue=(same,)), *vary, every=True))) == 2


def test_a_fixed_pattern_turns_off_what_it_breaks_by_nature():
    one = small()
    one = replace(one, rules=replace(one.rules, h_joint=inch(2), stair_step=inch(1)))
    rules = rules_of(studied(one, (Varied.PATTERN, ("half",))), "joints half a plank apart")
    assert (rules.h_joint, rules.stair_step) == (0, 0)


def test_a_variant_assumes_nothing_that_it_changed():
    one = replace(
        small(),
        assumptions=tuple(
            Assumption(key=key, name="", value="", source=SourceKind.JOB)
            for key in ("plank.kerf", "rules.stagger", "rules.min_piece")
        ),
        warnings=("rules.stagger: stagger is over half the plank", "Bay: a sliver"),
    )
    (_, other) = told(studied(one, (Varied.STAGGER, (inch(8),))))[-1]
    assert [entry.key for entry in other.assumptions] == ["plank.kerf", "rules.min_piece"]
    assert other.warnings == ("Bay: a sliver",)


def test_nonsense_together_is_a_variant_that_cannot_be_planned():
    one = studied(
        small(),
        (Varied.STAGGER, (inch(30),)),
        (Varied.PATTERN, ("half",)),
        (Varied.FIRST_WIDTH, (inch(9),)),
        every=True,
    )
    assert [real_boxes(other) for _, other in told(one)] == [2, None]


def test_too_many_are_refused_before_they_are_made():
    lengths = tuple(map(inch, range(1, 31)))
    one = studied(small(), (Varied.STAGGER, lengths), (Varied.MIN_PIECE, lengths), every=True)
    with pytest.raises(
        JobError, match="900 variants, more than 500 - study - vary fewer things, or one at a time"
    ):
        variants(one)
    assert len(variants(replace(one, study=replace(one.study, every=False)))) == 59


def test_a_plank_that_the_catalogue_has_not_is_refused():
    one = studied(catalogue(small(), oak=60, ash=48), (Varied.PLANK, ("elm", "oak")))
    with pytest.raises(
        JobError, match=r'"elm" is no plank of the catalogue - study\.plank - use one of oak, ash'
    ):
        variants(one)


# What is varied where the job does not say


def usual(one):
    return {vary.what: vary.choices for vary in usual_study(one).vary}


def test_the_usual_study_of_a_room():
    assert usual(catalogue(small(), oak=60)) == {
        Varied.PLANK: ("oak",),
        Varied.STAGGER: (inch(4), inch(6), inch(8)),
        Varied.MIN_PIECE: (inch(4), inch(6), inch(8)),
        Varied.PATTERN: ("half", "third"),
        Varied.DIRECTION: (0, 90),
        Varied.FIRST_WIDTH: (inch("7/2"),),
        Varied.KERF: (0, inch("1/8")),
        Varied.SHARE_RIPS: ("no",),
    }


def test_rows_given_outright_are_not_turned():
    found = usual(job(size(100, 35), closet("40", "40")))
    assert not {Varied.DIRECTION, Varied.FIRST_WIDTH} & set(found)
    assert found[Varied.SHARE_OFFCUTS] == ("room",)


def test_usual_lengths_are_round_in_the_unit_of_the_job():
    one = small()
    mm = 300 * TICKS_PER_MM
    metric = replace(one, unit=Unit.MM, rules=replace(one.rules, stagger=mm, min_piece=mm // 2))
    assert usual(metric)[Varied.STAGGER] == (mm * 2 // 3, mm, mm * 4 // 3)
    assert usual(metric)[Varied.MIN_PIECE] == (mm // 3, mm // 2, mm * 2 // 3)
    assert usual(metric)[Varied.KERF] == (0, 3 * TICKS_PER_MM)


def test_only_patterns_that_keep_the_stagger_are_usual():
    one = small()
    wide = replace(one, rules=replace(one.rules, stagger=inch(20)))
    assert usual(wide)[Varied.PATTERN] == ("half",)
    assert usual(wide)[Varied.STAGGER] == (inch(16), inch(20))
    fixed = replace(one, rules=replace(one.rules, pattern=Pattern.HALF))
    assert usual(fixed)[Varied.PATTERN] == ("random", "third")
    assert Varied.STAGGER not in usual(fixed)


def test_a_usual_study_can_be_planned():
    one = job(outline((0, 0), (100, 0), (100, 35), (60, 35), (60, 21), (0, 21)))
    found = {name: real_boxes(other) for name, other in told(one)}
    assert len(found) == 11
    assert None not in found.values()


# The best of them

PLANK = small().plank


@st.composite
def rows(draw):
    priced = draw(st.sampled_from(["all", "none", "some"]))
    return [
        row(
            None
            if draw(st.integers(0, 3)) == 0
            else figure_of(
                planks=draw(st.integers(1, 3)),
                boxes=draw(st.integers(1, 3)),
                plank=replace(PLANK, kerf=draw(st.integers(0, 1))),
                price=Decimal(draw(st.integers(1, 3)))
                if priced == "all" or (priced == "some" and draw(st.booleans()))
                else None,
            ),
            name=str(nth),
        )
        for nth in range(draw(st.integers(0, 4)))
    ]


def winners(study):
    return [{study.rows[nth].name for nth in places} for places in (study.cheapest, study.least_waste)]


@given(rows())
@STEADY
def test_the_best_is_the_best_of_its_rows_in_any_order(found):
    study = best(found)
    assert study.rows == tuple(found)
    figures = [one.figure for one in found if one.figure]
    priced = all(figure.price is not None for figure in figures)
    cost = {one.name: one.figure.price if priced else one.figure.boxes for one in found if one.figure}
    waste = {one.name: one.figure.as_laid for one in found if one.figure}
    least = [{name for name in of if of[name] == min(of.values())} for of in (cost, waste)]
    assert winners(study) == least
    for order in permutations(found):
        assert winners(best(order)) == least


def test_boxes_of_other_planks_are_not_compared():
    other = replace(PLANK, length=PLANK.length + 1)
    few = figure_of(planks=5, boxes=1, plank=other)
    study = best([row(figure_of(planks=9, boxes=2, plank=PLANK)), row(few)])
    assert (study.cheapest, study.least_waste) == ((), (1,))


def test_a_price_decides_over_boxes_once_all_have_one():
    dear = figure_of(planks=5, boxes=1, plank=PLANK, price=Decimal("99.50"))
    cheap = figure_of(planks=5, boxes=2, plank=PLANK, price=Decimal("99.49"))
    assert best([row(dear), row(cheap)]).cheapest == (1,)
    assert best([row(dear), row(replace(cheap, price=None))]).cheapest == (0,)
