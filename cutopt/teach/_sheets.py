"""The learner's sheet, its answer key, and a sheet that has been marked."""

from collections.abc import Iterator, Sequence

from cutopt.model.teaching import Exercise, Mark, Marked, Question
from cutopt.model.words import Block, Heading, Labels, Line, Para
from cutopt.teach._answers import blank, written
from cutopt.teach.topics import para
from cutopt.units import Unit

__all__ = ["exercise_blocks", "key_blocks", "marked_blocks"]

_LONGEST = 200
_UNITS = {
    Unit.IN: "inches",
    Unit.FT: "feet and inches",
    Unit.MM: "millimeters",
    Unit.CM: "centimeters",
    Unit.M: "meters",
}


def exercise_blocks(exercise: Exercise) -> tuple[Block, ...]:
    """Return the sheet for the learner: what is given, and the questions with lines to fill in."""
    return (
        *_top(exercise, "Exercise"),
        *exercise.given,
        Heading("Questions"),
        *(
            block
            for number, question in enumerate(exercise.questions, start=1)
            for block in _question(number, question, exercise.unit)
        ),
    )


def key_blocks(exercise: Exercise) -> tuple[Block, ...]:
    """Return the answer key: what is given, the answers, and the working step by step."""
    return (
        *_top(exercise, "Answer key"),
        *exercise.given,
        Heading("Answers"),
        *(
            block
            for number, question in enumerate(exercise.questions, start=1)
            for block in (
                _asks(number, question),
                _text(f"Answer: {written(question.answer, question.kind, exercise.unit)}", "    "),
            )
        ),
        Heading("Working"),
        *exercise.working,
    )


def marked_blocks(exercise: Exercise, marked: Sequence[Marked]) -> tuple[Block, ...]:
    """Return the sheet marked: every answer with what is right and why, and how many are right."""
    right = sum(one.mark is Mark.RIGHT for one in marked)
    return (
        *_top(exercise, "Marked"),
        *(block for one in marked for block in _mark(exercise.questions[one.question - 1], one)),
        Line(),
        _text(f"{right} of {len(marked)} right."),
    )


def _top(exercise: Exercise, kind: str) -> Iterator[Block]:
    yield Heading(f"{kind}: {exercise.title}")
    yield _text(
        f"Topic {exercise.topic}, grade {exercise.grade:d}, seed {exercise.seed}, lengths in {_UNITS[exercise.unit]}."
    )
    yield Line()


def _question(number: int, question: Question, unit: Unit) -> Iterator[Block]:
    yield _asks(number, question)
    yield Line()
    yield Line(f"    {blank(question, unit)}")
    yield Line()


def _mark(question: Question, marked: Marked) -> Iterator[Block]:
    yield _asks(marked.question, question)
    told = [("Given", tuple(_plain(marked.given).split()) or ("nothing",)), ("Mark", (marked.mark.upper(),))]
    if marked.mark is not Mark.RIGHT:
        told.append(("Right", tuple(marked.right.split())))
    if marked.reason:
        told.append(("Why", tuple(marked.reason.split())))
    yield Labels(tuple(told), indent=4)


def _asks(number: int, question: Question) -> Para:
    return _text(question.asks, f"{number:>2}. ")


def _text(text: str, first: str = "") -> Para:
    return para(text, first, " " * len(first))


def _plain(text: str) -> str:
    """Return what was given on one line, without anything that a terminal would act on."""
    line = " ".join(text[:_LONGEST].split()) + ("..." if len(text) > _LONGEST else "")
    return "".join(char if char.isprintable() else ascii(char)[1:-1] for char in line)
