"""Planks as paths: every plank is a path of pieces from one end of the plank to the other.

The arc-flow model of Valerio de Carvalho (Annals of Operations Research 86, 1999, 629-659): nodes
are lengths used up, an arc is a piece cut there, and along a path pieces never grow longer, which
leaves one path for every set of pieces.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import reduce
from operator import or_

import numpy as np

from cutopt.planner.packing.pieces import Pieces
from cutopt.planner.packing.prices import Prices

__all__ = ["Arc", "Graph", "build_graph"]

Arc = tuple[int, int, int]

# Larger graphs take too long, to make and to solve.
MOST_MADE = 500_000
MOST_ARCS = 40_000


@dataclass(frozen=True, slots=True)
class Graph:
    """Arcs (from, to, piece) over used lengths, for at most so many planks."""

    pieces: Pieces
    planks: int
    arcs: tuple[Arc, ...] = ()

    @property
    def slack(self) -> int:
        """What is left of all planks together, and so the most that is left of one."""
        return self.planks * self.pieces.room - self.pieces.total

    @property
    def leaves_out_a_piece(self) -> bool:
        """Say whether some piece has no arc: no plank it is cut from leaves so little as it must."""
        return self.pieces.counts.keys() != {size for _, _, size in self.arcs}


def build_graph(pieces: Pieces, prices: Prices, planks: int) -> Graph | None:
    """Return the graph, without arcs that no packing into so many planks can use; ``None`` if too large.

    No plank may leave more than all of them together, neither of its length nor of its worth at the
    prices (variable fixing by reduced costs). Where pieces must fill the planks nearly to the last, few
    arcs of very many are kept.
    """
    bare = Graph(pieces, planks)
    starts = _starts(bare)
    if sum(places.bit_count() for places in starts.values()) > MOST_MADE:
        return None
    arcs = [(start, start + size, size) for size, places in starts.items() for start in _each(places)]
    kept = tuple(_worth_enough(replace(bare, arcs=tuple(sorted(arcs))), prices))
    return replace(bare, arcs=kept) if len(kept) <= MOST_ARCS else None


def _worth_enough(graph: Graph, prices: Prices) -> Iterator[Arc]:
    """Yield the arcs whose best path is worth a plank, less what all planks can do without."""
    room = graph.pieces.room
    before, after = [0] * (room + 1), [0] * (room + 1)
    for start, end, size in graph.arcs:
        before[end] = max(before[end], before[start] + prices.of[size])
    for start, end, size in reversed(graph.arcs):
        after[start] = max(after[start], after[end] + prices.of[size])
    spare = graph.planks * prices.plank - prices.total
    for start, end, size in graph.arcs:
        if before[start] + prices.of[size] + after[end] >= prices.plank - spare:
            yield start, end, size


def _starts(graph: Graph) -> dict[int, int]:
    """Return where each piece starts on some path from 0 to an end, as the bits of a number.

    Before it on the path come longer pieces and copies of its own, after it the other copies and
    shorter pieces.
    """
    if graph.slack < 0:
        return {}
    copies = {size: min(count, graph.pieces.room // size) for size, count in graph.pieces.counts.items()}
    before, longer = {}, 1
    for size, most in copies.items():
        before[size] = longer
        longer = _reached(longer, size, most)[-1] & _up_to(graph.pieces.room)
    left = min(graph.slack, graph.pieces.room)
    starts: dict[int, int] = {}
    shorter = _up_to(left) << (graph.pieces.room - left)
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
