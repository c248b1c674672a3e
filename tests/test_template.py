"""The commented job file of ``cutopt new``: the reader accepts it, as written and with every rule set."""

import dataclasses
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutopt.jobfile import parse_job
from cutopt.jobfile.template import (
    QUESTIONS,
    ROOM_QUESTIONS,
    Answers,
    RoomAnswer,
    check_answer,
    example_answers,
    render_template,
)
from cutopt.model.job import PlankKind, SourceKind
from cutopt.model.rooms import SizeRoom
from cutopt.units import Unit, parse_length

BY_FIELD = {question.field: question for question in (*QUESTIONS, *ROOM_QUESTIONS)}


@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize("kind", PlankKind)
def test_the_reader_accepts_the_template_of_every_kind_and_unit(kind, unit):
    answers = example_answers(unit, kind)
    job = parse_job(render_template(answers))
    room = answers.rooms[0]
    assert (job.title, job.unit, job.plank.kind) == (answers.title, unit, kind)
    assert job.plank.length == parse_length(answers.length)
    assert job.plank.width == parse_length(answers.width)
    assert job.plank.per_box == answers.per_box
    assert job.rooms == (
        SizeRoom(name=room.name, along=parse_length(room.along), across=parse_length(room.across)),
    )
    assert job.warnings == ()


@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize("kind", PlankKind)
def test_taking_the_marks_away_sets_every_rule_to_the_same_value(kind, unit):
    text = render_template(example_answers(unit, kind))
    usual = parse_job(text)
    spelled_out = parse_job(re.sub(r"^#(?=\w)(?!box_)", "", text, flags=re.MULTILINE))
    assert dataclasses.replace(spelled_out, assumptions=()) == dataclasses.replace(usual, assumptions=())
    assert {assumption.source for assumption in spelled_out.assumptions} == {SourceKind.JOB}


def test_a_usual_length_that_no_inch_tape_shows_is_offered_in_millimetres():
    answers = dataclasses.replace(example_answers(Unit.IN, PlankKind.CLICK_VINYL), width="75 mm")
    assert '#min_rip = "37.5 mm"' in render_template(answers)


@settings(derandomize=True, deadline=None, max_examples=100)
@given(st.text(min_size=1, max_size=40).filter(lambda text: not check_answer(BY_FIELD["title"], text)))
def test_any_title_that_passes_survives(title):
    answers = dataclasses.replace(
        example_answers(), title=title, rooms=(RoomAnswer(name=title, along="100 in", across="100"),)
    )
    job = parse_job(render_template(answers))
    assert job.title == job.rooms[0].name == " ".join(title.split())


@pytest.mark.parametrize(
    "typed", ["12' 5-1/2\"", "12 ft 5 1/2 in", "149.5", "149 1/2", "12\u2032 5\u00bd\u2033"]
)
def test_lengths_are_kept_as_typed(typed):
    answers = dataclasses.replace(example_answers(), rooms=(RoomAnswer(name="A", along=typed, across="100"),))
    assert parse_job(render_template(answers)).rooms[0].along == parse_length("149.5 in")


def test_every_example_passes_its_own_check():
    for question in BY_FIELD.values():
        for unit in Unit:
            assert check_answer(question, question.example(unit), unit) == ""


def test_the_questions_fill_the_answers():
    assert [question.field for question in QUESTIONS] == [
        field.name for field in dataclasses.fields(Answers)
    ][:-1]
    assert [question.field for question in ROOM_QUESTIONS] == [
        field.name for field in dataclasses.fields(RoomAnswer)
    ]


@pytest.mark.parametrize(
    ("field", "text", "message"),
    [
        ("length", "0", "no length - give one above zero"),
        ("length", "-3", "is negative - a length is 0 or more: check the sign"),
        ("per_box", "0", "not a count - give a whole number of 1 or more"),
        ("per_box", "8.5", "not a count - give a whole number of 1 or more"),
        ("per_box", "9" * 5000, "not a count - give a whole number of 1 or more"),
        ("unit", "inch", "not known here - use one of in, ft, mm, cm, m"),
        ("title", "  ", "not a name to print - use 1 to 200 visible characters"),
        ("title", "a\x1b[1m", "not a name to print - use 1 to 200 visible characters"),
    ],
)
def test_a_wrong_answer_is_explained(field, text, message):
    assert check_answer(BY_FIELD[field], text, Unit.IN) == message


def test_an_unchecked_answer_is_refused():
    with pytest.raises(ValueError, match="has a comma"):
        render_template(dataclasses.replace(example_answers(), length="3,79 m"))
