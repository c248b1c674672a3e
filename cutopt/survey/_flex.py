"""Whether the measures fix the shape; if not, what can still move and which diagonal to take."""

from collections.abc import Iterator
from itertools import combinations

import numpy as np

from cutopt.errors import Problem
from cutopt.model.rooms import Survey
from cutopt.survey._fit import free_coordinates
from cutopt.survey._measures import Floats, Measures, Points

__all__ = ["not_fixed"]

_SLACK = 1e-6
"""A singular value this small against the largest is a movement that no measure feels."""
_MOVES = 1e-3
"""A corner moves when it does so by this part of the one that moves most."""
_MOST_NAMED = 8


def not_fixed(survey: Survey, measures: Measures, points: Points, where: str) -> Problem | None:
    """Return what leaves the shape loose, or None where every corner is held.

    The rank of the equations must be 2 n - 3 for n corners. The diagonals to take are those, not
    taped yet, whose length changes most as the shape flexes.
    """
    modes = _flexing(measures, points)
    if not modes.shape[1]:
        return None
    moving = np.hypot(np.linalg.norm(modes[0::2], axis=1), np.linalg.norm(modes[1::2], axis=1))
    names = [corner.name for corner in survey.corners]
    loose = [name for name, much in zip(names, moving, strict=True) if much > _MOVES * moving.max()]
    taken = [f"{names[one]}-{names[other]}" for one, other in _diagonals(measures, points, modes)]
    return Problem(
        what=f"the measures do not fix the shape: {_listed(loose)} can still move",
        where=where,
        remedy=f"take {_then(taken)} next",
    )


def _flexing(measures: Measures, points: Points) -> Floats:
    """Return the movements that no measure feels, (2 corners, movements).

    Angles count as the lengths they swing over a room's breadth, so that all slopes are of one size.
    """
    breadth = np.radians(np.ptp(points, axis=0).max())
    scale = np.concatenate([np.ones(len(measures.ends)), np.full(len(measures.apexes), breadth)])
    free = free_coordinates(len(points))
    _, values, directions = np.linalg.svd(scale[:, None] * measures.slopes(points)[:, free])
    held = int((values > _SLACK * values.max()).sum())
    modes = np.zeros((points.size, len(free) - held))
    modes[free] = directions[held:].T
    return modes


def _diagonals(measures: Measures, points: Points, modes: Floats) -> Iterator[tuple[int, int]]:
    """Yield the diagonals that hold the movements, one each, the most telling first.

    There always is one: corners not all on one line that move against each other change some distance
    between them, and none that is taped.
    """
    taped = {frozenset(pair) for pair in measures.ends.tolist()}
    pairs = [pair for pair in combinations(range(len(points)), 2) if frozenset(pair) not in taped]
    changes = _changes(points, np.array(pairs)) @ modes
    while changes.shape[1]:
        sizes = np.linalg.norm(changes, axis=1)
        best = int(np.argmax(sizes > (1 - _SLACK) * sizes.max()))
        yield pairs[best]
        # what is left to flex once this length is held
        left = np.linalg.svd(changes[best : best + 1])[2][1:]
        changes = changes @ left.T


def _changes(points: Points, pairs: np.ndarray[tuple[int, int], np.dtype[np.intp]]) -> Floats:
    """Return how the distance of each pair changes with every coordinate, (pairs, 2 corners)."""
    along = points[pairs[:, 1]] - points[pairs[:, 0]]
    unit = along / np.maximum(np.hypot(*along.T), 1.0)[:, None]
    table = np.zeros((len(pairs), len(points), 2))
    rows = np.arange(len(pairs))
    table[rows, pairs[:, 1]] = unit
    table[rows, pairs[:, 0]] = -unit
    return table.reshape(len(pairs), -1)


def _then(taken: list[str]) -> str:
    named = ", then ".join(taken[:_MOST_NAMED])
    return f"diagonal {named}" + (" and others" if len(taken) > _MOST_NAMED else "")


def _listed(names: list[str]) -> str:
    if len(names) == 1:
        return f"corner {names[0]}"
    if len(names) > _MOST_NAMED:
        return f"{len(names)} corners ({names[0]} to {names[-1]})"
    return f"corners {', '.join(names[:-1])} and {names[-1]}"
