"""The pages of the rule book: complete, agreed with the usual values a job gets, and true of what they tell to change."""

import json
import re

import pytest
import typer
from job_texts import SHORT

from cutopt.check._finding import Rule as Checked
from cutopt.cli.app import app
from cutopt.jobfile import parse_job, vary
from cutopt.model.job import Pattern, PlankKind, SourceKind
from cutopt.rulebook import RULES, Measure, always, find_key, nearest_name, pages, rule, usual_rules, why
from cutopt.rulebook._disputes import DISPUTES
from cutopt.rulebook._reasons import ALSO_CALLED, REASONS
from cutopt.schema import SchemaOf, schema
from cutopt.units import TICKS_PER_MM, Unit, parse_length

SYSTEMS = (Unit.IN, Unit.MM)
PAGES = pages()
INCH = 8128


def test_every_rule_has_a_page_with_all_its_parts():
    assert [(page.key, page.name, page.says) for page in PAGES] == [
        (entry.key, entry.name, entry.says) for entry in RULES
    ]
    for page in PAGES:
        assert page.usual
        assert page.span
        assert page.takes
        assert all(line.value and line.citation for line in page.usual)
        assert page.why == why(page.key)


@pytest.mark.parametrize("told", [*(entry.key for entry in RULES), *always()])
def test_a_reason_is_given_in_a_sentence_or_two_with_its_source(told):
    because = why(told)
    assert 1 <= len(re.findall(r"[.](?= |$)", because.reason)) <= 2
    assert because.reason.endswith(".")
    assert because.citation
    assert because.source is not SourceKind.JOB


def test_reasons_and_disputes_are_of_the_rules_there_are():
    keys = {entry.key for entry in RULES}
    assert set(REASONS) == set(DISPUTES) == keys
    assert set(ALSO_CALLED.values()) <= keys


def test_what_sources_say_names_them():
    for sayings in DISPUTES.values():
        assert len({saying.says for saying in sayings}) == len(sayings)
        for saying in sayings:
            assert saying.says.endswith(".")
            weak = saying.source in {SourceKind.PRACTICE, SourceKind.MEMORY}
            assert bool(saying.citation) != weak


@pytest.mark.parametrize(
    "key", ["rules.stagger", "rules.h_joint", "rules.min_rip", "rules.gap", "rules.pattern"]
)
def test_sources_that_differ_are_set_against_each_other(key):
    kinds = {saying.source for saying in why(key).contradictions}
    assert len(why(key).contradictions) >= 4
    assert len(kinds) >= 2 or key == "rules.pattern"


@pytest.mark.parametrize("name", Checked)
def test_whatever_a_check_finds_has_a_reason(name):
    assert why(str(name)).reason


def test_nothing_else_has_one():
    for other in ("", "colour", "rules.colour"):
        with pytest.raises(KeyError):
            why(other)


# Names


@pytest.mark.parametrize("entry", RULES, ids=lambda entry: entry.key)
def test_a_rule_is_found_by_each_of_its_names(entry):
    for name in (entry.key, entry.key.partition(".")[2], entry.name):
        for told in (name, name.upper(), name.replace("_", "-"), f"  {name.replace('-', ' ')} "):
            assert find_key(told) == entry.key


@pytest.mark.parametrize(
    ("told", "nearest"),
    [("stager", "stagger"), ("min peice", "minimum piece"), ("H joints", "H-joint"), ("xyzzy", None)],
)
def test_the_nearest_rule_is_named(told, nearest):
    assert find_key(told) is None
    assert nearest_name(told) == nearest


# Usual values: what the page says, read as a person reads it, is what a job gets.


def holds(when, width, length, pattern):
    """Whether a plank of a size (ticks) is one that a line of usual values speaks of."""
    if not when:
        return True
    if when.startswith("pattern "):
        return pattern in when.removeprefix("pattern ").split(", ")
    if found := re.fullmatch(r"under (.+) wide", when):
        return width < parse_length(found[1])
    if found := re.fullmatch(r"over (.+) wide", when):
        return width > parse_length(found[1])
    if found := re.fullmatch(r"(.+) to (.+) wide", when):
        return parse_length(found[1]) <= width <= parse_length(found[2])
    widths = re.fullmatch(r"(\d+) widths long or more", when)
    return length >= int(widths[1]) * width


def as_read(page, unit, width, length, pattern):
    """Return the value a page comes to: ticks for a length, else its text."""
    value = None
    for line in page.usual:
        if holds(line.when, width, length, pattern):
            more = re.fullmatch(r"(\d+) widths, if more", line.value)
            if more:
                value = max(value, int(more[1]) * width)
            elif rule(page.key).measure is Measure.LENGTH:
                value = 0 if line.value == "off" else parse_length(line.value)
                assert line.ticks == {unit: value}
            else:
                value = line.value
    for note in page.notes:
        if "a third of its length" in note and length < 3 * value:
            step = INCH // 16 if unit is Unit.IN else TICKS_PER_MM
            value = length // 3 // step * step
        if "half its width" in note and width < 2 * value:
            value = width // 2
    return value


@pytest.mark.parametrize("pattern", Pattern)
@pytest.mark.parametrize("unit", SYSTEMS)
@pytest.mark.parametrize("kind", PlankKind)
def test_usual_values_are_those_a_job_gets(kind, unit, pattern):
    told = pages(kind, unit)
    for width in (1.5, 2.25, 2.9375, 3, 3.25, 5, 5.0625, 7, 12):
        for length in (12, 17.9375, 24, 35.9375, 36, 48, 60, 84, 144):
            ticks = int(length * INCH), int(width * INCH)
            usual = usual_rules(kind, unit, *ticks, pattern)
            for page in told:
                read = as_read(page, unit, ticks[1], ticks[0], pattern)
                given = usual[page.key].value
                assert read == given or read in (str(given), f"{given} %")


@pytest.mark.parametrize("unit", [None, *SYSTEMS])
def test_without_a_kind_every_kind_reads_as_its_own_page(unit):
    for kind in PlankKind:
        for page, own in zip(pages(unit=unit), pages(kind, unit), strict=True):
            lines = [line for line in page.usual if line.kind in {None, kind}]
            assert [(line.when, line.value, line.source) for line in lines] == [
                (line.when, line.value, line.source) for line in own.usual
            ]


def test_without_a_unit_both_systems_stand_side_by_side():
    by_key = {page.key: page for page in PAGES}
    laminate = next(line for line in by_key["rules.gap"].usual if line.kind == PlankKind.LAMINATE)
    assert laminate.value == '3/8" (10 mm)'
    assert laminate.ticks == {Unit.IN: parse_length("3/8 in"), Unit.MM: parse_length("10 mm")}
    assert by_key["rules.gap"].span == '1/8" to 3/4" (3 mm to 19 mm)'
    assert by_key["rules.h_joint"].span == '2" (50 mm)'


# What sets a rule


@pytest.mark.parametrize("unit", SYSTEMS)
@pytest.mark.parametrize("entry", RULES, ids=lambda entry: entry.key)
def test_an_example_can_stand_in_a_job(entry, unit):
    page = next(page for page in pages(unit=unit) if page.key == entry.key)
    table = f"[{page.table}]\n"
    text = SHORT if table in SHORT else SHORT.replace("[[room]]", f"{table}\n[[room]]")
    job = parse_job(text.replace(table, f"{table}{page.example}\n"))
    (set_there,) = (item for item in job.assumptions if item.source is SourceKind.JOB)
    assert set_there.key == page.key


def test_commands_and_options_that_are_named_exist():
    commands = typer.main.get_command(app).commands
    named = [option.what for page in PAGES for option in page.options if option.what.startswith("cutopt ")]
    assert len(named) > 10
    for told in named:
        command, option = re.search(r"cutopt (\w+) JOB (--[a-z-]+)", told).groups()
        assert option in {name for each in commands[command].params for name in each.opts}


def test_what_can_be_varied_can():
    job = parse_job(SHORT)
    told = [option.what for page in PAGES for option in page.options if "--vary" in option.what]
    texts = [what.partition("--vary ")[2].replace("A,B,...", "1,2") for what in told]
    assert len(vary(texts, job)) == len(texts) == 7


def test_keys_that_are_named_exist():
    properties = json.loads(schema(SchemaOf.JOB))["properties"]
    named = [option.what for page in PAGES for option in page.options if option.what.startswith("[")]
    assert named == ["[layout] edges, first_width", "[[stop]] min_rip", "[[room.fixed]] gap"]
    assert {"edges", "first_width"} <= set(properties["layout"]["properties"])
    assert "min_rip" in properties["stop"]["items"]["properties"]
    assert "gap" in properties["room"]["items"]["properties"]["fixed"]["items"]["properties"]
