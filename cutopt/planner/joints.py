"""The rules about joints of neighbouring rows, for whole arrays of layings at once.

Joints of one run are ``first, first + P, ..., last``; a rule counts a pair only when both joints
lie in the stretch the runs have in common, ends included.
"""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from cutopt.units import Ticks

__all__ = ["FAR", "closest", "closest_to", "keep_apart", "keep_phases", "keep_step", "step_change"]

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

FAR = 1 << 40
"""More than any two joints are apart: there are no two. A first joint beyond is none."""


def keep_apart(  # noqa: PLR0913 - two joint progressions, a stretch and a distance
    first_a: Ints,
    last_a: Ints,
    first_b: Ints,
    last_b: Ints,
    *,
    stretch: tuple[Ticks, Ticks],
    plank: Ticks,
    apart: Ticks,
) -> Bools:
    """Return where all joints of A and B within ``stretch`` are at least ``apart`` ticks apart.

    The arrays broadcast against each other; positions are measured from one common origin.
    """
    if stretch[1] - stretch[0] >= 3 * plank:
        # Both rows have two joints or more in the stretch: only the phases matter.
        turn = (first_b - first_a) % plank
        return np.asarray(np.minimum(turn, plank - turn) >= apart)
    low_a, high_a = _within(first_a, last_a, stretch, plank)
    low_b, high_b = _within(first_b, last_b, stretch, plank)
    shift = low_b - low_a
    # Both lowest joints lie within one plank of the stretch's left end, so |shift| < P and only
    # two distances can be the least: straight across, and round to the next joint of the lower.
    near = np.abs(shift) >= apart
    lower_goes_on = np.where(shift >= 0, low_a + plank <= high_a, low_b + plank <= high_b)
    far = ~lower_goes_on | (plank - np.abs(shift) >= apart)
    none = (low_a > high_a) | (low_b > high_b)
    kept: Bools = none | (near & far)
    return kept


def _within(first: Ints, last: Ints, stretch: tuple[Ticks, Ticks], plank: Ticks) -> tuple[Ints, Ints]:
    """Return the lowest and highest joint inside the stretch (lowest > highest when none is)."""
    low, high = stretch
    lowest = first + np.maximum(0, -((first - low) // plank)) * plank
    highest = last - np.maximum(0, -((high - last) // plank)) * plank
    return lowest, highest


def closest(  # noqa: PLR0913 - two joint progressions and a stretch
    first_a: Ints, last_a: Ints, first_b: Ints, last_b: Ints, *, stretch: tuple[Ticks, Ticks], plank: Ticks
) -> Ints:
    """Return the least distance of a joint of A from one of B within ``stretch`` (``FAR``: no two lie there).

    The arrays broadcast against each other, as for ``keep_apart``.
    """
    low_a, high_a = _within(first_a, last_a, stretch, plank)
    low_b, high_b = _within(first_b, last_b, stretch, plank)
    shift = np.abs(low_b - low_a)
    # As in keep_apart: straight across, or round to the next joint of the lower.
    lower_goes_on = np.where(low_b >= low_a, low_a + plank <= high_a, low_b + plank <= high_b)
    near = np.where(lower_goes_on, np.minimum(shift, plank - shift), shift)
    none = (low_a > high_a) | (low_b > high_b)
    return np.where(none, FAR, near)


def closest_to(
    joints: Iterable[Ticks], first: Ints, last: Ints, *, stretch: tuple[Ticks, Ticks], plank: Ticks
) -> Ints:
    """Return the least distance of each way's joints within ``stretch`` from given ones, all within it.

    ``FAR``: the way has no joints there.
    """
    low, high = _within(first, last, stretch, plank)
    more = np.maximum(0, high - low) // plank
    nearest = np.full_like(first, FAR)
    for joint in joints:
        below = low + np.clip((joint - low) // plank, 0, more) * plank
        beyond = np.minimum(below + plank, low + more * plank)
        for found in (below, beyond):
            nearest = np.minimum(nearest, np.abs(found - joint))
    return np.where(low > high, FAR, nearest)


def step_change(first_a: Ints, first_b: Ints, first_c: Ints, *, plank: Ticks) -> Ints:
    """Return how far the shifts A to B and B to C differ, round the plank."""
    turn = (first_c - 2 * first_b + first_a) % plank
    return np.asarray(np.minimum(turn, plank - turn))


def keep_step(first_a: Ints, first_b: Ints, first_c: Ints, *, plank: Ticks, apart: Ticks) -> Bools:
    """Return where the shifts A to B and B to C differ by at least ``apart``, round the plank.

    Callers leave out runs without joints, which break the chain.
    """
    return np.asarray(step_change(first_a, first_b, first_c, plank=plank) >= apart)


def keep_phases(
    phases: Iterable[Ticks], first_b: Ints, first_c: Ints, *, plank: Ticks, apart: Ticks
) -> Bools:
    """Return where B and C keep the step with a run of each phase before them; without joints they do."""
    kept = np.ones(np.broadcast_shapes(first_b.shape, first_c.shape), dtype=np.bool_)
    for phase in phases:
        kept &= keep_step(np.asarray(phase), first_b, first_c, plank=plank, apart=apart)
    return kept | (np.maximum(first_b, first_c) >= FAR)
