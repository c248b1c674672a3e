"""Fixed patterns: every row set off from the one before by half a plank, or by a third."""

from cutopt.planner.fixed.plan import plan_fixed

__all__ = ["plan_fixed"]
