"""Which runs touch, and which hang together."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from cutopt.model.floor import Run

__all__ = ["Touching", "parts_of", "rooms_of", "touching"]

_THROUGH = " + "
"""Between the names of the rooms that a run runs through."""

Touching = tuple[tuple[int, ...], ...]
"""Per run, by its place in the list, the places of the runs of the line before that it touches."""


def touching(runs: Sequence[Run]) -> Touching:
    """Return which runs of the line before each run touches: those it names, else all it overlaps."""
    by_line: defaultdict[tuple[str, int], list[int]] = defaultdict(list)
    for place, run in enumerate(runs):
        by_line[run.field, run.line].append(place)
    return tuple(
        tuple(before for before in by_line.get((run.field, run.line - 1), ()) if _touches(run, runs[before]))
        for run in runs
    )


def _touches(run: Run, before: Run) -> bool:
    if run.touches is not None:
        return before.run in run.touches
    return run.offset < before.right and before.offset < run.right


def parts_of(wanted: Iterable[int], before: Touching) -> list[list[int]]:
    """Return the ``wanted`` runs in parts that hang together, both parts and runs in the order of the list."""
    chosen = sorted(wanted)
    inside = set(chosen)
    beside: defaultdict[int, list[int]] = defaultdict(list)
    for place in chosen:
        for other in before[place]:
            if other in inside:
                beside[place].append(other)
                beside[other].append(place)
    return _parts(chosen, beside)


def _parts(chosen: Sequence[int], beside: Mapping[int, Sequence[int]]) -> list[list[int]]:
    seen: set[int] = set()
    parts = []
    for start in chosen:
        if start in seen:
            continue
        seen.add(start)
        part, left = [], [start]
        while left:
            part.append(place := left.pop())
            fresh = [other for other in beside.get(place, ()) if other not in seen]
            seen.update(fresh)
            left += fresh
        parts.append(sorted(part))
    return parts


def rooms_of(runs: Iterable[Run]) -> tuple[str, ...]:
    """Return the rooms of runs, each once, in the order met; a run through several names them all."""
    return tuple(dict.fromkeys(room for run in runs for room in run.room.split(_THROUGH)))
