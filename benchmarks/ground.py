"""How soon rooms become rows: a floor of twelve rooms with sixty fixed things, and an outline of 10,000 corners.

Every floor is laid out several times in one process, its libraries loaded before; the median counts.

    python benchmarks/ground.py [--runs N]

Exit status 1 when a target is missed.
"""

import argparse
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import cos, pi, sin
from statistics import median

from tables import machine

from cutopt.layout import lay_out
from cutopt.model.floor import Floor
from cutopt.model.job import EdgePolicy, Ends, Job, LayoutSpec, Order, PlankSpec, Rules
from cutopt.model.rooms import Doorway, FixedThing, OutlineRoom, Point, SizeRoom, ThingKind
from cutopt.units import TICKS_PER_MM, Unit

TARGET = 1.0
CORNERS = 10_000
"""As many as a job file may give one room."""

MM = TICKS_PER_MM
ALONG, ACROSS, WALL, DOOR = 5000 * MM, 4000 * MM, 120 * MM, 800 * MM
COLUMNS, ROWS = 4, 3
"""Rooms side by side: twelve in all, five things in each."""
STRIPS = 4
"""One doorway of so many has a strip; the others let the rows through."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A floor, how many runs it has, and how long it took, in seconds; ``target`` of those that have one."""

    name: str
    target: float | None
    runs: int
    seconds: float

    @property
    def missed(self) -> bool:
        """Whether it took longer than its target."""
        return self.target is not None and self.seconds > self.target


def twelve_rooms(degrees: int = 0, edges: EdgePolicy = EdgePolicy.AUTO) -> Job:
    """Return rooms in three rows of four, a doorway between all neighbours, some with a strip."""
    rooms = {
        (column, row): SizeRoom(
            name=_name(column, row),
            along=ALONG,
            across=ACROSS,
            at=(column * (ALONG + WALL), row * (ACROSS + WALL)),
            fixed=tuple(_thing(nth, column + row) for nth in range(5)),
        )
        for row in range(ROWS)
        for column in range(COLUMNS)
    }
    doorways = [_doorway(one, other, nth) for nth, (one, other) in enumerate(_neighbours())]
    return _job(tuple(rooms.values()), doorways, degrees, edges)


def _name(column: int, row: int) -> str:
    return f"Room {1 + column + row * COLUMNS}"


def _neighbours() -> list[tuple[Point, Point]]:
    beside = [((c, r), (c + 1, r)) for r in range(ROWS) for c in range(COLUMNS - 1)]
    return beside + [((c, r), (c, r + 1)) for r in range(ROWS - 1) for c in range(COLUMNS)]


def _doorway(one: Point, other: Point, nth: int) -> Doorway:
    walls = (("B", "C"), ("A", "D")) if one[1] == other[1] else (("D", "C"), ("A", "B"))
    offset = (600 + 70 * nth) * MM
    return Doorway(
        name=f"doorway {nth + 1}",
        rooms=(_name(*one), _name(*other)),
        walls=walls,
        offsets=(offset, offset),
        width=DOOR,
        undercut=10 * MM,
        strip=40 * MM if nth % STRIPS == 0 else None,
    )


def _thing(nth: int, turn: int) -> FixedThing:
    """Return the nth thing of a room: boxes, slanted boxes and a round column, none near another."""
    x, y = (700 + 850 * nth) * MM, (600 + 450 * ((nth + turn) % 5)) * MM
    if nth == 0:
        corners = _round((x, y), 150 * MM, 24)
        return FixedThing(name="column", kind=ThingKind.COLUMN, corners=corners)
    lean = 37 * MM if nth % 2 else 0
    corners = (x, y), (x + 400 * MM, y + lean), (x + 400 * MM - lean, y + 300 * MM), (x - lean, y + 263 * MM)
    kind = ThingKind.VENT if nth == 1 else ThingKind.ISLAND
    return FixedThing(name=f"{kind} {nth}", kind=kind, corners=corners)


def round_room(corners: int, edges: EdgePolicy = EdgePolicy.AUTO) -> Job:
    """Return one round room of so many corners, ten metres across."""
    room = OutlineRoom(name="Rotunda", corners=_round((5000 * MM, 5000 * MM), 5000 * MM, corners))
    return _job((room,), (), 0, edges)


def jagged_room(corners: int) -> Job:
    """Return one room with a wall of so many corners, jogs of a millimetre."""
    steps = [(nth * MM, (3000 + nth // 2 % 2) * MM) for nth in range(corners - 2, 0, -1)]
    room = OutlineRoom(name="Comb", corners=((0, 0), ((corners - 2) * MM, 0), *steps))
    return _job((room,), (), 0, EdgePolicy.AUTO)


def _round(middle: Point, radius: int, corners: int) -> tuple[Point, ...]:
    turns = [2 * pi * nth / corners for nth in range(corners)]
    return tuple((middle[0] + round(radius * cos(a)), middle[1] + round(radius * sin(a))) for a in turns)


def _job(
    rooms: tuple[SizeRoom | OutlineRoom, ...], doorways: Sequence[Doorway], degrees: int, edges: EdgePolicy
) -> Job:
    return Job(
        title="Speed",
        unit=Unit.MM,
        plank=PlankSpec(length=1220 * MM, width=180 * MM, per_box=10, ends=Ends.HANDED),
        rules=Rules(
            stagger=200 * MM,
            min_piece=200 * MM,
            h_joint=0,
            stair_step=0,
            cut_step=MM,
            min_rip=40 * MM,
            gap=8 * MM,
        ),
        order=Order(),
        rooms=rooms,
        doorways=tuple(doorways),
        layout=LayoutSpec(direction=Fraction(degrees), edges=edges),
    )


def measure(runs: int) -> list[Measured]:
    """Lay every floor out ``runs`` times."""
    floors: dict[str, tuple[float | None, Callable[[], Job]]] = {
        "12 rooms, 60 things": (TARGET, twelve_rooms),
        "the same at 45 degrees": (TARGET, lambda: twelve_rooms(45)),
        "the same by its stops": (TARGET, lambda: twelve_rooms(edges=EdgePolicy.STOPS)),
        "a comb of 10,000 corners": (None, lambda: jagged_room(CORNERS)),
        "a ring of 10,000 corners": (None, lambda: round_room(CORNERS)),
        "the same by its stops ": (None, lambda: round_room(CORNERS, EdgePolicy.STOPS)),
    }
    return [_measured(name.strip(), target, make(), runs) for name, (target, make) in floors.items()]


def _measured(name: str, target: float | None, job: Job, runs: int) -> Measured:
    floor, _ = _laid(replace(job, title="to load the libraries"))
    seconds = median(_laid(job)[1] for _ in range(runs))
    return Measured(name, target, len(floor.runs), seconds)


def _laid(job: Job) -> tuple[Floor, float]:
    start = time.perf_counter()
    floor = lay_out(job)
    return floor, time.perf_counter() - start


def table(results: Sequence[Measured]) -> str:
    """Return the results as aligned text."""
    lines = [f"{'':26}{'runs':>6}{'target':>10}{'median':>10}"]
    for one in results:
        target = "" if one.target is None else f"{one.target:.2f} s"
        missed = "  missed" if one.missed else ""
        lines.append(f"{one.name:26}{one.runs:>6}{target:>10}{one.seconds:>8.2f} s{missed}")
    return "\n".join(lines)


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure, print, and say by the exit status whether the targets were met."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--runs", type=int, default=5, metavar="N")
    options = parser.parse_args(arguments)
    results = measure(max(1, options.runs))
    print(f"{machine()}\n{table(results)}")
    return 1 if any(one.missed for one in results) else 0


if __name__ == "__main__":
    sys.exit(main())
