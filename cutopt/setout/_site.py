"""One field with all that stands in it, in the axes of its rows."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from cutopt.model.floor import Field, Frame, PlacedDoorway, PlacedRoom, PlacedThing
from cutopt.model.plan import LaidRun, Plan
from cutopt.model.rooms import Ring
from cutopt.units import Ticks

__all__ = ["Site", "SiteDoor", "SiteRoom", "SiteThing", "sites"]


@dataclass(frozen=True, slots=True)
class SiteRoom:
    """A room and its walls as the rows see them."""

    placed: PlacedRoom
    ring: Ring


@dataclass(frozen=True, slots=True)
class SiteThing:
    """A fixed thing as the rows see it."""

    placed: PlacedThing
    ring: Ring


@dataclass(frozen=True, slots=True)
class SiteDoor:
    """A doorway as the rows see it."""

    placed: PlacedDoorway
    opening: Ring

    @property
    def through(self) -> bool:
        """Whether rows run through between two rooms."""
        return len(self.placed.rooms) > 1 and self.placed.strip is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """A field and its runs, rooms, things and doorways.

    ``by_line`` holds its runs from left to right, ``rows`` the job's row numbers, both by line.
    """

    field: Field
    runs: tuple[LaidRun, ...]
    by_line: dict[int, list[LaidRun]]
    rows: dict[int, int]
    rooms: tuple[SiteRoom, ...]
    things: tuple[SiteThing, ...]
    doors: tuple[SiteDoor, ...]
    gap: Ticks
    width: Ticks

    @property
    def lines(self) -> tuple[Ticks, ...]:
        """The lines between the rows, from the first row's lower edge to the last one's upper."""
        return self.field.lines

    @property
    def last_line(self) -> int:
        """The number of lines of planks."""
        return len(self.field.lines) - 1

    @property
    def rings(self) -> tuple[Ring, ...]:
        """The outlines and holes of the floor without its gaps."""
        return tuple(ring for area in self.field.areas for ring in (area.outer, *area.holes))


def sites(plan: Plan) -> tuple[Site, ...]:
    """Return the fields of a plan that have a place."""
    runs: defaultdict[str, list[LaidRun]] = defaultdict(list)
    for laid in plan.rows:
        runs[laid.run.field].append(laid)
    return tuple(_site(plan, field, tuple(runs[field.name])) for field in plan.ground.fields)


def _site(plan: Plan, field: Field, runs: tuple[LaidRun, ...]) -> Site:
    ground, frame = plan.ground, field.frame
    by_line: dict[int, list[LaidRun]] = {}
    for laid in sorted(runs, key=lambda laid: (laid.run.line, laid.run.offset)):
        by_line.setdefault(laid.run.line, []).append(laid)
    return Site(
        field=field,
        runs=runs,
        by_line=by_line,
        rows={line: on_line[0].run.row for line, on_line in by_line.items()},
        rooms=tuple(
            SiteRoom(room, _turned(frame, room.corners)) for room in ground.rooms if room.field == field.name
        ),
        things=tuple(
            SiteThing(thing, _turned(frame, thing.corners))
            for thing in ground.things
            if thing.field == field.name
        ),
        doors=tuple(_doors(plan, field)),
        gap=plan.rules.gap,
        width=plan.plank.width,
    )


def _doors(plan: Plan, field: Field) -> Iterator[SiteDoor]:
    for door in plan.ground.doorways:
        if field.name in door.fields:
            yield SiteDoor(door, _turned(field.frame, door.opening))


def _turned(frame: Frame, ring: Ring) -> Ring:
    return tuple(frame.to_rows(point) for point in ring)
