"""The rule book: every rule once, usual values by kind with their sources, and where they give way."""

import dataclasses

import pytest

from cutopt.model.job import Order, Pattern, PlankKind, PlankSpec, Rules, SourceKind
from cutopt.rulebook import PRODUCT_FIRST, RULES, Measure, rule, rules_by_kind, usual_rules
from cutopt.units import Unit, parse_length

INCHES = (Unit.IN, 48 * 8128, 7 * 8128)
METRIC = (Unit.MM, 1220 * 320, 180 * 320)


def test_every_rule_of_the_job_is_in_the_book_once():
    keys = [entry.key for entry in RULES]
    fields = {f"rules.{field.name}" for field in dataclasses.fields(Rules)}
    fields |= {f"order.{field.name}" for field in dataclasses.fields(Order)}
    fields |= {f"plank.{name}" for name in ("ends", "kerf") if name in PlankSpec.__dataclass_fields__}
    fields -= {"rules.lots"}  # no rule of a job: told by the stock file, together with the lots
    assert sorted(keys) == sorted(fields)


def test_a_rule_is_found_by_its_key():
    assert rule("rules.stagger").name == "stagger"
    with pytest.raises(KeyError):
        rule("rules.colour")


def test_choices_are_those_of_the_model():
    assert rule("rules.pattern").choices == tuple(Pattern)
    assert rule("rules.max_waiting").choices == ("any",)
    assert all(entry.choices for entry in RULES if entry.measure is Measure.CHOICE)


def test_products_come_first():
    assert "always win" in PRODUCT_FIRST


@pytest.mark.parametrize("size", [INCHES, METRIC])
@pytest.mark.parametrize("kind", PlankKind)
def test_every_kind_has_every_rule_with_a_source(kind, size):
    usual = usual_rules(kind, *size)
    assert set(usual) == {entry.key for entry in RULES}
    for value in usual.values():
        assert value.citation
        assert value.source is not SourceKind.JOB


def test_without_a_kind_only_the_rules_of_every_plank_are_there():
    assert set(usual_rules(None, *INCHES)) == {
        "rules.min_rip",
        "rules.pattern",
        "rules.cut_step",
        "rules.max_waiting",
        "rules.fit",
        "rules.lay",
        "rules.share_offcuts",
        "rules.share_rips",
        "order.culls",
        "order.spare",
    }


# The figures and their sources are those of the project's collection of trade rules: vinyl and laminate from
# makers' sheets or memory, wood from the National Wood Flooring Association as quoted in Wood Floor Business.
USUAL = [
    ("glue-down vinyl", "rules.stagger", "6 in", "150 mm", SourceKind.MAKER),
    ("click vinyl", "rules.stagger", "8 in", "200 mm", SourceKind.MEMORY),
    ("laminate", "rules.stagger", "12 in", "300 mm", SourceKind.MAKER),
    ("engineered wood", "rules.stagger", "10 in", "250 mm", SourceKind.PUBLISHED),
    ("solid strip", "rules.stagger", "10 in", "250 mm", SourceKind.PUBLISHED),
    ("click vinyl", "rules.min_piece", "8 in", "200 mm", SourceKind.MEMORY),
    ("solid strip", "rules.min_piece", "9 in", "230 mm", SourceKind.PRACTICE),
    ("laminate", "rules.gap", "3/8 in", "10 mm", SourceKind.HOW_TO),
    ("click vinyl", "rules.gap", "1/4 in", "6 mm", SourceKind.MAKER),
    ("laminate", "rules.min_rip", "2 in", "50 mm", SourceKind.MAKER),
    ("click vinyl", "rules.min_rip", "2 in", "50 mm", SourceKind.PRACTICE),
    ("click vinyl", "plank.kerf", "0 in", "0 mm", SourceKind.PRACTICE),
    ("laminate", "plank.kerf", "1/8 in", "3 mm", SourceKind.PRACTICE),
    ("click vinyl", "rules.cut_step", "1/16 in", "1 mm", SourceKind.PRACTICE),
]


@pytest.mark.parametrize(("kind", "key", "inches", "metric", "source"), USUAL)
def test_usual_values_are_round_in_each_system(kind, key, inches, metric, source):
    in_inches = usual_rules(PlankKind(kind), *INCHES)[key]
    in_metric = usual_rules(PlankKind(kind), *METRIC)[key]
    assert (in_inches.number, in_metric.number) == (parse_length(inches), parse_length(metric))
    assert in_inches.source is in_metric.source is source


@pytest.mark.parametrize(
    ("width", "stagger"), [("2-1/4 in", "6 in"), ("3 in", "8 in"), ("5 in", "8 in"), ("5-1/4 in", "10 in")]
)
def test_wood_staggers_by_width(width, stagger):
    usual = usual_rules(PlankKind.SOLID_STRIP, Unit.IN, parse_length("48 in"), parse_length(width))
    assert usual["rules.stagger"].number == parse_length(stagger)


@pytest.mark.parametrize(("length", "stagger"), [("84 in", "21 in"), ("83 in", "10 in")])
def test_long_wood_planks_stagger_by_three_widths(length, stagger):
    usual = usual_rules(PlankKind.ENGINEERED_WOOD, Unit.IN, parse_length(length), parse_length("7 in"))
    assert usual["rules.stagger"].number == parse_length(stagger)


def test_a_short_plank_gets_a_third_of_its_length():
    usual = usual_rules(PlankKind.LAMINATE, Unit.MM, parse_length("620 mm"), parse_length("180 mm"))
    for key in ("rules.stagger", "rules.min_piece"):
        assert usual[key].number == parse_length("206 mm")
        assert usual[key].source is SourceKind.DERIVED


def test_a_narrow_strip_gets_half_its_width_as_narrowest_rip():
    usual = usual_rules(PlankKind.SOLID_STRIP, Unit.IN, parse_length("48 in"), parse_length("2-1/4 in"))
    assert usual["rules.min_rip"].number == parse_length("1-1/8 in")
    assert usual["rules.min_rip"].source is SourceKind.DERIVED


@pytest.mark.parametrize("pattern", [Pattern.HALF, Pattern.THIRD])
@pytest.mark.parametrize("kind", PlankKind)
def test_a_fixed_pattern_turns_two_rules_off_and_can_keep_the_usual_stagger(kind, pattern):
    usual = usual_rules(kind, *INCHES, pattern)
    assert usual["rules.h_joint"].number == usual["rules.stair_step"].number == 0
    assert 3 * usual["rules.stagger"].number <= INCHES[1]


def test_click_planks_may_not_be_turned_and_glued_ones_may():
    by_kind = rules_by_kind(*INCHES)
    assert {kind: str(rules["plank.ends"].value) for kind, rules in by_kind.items()} == {
        PlankKind.GLUE_DOWN_VINYL: "square",
        PlankKind.CLICK_VINYL: "handed",
        PlankKind.LAMINATE: "handed",
        PlankKind.ENGINEERED_WOOD: "handed",
        PlankKind.SOLID_STRIP: "handed",
    }


def test_a_word_is_no_number():
    with pytest.raises(TypeError):
        _ = usual_rules(None, *INCHES)["rules.pattern"].number
