"""Where the lines between rows should lie, so that the narrowest rip at any stop is as wide as can be.

One unknown, ``t``: where a line between rows lies, from the datum of the stops, modulo the pitch W. What it
is good for, and the wish for a table and the next best, come from trade practice (a story board walked
over seven stop points: flooringforum.com, "what did you do today", page 250). The method is ours.

Rows that come up to a stop are widest at its ``high`` end: ``u = (high - t) mod W``, 0 standing for a whole
row W. At the low end the row is narrower by ``reach = high - low``: its narrow end is ``u - reach``. Where
that is 0 or less a line meets the edge and the row tapers out: 0, the least width met. Rows that begin at
a stop are the mirror of it: ``u = (t - low) mod W``. So on a circle of W ticks every rip is straight but for
two jumps, falling before a stop and rising after one. Between neighbouring jumps (a *piece*) all rips are
straight, and the best place is at an end or where the least falling rip meets the least rising one.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from cutopt.model.rooms import StopSide
from cutopt.model.stops import LinePlace, StopLine, StopRip, StopsSolution
from cutopt.units import TICKS_PER_INCH, Ticks

__all__ = ["APART", "first_row", "place", "solve"]

APART: Ticks = TICKS_PER_INCH // 16
"""Places nearer to each other than 1/16 in are one to a person with a tape (limit of our own choice)."""

_Key = tuple[Ticks, list[Ticks]]
"""How good a place is: the worst shortfall (0 or less), then the rips from the narrowest up."""


@dataclass(frozen=True, slots=True)
class _Edge:
    """One stop in one phase. It meets a row ``u`` wide; ``u - reach`` is its rip, ``u - lack`` must be ``wanted``."""

    rises: bool
    anchor: Ticks
    reach: Ticks
    lack: Ticks
    wanted: Ticks
    pitch: Ticks

    def grown(self, t: Ticks) -> Ticks:
        """Return ``u``, from 1 to the pitch."""
        return ((t - self.anchor if self.rises else self.anchor - t) % self.pitch) or self.pitch

    def rip(self, t: Ticks) -> Ticks:
        """Return the narrow end of the rip."""
        return max(0, self.grown(t) - self.reach)

    def wide(self, t: Ticks) -> Ticks:
        """Return the wide end of the rip: a whole row where a line crosses the edge."""
        grown = self.grown(t)
        return grown if grown >= self.reach else self.pitch

    def margin(self, t: Ticks) -> Ticks:
        """Return by how much the row is wider than wanted (below 0: its shortfall)."""
        return max(0, self.grown(t) - self.lack) - self.wanted

    def jumps(self) -> Iterator[Ticks]:
        """Yield the first place of each straight part of the rip and of the margin."""
        yield self.anchor + 1 if self.rises else self.anchor
        for flat in {self.reach, self.lack} - {0}:
            yield self.anchor + flat if self.rises else self.anchor + self.pitch - flat

    def barred(self) -> tuple[Ticks, Ticks] | None:
        """Return where t may not be: its first place and how many follow it, ``None`` for nowhere."""
        if self.wanted <= 0:
            return None
        places = min(self.lack + self.wanted - 1, self.pitch)
        first = self.anchor + 1 if self.rises else self.anchor - places
        return (first % self.pitch, places) if places else None


_Edges = tuple[_Edge, ...]
"""A stop in all its phases; its rip is the narrowest of them."""


def solve(stops: Sequence[StopLine], pitch: Ticks, *, apart: Ticks = APART) -> StopsSolution:
    """Return the place of the lines that makes the narrowest rip widest and gives every stop what it wants.

    Among places equal in the narrowest rip the second narrowest decides, and so on; then the smallest.
    Where the stops cannot all have what they want, the worst shortfall is made smallest before that.

    The next best is another local optimum (better than one tick before, no worse than one tick on) at
    least ``apart`` from the best on the circle of the pitch, and one that keeps every wish if the best does.

    Exact in ticks. It takes time by the square of the number of stops, and none by the pitch.
    Raises ``ValueError`` when the pitch is not over 0 or a stop has its ends the wrong way round.
    """
    if pitch <= 0 or any(stop.low > stop.high for stop in stops):
        raise ValueError("rows need a width, and the low end of a stop comes first")
    edges = [_edges(stop, pitch) for stop in stops]
    tops = sorted((_best_of(piece, edges) for piece in _pieces(edges, pitch)), key=_goodness, reverse=True)
    (worst, _), best = tops[0]
    other = _next_best(tops, edges, pitch, apart)
    back, ahead = _play(edges, best) if worst == 0 else (0, 0)
    return StopsSolution(
        pitch=pitch,
        best=_place(stops, edges, best),
        next_best=None if other is None else _place(stops, edges, other),
        back=back,
        ahead=ahead,
        conflict=tuple(stops[at] for at in _conflict(edges, pitch)) if worst < 0 else (),
    )


def place(stops: Sequence[StopLine], pitch: Ticks, at: Ticks) -> LinePlace:
    """Return what every stop gets where a line between rows lies ``at``."""
    return _place(stops, [_edges(stop, pitch) for stop in stops], at % pitch)


def first_row(at: Ticks, base: Ticks, pitch: Ticks) -> Ticks:
    """Return how wide the first row is that begins at ``base`` when lines lie ``at`` and every pitch from there."""
    return ((at - base) % pitch) or pitch


def _edges(stop: StopLine, pitch: Ticks) -> _Edges:
    """Return the stop in each phase. A full row only lacks what of the taper goes beyond a whole row."""
    rises, reach = stop.side is StopSide.AFTER, stop.high - stop.low
    return tuple(
        _Edge(
            rises=rises,
            anchor=((stop.low if rises else stop.high) - phase) % pitch,
            reach=min(reach, pitch),
            lack=min(max(0, reach - pitch) if stop.full else reach, pitch),
            wanted=pitch if stop.full else stop.min_rip,
            pitch=pitch,
        )
        for phase in dict.fromkeys(phase % pitch for phase in stop.phases)
    )


def _pieces(edges: Iterable[_Edges], pitch: Ticks) -> Iterator[tuple[Ticks, Ticks]]:
    """Yield first and last place of every piece of the circle on which all rips are straight."""
    starts = {jump % pitch for phases in edges for edge in phases for jump in edge.jumps()}
    for start, following in pairwise([*sorted(starts | {0}), pitch]):
        yield start, following - 1


def _best_of(piece: tuple[Ticks, Ticks], edges: Sequence[_Edges]) -> tuple[_Key, Ticks]:
    """Return how good the best place of a piece is, and that place (the smallest of equals)."""
    every = [edge for phases in edges for edge in phases]
    worst = max(_shortfall(every, t) for t in _candidates(piece, every, _Edge.margin))
    allowed = _allowed(piece, every, worst)
    return max(((_key(edges, t), t) for t in _candidates(allowed, every, _Edge.rip)), key=_goodness)


def _candidates(
    piece: tuple[Ticks, Ticks], edges: Sequence[_Edge], width: Callable[[_Edge, Ticks], Ticks]
) -> set[Ticks]:
    """Return places one of which makes the least width (straight on the piece) greatest.

    Both sides of the crossing are among them: of an odd difference either may have the better second.
    """
    start, end = piece
    ends = [(width(edge, start), width(edge, end)) for edge in edges]
    rising = min((first for first, last in ends if last > first), default=None)
    falling = min((first for first, last in ends if last < first), default=None)
    places = {start, end}
    if rising is not None and falling is not None:
        crossing = start + (falling - rising) // 2
        places |= {min(max(t, start), end) for t in (crossing, crossing + 1)}
    return places


def _allowed(piece: tuple[Ticks, Ticks], edges: Sequence[_Edge], worst: Ticks) -> tuple[Ticks, Ticks]:
    """Return first and last place of a piece where no stop lacks more than ``worst`` (somewhere so)."""
    start, end = piece
    low, high = start, end
    for edge in edges:
        spare = edge.margin(start) - worst
        if edge.margin(end) < edge.margin(start):
            high = min(high, start + spare)
        else:
            low = max(low, start - spare)
    return low, high


def _shortfall(edges: Iterable[_Edge], t: Ticks) -> Ticks:
    return min(0, min((edge.margin(t) for edge in edges), default=0))


def _key(edges: Sequence[_Edges], t: Ticks) -> _Key:
    rips = sorted(min(edge.rip(t) for edge in phases) for phases in edges)
    return min((_shortfall(phases, t) for phases in edges), default=0), rips


def _goodness(top: tuple[_Key, Ticks]) -> tuple[_Key, Ticks]:
    key, t = top
    return key, -t


def _next_best(
    tops: Sequence[tuple[_Key, Ticks]], edges: Sequence[_Edges], pitch: Ticks, apart: Ticks
) -> Ticks | None:
    """Return the best of the other tops (in order) that beats the tick before it and is not beaten by the next."""
    (best_worst, _), best = tops[0]
    for key, t in tops[1:]:
        away = (t - best) % pitch
        is_other = min(away, pitch - away) >= apart and (best_worst < 0 or key[0] == 0)
        if is_other and _key(edges, t - 1) < key >= _key(edges, t + 1):
            return t
    return None


def _play(edges: Iterable[_Edges], t: Ticks) -> tuple[Ticks | None, Ticks | None]:
    """Return how far the lines may move back and ahead of a place where every stop has what it wants."""
    back: list[Ticks] = []
    ahead: list[Ticks] = []
    for edge in (edge for phases in edges for edge in phases if edge.barred()):
        to_line, spare = edge.pitch - edge.grown(t), edge.margin(t)
        back.append(spare if edge.rises else to_line)
        ahead.append(to_line if edge.rises else spare)
    return min(back, default=None), min(ahead, default=None)


def _conflict(edges: Sequence[_Edges], pitch: Ticks) -> list[int]:
    """Return stops that leave no place for the lines, none of which could be spared (by deletion)."""
    kept = list(range(len(edges)))
    for at in range(len(edges)):
        others = [other for other in kept if other != at]
        if _leaves_nothing([edges[other] for other in others], pitch):
            kept = others
    return kept


def _leaves_nothing(edges: Iterable[_Edges], pitch: Ticks) -> bool:
    """Tell whether the stops together bar every place on the circle."""
    arcs = [arc for phases in edges for edge in phases if (arc := edge.barred())]
    turned = [(first - pitch, places) for first, places in arcs if first + places > pitch]
    free = 0
    for first, places in sorted(arcs + turned):
        if first > free:
            return False
        free = max(free, first + places)
    return free >= pitch


def _place(stops: Sequence[StopLine], edges: Sequence[_Edges], t: Ticks) -> LinePlace:
    return LinePlace(
        at=t, rips=tuple(_stop_rip(stop, phases, t) for stop, phases in zip(stops, edges, strict=True))
    )


def _stop_rip(stop: StopLine, phases: _Edges, t: Ticks) -> StopRip:
    return StopRip(
        stop=stop,
        wide=max(edge.wide(t) for edge in phases),
        narrow=min(edge.rip(t) for edge in phases),
        wanted=phases[0].wanted,
        is_ok=_shortfall(phases, t) == 0,
    )
