"""A job as its rooms may be where the tape was a little out."""

from random import Random

from cutopt.model.job import Job
from cutopt.study._growth import dimensions, stretched
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks

__all__ = ["mismeasured"]

_MOST = 3
"""In standard deviations; anything beyond is a slip, and no chance."""


def mismeasured(job: Job, seed: int) -> tuple[Job, ...]:
    """Return as many jobs as the risk asks for, in each of which every dimension of every room is out by chance.

    Each is out by itself, by a normal deviate of the standard deviation told, at most three of them, in whole
    steps of 1/16 in (1 mm), or of half the deviation where that is finer: so many of the jobs are alike and need
    be planned but once.
    """
    chance, spread = Random(seed), job.risk.mismeasure  # noqa: S311 - chance that can be had again, no secret
    step = max(1, min(TICKS_PER_MM if job.unit.is_metric else TICKS_PER_INCH // 16, spread // 2))
    return tuple(_out(job, chance, spread, step) for _ in range(job.risk.trials))


def _out(job: Job, chance: Random, spread: Ticks, step: Ticks) -> Job:
    most, one = _MOST * spread // step, job
    for dimension in dimensions(job):
        steps = round(chance.gauss(0, spread) / step)
        one = stretched(one, dimension, step * max(-most, min(most, steps)))
    return one
