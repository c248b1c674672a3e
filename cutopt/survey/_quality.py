"""How well each measure fits the others, and which one is most likely misread.

W. Baarda, 1968, "A testing procedure for use in geodetic networks" (Netherlands Geodetic Commission,
Publications on Geodesy 2, no. 5): a residual is judged against its own standard deviation, which is
that of the measure times the root of its redundancy number, the part of an error that shows in it.
"""

from dataclasses import dataclass
from math import sqrt

import numpy as np

from cutopt.survey._fit import Fit, fit, free_coordinates, weighted_slopes
from cutopt.survey._measures import Floats, Measures, Points

__all__ = ["Quality", "covariance", "judge"]

_CRITICAL = 3.29
"""A sound measure's standardised residual passes this once in a thousand (normal distribution)."""
_AS_LIKELY = 3.84
"""Sums of squares no farther apart than this tell no two readings apart (chi-squared, 5 %)."""
_UNCHECKED = 1e-6
"""A redundancy number below this is none: no other measure checks this one."""
_MOST_TRIED = 24


@dataclass(frozen=True, slots=True)
class Quality:
    """``standardised`` residuals (nan where unchecked) and spreads of the corners, (corners, 2), in ticks.

    ``suspects`` maps the likeliest misread measures, by place, to what they would read to fit the others.
    """

    standardised: Floats
    spread: Points
    redundancy: int
    sigma0: float | None
    suspects: dict[int, float]


def judge(measures: Measures, best: Fit) -> Quality:
    """Judge the measures against their best fit, which must fix the shape."""
    slopes = weighted_slopes(measures, best.points)
    base = np.linalg.qr(slopes)[0]
    shows = 1 - (base**2).sum(axis=1)
    misfit = measures.misfit(best.points) / measures.spread
    redundancy = slopes.shape[0] - slopes.shape[1]
    standardised = np.full(len(misfit), np.nan)
    checked = shows > _UNCHECKED if redundancy else np.zeros(len(misfit), dtype=bool)
    standardised[checked] = misfit[checked] / np.sqrt(shows[checked])
    spread = np.zeros(best.points.size)
    spread[free_coordinates(len(best.points))] = np.sqrt(np.diag(covariance(measures, best.points)))
    return Quality(
        standardised=standardised,
        spread=spread.reshape(-1, 2),
        redundancy=redundancy,
        sigma0=sqrt(best.cost / redundancy) if redundancy else None,
        suspects=_suspects(measures, best, standardised),
    )


def covariance(measures: Measures, points: Points) -> Floats:
    """Return the covariance of the free coordinates, in square ticks."""
    inverse = np.linalg.pinv(weighted_slopes(measures, points))
    spread: Floats = np.asarray(inverse @ inverse.T, dtype=np.float64)
    return spread


def _suspects(measures: Measures, best: Fit, standardised: Floats) -> dict[int, float]:
    """Return the measure without which the rest fit best, and those that would do as well.

    Each that stands out is left out in turn and the corners found anew: a reading a foot out bends the
    shape too far for the residuals alone to tell.
    """
    sizes = np.abs(np.nan_to_num(standardised))
    tried = [int(nth) for nth in np.argsort(-sizes)[:_MOST_TRIED] if sizes[nth] > _CRITICAL]
    rests = {nth: fit(measures.without(nth), best.points) for nth in sorted(tried)}
    least = min((rest.cost for rest in rests.values()), default=0.0)
    return {
        nth: float(measures.sizes(rest.points)[nth])
        for nth, rest in rests.items()
        if rest.cost <= least + _AS_LIKELY
    }
