"""Planks as paths: every plank is a path of pieces from one end of the plank to the other.

The arc-flow model of Valerio de Carvalho (Annals of Operations Research 86, 1999, 629-659): nodes
are lengths used up, an arc is a piece cut there, and along a path pieces never grow longer, which
leaves one path for every set of pieces.
"""

import math
from collections import Counter
from dataclasses import dataclass, replace
from functools import reduce
from operator import or_

import numpy as np

from cutopt.units import Ticks

__all__ = ["Arc", "Graph", "build_graph"]

Arc = tuple[int, int, int]

# Larger graphs take too long.
MOST_ARCS = 120_000


@dataclass(frozen=True, slots=True)
class Graph:
    """Arcs (from, to, piece) over used lengths, for at most ``planks`` planks of ``capacity``.

    ``counts`` is how many of each piece are needed, longest first. Lengths are in units of ``unit``
    ticks and include one cut's loss each.
    """

    capacity: int
    planks: int
    counts: dict[int, int]
    arcs: tuple[Arc, ...]
    unit: Ticks

    @property
    def slack(self) -> int:
        """What is left of all planks together, and so the most that is left of one."""
        return self.planks * self.capacity - sum(size * count for size, count in self.counts.items())

    @property
    def leaves_out_a_piece(self) -> bool:
        """Say whether some piece has no arc: no plank it is cut from leaves so little as it must."""
        return self.counts.keys() != {size for _, _, size in self.arcs}


def build_graph(sizes: Counter[Ticks], capacity: Ticks, planks: int) -> Graph | None:
    """Return the graph for pieces of these sizes (ticks, loss included) in planks of ``capacity``.

    Only arcs on paths that leave no more than the slack are kept: where the pieces must fill the planks
    nearly to the last, these are few of very many. ``None`` where they are more than ``MOST_ARCS``.
    """
    unit = math.gcd(*sizes)
    counts = {size // unit: count for size, count in sorted(sizes.items(), reverse=True)}
    bare = Graph(capacity // unit, planks, counts, (), unit)
    starts = _starts(bare)
    if sum(places.bit_count() for places in starts.values()) > MOST_ARCS:
        return None
    arcs = [(start, start + size, size) for size, places in starts.items() for start in _each(places)]
    return replace(bare, arcs=tuple(sorted(arcs)))


def _starts(graph: Graph) -> dict[int, int]:
    """Return where each piece starts on some path from 0 to an end, as the bits of a number.

    Before it on the path come longer pieces and copies of its own, after it the other copies and
    shorter pieces.
    """
    if graph.slack < 0:
        return {}
    copies = {size: min(count, graph.capacity // size) for size, count in graph.counts.items()}
    before, longer = {}, 1
    for size, most in copies.items():
        before[size] = longer
        longer = _reached(longer, size, most)[-1] & _up_to(graph.capacity)
    left = min(graph.slack, graph.capacity)
    starts: dict[int, int] = {}
    shorter = _up_to(left) << (graph.capacity - left)
    for size, most in reversed(copies.items()):
        after = _reached(shorter, -size, most)
        starts[size] = reduce(
            or_, (before[size] << nth * size & after[most - 1 - nth] >> size for nth in range(most))
        )
        shorter = after[-1]
    return starts


def _reached(places: int, step: int, most: int) -> list[int]:
    """Return the places reached by no step, by one at most, ... by ``most`` at most."""
    reached = [places]
    for nth in range(1, most + 1):
        moved = places << nth * step if step > 0 else places >> nth * -step
        reached.append(reached[-1] | moved)
    return reached


def _up_to(last: int) -> int:
    return (1 << (last + 1)) - 1


def _each(places: int) -> list[int]:
    """Return the bits that are set, lowest first."""
    packed = np.frombuffer(places.to_bytes(places.bit_length() // 8 + 1, "little"), dtype=np.uint8)
    found: list[int] = np.flatnonzero(np.unpackbits(packed, bitorder="little")).tolist()
    return found
