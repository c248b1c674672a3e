"""Floors of single pieces, any number of planks waiting: plain bin packing, solved and proved."""

from cutopt.planner.packing.planks import Packed, can_pack, pack

__all__ = ["Packed", "can_pack", "pack"]
