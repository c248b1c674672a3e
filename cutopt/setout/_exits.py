"""Which runs lie at a way out of their field."""

from collections import defaultdict
from collections.abc import Sequence

import shapely

from cutopt.model.floor import Ground, Run
from cutopt.setout._shapes import at_doorway, run_box
from cutopt.units import Ticks

__all__ = ["exits_of"]


def exits_of(ground: Ground, runs: Sequence[Run], gap: Ticks) -> dict[int, list[str]]:
    """Return by a run's place in the list the exits that it lies at, a gap away at most.

    Exits are doorways of one room, and those with a strip, where another floor begins.
    """
    found: defaultdict[int, list[str]] = defaultdict(list)
    for field in ground.fields:
        places = [place for place, run in enumerate(runs) if run.field == field.name]
        boxes = [run_box(runs[place], field.lines) for place in places]
        for door in ground.doorways:
            if field.name in door.fields and (len(door.rooms) == 1 or door.strip is not None):
                reach = at_doorway(tuple(map(field.frame.to_rows, door.opening)), gap)
                shared = shapely.area(shapely.intersection(boxes, reach))
                for nth, place in enumerate(places):
                    if shared[nth] > 0:
                        found[place].append(door.name)
    return dict(found)
