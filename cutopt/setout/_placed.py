"""What needs to know where the floor is: lines, loops, things, doorways, areas."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from cutopt.model.job import PlankKind
from cutopt.model.plan import Plan
from cutopt.model.rooms import ThingKind
from cutopt.model.setout import Caution, FieldLines, Loop, SetOut, WayOut
from cutopt.setout._areas import floor_area
from cutopt.setout._breaks import with_doorways
from cutopt.setout._doors import doors
from cutopt.setout._exits import exits_of
from cutopt.setout._lines import field_lines
from cutopt.setout._loops import loops
from cutopt.setout._runs import Touching
from cutopt.setout._site import Site, sites
from cutopt.setout._things import things
from cutopt.setout._way_out import way_out

__all__ = ["placed"]

_FLOATING = {PlankKind.CLICK_VINYL, PlankKind.LAMINATE}
_HEAVY = {ThingKind.ISLAND, ThingKind.CABINETS, ThingKind.HEATER, ThingKind.HEARTH}


def placed(plan: Plan, before: Touching, unplaced: SetOut) -> SetOut:
    """Return all that is set out, given what needs no places."""
    found = sites(plan)
    fields = tuple(_fields(plan, found))
    return replace(
        unplaced,
        fields=fields,
        loops=tuple(_loops(plan, found, fields)),
        ways_out=tuple(_ways_out(plan, before)),
        limits=with_doorways(unplaced.limits, found),
        things=tuple(work for site in found for work in things(site, plan.rules)),
        doors=tuple(doors(plan, found)),
        area=floor_area(plan),
        cautions=tuple(_cautions(plan)),
    )


def _fields(plan: Plan, found: Iterable[Site]) -> Iterator[FieldLines]:
    for site in found:
        lines = field_lines(site, plan.unit, plan.plank.width_tolerance)
        if lines is not None:
            yield lines


def _loops(plan: Plan, found: Iterable[Site], fields: Iterable[FieldLines]) -> Iterator[Loop]:
    base = {lines.field: lines.lines[0].line for lines in fields}
    for site in found:
        if site.field.name in base:
            yield from loops(site, base[site.field.name], plan.plank.width_tolerance)


def _ways_out(plan: Plan, before: Touching) -> Iterator[WayOut]:
    runs = [laid.run for laid in plan.rows]
    exits = exits_of(plan.ground, runs, plan.rules.gap)
    for field in plan.ground.fields:
        places = [place for place, run in enumerate(runs) if run.field == field.name]
        if places:
            yield way_out(places, runs, before, exits)


def _cautions(plan: Plan) -> Iterator[tuple[Caution, tuple[str, ...]]]:
    """Yield what to mind about heavy things on floating floors and about heaters, the product's word first."""
    things = plan.ground.things
    heavy = tuple(thing.name for thing in things if thing.kind in _HEAVY)
    if heavy and plan.plank.kind in _FLOATING:
        yield Caution.PINNED, heavy
    heaters = tuple(thing.name for thing in things if thing.kind is ThingKind.HEATER)
    if heaters:
        yield Caution.HEATER, heaters
