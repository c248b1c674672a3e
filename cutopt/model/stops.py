"""Stops and what the rows come to at each: the answer to where the lines between rows should lie."""

from dataclasses import dataclass

from cutopt.model.rooms import StopSide
from cutopt.units import Ticks

__all__ = ["LinePlace", "StopLine", "StopRip", "StopsSolution"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StopLine:
    """A stop as the rows meet it, in ticks across them from a datum common to all stops.

    Its edge runs from ``low`` to ``high`` (``low <= high``) along its length: the same for a square stop,
    apart for a tapered one. Rows come up to it (before) or begin at it (after). Wanted is no rip narrower
    than ``min_rip``, or a ``full`` row: whole at its wide end, and scribed to the taper from there.

    Along the rows it is the same, with plank lengths for rows and joints for the lines between them;
    ``phases`` are then how far the joints of each kind of row are shifted (half: 0 and half a plank).
    """

    name: str
    side: StopSide
    low: Ticks
    high: Ticks
    min_rip: Ticks = 0
    full: bool = False
    phases: tuple[Ticks, ...] = (0,)


@dataclass(frozen=True, slots=True, kw_only=True)
class StopRip:
    """What is ripped at a stop, in ticks: its wide and its narrow end, the same where the stop is square.

    A row that tapers out because a line crosses the stop's edge is 0 at its narrow end. Over several
    phases: the widest and the narrowest of all. ``wanted`` is the least width wanted: at the wide end
    of a full row, at the narrow end of any other.
    """

    stop: StopLine
    wide: Ticks
    narrow: Ticks
    wanted: Ticks
    is_ok: bool

    @property
    def is_tapered(self) -> bool:
        """Whether the rip is wider at one end than at the other."""
        return self.wide != self.narrow


@dataclass(frozen=True, slots=True, kw_only=True)
class LinePlace:
    """A place for the lines between rows, ``at`` from the datum and every pitch from there, and its rips."""

    at: Ticks
    rips: tuple[StopRip, ...]

    @property
    def is_ok(self) -> bool:
        """Whether every stop gets what it wants."""
        return all(rip.is_ok for rip in self.rips)

    @property
    def narrowest(self) -> StopRip | None:
        """The (first) narrowest rip; ``None`` without stops."""
        return min(self.rips, key=lambda rip: rip.narrow, default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class StopsSolution:
    """The best place for the lines between rows, what else there is, and how far they may move.

    ``back`` and ``ahead`` are the ticks that the lines may move to smaller and larger places before a stop
    gets less than it wants, ``None`` when they may lie anywhere, 0 when a stop gets less already.
    ``conflict`` names stops that cannot all have what they want (any one of them left out, the others can);
    the best place is then that which makes the worst shortfall smallest.
    """

    pitch: Ticks
    best: LinePlace
    next_best: LinePlace | None = None
    back: Ticks | None = None
    ahead: Ticks | None = None
    conflict: tuple[StopLine, ...] = ()
