"""Better plans of as few planks: one piece where two are no help, fewer planks waiting, fewer cuts."""

from cutopt.planner.improve.single import in_one_piece
from cutopt.planner.improve.waiting import peak_waiting, with_less_waiting
from cutopt.planner.improve.whole import with_whole_planks

__all__ = ["in_one_piece", "peak_waiting", "with_less_waiting", "with_whole_planks"]
