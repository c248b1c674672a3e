"""What happens when the rules cannot all be met: the proof, the reason, and the best that can be done."""

from cutopt.planner.clash.answer import Answer, Verdict
from cutopt.planner.clash.explain import explain
from cutopt.planner.clash.settle import bend_rules, draft_by_chance, draft_or_clash
from cutopt.planner.clash.verdict import can_be_laid

__all__ = [
    "Answer",
    "Verdict",
    "bend_rules",
    "can_be_laid",
    "draft_by_chance",
    "draft_or_clash",
    "explain",
]
