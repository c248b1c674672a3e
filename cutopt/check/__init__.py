"""The independent check: every rule and every count of a plan, recomputed by another route.

It shares the data types and the units with the planner and nothing else, so that a mistake there
cannot hide here. What it finds is data; :func:`describe` turns it into words.
"""

from cutopt.check._check import check_plan, remarks
from cutopt.check._describe import describe
from cutopt.check._finding import Fault, Finding, Kind, Rule, Wanted

__all__ = ["Fault", "Finding", "Kind", "Rule", "Wanted", "check_plan", "describe", "remarks"]
