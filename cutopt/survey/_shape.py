"""The shape that fits a survey: found from the walk along the walls, or refused."""

from collections.abc import Iterator, Sequence
from math import inf, sqrt

import numpy as np
import shapely
from numpy.typing import NDArray

from cutopt.errors import JobError, Problem
from cutopt.model.rooms import Survey
from cutopt.survey._fit import Fit, fit
from cutopt.survey._flex import not_fixed
from cutopt.survey._measures import Floats, Measures, Points
from cutopt.survey._start import laid_on_x, turns_told, walked

__all__ = ["best_shape", "unlike_turns"]

_ABOUT_SQUARE = 20.0
"""In degrees: how far a corner told without an angle may be off, for a first shape only."""
_FLAT = 1e-3
"""Twice the area of a room, over the square of its length: less is no room."""
_ASKEW = 60.0
"""In degrees: farther off, a corner is no longer one that a person calls about square."""
_CLEAR_TURN = 0.1
"""The sine of a turn too slight to be called one way or the other."""
_BETTER = 9.0
"""In the sum of squares, three standard deviations: what another shape must gain to be preferred."""
_ANOTHER = 20
"""Standard deviations of a tape by which a corner must move to make another shape."""
_MOST_CORNERS, _MOST_FOLDS, _FOLD_STEPS = 16, 60, 40
_NEARLY = 1000.0
"""In the sum of squares: how far a shape folded over may be off before it is not worth a fit."""
_SOUND = 5
"""Standard deviations by which the sum of squares (chi-squared) may be above its mean, the redundancy."""
_SAME = 32.0
"""In ticks, 0.1 mm: shapes no farther apart are one."""


def best_shape(survey: Survey, measures: Measures, where: str) -> tuple[Fit, NDArray[np.bool_]]:
    """Return the shape that fits best, its first wall on x, walked as told.

    With it come the corners, (corners,), that lie elsewhere in another shape that fits as well.

    Raises ``JobError`` where the measures do not fix it, come to no rest, or lead to walls that cross.
    """
    first = fit(measures, _first(survey, measures))
    _refuse_flat(first.points, where)
    loose = not_fixed(survey, measures, first.points, where)
    if loose is not None:
        raise JobError(loose)
    fits = [first, *_rivals(survey, measures, first)]
    best = _preferred(survey, measures, fits)
    if not best.settled:
        raise JobError(
            Problem(
                what="the measures do not come together in one shape",
                where=where,
                remedy="check the turns, and measure the walls and diagonals again",
            )
        )
    _refuse_crossing(measures, best.points, where)
    return best, _elsewhere(survey, measures, best, fits)


def _first(survey: Survey, measures: Measures) -> Points:
    """Return the walk along the walls, drawn towards all measures while its corners stay about square."""
    points, angles = walked(survey, measures.sense)
    untold = np.setdiff1d(np.arange(len(points)), measures.apexes)
    return fit(measures.with_angles(untold, angles[untold], _ABOUT_SQUARE), points).points


def _rivals(survey: Survey, measures: Measures, first: Fit) -> list[Fit]:
    """Return other shapes of a small room: folded over, fitted anew, and folded again where they fit as well.

    Where the first shape is as it should be, only folds that nearly fit as they are get a fit of their own.
    """
    shapes, at = [first], 0
    most = _NEARLY if _standing(survey, measures, first) == (False, False) else inf
    tries = _MOST_FOLDS if len(first.points) <= _MOST_CORNERS else 0
    while at < len(shapes) and tries > 0:
        if at == 0 or shapes[at].cost <= first.cost + _BETTER:
            for folded in _folds(measures, shapes[at].points):
                if _cost(measures, folded) > first.cost + most:
                    continue
                tries -= 1
                other = fit(measures, folded, most_steps=_FOLD_STEPS)
                if not any(np.allclose(other.points, known.points, atol=_SAME) for known in shapes):
                    shapes.append(other)
        at += 1
    return shapes[1:]


def _cost(measures: Measures, points: Points) -> float:
    return float(((measures.misfit(points) / measures.spread) ** 2).sum())


def _folds(measures: Measures, points: Points) -> Iterator[Points]:
    """Yield the shape with one corner, or all beyond a diagonal, flipped across."""
    corners = len(points)
    folds = {((nth - 1) % corners, (nth + 1) % corners) for nth in range(corners)}
    folds |= {(int(min(pair)), int(max(pair))) for pair in measures.ends}
    for one, other in sorted(folds):
        if other - one not in (1, corners - 1):
            yield laid_on_x(_folded(points, one, other))


def _folded(points: Points, one: int, other: int) -> Points:
    """Return the shape with the corners after ``one`` and before ``other`` flipped across their line."""
    along = points[other] - points[one]
    along /= max(float(np.hypot(*along)), 1.0)
    beyond = [nth % len(points) for nth in range(one + 1, other + len(points) * (other < one))]
    way = points[beyond] - points[one]
    folded = points.copy()
    folded[beyond] = points[one] + 2 * np.outer(way @ along, along) - way
    return folded


def _preferred(survey: Survey, measures: Measures, fits: Sequence[Fit]) -> Fit:
    """Return the shape of the best standing that fits best; the first unless another fits far better."""
    standing = [_standing(survey, measures, other) for other in fits]
    best = min(range(len(fits)), key=lambda nth: (standing[nth], fits[nth].cost))
    first_will_do = standing[0] == standing[best] and fits[0].cost <= fits[best].cost + _BETTER
    return fits[0 if first_will_do else best]


def _standing(survey: Survey, measures: Measures, found: Fit) -> tuple[bool, bool]:
    """Return what is wrong with a shape, the worse first: it does not fit, it is not turned as told.

    The turns are believed before a tape, unless all tapes agree on another shape.
    """
    redundancy = len(measures.read) - 2 * len(found.points) + 3
    usual = redundancy + _SOUND * (sqrt(2 * redundancy) + 1)
    return not found.settled or found.cost > usual, not _as_told(survey, measures, found.points)


def _as_told(survey: Survey, measures: Measures, points: Points) -> bool:
    return (
        not unlike_turns(survey, measures, points).any()
        and measures.sense * _twice_area(points) > 0
        and shapely.Polygon(points).is_valid
    )


def unlike_turns(survey: Survey, measures: Measures, points: Points) -> NDArray[np.bool_]:
    """Return which corners clearly turn the other way than told, (corners,)."""
    turned, told = (
        np.sin(np.radians(turns)) for turns in (_turns(points), turns_told(survey, measures.sense))
    )
    clear = np.minimum(np.abs(turned), np.abs(told)) > _CLEAR_TURN
    unlike: NDArray[np.bool_] = clear & (np.sign(turned) != np.sign(told))
    return unlike


def _turns(points: Points) -> Floats:
    """Return the turn at every corner in degrees, to the left above zero, (corners,)."""
    onward = np.roll(points, -1, axis=0) - points
    bearings = np.degrees(np.arctan2(onward[:, 1], onward[:, 0]))
    turns: Floats = (bearings - np.roll(bearings, 1) + 180) % 360 - 180
    return turns


def _elsewhere(survey: Survey, measures: Measures, best: Fit, others: Sequence[Fit]) -> NDArray[np.bool_]:
    """Return which corners lie elsewhere in another shape that is as told and fits as well, (corners,).

    A shape much farther from square where no angle was measured is none that one would call alike.
    """
    told = turns_told(survey, measures.sense)
    askew = max(_ASKEW, np.abs(_turns(best.points) - told).max())
    moved = np.zeros(len(best.points), dtype=bool)
    for other in others:
        alike = np.abs(_turns(other.points) - told).max() <= askew
        as_good = other.settled and other.cost <= best.cost + _BETTER
        if alike and as_good and _as_told(survey, measures, other.points):
            apart: Floats = np.hypot(*(other.points - best.points).T)
            moved |= apart > _ANOTHER * float(survey.accuracy)
    return moved


def _twice_area(points: Points) -> float:
    after = np.roll(points, -1, axis=0)
    return float((points[:, 0] * after[:, 1] - points[:, 1] * after[:, 0]).sum())


def _refuse_flat(points: Points, where: str) -> None:
    if abs(_twice_area(points)) < _FLAT * float(np.ptp(points, axis=0).max()) ** 2:
        raise JobError(_no_floor(where))


def _refuse_crossing(measures: Measures, points: Points, where: str) -> None:
    if not shapely.Polygon(np.rint(points)).is_valid or measures.sense * _twice_area(points) <= 0:
        raise JobError(_no_floor(where))


def _no_floor(where: str) -> Problem:
    return Problem(
        what="by these measures the walls cross one another or enclose no floor",
        where=where,
        remedy="check the turn at every corner, and measure the walls and diagonals again",
    )
