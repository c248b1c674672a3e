"""Tolerance: how far walls may be out before a row, or one fed by its rest, breaks a rule.

**The model.** A row is laid from its first wall: the starter is cut as told and whole planks follow. The
last piece laid, an end piece or the single piece of a short run, is marked in place against the far wall. So
when a run is really e longer than planned (shorter: e below 0), that piece is e longer and nothing else of the
run changes. Laid from right to left all this is mirrored. Where the far wall slants it has moved, parallel to
itself. What is left of the piece's plank, and the strip beside it where it is ripped, change with it.

**Joints** therefore stay where they are, counted from the origin of the field, and their distances with them.
A pair of joints is judged only where both lie in the common stretch of the runs that touch. A run that gets
shorter keeps its own joints inside and takes nothing into the common stretch: no pair is added. A run that
gets longer adds pairs only by reaching over a joint of a neighbour that goes on beyond it, at a step in the
wall, or by touching a run that it did not touch. Every such pair that is too close bounds how much longer the
run may be. Where several runs must reach further for one pair, the one with the furthest to go is bounded.

**Planks.** Parts of lengths l1 ... lm fit while their sum and (m - 1) times kerf and fit are at most the
plank. What is to spare on a plank is therefore all that its end and single pieces may together be longer. On a
strip it is what its own may be longer and the piece beside it shorter, together. A piece is cut from one
plank or strip, and at most one strip lies beside it, so no allowance takes part in more than one such sum.

**All at once.** Shared among the allowances of its sum as evenly as can be, the largest share first where
another bound is lower anyhow, what is to spare is never exceeded while each run stays within its own. So the
promise holds for all runs at once; and no other way to share it gives a larger least allowance.

A starter off the cut step is allowed where its plank is used without trim: nothing on such a plank may change.
What slanted ends save by nesting hangs on the slants alone, and counts as spare.
"""

from cutopt.tolerance._tolerances import tolerances

__all__ = ["tolerances"]
