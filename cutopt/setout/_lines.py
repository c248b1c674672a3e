"""Working lines with their distances from walls, rows checked against them, and check diagonals."""

from collections.abc import Iterator, Sequence
from math import hypot

from cutopt.model.rooms import Point, ThingKind
from cutopt.model.setout import FieldLines, LineEnd, LineStretch, RowCheck, WorkingLine
from cutopt.setout._base import Choice, choose, chords_at
from cutopt.setout._chords import Chord, Exact, chords, edges, meet
from cutopt.setout._diagonals import diagonals
from cutopt.setout._marks import marks
from cutopt.setout._site import Site, SiteRoom
from cutopt.setout._triangle import largest_triangle
from cutopt.units import Ticks, Unit

__all__ = ["field_lines", "row_checks", "rows_checked"]

_USUAL_STEP = 5
_MOST_CHECKS = 12


def field_lines(site: Site, unit: Unit, tolerance: Ticks) -> FieldLines | None:
    """Return what to snap in a field, ``None`` where it has no line; ``tolerance`` is that of one row's width."""
    chosen = choose(site)
    if not chosen:
        return None
    return FieldLines(
        field=site.field.name,
        rooms=site.field.rooms,
        lines=tuple(_working_line(site, choice, unit) for choice in chosen),
        checks=row_checks(site, chosen[0].line, rows_checked(site, chosen[0].line), tolerance),
        diagonals=diagonals(site),
    )


def rows_checked(site: Site, base: int) -> list[int]:
    """Return every fifth line (fewer where there are many) from the base line both ways, and the outermost."""
    step = _USUAL_STEP
    while site.last_line // step > _MOST_CHECKS - 2:
        step += _USUAL_STEP
    inner = [line for line in range(1, site.last_line) if line != base and (line - base) % step == 0]
    return sorted({0, *inner, site.last_line} - {base})


def row_checks(site: Site, base: int, lines: Sequence[int], tolerance: Ticks) -> tuple[RowCheck, ...]:
    """Return how far lines are from the base line; each is called by the row beyond which it lies.

    The tolerance is that of so many rows that are all out the same way: widths of one box may be.
    """
    found = []
    for line in lines:
        row = site.rows.get(line if line > base else line + 1)
        if row is not None:
            distance = abs(site.lines[line] - site.lines[base])
            found.append(
                RowCheck(row=row, rows=line - base, distance=distance, tolerance=tolerance * abs(line - base))
            )
    return tuple(found)


def _working_line(site: Site, choice: Choice, unit: Unit) -> WorkingLine:
    stretches = tuple(_in_rooms(site, choice))
    left = min([choice.floor[0], *(stretch.start[0] for stretch in stretches)])
    right = max([choice.floor[1], *(stretch.end[0] for stretch in stretches)])
    start, end = (round(left), choice.y), (round(right), choice.y)
    datum = int(_first_ripped(site))
    return WorkingLine(
        line=choice.line,
        row=site.rows.get(choice.line),
        rows=choice.line - datum,
        ripped_first=bool(datum),
        y=choice.y,
        start=start,
        end=end,
        on_plan=(_on_plan(site, start), _on_plan(site, end)),
        stretches=stretches,
        triangle=largest_triangle(site, choice, start[0], unit),
    )


def _first_ripped(site: Site) -> bool:
    return site.last_line > 1 and site.lines[1] - site.lines[0] < site.width


def _on_plan(site: Site, point: Point) -> Point:
    x, y = site.field.frame.to_plan(point)
    return round(x), round(y)


def _in_rooms(site: Site, choice: Choice) -> Iterator[LineStretch]:
    """Yield the line room by room, from wall to wall as far as nothing stands in its way."""
    found = [
        (passage, walls, room)
        for room in (site.rooms[place] for place in choice.rooms)
        for walls in chords_at(site, (room.ring,), choice.line)
        for passage in meet((choice.floor,), (walls,))
    ]
    for passage, walls, room in sorted(found, key=lambda item: item[0]):
        yield _stretch(site, choice, room, _extended(site, choice, passage, walls), walls)


def _extended(site: Site, choice: Choice, passage: Chord, walls: Chord) -> Chord:
    """Return the passage out to the walls, over the gaps, or to the things that stand before them."""
    stand = [
        chord
        for thing in site.things
        if thing.placed.kind is not ThingKind.VENT
        for above in (True, False)
        for chord in chords((thing.ring,), choice.y, above=above)
    ]
    left = max([walls[0], *(end for _, end in stand if end <= passage[0])])
    right = min([walls[1], *(start for start, _ in stand if start >= passage[1])])
    return left, right


def _stretch(site: Site, choice: Choice, room: SiteRoom, passage: Chord, walls: Chord) -> LineStretch:
    left, right = passage
    upper = choice.line == site.last_line
    return LineStretch(
        room=room.placed.name,
        start=(round(left), choice.y),
        end=(round(right), choice.y),
        left=marks(site, room, passage, choice.y, from_left=True, upper=upper),
        right=marks(site, room, passage, choice.y, from_left=False, upper=upper),
        start_on=_line_end(room, left, choice.y) if left == walls[0] else None,
        end_on=_line_end(room, right, choice.y) if right == walls[1] else None,
    )


def _line_end(room: SiteRoom, x: Exact, y: Ticks) -> LineEnd | None:
    """Return where on a wall that is not along the line the point lies."""
    names = room.placed.names
    for nth, ((x0, y0), (x1, y1)) in enumerate(edges(room.ring)):
        if y0 != y1 and min(y0, y1) <= y <= max(y0, y1) and (x - x0) * (y1 - y0) == (y - y0) * (x1 - x0):
            along = round(hypot(x - x0, y - y0)) if x0 != x1 else abs(y - y0)
            return LineEnd(wall=(names[nth], names[(nth + 1) % len(names)]), from_corner=along)
    return None
