"""What a plan comes to: losses that add up, boxes rounded once, prices, and how sure an order is."""

from cutopt.estimate._boxes import (
    Coverage,
    add_on,
    boxes_needed,
    gross_up,
    habit_boxes,
    printed_coverage,
)
from cutopt.estimate._figure import figure, same_order, together
from cutopt.estimate._risk import risk
from cutopt.estimate._tally import tally

__all__ = [
    "Coverage",
    "add_on",
    "boxes_needed",
    "figure",
    "gross_up",
    "habit_boxes",
    "printed_coverage",
    "risk",
    "same_order",
    "tally",
    "together",
]
