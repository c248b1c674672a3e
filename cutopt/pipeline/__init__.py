"""The main job, one stage after another: corners, rows, cutting, numbers, the check of it all, setting out."""

from cutopt.pipeline._forgiving import plan_forgiving
from cutopt.pipeline._plan import Planned, plan_job
from cutopt.pipeline._replan import Replanned, look, replan

__all__ = ["Planned", "Replanned", "look", "plan_forgiving", "plan_job", "replan"]
