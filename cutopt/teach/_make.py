"""Exercises drawn from a seed, each proven to have the answers it states."""

from random import Random

from cutopt.errors import OurBugError, Problem
from cutopt.model.teaching import Exercise, Grade, Topic
from cutopt.teach.topics import LESSONS, Parts
from cutopt.units import Unit

__all__ = ["class_set", "make"]

_TRIES = 100
"""Sheets drawn for each one wanted before a class set gives up finding another."""


def make(topic: Topic, grade: Grade, seed: int, unit: Unit = Unit.IN) -> Exercise:
    """Return the exercise of this topic, grade and seed: the same for the same four, everywhere.

    Its questions are answered a second time by trying; raises OurBugError where that comes to anything else.
    """
    parts = LESSONS[topic].exercise(_chance(topic, grade, seed, unit), grade, unit)
    _prove(parts, f"{topic} {grade:d}, seed {seed}")
    return Exercise(
        topic=topic,
        grade=grade,
        seed=seed,
        unit=unit,
        title=parts.title,
        given=parts.given,
        questions=parts.questions,
        working=parts.working,
    )


def class_set(
    topic: Topic, grade: Grade, seed: int, count: int, unit: Unit = Unit.IN
) -> tuple[Exercise, ...]:
    """Return ``count`` exercises of one topic and grade, no two asking the same of the same.

    Their seeds follow from ``seed``, so each sheet can be made again by itself. Raises ValueError where so
    many different ones are not found.
    """
    seeds = Random(f"class {topic} {grade:d} {seed} {unit}")  # noqa: S311 - chance, not secrets
    sheets: dict[object, Exercise] = {}
    for _ in range(_TRIES * count):
        if len(sheets) == count:
            break
        sheet = make(topic, grade, seeds.randrange(10**6), unit)
        sheets.setdefault((sheet.given, tuple(asked.asks for asked in sheet.questions)), sheet)
    if len(sheets) < count:
        raise ValueError(f"{count} different exercises of {topic} are not to be had")
    return tuple(sheets.values())


def _chance(topic: Topic, grade: Grade, seed: int, unit: Unit) -> Random:
    return Random(f"{topic} {grade:d} {seed} {unit}")  # noqa: S311 - chance, not secrets


def _prove(parts: Parts, name: str) -> None:
    stated = tuple(question.answer for question in parts.questions)
    try:
        found = parts.solve()
    except ValueError as error:
        raise OurBugError(Problem(what="an exercise has not exactly one answer", where=name)) from error
    if stated != found:
        raise OurBugError(Problem(what="an exercise states another answer than solving it gives", where=name))
