"""Tapes that no shape can meet: one longer than a way round by others."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from heapq import heappop, heappush
from math import sqrt

from cutopt.errors import Problem
from cutopt.model.rooms import Survey, Tape
from cutopt.units import Ticks, Unit, format_length

__all__ = ["too_long"]

_BEYOND_NOISE = 5
"""Standard deviations by which a tape may be too long before no reading explains it."""

_Ways = Mapping[str, Sequence[tuple[str, Ticks]]]


def too_long(survey: Survey, where: str, unit: Unit) -> Iterator[Problem]:
    """Yield each tape that is longer than a way between its ends by other tapes (triangle inequality)."""
    tapes = [*survey.walls, *survey.diagonals]
    ways: defaultdict[str, list[tuple[str, Ticks]]] = defaultdict(list)
    for tape in tapes:
        ways[tape.start].append((tape.end, tape.length))
        ways[tape.end].append((tape.start, tape.length))
    for nth, tape in enumerate(tapes):
        length, way = _shortest(ways, tape)
        slack = _BEYOND_NOISE * survey.accuracy * sqrt(len(way))
        if tape.length > length + slack:
            name = f"{'wall' if nth < len(survey.walls) else 'diagonal'} {tape.start}-{tape.end}"
            yield Problem(
                what=f"{name} is {format_length(tape.length, unit)}, "
                f"but the way {'-'.join(way)} is only {format_length(length, unit)}",
                where=where,
                remedy="one of these is misread: measure them again",
            )


def _shortest(ways: _Ways, tape: Tape) -> tuple[Ticks, tuple[str, ...]]:
    """Return the shortest way from one end of a tape to the other by two tapes or more, and its corners.

    E. W. Dijkstra, 1959, "A note on two problems in connexion with graphs".
    """
    queue: list[tuple[Ticks, tuple[str, ...]]] = [(0, (tape.start,))]
    seen: set[str] = set()
    while True:  # the walls go round the room, so there is a way
        length, way = heappop(queue)
        if way[-1] == tape.end:
            return length, way
        if way[-1] in seen:
            continue
        seen.add(way[-1])
        for corner, leg in ways[way[-1]]:
            if corner not in seen and {way[-1], corner} != {tape.start, tape.end}:
                heappush(queue, (length + leg, (*way, corner)))
