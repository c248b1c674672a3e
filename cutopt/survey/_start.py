"""The first shape: walked along the walls, about square where no angle is known."""

from itertools import accumulate

import numpy as np
from numpy.typing import NDArray

from cutopt.model.rooms import Survey, SurveyCorner, Turn
from cutopt.survey._measures import Floats, Points

__all__ = ["laid_on_x", "sense_of", "turns_told", "walked", "walls_walked"]

_ROUND = 360.0
_STRAIGHT = 180.0
_SQUARE = 90.0


def sense_of(survey: Survey) -> int:
    """Return 1 where the room is walked counter-clockwise, else -1.

    The turns of a walk round a room add up to a full turn to the left or to the right; the side
    that the turns told, and the angles measured, come nearer to is the one.
    """
    left, right = (abs(_ROUND - sense * turns_told(survey, sense).sum()) for sense in (1, -1))
    return 1 if left <= right else -1


def turns_told(survey: Survey, sense: int) -> Floats:
    """Return the turn at every corner in degrees, to the left above zero, (corners,)."""
    return np.array([_turn(corner, sense) for corner in survey.corners])


def _turn(corner: SurveyCorner, sense: int) -> float:
    if corner.angle is not None:
        return sense * (_STRAIGHT - float(corner.angle))
    return _SQUARE if corner.turn is Turn.LEFT else -_SQUARE


def evened(turns: Floats, known: NDArray[np.bool_], sense: int) -> Floats:
    """Return turns that add up to a full one: what is amiss is shared by those not measured, else by all."""
    shared = np.ones_like(known) if known.all() else ~known
    even: Floats = turns + shared * (sense * _ROUND - turns.sum()) / shared.sum()
    return even


def walls_walked(survey: Survey, turns: Floats) -> Points:
    """Return the ends of all walls, (walls, 2), walked from (0, 0) along x; the last should be (0, 0)."""
    bearings = np.radians(np.array(list(accumulate(turns[1:], initial=0.0))))
    lengths = np.array([wall.length for wall in survey.walls], dtype=np.float64)
    steps = lengths[:, None] * np.stack([np.cos(bearings), np.sin(bearings)], axis=1)
    ends: Points = np.cumsum(steps, axis=0)
    return ends


def walked(survey: Survey, sense: int) -> tuple[Points, Floats]:
    """Return a closed first shape, and the inside angles it was walked with.

    The closing error is shared among the walls by their lengths (the compass rule of surveying).
    """
    known = np.array([corner.angle is not None for corner in survey.corners])
    turns = evened(turns_told(survey, sense), known, sense)
    ends = walls_walked(survey, turns)
    lengths = np.array([wall.length for wall in survey.walls], dtype=np.float64)
    closed = ends - np.outer(np.cumsum(lengths) / lengths.sum(), ends[-1])
    return laid_on_x(np.roll(closed, 1, axis=0)), (_STRAIGHT - sense * turns) % _ROUND


def laid_on_x(points: Points) -> Points:
    """Return the shape moved and turned so that its first wall runs from (0, 0) along x."""
    moved = points - points[0]
    x, y = moved[1] / max(float(np.hypot(*moved[1])), 1.0)
    turned: Points = moved @ np.array([[x, -y], [y, x]])
    return turned
