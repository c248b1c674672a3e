"""The floor of a field cut into rows and runs, and which runs touch."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from itertools import chain

from cutopt.layout._bands import Bands, divide
from cutopt.layout._given import FieldRows, Row, from_left, refuse_too_many
from cutopt.layout._spans import Span
from cutopt.layout._strips import cut_rows
from cutopt.layout.ground import FieldGround, Site
from cutopt.layout.stops import first_row, place, solve
from cutopt.layout.stops.find import decide, stop_lines
from cutopt.model.floor import RoomEdges
from cutopt.model.job import EdgePolicy, Job
from cutopt.model.stops import LinePlace, StopLine, StopsSolution
from cutopt.units import Ticks

__all__ = ["field_rows", "touching"]


def field_rows(field: FieldGround, site: Site, job: Job) -> FieldRows:
    """Lay a field out in rows: the first row by its edge policy or its stops, the others from there.

    Raises ``JobError`` when the first row cannot be as wide as asked or there are too many rows.
    """
    job = _with_own_edges(field, job)
    heights = [y for area in field.areas for _, y in area.outer]
    low, clear = min(heights), max(heights) - min(heights)
    solution = _stops(field, site, job, (low, clear))
    bands = divide(
        base=low,
        clear=clear,
        width=job.plank.width,
        min_rip=job.rules.min_rip,
        policy=job.layout.edges,
        first_width=_first_width(solution, low, clear, job),
        where=f'room "{field.name}"',
    )
    refuse_too_many(field.name, bands.count)
    by_row: defaultdict[int, list[Span]] = defaultdict(list)
    for row, span in chain.from_iterable(cut_rows(area, bands) for area in field.areas):
        by_row[row].append(span)
    return _computed(field.name, bands, by_row, solution)


def _with_own_edges(field: FieldGround, job: Job) -> Job:
    """Return the job as it holds for a field: the edge policy of the first of its rooms that has one."""
    own = next((one.room.edges for one in field.rooms if one.room.edges is not None), None)
    return job if own is None else replace(job, layout=replace(job.layout, edges=own, first_width=None))


def _stops(field: FieldGround, site: Site, job: Job, across: tuple[Ticks, Ticks]) -> StopsSolution | None:
    """Solve for the lines where the job asks for it, or names stops without asking for anything else.

    Nothing is asked of a floor that goes through doorways or round things either, unless rows set out from
    its first edge to its last would leave a sliver at a wall or thing between: then that is mended so.
    """
    if not decide(job.layout):
        return None
    named = any(stop.room in {one.room.name for one in field.rooms} for stop in job.stops)
    plain = len(field.shapes) == 1 and not field.rooms[0].room.fixed
    if plain and not named and job.layout.edges is EdgePolicy.AUTO:
        return None
    stops = stop_lines(field, site, job)
    if not stops:
        return None
    base, clear = across
    pitch = job.plank.width
    solution = _solved(stops, pitch, base)
    if named or job.layout.edges is EdgePolicy.STOPS:
        return solution
    usual = divide(base=base, clear=clear, width=pitch, min_rip=job.rules.min_rip)
    as_usual = place(stops, pitch, base + usual.first)
    return solution if _shortfall(solution.best) < _shortfall(as_usual) else None


def _shortfall(lines: LinePlace) -> Ticks:
    """Return by how much the worst rip is narrower than wanted."""
    return max((rip.wanted - rip.narrow for rip in lines.rips if not rip.is_ok), default=0)


def _solved(stops: Sequence[StopLine], pitch: Ticks, base: Ticks) -> StopsSolution:
    """Solve for the lines; where the stops clash, whole rows asked for go before least rips.

    The stops are seen from the first row at ``base``, so that a floor is laid alike wherever it lies; those that
    differ in their names alone, such as the parts of a wall told in parts, count once.
    """
    told: dict[StopLine, StopLine] = {}
    for stop in stops:
        told.setdefault(replace(stop, name="", low=stop.low - base, high=stop.high - base), stop)
    solution = solve(list(told), pitch)
    best, other = solution.best.at, solution.next_best
    if solution.conflict and any(stop.full for stop in stops):
        whole = solve([stop if stop.full else replace(stop, min_rip=0) for stop in told], pitch)
        if not whole.conflict:
            best, other = whole.best.at, None
    return replace(
        solution,
        best=place(stops, pitch, best + base),
        next_best=None if other is None else place(stops, pitch, other.at + base),
        conflict=tuple(told[stop] for stop in solution.conflict),
    )


def _first_width(solution: StopsSolution | None, base: Ticks, clear: Ticks, job: Job) -> Ticks | None:
    if solution is None:
        return job.layout.first_width
    return min(first_row(solution.best.at, base, job.plank.width), clear)


def _computed(
    name: str, bands: Bands, by_row: dict[int, list[Span]], solution: StopsSolution | None
) -> FieldRows:
    """Gather computed rows; a line without floor (a neck lost to the gaps) is counted, not laid."""
    rows = tuple(
        Row(line=at + 1, width=bands.width(at), spans=tuple(sorted(spans, key=from_left)))
        for at, spans in sorted(by_row.items())
    )
    edges = RoomEdges(
        room=name,
        clear=bands.clear,
        rows=len(rows),
        remainder=bands.remainder,
        first_width=bands.first,
        last_width=bands.last,
        balanced=bands.balanced,
    )
    lines = (*map(bands.bottom, range(bands.count)), bands.top(bands.count - 1))
    return FieldRows(name=name, rows=rows, edges=edges, lines=lines, stops=solution)


def touching(span: Span, before: Sequence[Span]) -> tuple[int, ...] | None:
    """Return which runs of the line before a run touches, counted from 1; ``None`` all whose spans overlap.

    Two runs touch where both have floor on the same stretch of the line between them: else something solid
    lies there.
    """
    overlapping, shared = [], []
    for nth, other in enumerate(before, 1):
        if other.left < span.left + span.length and span.left < other.left + other.length:
            overlapping.append(nth)
            if any(
                max(ours[0], theirs[0]) < min(ours[1], theirs[1])
                for ours in span.lower
                for theirs in other.upper
            ):
                shared.append(nth)
    return None if shared == overlapping else tuple(shared)
