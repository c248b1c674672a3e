"""The main job, one stage after another: corners, rows, cutting, numbers, the check of it all, setting out."""

from cutopt.pipeline._plan import Planned, plan_job

__all__ = ["Planned", "plan_job"]
