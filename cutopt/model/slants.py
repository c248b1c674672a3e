"""Slanted ends that lie side by side on a plank: what parting them takes, and what one cut for both saves.

A plank lies along x from 0 across y to its width W. Seen across it, a part that lies to the left ends on the
line x = A - s1 (1 - y / W) where its slant s1 is above 0, A being its outermost point, and one that lies to the
right begins on x = B + s2 y / W. With s1 and s2 both above 0 the gap between them is B - A + s1 at the lower
edge and B - A + s2 at the upper one, and in between a value between these: so its least is B - A + min(s1, s2).
Both below 0 is the same upside down. With slants of two signs, or none, the outermost points face each other
on one edge and the gap's least is B - A. Slants of one sign therefore nest: the parts' lengths, which are
measured between outermost points, may overlap by the lesser slant; and no more.

A saw that parts them along the line of the lesser slant m removes k sqrt(W^2 + m^2) / W along the plank and
nothing of either part where the gap is that wide; the steeper end is trimmed afterwards, and the last trim may
eat less than a full kerf. Where slants do not nest, a square cut parts them first and takes the kerf k alone.
A cut on a slant below m costs less by no more than k / W for every tick that it overlaps less: with a kerf
under the plank's width none is better than m.

Turning a part end for end, by half a turn, maps x to -x and y to W - y: the sign of a slant stays.
"""

from math import isqrt

from cutopt.units import Ticks

__all__ = ["kerf_along", "saved_by_nesting"]


def kerf_along(kerf: Ticks, slant: Ticks, width: Ticks) -> Ticks:
    """Return what a cut on a slant takes along a plank of a width, rounded up to a tick."""
    square = -(-(kerf**2) * (width**2 + slant**2) // width**2)
    return isqrt(square - 1) + 1 if square else 0


def saved_by_nesting(right_slant: Ticks, left_slant: Ticks, *, kerf: Ticks, width: Ticks) -> Ticks:
    """Return how much less of the plank two parts take than their lengths and a kerf.

    ``right_slant`` is that of the left part's right end, ``left_slant`` that of the right part's left end.
    """
    if right_slant * left_slant <= 0:
        return 0
    common = min(abs(right_slant), abs(left_slant))
    return max(0, common + kerf - kerf_along(kerf, common, width))
