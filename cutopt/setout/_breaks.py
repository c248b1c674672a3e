"""Which doorway to close with a strip where a floor is larger than the product allows."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

import shapely
from shapely import Geometry

from cutopt.model.cutouts import Axis
from cutopt.model.setout import RunLimit
from cutopt.setout._shapes import SPARE, across_doorway, extent, floor_of, parts
from cutopt.setout._site import Site, SiteDoor
from cutopt.units import Ticks

__all__ = ["with_doorways"]


def with_doorways(limits: Iterable[RunLimit], sites: Iterable[Site]) -> tuple[RunLimit, ...]:
    """Return the findings with the doorway named whose closing leaves the smallest largest part, if any helps."""
    by_field = {site.field.name: site for site in sites}
    return tuple(
        _named(limit, by_field[limit.field]) if limit.field in by_field else limit for limit in limits
    )


def _named(limit: RunLimit, site: Site) -> RunLimit:
    tried = sorted(_tried(limit, site), key=lambda found: (found[0], found[1].placed.name))
    helping = [(sizes, door) for sizes, door in tried if sizes[0] < limit.extent]
    if not helping:
        return limit
    sizes, door = helping[0]
    return replace(limit, doorway=door.placed.name, parts=sizes)


def _tried(limit: RunLimit, site: Site) -> Iterator[tuple[tuple[Ticks, ...], SiteDoor]]:
    """Yield what closing each doorway parts the floor into, the largest part first."""
    for area in site.field.areas:
        floor = floor_of([(area.outer, area.holes)])
        if _size(floor, limit.axis, site) + SPARE < limit.extent:
            continue
        for door in site.doors:
            if door.through:
                closed = across_doorway(door.opening, door.placed.undercut + site.gap)
                sizes = [_size(part, limit.axis, site) for part in parts(shapely.difference(floor, closed))]
                if len(sizes) > 1:
                    yield tuple(sorted(sizes, reverse=True)), door


def _size(floor: Geometry, axis: Axis, site: Site) -> Ticks:
    """Return a piece of floor's breadth across the rows, or its longest row."""
    left, low, right, high = extent(floor)
    if axis is Axis.ACROSS:
        return high - low
    rows = [
        shapely.box(left - 1, bottom, right + 1, top)
        for bottom, top in zip(site.lines, site.lines[1:], strict=False)
        if bottom < high and low < top
    ]
    pieces = [piece for row in shapely.intersection(floor, rows) for piece in parts(row)]
    sides = (extent(piece) for piece in pieces)
    return max((right - left for left, _, right, _ in sides), default=0)
