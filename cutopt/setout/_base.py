"""Which lines between rows to snap: one through as many rooms as can be, and one for every room left."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from cutopt.model.rooms import Ring
from cutopt.setout._chords import Chord, Exact, both_sides, chords, meet
from cutopt.setout._site import Site
from cutopt.units import Ticks

__all__ = ["Choice", "choose", "chords_at"]

_MOST_EDGES = 2_000_000
"""Edges looked at in all: beyond, only every so manyth line is."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A stretch of floor along line ``line``, and the rooms it runs through (by their place in the site).

    ``before`` is the line looked at before it.
    """

    line: int
    before: int
    y: Ticks
    floor: Chord
    rooms: frozenset[int]

    @property
    def length(self) -> Exact:
        """How long the stretch is."""
        return self.floor[1] - self.floor[0]


def choose(site: Site) -> list[Choice]:
    """Return the lines to snap, the base line first.

    The base line runs unbroken through the most rooms, and so through their doorways; of such lines at least
    nine tenths as long as the longest it is the middle one of the first band that is at least half as broad as
    the broadest. Rooms that it leaves out get further lines by the same rule. All lie between rows, so that
    edges meet at openings.
    Source: a line through the opening, the second room's starter set from it by whole rows (US Army
    carpentry course EN5156, fig. 1-30).
    """
    choices = list(_choices(site))
    left = frozenset(range(len(site.rooms)))
    chosen = []
    while left and (best := _best(choices, left)) is not None:
        chosen.append(best)
        left -= best.rooms
    return chosen


def _best(choices: Sequence[Choice], left: frozenset[int]) -> Choice | None:
    most = max((len(choice.rooms & left) for choice in choices), default=0)
    if not most:
        return None
    through = [choice for choice in choices if len(choice.rooms & left) == most]
    longest = max(choice.length for choice in through)
    long = [choice for choice in through if choice.length * 10 >= longest * 9]
    bands = _bands(long)
    broad = max(map(len, bands))
    band = next(band for band in bands if 2 * len(band) >= broad)
    return band[(len(band) - 1) // 2]


def _bands(choices: Iterable[Choice]) -> list[list[Choice]]:
    """Return the lines that follow each other through the same rooms together, bands by their first line."""
    bands: list[list[Choice]] = []
    for choice in sorted(choices, key=lambda choice: (choice.line, choice.floor)):
        open_band = next(
            (band for band in bands if band[-1].rooms == choice.rooms and band[-1].line == choice.before),
            None,
        )
        if open_band is None:
            bands.append([choice])
        else:
            open_band.append(choice)
    return bands


def _choices(site: Site) -> Iterator[Choice]:
    """Yield every stretch of floor along a line between rows; one row has its lower edge only."""
    lines = _thinned(site, range(1, site.last_line)) or range(1)
    for line in lines:
        yield from _stretches(site, line, line - lines.step)


def chords_at(site: Site, rings: Sequence[Ring], line: int) -> list[Chord]:
    """Return a line's stretches within rings: on both of its sides, on the inner one at the field's edge."""
    if line == 0:
        return chords(rings, site.lines[0], above=True)
    if line == site.last_line:
        return chords(rings, site.lines[-1], above=False)
    return both_sides(rings, site.lines[line])


def _stretches(site: Site, line: int, before: int) -> Iterator[Choice]:
    y = site.lines[line]
    rooms = [chords_at(site, (room.ring,), line) for room in site.rooms]
    for chord in chords_at(site, site.rings, line):
        reached = frozenset(room for room, walls in enumerate(rooms) if meet((chord,), walls))
        if reached:
            yield Choice(line, before, y, chord, reached)


def _thinned(site: Site, lines: range) -> range:
    corners = sum(map(len, site.rings)) + sum(len(room.ring) for room in site.rooms)
    return lines[:: 1 + len(lines) * corners // _MOST_EDGES]
