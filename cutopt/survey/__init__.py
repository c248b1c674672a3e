"""Rooms measured with a tape: from walls, turns, angles and diagonals to corners.

The flow inside: tapes that no shape can meet are refused (``_possible``), a first shape is walked along
the walls (``_start``), its corners are moved until all measures fit best (``_measures``, ``_fit``,
``_shape``), a shape that is not fixed is refused with the diagonals to take next (``_flex``), and the
measures are judged against the shape (``_quality``); ``_adjust`` does it for one room, ``_solve`` for
the job.

Only here are corners computed in floating point; they are then set on whole ticks.
"""

from cutopt.survey._solve import solve_surveys

__all__ = ["solve_surveys"]
