"""The planner: which piece of which plank goes where, and how few planks are possible."""

from cutopt.planner.limits import Limits, Unwatched, Watch
from cutopt.planner.solve import plan_cuts

__all__ = ["Limits", "Unwatched", "Watch", "plan_cuts"]
