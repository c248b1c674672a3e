"""Packings made plank by plank, each filled as full as the pieces that are left allow.

Minimum bin slack (Gupta and Ho, Production Planning & Control 10, 1999, 598-603), every plank begun
with the longest piece left (Fleszar and Hindi, Computers & Operations Research 29, 2002, 821-839);
which of the equally full planks is taken is left to chance after the first try.
"""

from collections.abc import Callable
from random import Random

from cutopt.planner.limits import Stop
from cutopt.planner.packing.pieces import Pieces

__all__ = ["Packing", "fill_planks"]

Packing = list[list[int]]
"""The sizes cut from each plank."""

TRIES = 24
# How far chance may move a piece in the order of sizes.
SHUFFLE = 0.4


def fill_planks(pieces: Pieces, bound: int, stop: Stop) -> Packing:
    """Return the best of some packings; the first that takes no more than ``bound`` planks ends the tries."""
    chance = Random(1)  # noqa: S311 - variety, not secrecy
    best = _filled(pieces, lambda size: size)
    for _ in range(TRIES):
        if len(best) <= bound or stop():
            break
        best = min(best, _filled(pieces, lambda size: size * chance.uniform(1 - SHUFFLE, 1)), key=len)
    return best


def _filled(pieces: Pieces, rank: Callable[[int], float]) -> Packing:
    """Fill plank after plank, preferring pieces of high rank."""
    left, packing = pieces.each(), []
    while left:
        longest, *rest = left
        plank = [longest, *_fullest(sorted(rest, key=rank, reverse=True), pieces.room - longest)]
        for size in plank:
            left.remove(size)
        packing.append(plank)
    return packing


def _fullest(sizes: list[int], room: int) -> list[int]:
    """Return the sizes that fill the room best, by the sums the first of them reach, as bits of a number."""
    reached, within = [1], (1 << (room + 1)) - 1
    for size in sizes:
        if reached[-1] >> room:
            break
        reached.append((reached[-1] | reached[-1] << size) & within)
    at, taken = reached[-1].bit_length() - 1, []
    for nth in range(len(reached) - 1, 0, -1):
        if not reached[nth - 1] >> at & 1:
            taken.append(sizes[nth - 1])
            at -= sizes[nth - 1]
    return taken
