"""The tick, and the units a job may name."""

from enum import StrEnum
from typing import TypeAlias

__all__ = ["MAX_LENGTH", "TICKS_PER_INCH", "TICKS_PER_MM", "TICKS_PER_UNIT", "Ticks", "Unit"]

Ticks: TypeAlias = int

TICKS_PER_MM = 320
TICKS_PER_INCH = 8128

MAX_LENGTH: Ticks = 10**9 * TICKS_PER_MM
"""The longest length read: 1000 km. No floor comes near it; a slipped key does."""


class Unit(StrEnum):
    """The units a job file may name."""

    IN = "in"
    FT = "ft"
    MM = "mm"
    CM = "cm"
    M = "m"

    @property
    def is_metric(self) -> bool:
        """Whether a metric tape is read."""
        return self not in (Unit.IN, Unit.FT)


TICKS_PER_UNIT = {
    Unit.IN: TICKS_PER_INCH,
    Unit.FT: 12 * TICKS_PER_INCH,
    Unit.MM: TICKS_PER_MM,
    Unit.CM: 10 * TICKS_PER_MM,
    Unit.M: 1000 * TICKS_PER_MM,
}
