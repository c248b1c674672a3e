"""Whether one can leave the floor until the last plank lies."""

from collections import defaultdict
from collections.abc import Mapping, Sequence

from cutopt.model.floor import Run
from cutopt.model.setout import ShutIn, WayOut
from cutopt.setout._runs import Touching, parts_of, rooms_of

__all__ = ["first_shut_in", "way_out"]

Exits = Mapping[int, Sequence[str]]
"""By the place of a run in the list, the exits that it lies at."""


def way_out(places: Sequence[int], runs: Sequence[Run], before: Touching, exits: Exits) -> WayOut:
    """Return whether there is a way out of a field, the runs at ``places`` laid in this order.

    Nobody walks on what has just been laid: the way out leads over bare floor, from run to run that touch.
    (Common practice, no source.)
    """
    names = tuple(dict.fromkeys(name for place in places for name in exits.get(place, ())))
    caught = first_shut_in(places, before, exits) if names else None
    return WayOut(
        field=runs[places[0]].field,
        rooms=rooms_of(runs[place] for place in places),
        exits=names,
        shut_in=None if caught is None else _shut_in(caught, places, runs, before, exits),
        last=() if caught is not None else tuple(exits.get(places[-1], ())),
        mended=caught is not None
        and first_shut_in(_from_the_other_side(places, runs), before, exits) is None,
    )


def first_shut_in(places: Sequence[int], before: Touching, exits: Exits) -> int | None:
    """Return after how many runs laid a part of the bare floor first has no exit; ``None``: never.

    Floor is taken up from the last run back to the first, so that parts only grow together.
    """
    beside: defaultdict[int, list[int]] = defaultdict(list)
    for place in places:
        for other in before[place]:
            beside[place].append(other)
            beside[other].append(place)
    parts = _Parts()
    first = None
    for laid in range(len(places) - 1, -1, -1):
        parts.add(places[laid], beside[places[laid]], has_exit=bool(exits.get(places[laid])))
        if parts.shut:
            first = laid
    return first


class _Parts:
    """Runs in parts that hang together (disjoint sets); ``shut`` counts those without an exit."""

    def __init__(self) -> None:
        self.shut = 0
        self._parent: dict[int, int] = {}
        self._open: dict[int, bool] = {}

    def add(self, place: int, beside: Sequence[int], *, has_exit: bool) -> None:
        self._parent[place], self._open[place] = place, has_exit
        self.shut += not has_exit
        for other in beside:
            if other in self._parent:
                self._join(self._find(place), self._find(other))

    def _join(self, one: int, other: int) -> None:
        if one == other:
            return
        self.shut -= (not self._open[one]) + (not self._open[other])
        self._parent[one] = other
        self._open[other] |= self._open[one]
        self.shut += not self._open[other]

    def _find(self, place: int) -> int:
        while self._parent[place] != place:
            self._parent[place] = self._parent[self._parent[place]]
            place = self._parent[place]
        return place


def _shut_in(laid: int, places: Sequence[int], runs: Sequence[Run], before: Touching, exits: Exits) -> ShutIn:
    shut = next(
        part for part in parts_of(places[laid:], before) if not any(exits.get(place) for place in part)
    )
    last = runs[places[laid - 1]] if laid else None
    return ShutIn(
        row=last.row if last else 0,
        run=last.run if last else 0,
        rooms=rooms_of(runs[place] for place in shut),
        first_row=min(runs[place].row for place in shut),
        last_row=max(runs[place].row for place in shut),
    )


def _from_the_other_side(places: Sequence[int], runs: Sequence[Run]) -> list[int]:
    """Return a field's runs from its last line to its first, those of one line in their usual order."""
    return sorted(places, key=lambda place: -runs[place].line)
