"""Where lines along or across the rows run inside rings, exactly."""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import pairwise

from cutopt.model.rooms import Point, Ring

__all__ = ["Chord", "Exact", "both_sides", "chords", "edges", "meet", "swapped"]

Exact = int | Fraction
Chord = tuple[Exact, Exact]
"""A stretch of a line, from its lower end to its upper."""


def edges(ring: Ring) -> Iterator[tuple[Point, Point]]:
    """Yield the edges of a ring."""
    return pairwise((*ring, ring[0]))


def swapped(ring: Ring) -> Ring:
    """Return a ring with x and y exchanged, so that what is done along the rows is done across them."""
    return tuple((y, x) for x, y in ring)


def chords(rings: Iterable[Ring], y: Exact, *, above: bool) -> list[Chord]:
    """Return the stretches inside the rings of a line just above (else just below) ``y``, from the left.

    Inside is what an odd number of edges part from the far outside, so holes are rings like others.
    """
    crossings = sorted(
        x0 if x0 == x1 else x0 + Fraction((y - y0) * (x1 - x0), y1 - y0)
        for ring in rings
        for (x0, y0), (x1, y1) in edges(ring)
        if ((y0 <= y) != (y1 <= y) if above else (y0 < y) != (y1 < y))
    )
    return [
        (left, right) for left, right in zip(crossings[::2], crossings[1::2], strict=True) if left < right
    ]


def both_sides(rings: Iterable[Ring], y: Exact) -> list[Chord]:
    """Return the stretches of the line at ``y`` that have inside on both of their sides."""
    rings = tuple(rings)
    return meet(chords(rings, y, above=True), chords(rings, y, above=False))


def meet(ones: Iterable[Chord], others: Iterable[Chord]) -> list[Chord]:
    """Return the stretches that two lists share, longer than nothing."""
    others = tuple(others)
    return [
        (max(one[0], other[0]), min(one[1], other[1]))
        for one in ones
        for other in others
        if max(one[0], other[0]) < min(one[1], other[1])
    ]
