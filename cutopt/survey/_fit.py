"""The corners that fit all measures best.

Weighted least squares on the coordinates, solved by Gauss and Newton's steps, damped where one leads
uphill (K. Levenberg, 1944, "A method for the solution of certain non-linear problems in least squares",
Quarterly of Applied Mathematics 2; D. W. Marquardt, 1963, SIAM Journal 11). The first corner is held
at (0, 0) and the second on the x axis, so that 2 n - 3 coordinates are free.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutopt.survey._measures import Floats, Measures, Points

__all__ = ["Fit", "fit", "free_coordinates", "weighted_slopes"]

_MOST_STEPS = 200
_STILL = 1e-2
"""In ticks: a step this small ends the search."""
_LEAST_DAMPING, _FIRST_DAMPING, _MOST_DAMPING = 1e-12, 1e-4, 1e12


@dataclass(frozen=True, slots=True)
class Fit:
    """Corners, the weighted sum of squares left, and whether the steps came to rest."""

    points: Points
    cost: float
    settled: bool


def free_coordinates(corners: int) -> NDArray[np.intp]:
    """Return the places of the free ones among the coordinates x, y, x, y, ..., (2 corners - 3,)."""
    return np.array([2, *range(4, 2 * corners)], dtype=np.intp)


def weighted_slopes(measures: Measures, points: Points) -> Floats:
    """Return the slopes by the free coordinates over each measure's spread, (measures, 2 corners - 3)."""
    slopes: Floats = measures.slopes(points)[:, free_coordinates(len(points))]
    return slopes / measures.spread[:, None]


def fit(measures: Measures, start: Points, *, most_steps: int = _MOST_STEPS) -> Fit:
    """Return the nearest best fit down from ``start``, whose first wall lies on x."""
    points, damping = start, _FIRST_DAMPING
    misfit = measures.misfit(points) / measures.spread
    cost = float(misfit @ misfit)
    for _ in range(most_steps):
        step = _step(weighted_slopes(measures, points), misfit, damping)
        moved = points.copy()
        moved.reshape(-1)[free_coordinates(len(points))] += step
        there = measures.misfit(moved) / measures.spread
        downhill = float(there @ there) <= cost
        if downhill:
            points, misfit, cost = moved, there, float(there @ there)
        if np.abs(step).max() < _STILL:
            return Fit(points, cost, settled=True)
        damping = damping / 10 if downhill else damping * 10
        damping = min(max(damping, _LEAST_DAMPING), _MOST_DAMPING)
    return Fit(points, cost, settled=False)


def _step(slopes: Floats, misfit: Floats, damping: float) -> Floats:
    """Return the damped step, (free,)."""
    free = slopes.shape[1]
    normal = slopes.T @ slopes
    normal[np.diag_indices(free)] += damping * np.trace(normal) / free
    step: Floats = np.asarray(np.linalg.solve(normal, slopes.T @ misfit), dtype=np.float64)
    return step
