"""Exercises: exactly one answer, the one stated; marked fairly; printed on a terminal's lines."""

from dataclasses import replace
from itertools import islice
from random import Random

import pytest

from cutopt.errors import JobError, OurBugError
from cutopt.model.teaching import Exercise, Grade, Kind, Mark, Question, Topic
from cutopt.sheet import printed
from cutopt.teach import _make as maker
from cutopt.teach import class_set, exercise_blocks, explain, key_blocks, make, mark, marked_blocks
from cutopt.teach._answers import written
from cutopt.teach.topics import LESSONS, _chain, _min_piece
from cutopt.units import Unit, parse_length

OURS = (Topic.CHAIN, Topic.STAGGER, Topic.H_JOINT, Topic.STAIR_STEP, Topic.MIN_PIECE)
UNITS = tuple(Unit)
GRADES = tuple(Grade)


def inches(text: str) -> int:
    return parse_length(text, Unit.IN)


def spread(topic: Topic, seeds: int):
    """Yield exercises over all grades and units; making one solves it by the topic's other route."""
    for seed in range(seeds):
        yield make(topic, GRADES[seed % 3], seed, UNITS[seed // 3 % 5])


def asked(**more) -> Exercise:
    question = Question(**{"asks": "?", "kind": Kind.LENGTH, "answer": inches("14"), **more})
    return Exercise(
        topic=Topic.CHAIN,
        grade=Grade.FIRST,
        seed=1,
        unit=Unit.IN,
        title="A question",
        given=(),
        questions=(question,),
        working=(),
    )


@pytest.mark.parametrize("topic", OURS)
def test_a_thousand_exercises_have_exactly_the_answers_they_state(topic):
    for exercise in spread(topic, 1000):
        stated = [written(one.answer, one.kind, exercise.unit) for one in exercise.questions]
        assert all(one.mark is Mark.RIGHT for one in mark(exercise, stated)), exercise
        for question in exercise.questions:
            alone = replace(exercise, questions=(question,))
            for wrong, reason in question.wrong:
                (judged,) = mark(alone, [written(wrong, question.kind, exercise.unit)])
                assert (judged.mark, judged.reason) == (Mark.WRONG, reason)


@pytest.mark.parametrize("topic", OURS)
def test_lengths_are_on_the_tape(topic):
    for exercise in spread(topic, 90):
        finest = 320 if exercise.unit.is_metric else 8128 // 16
        for question in exercise.questions:
            if question.kind is Kind.LENGTH:
                assert question.answer % finest == 0


@pytest.mark.parametrize("topic", OURS)
def test_choices_and_yes_or_no_are_not_always_the_same(topic):
    told = {}
    for exercise in spread(topic, 120):
        for question in exercise.questions:
            if question.kind is Kind.CHOICE:
                told.setdefault(question.choices, set()).add(question.answer)
    assert all(answers == set(choices) for choices, answers in told.items())


def test_an_exercise_that_states_another_answer_is_refused(monkeypatch):
    lesson = LESSONS[Topic.CHAIN]

    class Wrong:
        def exercise(self, random, grade, unit):
            parts = lesson.exercise(random, grade, unit)
            first, *others = parts.questions
            return replace(parts, questions=(replace(first, answer=first.answer + 1), *others))

    monkeypatch.setattr(maker, "LESSONS", {Topic.CHAIN: Wrong()})
    with pytest.raises(OurBugError, match="another answer"):
        make(Topic.CHAIN, Grade.FIRST, 1)


def test_an_exercise_with_two_right_answers_is_refused(monkeypatch):
    chance = Random(1)  # noqa: S311 - chance, not secrets
    room = _min_piece._offering(chance, Grade.SECOND, Unit.IN)
    good = next(first for first in room.offered if _min_piece.keeps(first, room))
    two = replace(room, offered=(good, good, *room.offered[:2]))

    class Open:
        def exercise(self, *_):
            return replace(lesson, solve=lambda: _min_piece.solve(two))

    lesson = LESSONS[Topic.MIN_PIECE].exercise(chance, Grade.SECOND, Unit.IN)
    monkeypatch.setattr(maker, "LESSONS", {Topic.MIN_PIECE: Open()})
    with pytest.raises(OurBugError, match="not exactly one answer"):
        make(Topic.MIN_PIECE, Grade.SECOND, 1)


# Figures worked out by hand.


def chain(row: str, plank: str, kerf: str = "0", rows: int = 4) -> list[tuple[int, int]]:
    case = _chain.Case(
        grade=Grade.SECOND,
        row=inches(row),
        plank=inches(plank),
        kerf=inches(kerf),
        least=inches("8"),
        rows=rows,
    )
    walked = list(islice(_chain._walk(case), rows))
    assert walked == [_chain._on_the_line(before, case) for before in range(rows)]
    return walked


def test_chain_of_130_in_rows_and_48_in_planks():
    firsts, lasts = zip(*chain("130", "48"), strict=True)
    assert firsts == tuple(map(inches, ("48", "14", "28", "42")))
    assert lasts == tuple(map(inches, ("34", "20", "6", "40")))


def test_chain_where_the_saw_and_the_gaps_leave_three_eighths():
    # 144 in room, 1/4 in gaps, 48 in planks, 1/8 in kerf: each start moves on by 3/8 in.
    firsts, lasts = zip(*chain("143.5", "48", "1/8"), strict=True)
    assert firsts[1:] == tuple(map(inches, ("3/8", "3/4", "1-1/8")))
    assert {first + last for first, last in zip(firsts[1:], lasts[1:], strict=True)} == {inches("47-1/2")}


def test_fixed_step_of_13_and_a_half_inches_cannot_keep_more_than_4_inches():
    # 134 in rows of 36 in boards: the step comes round after 8 rows, and the shortest end is 4 in at best.
    case = _min_piece.Case(
        grade=Grade.THIRD,
        row=inches("134"),
        plank=inches("36"),
        least=inches("4"),
        offered=(inches("10"),),
        shift=inches("13.5"),
        period=8,
        step=inches("1/16"),
    )
    assert _min_piece._best(case) == inches("4")
    rows = {
        first: (first, _min_piece.last_piece(first, case))
        for first in range(case.step, case.plank + 1, case.step)
    }
    assert _min_piece._tried(rows, case) == inches("4")


# Making and class sets.


def test_the_same_seed_makes_the_same_exercise():
    assert make(Topic.STAGGER, Grade.THIRD, 5, Unit.MM) == make(Topic.STAGGER, Grade.THIRD, 5, Unit.MM)
    assert make(Topic.STAGGER, Grade.THIRD, 5, Unit.MM) != make(Topic.STAGGER, Grade.THIRD, 6, Unit.MM)


@pytest.mark.parametrize("topic", OURS)
def test_a_class_set_has_no_two_alike_and_each_can_be_made_again(topic):
    sheets = class_set(topic, Grade.FIRST, 7, 30, Unit.FT)
    assert len({(sheet.given, sheet.questions) for sheet in sheets}) == 30
    assert {(sheet.topic, sheet.grade, sheet.unit) for sheet in sheets} == {(topic, Grade.FIRST, Unit.FT)}
    assert sheets == class_set(topic, Grade.FIRST, 7, 30, Unit.FT)
    assert all(make(topic, Grade.FIRST, sheet.seed, Unit.FT) == sheet for sheet in sheets)


def test_a_class_set_that_cannot_be_had_says_so(monkeypatch):
    one = make(Topic.CHAIN, Grade.FIRST, 1)
    monkeypatch.setattr(maker, "make", lambda *_: one)
    with pytest.raises(ValueError, match="2 different exercises of chain are not to be had"):
        class_set(Topic.CHAIN, Grade.FIRST, 1, 2)


# Marking.


@pytest.mark.parametrize("text", ["14", '14"', "14 in", "1' 2\"", "1 ft 2 in", "355.6 mm", " 14.0 "])
def test_lengths_are_read_in_any_notation(text):
    assert mark(asked(), [text])[0].mark is Mark.RIGHT


@pytest.mark.parametrize(
    ("kind", "answer", "text", "verdict"),
    [
        (Kind.COUNT, 12, "12", Mark.RIGHT),
        (Kind.COUNT, 12, "12 planks", Mark.RIGHT),
        (Kind.COUNT, 12, "13", Mark.WRONG),
        (Kind.COUNT, 12, "a dozen", Mark.UNREADABLE),
        (Kind.PERCENT, 830, "8.3 %", Mark.RIGHT),
        (Kind.PERCENT, 830, "8.3", Mark.RIGHT),
        (Kind.PERCENT, 830, "8.30 percent", Mark.RIGHT),
        (Kind.PERCENT, 830, "83 %", Mark.WRONG),
        (Kind.PERCENT, 830, "8,3", Mark.UNREADABLE),
        (Kind.ROWS, (3, 7), "3, 7", Mark.RIGHT),
        (Kind.ROWS, (3, 7), "rows 7 and 3", Mark.RIGHT),
        (Kind.ROWS, (3, 4, 5), "3-5", Mark.RIGHT),
        (Kind.ROWS, (3, 7), "3", Mark.WRONG),
        (Kind.ROWS, (), "none", Mark.RIGHT),
        (Kind.ROWS, (3,), "none", Mark.WRONG),
        (Kind.ROWS, (3,), "third", Mark.UNREADABLE),
        (Kind.ROWS, (3,), "5-3", Mark.UNREADABLE),
        (Kind.ROWS, (3,), "1-999999", Mark.UNREADABLE),
        (Kind.LENGTH, 14, "long", Mark.UNREADABLE),
        (Kind.LENGTH, 14, "1" * 100_000, Mark.UNREADABLE),
        (Kind.LENGTH, 14, "  ", Mark.MISSING),
    ],
)
def test_answers_are_judged(kind, answer, text, verdict):
    (judged,) = mark(asked(kind=kind, answer=answer), [text])
    assert judged.mark is verdict
    assert bool(judged.reason) is (verdict is not Mark.RIGHT)


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("y", Mark.RIGHT),
        ("YES", Mark.RIGHT),
        ("no", Mark.UNREADABLE),
        ("not", Mark.WRONG),
        ("x", Mark.UNREADABLE),
    ],
)
def test_a_word_need_only_be_begun_as_long_as_no_other_begins_so(text, verdict):
    choices = ("yes", "not here", "not there", "not")
    question = {"kind": Kind.CHOICE, "answer": "yes", "choices": choices}
    assert mark(asked(**question), [text])[0].mark is verdict


@pytest.mark.parametrize(
    ("given", "verdict"), [("8.3", Mark.RIGHT), ("8.33", Mark.RIGHT), ("8.4", Mark.WRONG), ("8", Mark.WRONG)]
)
def test_a_percent_is_told_as_finely_as_asked(given, verdict):
    assert mark(asked(kind=Kind.PERCENT, answer=833, grain=10), [given])[0].mark is verdict


def test_a_known_slip_is_told_any_other_gets_the_working():
    slips = ((inches("34"), "that is the last piece"),)
    assert mark(asked(wrong=slips), ["34"])[0].reason == "that is the last piece"
    assert mark(asked(wrong=slips), ["35"])[0].reason == 'the working gives 14"'


def test_answers_that_lack_count_as_none_and_too_many_are_refused():
    exercise = make(Topic.CHAIN, Grade.FIRST, 1)
    assert [one.mark for one in mark(exercise, [])] == [Mark.MISSING] * len(exercise.questions)
    with pytest.raises(JobError, match="5 answers to 4 questions"):
        mark(exercise, ["1"] * 5)


# Sheets and explanations.


def lines_of(blocks):
    lines = printed(blocks)
    assert all(line.isascii() and len(line) <= 80 for line in lines), lines
    return lines


@pytest.mark.parametrize("topic", OURS)
def test_sheets_fit_the_terminal_and_the_learner_is_not_told(topic):
    for exercise in spread(topic, 60):
        sheet = "\n".join(lines_of(exercise_blocks(exercise)))
        assert "Answer" not in sheet
        assert sheet.count("____") + sheet.count("[ ]") >= len(exercise.questions)
        key = "\n".join(lines_of(key_blocks(exercise)))
        assert key.count("Answer: ") == len(exercise.questions)
        lines_of(marked_blocks(exercise, mark(exercise, [])))


def test_a_marked_sheet_tells_right_and_wrong_and_shows_any_text_as_text():
    exercise = make(Topic.CHAIN, Grade.FIRST, 1)
    right = written(exercise.questions[0].answer, Kind.LENGTH, Unit.IN)
    lines = lines_of(marked_blocks(exercise, mark(exercise, [right, "\x1b[31m\u202e" + "x" * 400])))
    assert lines[-1] == "1 of 4 right."
    text = "\n".join(lines)
    assert "CANNOT BE READ" in text
    assert "\\x1b[31m\\u202e" in text


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("topic", OURS)
def test_every_rule_is_explained_with_a_picture_and_its_sources(topic, unit):
    text = "\n".join(lines_of(explain(topic, unit)))
    assert "  row  1 |" in text
    assert "no source" in text or "Sources:" in text


def test_the_explanation_of_the_chain_computes_its_figures():
    text = "\n".join(printed(explain("offcut chain")))
    assert '48", 14", 28", 42"' in text
    assert '34", 20", 6", 40"' in text
    assert "fails in row 3" in text.replace("\n", " ")


def test_rules_are_found_in_any_writing():
    assert explain("H joint") == explain("h-joint") == explain("h_joint")
    assert explain("Minimum piece") == explain("min-piece")
    with pytest.raises(KeyError):
        explain("grout")
