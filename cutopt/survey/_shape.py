"""The shape that fits a survey: found from the walk along the walls, or refused."""

from collections.abc import Iterator, Sequence

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
_CLEAR_TURN = 0.1
"""The sine of a turn too slight to be called one way or the other."""
_BETTER = 9.0
"""In the sum of squares, three standard deviations: what another shape must gain to be preferred."""
_ANOTHER = 20
"""Standard deviations of a tape by which a corner must move to make another shape."""
_MOST_CORNERS, _MOST_FOLDS = 16, 60
_SAME = 32.0
"""In ticks, 0.1 mm: shapes no farther apart are one."""


def best_shape(survey: Survey, measures: Measures, where: str) -> tuple[Fit, NDArray[np.bool_]]:
    """Return the shape that fits best, its first wall on x, walked as told.

    With it come the corners, (corners,), that lie elsewhere in another shape that fits as well.

    Raises ``JobError`` where the measures do not fix it, come to no rest, or lead to walls that cross.
    """
    first = fit(measures, _first(survey, measures))
    loose = not_fixed(survey, measures, first.points, where)
    if loose is not None:
        raise JobError(loose)
    fits = [first, *_rivals(measures, first)]
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


def _rivals(measures: Measures, first: Fit) -> list[Fit]:
    """Return other shapes of a small room: folded over, fitted anew, and folded again where they fit as well."""
    shapes, at = [first], 0
    tries = _MOST_FOLDS if len(first.points) <= _MOST_CORNERS else 0
    while at < len(shapes) and tries > 0:
        if at == 0 or shapes[at].cost <= first.cost + _BETTER:
            for folded in _folds(measures, shapes[at].points):
                tries -= 1
                other = fit(measures, folded)
                if not any(np.allclose(other.points, known.points, atol=_SAME) for known in shapes):
                    shapes.append(other)
        at += 1
    return shapes[1:]


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
    """Return the first fit, unless another is turned as told and the first is not, or fits far better."""
    first = fits[0]
    told = [other for other in fits if other.settled and _as_told(survey, measures, other.points)]
    if not told:
        return first
    best = min(told, key=lambda other: other.cost)
    first_is_told = first.settled and _as_told(survey, measures, first.points)
    return first if first_is_told and first.cost <= best.cost + _BETTER else best


def _as_told(survey: Survey, measures: Measures, points: Points) -> bool:
    return (
        not unlike_turns(survey, measures, points).any()
        and measures.sense * _twice_area(points) > 0
        and shapely.Polygon(points).is_valid
    )


def unlike_turns(survey: Survey, measures: Measures, points: Points) -> NDArray[np.bool_]:
    """Return which corners clearly turn the other way than told, (corners,)."""
    onward = np.roll(points, -1, axis=0) - points
    onward /= np.maximum(np.hypot(*onward.T), 1.0)[:, None]
    back = np.roll(onward, 1, axis=0)
    turn = back[:, 0] * onward[:, 1] - back[:, 1] * onward[:, 0]
    told = np.radians(turns_told(survey, measures.sense))
    unlike: NDArray[np.bool_] = (
        (np.abs(turn) > _CLEAR_TURN) & (np.abs(np.sin(told)) > _CLEAR_TURN) & (np.sign(turn) != np.sign(told))
    )
    return unlike


def _elsewhere(survey: Survey, measures: Measures, best: Fit, others: Sequence[Fit]) -> NDArray[np.bool_]:
    """Return which corners lie elsewhere in another shape that is as told and fits as well, (corners,)."""
    moved = np.zeros(len(best.points), dtype=bool)
    for other in others:
        if other.settled and other.cost <= best.cost + _BETTER and _as_told(survey, measures, other.points):
            apart: Floats = np.hypot(*(other.points - best.points).T)
            moved |= apart > _ANOTHER * float(survey.accuracy)
    return moved


def _twice_area(points: Points) -> float:
    after = np.roll(points, -1, axis=0)
    return float((points[:, 0] * after[:, 1] - points[:, 1] * after[:, 0]).sum())


def _refuse_crossing(measures: Measures, points: Points, where: str) -> None:
    if shapely.Polygon(np.rint(points)).is_valid and measures.sense * _twice_area(points) > 0:
        return
    raise JobError(
        Problem(
            what="by these measures the walls cross one another or enclose no floor",
            where=where,
            remedy="check the turn at every corner, and measure the walls and diagonals again",
        )
    )
