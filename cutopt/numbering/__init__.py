"""Numbers for pieces and planks: from the planner's answer to the plan a person lays from."""

from cutopt.numbering._number import number

__all__ = ["number"]
