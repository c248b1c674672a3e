"""One room: from its survey to corners on whole ticks and a report on every measure."""

from fractions import Fraction

import numpy as np

from cutopt.errors import JobError
from cutopt.model.rooms import Point, Survey
from cutopt.model.survey import MeasureReport, Size, SurveyedCorner, SurveyReport
from cutopt.survey._measures import Floats, Measures, Points, in_arrays
from cutopt.survey._possible import too_long
from cutopt.survey._quality import Quality, judge
from cutopt.survey._shape import best_shape, unlike_turns
from cutopt.survey._start import sense_of, turns_told, walls_walked
from cutopt.units import Unit

__all__ = ["adjust"]

_FINEST_DEGREE = 10_000
"""Angles are told to this part of a degree."""


def adjust(survey: Survey, room: str, unit: Unit) -> SurveyReport:
    """Return the corners that fit the survey best, and how well every measure fits them.

    The first wall lies on the x axis from (0, 0), the room above it. Raises ``JobError`` as
    :func:`cutopt.survey.solve_surveys` does; lengths in its words are in ``unit``.
    """
    where = f'room "{room}": survey'
    problems = tuple(too_long(survey, where, unit))
    if problems:
        raise JobError(*problems)
    measures = in_arrays(survey, sense_of(survey))
    best, elsewhere = best_shape(survey, measures, where)
    quality = judge(measures, best)
    return SurveyReport(
        room=room,
        measures=_reports(survey, measures, best.points, quality),
        corners=_corners(survey, _above_x(best.points, measures.sense), quality.spread),
        redundancy=quality.redundancy,
        closure=_closure(survey, measures.sense),
        sigma0=quality.sigma0,
        unlike=_named(survey, unlike_turns(survey, measures, best.points)),
        elsewhere=_named(survey, elsewhere),
    )


def _above_x(points: Points, sense: int) -> Points:
    """Turn a room walked clockwise, which lies below its first wall, half round that wall's middle."""
    return points if sense > 0 else points[1] - points


def _corners(survey: Survey, points: Points, spread: Points) -> tuple[SurveyedCorner, ...]:
    return tuple(
        SurveyedCorner(name=corner.name, at=_point(at), spread=_point(wide))
        for corner, at, wide in zip(survey.corners, points, spread, strict=True)
    )


def _point(pair: Floats) -> Point:
    return round(float(pair[0])), round(float(pair[1]))


def _named(survey: Survey, which: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> tuple[str, ...]:
    return tuple(corner.name for corner, yes in zip(survey.corners, which, strict=True) if yes)


def _reports(
    survey: Survey, measures: Measures, points: Points, quality: Quality
) -> tuple[MeasureReport, ...]:
    adjusted = measures.read - measures.misfit(points)
    reports = []
    for nth, (name, read) in enumerate(_readings(survey)):
        fitted, judged = _size(float(adjusted[nth]), read), float(quality.standardised[nth])
        fitting = quality.suspects.get(nth)
        reports.append(
            MeasureReport(
                name=name,
                measured=read,
                adjusted=fitted,
                residual=read - fitted,
                standardised=None if np.isnan(judged) else judged,
                flagged=fitting is not None,
                fitting=None if fitting is None else _size(fitting, read),
            )
        )
    return tuple(reports)


def _readings(survey: Survey) -> list[tuple[str, Size]]:
    """Return every measure's name and reading, in the order of :func:`in_arrays`."""
    walls: list[tuple[str, Size]] = [(f"wall {tape.start}-{tape.end}", tape.length) for tape in survey.walls]
    diagonals = [(f"diagonal {tape.start}-{tape.end}", tape.length) for tape in survey.diagonals]
    angles = [
        (f"angle at {corner.name}", corner.angle) for corner in survey.corners if corner.angle is not None
    ]
    return [*walls, *diagonals, *angles]


def _size(value: float, like: Size) -> Size:
    """Return a length on whole ticks, or an angle on the finest part of a degree told."""
    return round(value) if isinstance(like, int) else Fraction(round(value * _FINEST_DEGREE), _FINEST_DEGREE)


def _closure(survey: Survey, sense: int) -> Point | None:
    """Return where the walls end, walked by the angles as measured; the first corner's angle is not needed."""
    if any(corner.angle is None for corner in survey.corners[1:]):
        return None
    return _point(walls_walked(survey, turns_told(survey, sense))[-1])
