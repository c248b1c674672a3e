"""Going on from what is laid: which rows stay, what is in hand, what is left to plan; and both made one plan again.

``remaining`` parts a plan at what is laid, ``joined`` puts the plan of the rest behind it. The planner in
between knows nothing of the plan there was.
"""

from cutopt.replan._join import joined, of_lot, order_of
from cutopt.replan._remaining import remaining

__all__ = ["joined", "of_lot", "order_of", "remaining"]
