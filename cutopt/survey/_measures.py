"""The measures of a room as equations in its corners."""

from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from cutopt.model.rooms import Survey

__all__ = ["Floats", "Measures", "Points", "in_arrays"]

Floats: TypeAlias = NDArray[np.float64]
Points: TypeAlias = NDArray[np.float64]
"""Corners, (corners, 2), in ticks."""


@dataclass(frozen=True, slots=True)
class Measures:
    """Tapes between corners, then inside angles at corners; each with its standard deviation.

    ``ends`` (tapes, 2) and ``apexes`` (angles,) number corners in walking order; lengths in ticks,
    angles in degrees. ``sense`` is 1 for a room walked counter-clockwise, else -1.
    """

    ends: NDArray[np.intp]
    lengths: Floats
    length_spread: Floats
    apexes: NDArray[np.intp]
    angles: Floats
    angle_spread: Floats
    sense: int

    @property
    def read(self) -> Floats:
        """What was read, (measures,)."""
        return np.concatenate([self.lengths, self.angles])

    @property
    def spread(self) -> Floats:
        """The standard deviation of every measure, (measures,)."""
        return np.concatenate([self.length_spread, self.angle_spread])

    def sizes(self, points: Points) -> Floats:
        """Return what every measure is in this shape, (measures,)."""
        along = points[self.ends[:, 1]] - points[self.ends[:, 0]]
        onward, back = self._legs(points)
        angles = np.degrees(self.sense * (_bearing(back) - _bearing(onward))) % 360
        return np.concatenate([np.hypot(*along.T), angles])

    def misfit(self, points: Points) -> Floats:
        """Return read - size of every measure, (measures,), in ticks and degrees."""
        misfit = self.read - self.sizes(points)
        tapes = len(self.ends)
        misfit[tapes:] = (misfit[tapes:] + 180) % 360 - 180
        return misfit

    def slopes(self, points: Points) -> Floats:
        """Return how every measure changes with every coordinate, (measures, 2 corners)."""
        tapes, angles = len(self.ends), len(self.apexes)
        table = np.zeros((tapes + angles, len(points), 2))
        along = points[self.ends[:, 1]] - points[self.ends[:, 0]]
        unit = along / np.maximum(np.hypot(*along.T), 1.0)[:, None]
        rows = np.arange(tapes)
        table[rows, self.ends[:, 1]] += unit
        table[rows, self.ends[:, 0]] -= unit
        onward, back = self._legs(points)
        rows = np.arange(tapes, tapes + angles)
        turn_back, turn_on = (np.degrees(self.sense) * _turning(leg) for leg in (back, onward))
        table[rows, self.apexes - 1] += turn_back
        table[rows, (self.apexes + 1) % len(points)] -= turn_on
        table[rows, self.apexes] += turn_on - turn_back
        return table.reshape(tapes + angles, -1)

    def without(self, measure: int) -> "Measures":
        """Return all measures but one."""
        tapes = len(self.ends)
        if measure < tapes:
            return replace(
                self,
                ends=np.delete(self.ends, measure, axis=0),
                lengths=np.delete(self.lengths, measure),
                length_spread=np.delete(self.length_spread, measure),
            )
        return replace(
            self,
            apexes=np.delete(self.apexes, measure - tapes),
            angles=np.delete(self.angles, measure - tapes),
            angle_spread=np.delete(self.angle_spread, measure - tapes),
        )

    def with_angles(self, apexes: NDArray[np.intp], angles: Floats, spread: float) -> "Measures":
        """Return the measures and further angles, all known as well as ``spread``."""
        return replace(
            self,
            apexes=np.concatenate([self.apexes, apexes]),
            angles=np.concatenate([self.angles, angles]),
            angle_spread=np.concatenate([self.angle_spread, np.full(len(angles), spread)]),
        )

    def _legs(self, points: Points) -> tuple[Points, Points]:
        """Return the ways from each angle's corner to the next and the one before, (angles, 2) each."""
        at = points[self.apexes]
        return points[(self.apexes + 1) % len(points)] - at, points[self.apexes - 1] - at


def _bearing(legs: Points) -> Floats:
    return np.arctan2(legs[:, 1], legs[:, 0])


def _turning(legs: Points) -> Points:
    """Return how the bearing of each leg changes as its far end moves, in radians a tick."""
    square = np.maximum((legs**2).sum(axis=1), 1.0)
    across: Points = np.stack([-legs[:, 1], legs[:, 0]], axis=1) / square[:, None]
    return across


def in_arrays(survey: Survey, sense: int) -> Measures:
    """Return the measures in the order walls, diagonals, angles."""
    number = {corner.name: nth for nth, corner in enumerate(survey.corners)}
    tapes = (*survey.walls, *survey.diagonals)
    apexes = [nth for nth, corner in enumerate(survey.corners) if corner.angle is not None]
    angles = [float(corner.angle) for corner in survey.corners if corner.angle is not None]
    return Measures(
        ends=np.array([(number[tape.start], number[tape.end]) for tape in tapes], dtype=np.intp),
        lengths=np.array([tape.length for tape in tapes], dtype=np.float64),
        length_spread=np.full(len(tapes), float(survey.accuracy)),
        apexes=np.array(apexes, dtype=np.intp),
        angles=np.array(angles, dtype=np.float64),
        angle_spread=np.full(len(angles), float(survey.angle_accuracy)),
        sense=sense,
    )
