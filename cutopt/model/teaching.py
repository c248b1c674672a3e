"""Exercises: what is asked, what is right, and how one gets there."""

from dataclasses import dataclass
from enum import IntEnum, StrEnum

from cutopt.model.words import Block
from cutopt.units import Unit

__all__ = ["Answer", "Exercise", "Grade", "Kind", "Mark", "Marked", "Question", "Topic"]


class Topic(StrEnum):
    """What can be practised."""

    CHAIN = "chain"
    STAGGER = "stagger"
    H_JOINT = "h-joint"
    STAIR_STEP = "stair-step"
    MIN_PIECE = "min-piece"
    HANDS = "hands"
    SHARING = "sharing"
    RIPS = "rips"
    BOXES = "boxes"
    WASTE = "waste"


class Grade(IntEnum):
    """How hard: 1 for beginners to 3 for those who plan floors."""

    FIRST = 1
    SECOND = 2
    THIRD = 3


Answer = int | str | tuple[int, ...]
"""What is right: ticks of a length, a count, a word of a choice, or row numbers. ``Question.kind`` says which."""


class Kind(StrEnum):
    """What an answer is."""

    LENGTH = "length"
    COUNT = "count"
    CHOICE = "choice"
    ROWS = "rows"
    PERCENT = "percent"


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question of an exercise; exactly one answer is right.

    ``choices`` are the words to choose from, ``wrong`` the answers that common slips lead to, each with the reason. A percent is in hundredths of a percent. ``grain`` is how finely a length or a percent is to be told.
    """

    asks: str
    kind: Kind
    answer: Answer
    choices: tuple[str, ...] = ()
    grain: int = 1
    wrong: tuple[tuple[Answer, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Exercise:
    """An exercise: what is given, its questions, and the working of each step by step."""

    topic: Topic
    grade: Grade
    seed: int
    unit: Unit
    title: str
    given: tuple[Block, ...]
    questions: tuple[Question, ...]
    working: tuple[Block, ...]


class Mark(StrEnum):
    """What an answer is worth."""

    RIGHT = "right"
    WRONG = "wrong"
    UNREADABLE = "cannot be read"
    MISSING = "no answer"


@dataclass(frozen=True, slots=True, kw_only=True)
class Marked:
    """An answer judged: what was given as text, what is right, and why it is not."""

    question: int
    given: str
    mark: Mark
    right: str
    reason: str = ""
