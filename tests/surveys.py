"""Surveys of rooms whose corners are known: measured exactly, then spoiled as a test wants."""

import math
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations

from rooms import job

from cutopt.model.rooms import Survey, SurveyCorner, SurveyRoom, Tape, Turn, corner_names
from cutopt.model.survey import MeasureReport, SurveyReport
from cutopt.survey import solve_surveys
from cutopt.units import TICKS_PER_INCH

Shape = Sequence[tuple[float, float]]


def measured(
    shape: Shape, diagonals: Sequence[str] = (), angles: str = "", *, accuracy="1/8", angle_accuracy="1/2"
) -> Survey:
    """A room with these corners (inches), its walls, diagonals ("AC") and angles at corners, to the tick."""
    names = corner_names(len(shape))
    at = dict(zip(names, shape, strict=True))
    sides = {
        name: (shape[nth - 1], shape[nth], shape[(nth + 1) % len(shape)]) for nth, name in enumerate(names)
    }
    sense = 1 if twice_area(shape) > 0 else -1
    return Survey(
        corners=tuple(
            SurveyCorner(
                name=name,
                turn=Turn.LEFT if cross(*sides[name]) > 0 else Turn.RIGHT,
                angle=inside(*sides[name], sense) if name in angles else None,
            )
            for name in names
        ),
        walls=tuple(tape(at, one, names[(nth + 1) % len(names)]) for nth, one in enumerate(names)),
        diagonals=tuple(tape(at, one, other) for one, other in diagonals),
        accuracy=round(Fraction(accuracy) * TICKS_PER_INCH),
        angle_accuracy=Fraction(angle_accuracy),
    )


def tape(at: dict[str, tuple[float, float]], one: str, other: str) -> Tape:
    return Tape(start=one, end=other, length=round(math.dist(at[one], at[other]) * TICKS_PER_INCH))


def cross(before: tuple[float, float], at: tuple[float, float], after: tuple[float, float]) -> float:
    return (at[0] - before[0]) * (after[1] - at[1]) - (at[1] - before[1]) * (after[0] - at[0])


def inside(before, at, after, sense: int) -> Fraction:
    """The angle inside the room by the law of cosines, and by the side to which the corner turns."""
    a, b, c = math.dist(before, at), math.dist(at, after), math.dist(before, after)
    angle = math.degrees(math.acos((a * a + b * b - c * c) / (2 * a * b)))
    return Fraction(angle if cross(before, at, after) * sense > 0 else 360 - angle)


def twice_area(shape: Shape) -> float:
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(shape, [*shape[1:], *shape[:1]], strict=True))


def all_diagonals(corners: int) -> list[str]:
    names = corner_names(corners)
    return [
        one + other
        for (nth, one), (mth, other) in combinations(enumerate(names), 2)
        if mth - nth not in (1, corners - 1)
    ]


def misread(survey: Survey, nth: int, inches: float) -> Survey:
    """The survey with one tape, counted through walls and diagonals, read wrong."""
    tapes = [*survey.walls, *survey.diagonals]
    tapes[nth] = replace(tapes[nth], length=tapes[nth].length + round(inches * TICKS_PER_INCH))
    walls = len(survey.walls)
    return replace(survey, walls=tuple(tapes[:walls]), diagonals=tuple(tapes[walls:]))


def report_of(survey: Survey) -> SurveyReport:
    _, (report,) = solve_surveys(job(SurveyRoom(name="Parlour", survey=survey)))
    return report


def named(report: SurveyReport) -> dict[str, MeasureReport]:
    return {measure.name: measure for measure in report.measures}


def corners_in_inches(report: SurveyReport) -> list[tuple[float, float]]:
    return [(corner.at[0] / TICKS_PER_INCH, corner.at[1] / TICKS_PER_INCH) for corner in report.corners]
