"""Where the lines between rows lie against the stops, and what rows do that are not quite as wide as told."""

from cutopt.layout.stops.along import along
from cutopt.layout.stops.creep import LastRow, last_row, measured_pitch
from cutopt.layout.stops.solve import APART, first_row, place, solve

__all__ = ["APART", "LastRow", "along", "first_row", "last_row", "measured_pitch", "place", "solve"]
