"""Better plans of as few planks: one piece where two are no help, fewer planks waiting."""

from cutopt.planner.improve.single import in_one_piece
from cutopt.planner.improve.waiting import peak_waiting, with_less_waiting

__all__ = ["in_one_piece", "peak_waiting", "with_less_waiting"]
