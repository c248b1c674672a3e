"""The main job, one stage after another: corners, rows, cutting, numbers, the check of it all, setting out."""

from cutopt.pipeline._estimate import Asked, Estimate, PlanAll, Search, estimate, settled
from cutopt.pipeline._forgiving import plan_forgiving
from cutopt.pipeline._judge import against_best, judge
from cutopt.pipeline._plan import Planned, plan_job
from cutopt.pipeline._portfolio import Heap, heaps, laid_alike, work_out
from cutopt.pipeline._replan import Replanned, look, replan
from cutopt.pipeline._tally import plan_units, tally_of

__all__ = [
    "Asked",
    "Estimate",
    "Heap",
    "PlanAll",
    "Planned",
    "Replanned",
    "Search",
    "against_best",
    "estimate",
    "heaps",
    "judge",
    "laid_alike",
    "look",
    "plan_forgiving",
    "plan_job",
    "plan_units",
    "replan",
    "settled",
    "tally_of",
    "work_out",
]
