"""Door casings to undercut, and what the floor does in each doorway."""

from collections.abc import Iterator, Sequence

import shapely

from cutopt.model.cutouts import DoorWork, Passage
from cutopt.model.floor import PlacedDoorway
from cutopt.model.job import PlankKind, PlankSpec
from cutopt.model.plan import Plan
from cutopt.setout._shapes import run_box
from cutopt.setout._site import Site
from cutopt.units import TICKS_PER_INCH, Ticks

__all__ = ["doors"]

_LEGS_PER_FACE = 2

# Sources: a rigid-core vinyl maker's manual (thickness + 1/64 in), an engineered-wood maker's guideline
# (thickness + 1/16 in). For laminate no source was found.
_CLEARANCE: dict[PlankKind, Ticks] = {
    PlankKind.CLICK_VINYL: TICKS_PER_INCH // 64,
    PlankKind.GLUE_DOWN_VINYL: TICKS_PER_INCH // 64,
    PlankKind.ENGINEERED_WOOD: TICKS_PER_INCH // 16,
    PlankKind.SOLID_STRIP: TICKS_PER_INCH // 16,
}


def doors(plan: Plan, sites: Sequence[Site]) -> Iterator[DoorWork]:
    """Yield what there is to do at each doorway of a plan."""
    for door in plan.ground.doorways:
        height, clearance = _height(plan.plank)
        yield DoorWork(
            name=door.name,
            rooms=door.rooms,
            passage=_passage(door),
            legs=_LEGS_PER_FACE * len(door.rooms),
            under=door.undercut,
            height=height,
            clearance=clearance,
            last_row=next(_last_rows(door, sites), None),
        )


def _passage(door: PlacedDoorway) -> Passage:
    if door.strip is not None:
        return Passage.STRIP
    return Passage.OUT if len(door.rooms) == 1 else Passage.THROUGH


def _height(plank: PlankSpec) -> tuple[Ticks | None, Ticks]:
    clearance = 0 if plank.kind is None else _CLEARANCE.get(plank.kind, 0)
    return (None if plank.thickness is None else plank.thickness + clearance), clearance


def _last_rows(door: PlacedDoorway, sites: Sequence[Site]) -> Iterator[int]:
    """Yield the last row of a field where it lies in the doorway: it has to be slid in under the jambs."""
    for site in sites:
        if site.field.name in door.fields:
            opening = shapely.Polygon([site.field.frame.to_rows(point) for point in door.opening])
            for laid in site.by_line.get(site.last_line, ()):
                if shapely.area(shapely.intersection(run_box(laid.run, site.lines), opening)) > 0:
                    yield laid.run.row
