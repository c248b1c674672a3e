"""The rule book: every rule once, in words, its usual value by kind of plank with its source, and why it exists.

The words are exact enough to check a floor by hand; the planner and the independent check each turn them
into arithmetic of their own.
"""

from cutopt.rulebook._pages import pages
from cutopt.rulebook._rules import PRODUCT_FIRST, RULES, Measure, Rule, rule
from cutopt.rulebook._usual import UsualValue, rules_by_kind, usual_rules
from cutopt.rulebook._why import always, find_key, nearest_name, why

__all__ = [
    "PRODUCT_FIRST",
    "RULES",
    "Measure",
    "Rule",
    "UsualValue",
    "always",
    "find_key",
    "nearest_name",
    "pages",
    "rule",
    "rules_by_kind",
    "usual_rules",
    "why",
]
