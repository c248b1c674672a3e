"""Rooms turned into rows and runs, in whole ticks.

The flow inside: a room's walls are moved inward by the gap (``_inset``), the clear width across
the rows is divided into rows (``_bands``), every row is cut out of the floor area (``_strips``),
and the runs are numbered (``_floor``); ``_notices`` says what the user should know about them.

Only the inset of slanted walls is computed in floating point, and its corners are then set on
whole ticks; everything after it is exact.
"""

from cutopt.layout._floor import lay_out

__all__ = ["lay_out"]
