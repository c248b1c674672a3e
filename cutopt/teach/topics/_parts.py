"""What a topic hands over: the parts of an exercise, and its questions answered once more by another route."""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random
from typing import Protocol

from cutopt.model.teaching import Answer, Grade, Question
from cutopt.model.words import Block
from cutopt.units import Unit

__all__ = ["Lesson", "Parts", "slips"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """An exercise without its name: what its topic drew.

    ``solve`` answers the questions by trying what there is to try, on another route than the working's; it
    raises ValueError where not exactly one answer is right.
    """

    title: str
    given: tuple[Block, ...]
    questions: tuple[Question, ...]
    working: tuple[Block, ...]
    solve: Callable[[], tuple[Answer, ...]]


class Lesson(Protocol):
    """A topic: a module with these functions."""

    def exercise(self, random: Random, grade: Grade, unit: Unit, /) -> Parts:
        """Return an exercise drawn by ``random``; the same state draws the same."""

    def explain(self, unit: Unit, /) -> tuple[Block, ...]:
        """Return the rule explained, with a picture and a figure computed while it is told."""


def slips(right: Answer, *slips: tuple[Answer, str]) -> tuple[tuple[Answer, str], ...]:
    """Return those slips that lead to a wrong answer here, the first reason for each; no length is below 0."""
    wrong: dict[Answer, str] = {}
    for answer, reason in slips:
        if answer != right and not (isinstance(answer, int) and answer < 0):
            wrong.setdefault(answer, reason)
    return tuple(wrong.items())
