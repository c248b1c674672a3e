"""Small floors with hardly any waste to spare: whether they can be laid from so many planks, settled."""

from cutopt.planner.cpsat import Answer
from cutopt.planner.exact.questions import Settled, can_settle, settle

__all__ = ["Answer", "Settled", "can_settle", "settle"]
