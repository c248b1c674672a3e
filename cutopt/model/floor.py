"""Rooms turned into rows and runs: what the planner lays and the check measures."""

from dataclasses import dataclass

from cutopt.units import Ticks

__all__ = ["Floor", "RoomEdges", "Run"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """An unbroken stretch of one row between two stops. Lengths in ticks.

    ``field`` groups rooms whose rows run through; ``line`` is the row within the field, from
    the first laid, and ``row`` the job's row number; both count from 1, as does ``run`` within
    its row. ``offset`` is the left end measured from the field's origin, ``length`` spans from
    the leftmost to the rightmost point of the strip.

    A slant is the signed run-out of that end across the row (0 when the wall is square to it);
    its size is what the shorter long edge of the piece at that wall loses.
    ``area2`` is twice the area laid, in square ticks, so that it stays a whole number.
    """

    room: str
    field: str
    line: int
    row: int
    run: int
    offset: Ticks
    length: Ticks
    width: Ticks
    left_slant: Ticks = 0
    right_slant: Ticks = 0
    area2: int

    @property
    def right(self) -> Ticks:
        """The right end, from the field's origin."""
        return self.offset + self.length


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomEdges:
    """How the rows of one room meet its first and last wall. Lengths in ticks.

    ``clear`` is the width across the rows inside the gaps; ``remainder`` what is left of it
    after whole rows; ``balanced`` says that first and last row were ripped alike on purpose.
    ``rows`` counts lines of planks.
    """

    room: str
    clear: Ticks
    rows: int
    remainder: Ticks
    first_width: Ticks
    last_width: Ticks
    balanced: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """All runs in laying order, and the edges of each room whose rows were computed."""

    runs: tuple[Run, ...]
    edges: tuple[RoomEdges, ...] = ()
    warnings: tuple[str, ...] = ()
