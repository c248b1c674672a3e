"""How far a line is from the walls and things beside it, taken square to the line."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from cutopt.model.rooms import Point, ThingKind, WallName
from cutopt.model.setout import Mark
from cutopt.setout._chords import Chord, Exact, edges
from cutopt.setout._site import Site, SiteRoom
from cutopt.units import Ticks

__all__ = ["marks"]


@dataclass(frozen=True, slots=True)
class _Edge:
    """Part of the outline of the room or of a thing in it, from its left end to its right."""

    left: Point
    right: Point
    wall: WallName | None = None
    thing: str | None = None

    def at(self, x: Exact) -> Fraction:
        """Return its y at an x."""
        (x0, y0), (x1, y1) = self.left, self.right
        return y0 + Fraction((x - x0) * (y1 - y0), x1 - x0)

    def beside(self, x: Exact, *, right: bool) -> bool:
        """Say whether it passes just right (else just left) of an x."""
        return self.left[0] <= x < self.right[0] if right else self.left[0] < x <= self.right[0]


def marks(  # noqa: PLR0913 - a line and one of its ends
    site: Site, room: SiteRoom, passage: Chord, y: Ticks, *, from_left: bool, upper: bool
) -> tuple[Mark, ...]:
    """Return the distances at one end of a line in a room, towards the first row and away from it.

    They are taken at the very end, or, where the wall that the line ends on is all that is met there, at the
    nearest corner from which another wall is seen. ``upper``: the line is the last row's upper edge.
    """
    outlines = tuple(_outlines(site, room))
    return tuple(
        mark
        for towards_first in (True, False)
        for mark in _mark(
            outlines, room, passage, y, from_left=from_left, towards_first=towards_first, upper=upper
        )
    )


def _outlines(site: Site, room: SiteRoom) -> Iterator[_Edge]:
    names = room.placed.names
    for nth, (start, end) in enumerate(edges(room.ring)):
        if start[0] != end[0]:
            yield _Edge(min(start, end), max(start, end), wall=(names[nth], names[(nth + 1) % len(names)]))
    for thing in site.things:
        if thing.placed.room == room.placed.name and thing.placed.kind is not ThingKind.VENT:
            for start, end in edges(thing.ring):
                if start[0] != end[0]:
                    yield _Edge(min(start, end), max(start, end), thing=thing.placed.name)


def _mark(  # noqa: PLR0913 - a line, one of its ends, and one side
    outlines: Sequence[_Edge],
    room: SiteRoom,
    passage: Chord,
    y: Ticks,
    *,
    from_left: bool,
    towards_first: bool,
    upper: bool,
) -> Iterator[Mark]:
    end = passage[0] if from_left else passage[1]
    corners = {x for edge in outlines for x in (edge.left[0], edge.right[0]) if passage[0] < x < passage[1]}
    for x in (end, *sorted(corners, reverse=not from_left)):
        met = [edge for edge in outlines if edge.beside(x, right=from_left)]
        met = [edge for edge in met if _on_side(edge.at(x), y, towards_first, upper)]
        found = min(met, key=lambda edge: abs(edge.at(x) - y), default=None)
        if found is not None and not _ends_line(found, end, y):
            yield Mark(
                at=(round(x), y),
                room=room.placed.name,
                distance=round(abs(found.at(x) - y)),
                towards_first=towards_first,
                wall=found.wall,
                thing=found.thing,
            )
            return


def _on_side(level: Exact, y: Ticks, towards_first: bool, upper: bool) -> bool:  # noqa: FBT001 - as asked
    """Say whether a level is on the side looked to; what lies in the line itself is behind its row."""
    if level == y:
        return upper != towards_first
    return (level < y) == towards_first


def _ends_line(edge: _Edge, end: Exact, y: Ticks) -> bool:
    """Say whether the line ends on this very edge."""
    return edge.left[1] != edge.right[1] and edge.left[0] <= end <= edge.right[0] and edge.at(end) == y
