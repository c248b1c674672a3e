"""Rooms in inches, and what the layout makes of them."""

from dataclasses import replace
from fractions import Fraction

import pytest

from cutopt.errors import JobError
from cutopt.layout import lay_out
from cutopt.model.floor import Floor, RoomEdges
from cutopt.model.job import Ends, Job, Order, PlankSpec, Rules
from cutopt.model.rooms import OutlineRoom, Room, SizeRoom
from cutopt.units import TICKS_PER_INCH, Unit


def inch(value: str | float) -> int:
    ticks = Fraction(value) * TICKS_PER_INCH
    assert ticks.denominator == 1, f"{value} in is no whole number of ticks"
    return int(ticks)


def job(*rooms: Room, length="48", width="7", gap="0", min_rip="2", min_piece="6") -> Job:
    return Job(
        title="",
        unit=Unit.IN,
        plank=PlankSpec(length=inch(length), width=inch(width), per_box=8, ends=Ends.SQUARE),
        rules=Rules(
            stagger=inch(6),
            min_piece=inch(min_piece),
            h_joint=0,
            stair_step=0,
            cut_step=inch("1/16"),
            min_rip=inch(min_rip),
            gap=inch(gap),
        ),
        order=Order(),
        rooms=rooms,
    )


def size(along, across, name="Studio") -> SizeRoom:
    return SizeRoom(name=name, along=inch(along), across=inch(across))


def outline(*corners: tuple[float | str, float | str], name="Bay") -> OutlineRoom:
    return OutlineRoom(name=name, corners=tuple((inch(x), inch(y)) for x, y in corners))


def only_edges(floor: Floor) -> RoomEdges:
    (edges,) = floor.edges
    return edges


def runs(floor: Floor) -> list[tuple[int, int, Fraction, Fraction]]:
    """Row, run, offset and length, in inches."""
    return [
        (run.row, run.run, Fraction(run.offset, TICKS_PER_INCH), Fraction(run.length, TICKS_PER_INCH))
        for run in floor.runs
    ]


def but_for_corners(floor: Floor) -> Floor:
    """Leave out where the walls have corners: the same floor may be told in several ways."""
    return replace(floor, ground=replace(floor.ground, rooms=()))


def problem(*rooms: Room, **settings) -> str:
    with pytest.raises(JobError) as caught:
        lay_out(job(*rooms, **settings))
    return str(caught.value)
