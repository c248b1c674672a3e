"""Lengths as whole ticks, and their many notations.

One tick is 1/320 mm, so 1 mm = 320, 1 in = 8128 and 1/64 in = 127 ticks exactly: every length
of the trade is a whole number and no rule is ever decided by a rounded one.
"""

from enum import StrEnum
from typing import TypeAlias

__all__ = ["TICKS_PER_INCH", "TICKS_PER_MM", "Ticks", "Unit"]

Ticks: TypeAlias = int

TICKS_PER_MM = 320
TICKS_PER_INCH = 8128


class Unit(StrEnum):
    """The units a job file may name."""

    IN = "in"
    FT = "ft"
    MM = "mm"
    CM = "cm"
    M = "m"
