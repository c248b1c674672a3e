"""The order of laying: segments of the floor, and what must be down before each."""

from collections import defaultdict
from collections.abc import Sequence
from heapq import heapify, heappop, heappush

from cutopt.model.floor import Run
from cutopt.model.setout import Segment
from cutopt.setout._runs import Touching, rooms_of

__all__ = ["segments"]


def segments(runs: Sequence[Run], before: Touching) -> tuple[Segment, ...]:
    """Return the floor's segments, numbered in an order in which they can be laid.

    A segment goes on while its last run is touched by one run of the next line only, and that run touches
    no other. A plank goes no further than the row before it, so a segment follows all that its first
    run touches; where several could be next it is the one whose first run comes first in the plan.
    """
    chains = _chains(before)
    chain_of = {place: nth for nth, chain in enumerate(chains) for place in chain}
    needs = [{chain_of[place] for place in before[chain[0]]} for chain in chains]
    order = _in_order(chains, needs)
    number = {chain: nth for nth, chain in enumerate(order, 1)}
    return tuple(
        Segment(
            number=number[chain],
            field=runs[chains[chain][0]].field,
            rooms=rooms_of(runs[place] for place in chains[chain]),
            runs=tuple((runs[place].row, runs[place].run) for place in chains[chain]),
            after=tuple(sorted(number[need] for need in needs[chain])),
        )
        for chain in order
    )


def _chains(before: Touching) -> list[list[int]]:
    """Return the runs in maximal chains, each chain by its line."""
    after: defaultdict[int, list[int]] = defaultdict(list)
    for place, others in enumerate(before):
        for other in others:
            after[other].append(place)
    follows = {
        place: others[0]
        for place, others in enumerate(before)
        if len(others) == 1 and len(after[others[0]]) == 1
    }
    next_of = {other: place for place, other in follows.items()}
    chains = []
    for place in range(len(before)):
        if place not in follows:
            chain = [place]
            while (last := next_of.get(chain[-1])) is not None:
                chain.append(last)
            chains.append(chain)
    return chains


def _in_order(chains: Sequence[Sequence[int]], needs: Sequence[set[int]]) -> list[int]:
    """Return the chains such that each follows what it needs, the earliest in the plan first (Kahn, 1962)."""
    needed_by: defaultdict[int, list[int]] = defaultdict(list)
    left = [len(need) for need in needs]
    for chain, need in enumerate(needs):
        for other in need:
            needed_by[other].append(chain)
    ready = [(chains[chain][0], chain) for chain, count in enumerate(left) if not count]
    heapify(ready)
    order = []
    while ready:
        _, chain = heappop(ready)
        order.append(chain)
        for other in needed_by[chain]:
            left[other] -= 1
            if not left[other]:
                heappush(ready, (chains[other][0], other))
    return order
