"""The floor as it lies on the plan: fields, their lines and areas, and every run in its place."""

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from cutopt.check._finding import Amount, Fault, Finding
from cutopt.check._floors import CRUMB2, Owned, about, check_floors, own
from cutopt.check._ground import (
    FieldFloor,
    Part,
    closeness,
    floor_of,
    floor_outside,
    what_is_unsound,
)
from cutopt.check._ledger import Ledger
from cutopt.check._touches import check_touches
from cutopt.model.floor import Area, Field, Ground, PlacedDoorway
from cutopt.model.plan import LaidRun
from cutopt.model.rooms import Ring
from cutopt.units import TICKS_PER_MM, Ticks

__all__ = ["check_places"]

_SPARE: Ticks = 2
"""How far an outline may be out: its corners and those of the floor were set on whole ticks, at any angle."""


def check_places(ledger: Ledger) -> Iterator[Finding]:
    """Yield what is wrong between the ground of a plan and its runs. Fields without a place are passed over."""
    ground = ledger.plan.ground
    yield from _names(ledger)
    unsound = list(_unsound_outlines(ground))
    yield from unsound
    floors: list[FieldFloor] = []
    for field in ground.fields:
        wrong = [*_unsound_areas(field), *_lines(field, ledger.plan.plank.width)]
        yield from wrong
        if not wrong:
            floors.append(floor_of(field))
            yield from _field(field, floors[-1], ledger)
            yield from _surroundings(field, ground) if not unsound else ()
    if len(floors) == len(ground.fields):
        yield from _net_area(floors, ledger)


def _on(field: Field, line: int | None = None) -> str:
    return f'field "{field.name}"' if line is None else f'field "{field.name}" line {line}'


def _of(fault: Fault, what: str, *, found: Amount, wanted: Amount = None) -> Finding:
    return Finding(fault=fault, about=what, found=found, wanted=wanted)


def _lies_in(told: str, known: set[str]) -> bool:
    """Whether a run is told to lie in a room of its field, or in several: ``Hall + Study``."""
    return told in known or known.issuperset(told.split(" + "))


def _names(ledger: Ledger) -> Iterator[Finding]:
    ground = ledger.plan.ground
    times = Counter(field.name for field in ground.fields)
    yield from (_of(Fault.FIELD_TWICE, f'field "{name}"', found=n) for name, n in times.items() if n > 1)
    rooms_of = {field.name: field.rooms for field in ground.fields}
    field_of = {room: field.name for field in ground.fields for room in field.rooms}
    passed = {
        field.name: {doorway.name for doorway in ground.doorways if field.name in doorway.fields}
        for field in ground.fields
    }
    for run in (laid.run for laid in ledger.plan.rows):
        if run.field not in rooms_of:
            if run.room in field_of:
                yield about(run, Fault.ROOM_ELSEWHERE, found=run.field, wanted=field_of[run.room])
        elif not _lies_in(run.room, {*rooms_of[run.field], *passed[run.field]}):
            yield about(run, Fault.ROOM_STRANGE, found=run.room, wanted=" or ".join(rooms_of[run.field]))
    placed = [
        *((f'room "{room.name}"', room.field) for room in ground.rooms),
        *((f'{thing.kind} "{thing.name}"', thing.field) for thing in ground.things),
        *((f'doorway "{doorway.name}"', name) for doorway in ground.doorways for name in doorway.fields),
    ]
    for what, name in placed:
        if name not in rooms_of:
            yield _of(Fault.FIELD_UNKNOWN, what, found=name)


def _unsound_outlines(ground: Ground) -> Iterator[Finding]:
    strips = [(f'strip of "{door.name}"', door.strip) for door in ground.doorways if door.strip is not None]
    outlines: list[tuple[str, Ring]] = [
        *((f'room "{room.name}"', room.corners) for room in ground.rooms),
        *((f'{thing.kind} "{thing.name}"', thing.corners) for thing in ground.things),
        *((f'doorway "{doorway.name}"', doorway.opening) for doorway in ground.doorways if _is_deep(doorway)),
        *strips,
    ]
    for what, ring in outlines:
        wrong = what_is_unsound([Area(outer=ring)])
        if wrong:
            yield _of(Fault.UNSOUND, what, found=wrong)


def _is_deep(doorway: PlacedDoorway) -> bool:
    """Tell whether a doorway has any depth: where rooms meet without a wall it is a line."""
    near, far = doorway.opening[:2], doorway.opening[:1:-1]
    return near != far


def _unsound_areas(field: Field) -> Iterator[Finding]:
    wrong = what_is_unsound(field.areas)
    if wrong:
        yield _of(Fault.UNSOUND, _on(field), found=wrong)


def _lines(field: Field, plank: Ticks) -> Iterator[Finding]:
    widths = [upper - lower for lower, upper in pairwise(field.lines)]
    if not widths:
        yield _of(Fault.LINES_FALL, _on(field), found=0, wanted=1)
    for line, width in enumerate(widths, 1):
        outer = line in (1, len(widths))
        if width <= 0:
            yield _of(Fault.LINES_FALL, _on(field, line), found=width, wanted=1)
        elif outer and width > plank:
            yield _of(Fault.EDGE_WIDTH, _on(field, line), found=width, wanted=plank)
        elif not outer and width != plank:
            yield _of(Fault.LINE_WIDTH, _on(field, line), found=width, wanted=plank)


def _field(field: Field, floor: FieldFloor, ledger: Ledger) -> Iterator[Finding]:
    """Hold the runs of a field against its floor, line by line, and see that no floor lies bare."""
    last = len(field.lines) - 1
    bare2 = floor.area2 - sum(part.area2 for parts in floor.parts.values() for part in parts)
    yield from _bare(bare2, _on(field))
    before: Owned = []
    crumbs2 = 0.0
    for line in range(1, last + 1):
        runs = ledger.lines.get((field.name, line), [])
        yield from _widths(runs, field.lines[line] - field.lines[line - 1])
        owned, homeless, left_over = own(runs, floor.parts.get(line, []))
        yield from check_floors(owned, homeless, left_over)
        yield from check_touches(before, owned, field.lines[line - 1])
        crumbs2 += sum(part.area2 for part in left_over if part.area2 <= CRUMB2)
        yield from _left_bare(left_over, len(homeless), _on(field, line))
        before = owned
    yield from _bare(crumbs2, _on(field))
    for (name, line), runs in ledger.lines.items():
        if name == field.name and not 1 <= line <= last:
            yield from (about(laid.run, Fault.OFF_LINES, found=line, wanted=last) for laid in runs)


def _widths(runs: Sequence[LaidRun], band: Ticks) -> Iterator[Finding]:
    for laid in runs:
        if laid.run.width != band:
            yield about(laid.run, Fault.OFF_BAND, found=laid.run.width, wanted=band)


def _left_bare(parts: Sequence[Part], misplaced: int, what: str) -> Iterator[Finding]:
    """Yield the parts of a line that no run has, beyond those of runs told to be out of place."""
    for part in sorted(parts, key=lambda part: part.area2)[: max(len(parts) - misplaced, 0)]:
        if part.area2 > CRUMB2:
            yield from _bare(part.area2, what)


def _bare(area2: float, what: str) -> Iterator[Finding]:
    if area2 > CRUMB2:
        yield _of(Fault.FLOOR_BARE, what, found=round(area2), wanted=CRUMB2)


def _surroundings(field: Field, ground: Ground) -> Iterator[Finding]:
    """Hold the floor against its rooms, the fixed things and the strips in its doorways."""
    solid: list[tuple[str, Ring, Ticks]] = [
        (f'{thing.kind} "{thing.name}"', thing.corners, thing.gap)
        for thing in ground.things
        if thing.field == field.name
    ]
    solid += [
        (f'strip of "{door.name}"', door.strip, 0)
        for door in ground.doorways
        if door.strip is not None and field.name in door.fields
    ]
    for what, corners, gap in solid:
        apart, covered = closeness(field, corners)
        if covered > _along(corners):
            yield _of(Fault.THING_COVERED, what, found=round(2 * covered), wanted=0)
        elif apart < gap - _SPARE:
            yield _of(Fault.THING_CLOSE, what, found=round(apart), wanted=gap)
    if any(room.field == field.name for room in ground.rooms):
        outside = floor_outside(field, ground, _SPARE)
        if 2 * outside > CRUMB2:
            yield _of(Fault.FLOOR_OUTSIDE, _on(field), found=round(2 * outside), wanted=0)


def _along(corners: Ring) -> int:
    """Return the area that a border may gain where it is out as far as it may be."""
    steps = zip(corners, (*corners[1:], corners[0]), strict=True)
    return _SPARE * sum(abs(x1 - x0) + abs(y1 - y0) + _SPARE for (x0, y0), (x1, y1) in steps)


def _net_area(floors: Sequence[FieldFloor], ledger: Ledger) -> Iterator[Finding]:
    """Compare the net area with that of the fields, where all runs lie in one."""
    named = {field.name for field in ledger.plan.ground.fields}
    if any(field not in named for field, _ in ledger.lines):
        return
    found, wanted2 = ledger.plan.totals.net_area_mm2, sum(floor.area2 for floor in floors)
    wanted = wanted2 / 2 / TICKS_PER_MM**2
    # A square millimetre may lie bare in each field; the figure may be stated to a tenth of one.
    spare = len(floors) * Fraction(11, 10)
    if abs(found - wanted) > spare:
        yield _of(Fault.FIELDS_AREA, "all fields", found=found, wanted=round(wanted, 1))
