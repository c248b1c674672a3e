"""What happens when the rules cannot all be met: the proof, the reason, and the best that can be done."""

from cutopt.planner.clash.answer import Answer, Verdict
from cutopt.planner.clash.verdict import can_be_laid

__all__ = ["Answer", "Verdict", "can_be_laid"]
