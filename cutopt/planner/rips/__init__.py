"""First and last rows ripped from the same planks."""

from cutopt.planner.rips.edges import Edges, edges_of
from cutopt.planner.rips.plan import plan_with_rips

__all__ = ["Edges", "edges_of", "plan_with_rips"]
