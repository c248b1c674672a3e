"""The edges of a floor across its rows: what the first row makes of the last one, and edge rips explained."""

from dataclasses import dataclass
from itertools import accumulate

from cutopt.model.teaching import Grade
from cutopt.model.words import Block, Heading, Line
from cutopt.teach.topics._rows import laid
from cutopt.teach.topics._tape import given, grain, para, shown, size, steps
from cutopt.units import Ticks, Unit

__all__ = ["Case", "even_edges", "explain", "keeps", "last_row", "part", "widest_first"]

_ACROSS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A room across its rows: from wall to wall, the gap at walls and hearth, the planks, the minimum rip.

    ``first`` is a first row that is ripped (grade 2), ``hearth`` where a hearth's front stands, from the first
    wall, and ``offered`` are first rows to choose from (grade 3). Rips are multiples of ``step``.
    """

    grade: Grade
    room: Ticks
    gap: Ticks
    width: Ticks
    least: Ticks
    kerf: Ticks = 0
    first: Ticks = 0
    hearth: Ticks = 0
    offered: tuple[Ticks, ...] = ()
    step: Ticks

    @property
    def clear(self) -> Ticks:
        """What the rows cover, from gap to gap."""
        return self.room - 2 * self.gap

    @property
    def front(self) -> Ticks:
        """What the rows cover up to the gap in front of the hearth."""
        return self.hearth - 2 * self.gap


def part(sixteenths: int, mm: int, unit: Unit) -> Ticks:
    """Return a small size of the trade: sixteenths of an inch, or millimeters."""
    return (mm if unit.is_metric else sixteenths) * grain(unit)


def last_row(first: Ticks, across: Ticks, case: Case) -> Ticks:
    """Return what is lacking after the first row and whole ones; a whole row counts."""
    return (across - first) % case.width or case.width


def keeps(first: Ticks, case: Case) -> bool:
    """Say whether row 1, the row in front of the hearth and the last row keep the minimum rip."""
    return min(first, last_row(first, case.front, case), last_row(first, case.clear, case)) >= case.least


def even_edges(case: Case) -> Ticks:
    """Return how wide two equal edges are that share what is over and a whole row."""
    return (case.clear % case.width + case.width) // 2


def widest_first(case: Case) -> Ticks:
    """Return the widest first row that leaves no sliver: a whole one, or one that leaves just the minimum rip."""
    ends = (
        case.width,
        *((across - case.least) % case.width or case.width for across in (case.front, case.clear)),
    )
    return max(end for end in ends if keeps(end, case))


def explain(unit: Unit) -> tuple[Block, ...]:
    """Return edge rips explained on planks of 7 in in a room of 64 in (180 and 1630 mm)."""
    case = Case(
        grade=Grade.SECOND,
        room=size(64, 1630, unit),
        gap=part(4, 6, unit),
        width=size(7, 180, unit),
        least=size(2, 50, unit),
        kerf=part(2, 3, unit),
        step=grain(unit),
    )
    even = even_edges(case)
    plain, balanced = (laid(first, case.clear, case.width) for first in (case.width, even))
    return (
        Heading("Edge rips"),
        para(
            "Across the room, whole rows seldom come out even. What is left over is the last row, and a sliver there "
            "shows, is hard to fix and breaks the minimum rip. So the first row is ripped too, before anything is laid. "
            "Seen across the rows, wall to wall:"
        ),
        Line(),
        _across("row 1 whole", plain),
        _across("equal edges", balanced),
        Line(),
        given(
            (
                "Room",
                f"{shown(case.room, unit)} less two gaps of {shown(case.gap, unit)}: {shown(case.clear, unit)}",
            ),
            ("Planks", f"{shown(case.width, unit)} wide; minimum rip {shown(case.least, unit)}"),
            ("Row 1 whole", f"the last row is {shown(plain[-1], unit)}"),
            ("Equal edges", f"{shown(even, unit)} each, {len(balanced) - 2} whole rows between"),
        ),
        Line(),
        *steps(
            "Take both gaps off the room, then whole rows: what is left over is the last row.",
            "Under the minimum rip, share it and one whole row: (left over + plank width) / 2 for each edge row. "
            f"Here ({shown(plain[-1], unit)} + {shown(case.width, unit)}) / 2 = {shown(even, unit)}.",
            "Two edge strips come from one plank where strip + strip + kerf is no more than its width. Row 1 keeps the "
            "side that meets row 2, the last row keeps the other, so it goes by hand as well. Equal edges of half a "
            f"plank never fit: here {shown(2 * even + case.kerf, unit)} of {shown(case.width, unit)}.",
            "In front of a hearth, an island or a closet's wall the same counts again: look at every stop before "
            "row 1 is ripped.",
        ),
        Line(),
        para(
            "Sources: balancing as (left over + plank) / 2 with 2-1/2 in from 4 in boards and 1 in over is a how-to "
            "article's example (verydays.com); half a plank at least at both edges is asked by engineerfix.com and "
            "diyadvice.com; a laminate supplier's tips ask over 50 mm. That two strips may share a plank is geometry. "
            "Minimum rip of 2 in (50 mm) for other floors: common practice, no source."
        ),
    )


def _across(label: str, rows: tuple[Ticks, ...]) -> Line:
    marks = {round(place * _ACROSS / sum(rows)) for place in accumulate(rows, initial=0)}
    return Line(f"  {label} " + "".join("|" if at in marks else "-" for at in range(_ACROSS + 1)))
