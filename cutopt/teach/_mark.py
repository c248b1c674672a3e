"""Answers marked, a wrong one with the reason."""

from collections.abc import Sequence

from cutopt.errors import JobError, Problem
from cutopt.model.teaching import Answer, Exercise, Kind, Mark, Marked, Question
from cutopt.teach._answers import UnreadableAnswerError, read_answer, written
from cutopt.units import Unit

__all__ = ["mark"]


def mark(exercise: Exercise, answers: Sequence[str]) -> tuple[Marked, ...]:
    """Return every question's answer marked, from the first; an empty or lacking answer counts as none.

    A length or a percent is right when it is told as finely as the question asks: off by half its grain at
    most. Raises JobError where there are more answers than questions.
    """
    asked = exercise.questions
    if len(answers) > len(asked):
        raise JobError(
            Problem(
                what=f"{len(answers)} answers to {len(asked)} questions",
                remedy="give one answer a question, in their order",
            )
        )
    padded = [*answers, *[""] * (len(asked) - len(answers))]
    return tuple(
        _marked(number, question, text, exercise.unit)
        for number, (question, text) in enumerate(zip(asked, padded, strict=True), start=1)
    )


def _marked(number: int, question: Question, text: str, unit: Unit) -> Marked:
    right = written(question.answer, question.kind, unit)
    verdict, reason = _judged(question, text, unit, right)
    return Marked(question=number, given=text, mark=verdict, right=right, reason=reason)


def _judged(question: Question, text: str, unit: Unit, right: str) -> tuple[Mark, str]:
    if not text.strip():
        return Mark.MISSING, f"the working gives {right}"
    try:
        given = read_answer(text, question, unit)
    except UnreadableAnswerError as error:
        return Mark.UNREADABLE, str(error)
    if _same(given, question.answer, question):
        return Mark.RIGHT, ""
    slip = next((reason for wrong, reason in question.wrong if _same(given, wrong, question)), "")
    return Mark.WRONG, slip or _unexplained(question, right)


def _same(given: Answer, answer: Answer, question: Question) -> bool:
    if isinstance(given, int) and isinstance(answer, int) and question.kind in (Kind.LENGTH, Kind.PERCENT):
        return 2 * abs(given - answer) <= question.grain
    return given == answer


def _unexplained(question: Question, right: str) -> str:
    kind = "; both all of the rows and no others" if question.kind is Kind.ROWS and right != "none" else ""
    return f"the working gives {right}{kind}"
