"""The rule book: every rule once, in words, and its usual value by kind of plank with its source.

The words are exact enough to check a floor by hand; the planner and the independent check each turn them
into arithmetic of their own.
"""

from cutopt.rulebook._rules import PRODUCT_FIRST, RULES, Measure, Rule, rule
from cutopt.rulebook._usual import UsualValue, rules_by_kind, usual_rules

__all__ = [
    "PRODUCT_FIRST",
    "RULES",
    "Measure",
    "Rule",
    "UsualValue",
    "rule",
    "rules_by_kind",
    "usual_rules",
]
