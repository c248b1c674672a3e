"""Setting out: what to snap on the floor, in which order to lay, what to cut round things.

Pure functions from a plan to :class:`~cutopt.model.setout.SetOut`. Places are those of the plan's ground, in
the axes of each field's rows; distances are whole ticks. Shapes are asked only what lies in, at or between what,
and for the boxes round cut-outs: on walls along or across the rows they answer exactly.
"""

from cutopt.setout._set_out import set_out

__all__ = ["set_out"]
