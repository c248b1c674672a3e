"""Loops: rows that part at something that stands in the floor and meet again beyond it."""

from collections.abc import Iterator, Sequence

from cutopt.model.floor import Run
from cutopt.model.rooms import Ring, ThingKind
from cutopt.model.setout import Loop
from cutopt.setout._chords import chords
from cutopt.setout._lines import row_checks
from cutopt.setout._site import Site, SiteThing
from cutopt.units import Ticks

__all__ = ["CORE", "loops"]

CORE = "core"
"""What a loop runs round when it is no fixed thing: walls."""

_LEAST_ROWS = 2
_MOST_CHECKS = 12


def loops(site: Site, base: int, tolerance: Ticks) -> tuple[Loop, ...]:
    """Return the loops of a field; ``base`` is the base line, ``tolerance`` that of one row's width.

    A loop needs two rows at least that pass on both sides: one alone touches whole rows before and beyond.
    The closing row meets rows laid on two ways, so both are measured from one line (hardwoodflooringtalk.com,
    "wraparound doesn't line up": 3/4 in at one side and 1-1/4 in at the other where they were not).
    """
    holes = [hole for area in site.field.areas for hole in area.holes]
    return tuple(loop for hole in holes for loop in _loop(site, hole, base, tolerance))


def _loop(site: Site, hole: Ring, base: int, tolerance: Ticks) -> Iterator[Loop]:
    inside = [thing for thing in site.things if _within(thing, hole)]
    if inside and all(thing.placed.kind is ThingKind.VENT for thing in inside):
        return
    arms = {line: pair for line in _lines_of(site, hole) if (pair := _arms(site, hole, line)) is not None}
    if len(arms) < _LEAST_ROWS:
        return
    first, last = min(arms), max(arms)
    closing, parting = site.rows.get(last + 1), site.rows.get(first - 1)
    yield Loop(
        field=site.field.name,
        name=" and ".join(thing.placed.name for thing in inside) or CORE,
        left_room=arms[last][0].room,
        right_room=arms[last][1].room,
        parts_at=parting if _whole(site, hole, first - 1) else None,
        closing_row=closing if _whole(site, hole, last + 1) else None,
        distance=abs(site.lines[last] - site.lines[base]),
        checks=row_checks(site, base, _on_the_way(first, last, base), tolerance),
    )


def _within(thing: SiteThing, hole: Ring) -> bool:
    """Say whether the middle of a thing lies in a hole."""
    count = len(thing.ring)
    x, y = sum(x for x, _ in thing.ring) // count, sum(y for _, y in thing.ring) // count
    return any(left <= x <= right for left, right in chords((hole,), y, above=True))


def _lines_of(site: Site, hole: Ring) -> range:
    """Return the lines of planks that a hole reaches into."""
    low, high = min(y for _, y in hole), max(y for _, y in hole)
    lines = [line for line in range(1, site.last_line + 1) if _reaches(site, line, low, high)]
    return range(lines[0], lines[-1] + 1) if lines else range(0)


def _reaches(site: Site, line: int, low: Ticks, high: Ticks) -> bool:
    return site.lines[line - 1] < high and low < site.lines[line]


def _arms(site: Site, hole: Ring, line: int) -> tuple[Run, Run] | None:
    """Return the runs of a line next to a hole at its left and right, ``None`` where it is not cut in two."""
    across = _across(site, hole, line)
    runs = [laid.run for laid in site.by_line.get(line, ())]
    if across is None or _covered(runs, across):
        return None
    left = [run for run in runs if run.offset < across[0] and run.right < across[1]]
    right = [run for run in runs if run.right > across[1] and run.offset > across[0]]
    if not left or not right:
        return None
    return max(left, key=lambda run: run.right), min(right, key=lambda run: run.offset)


def _whole(site: Site, hole: Ring, line: int) -> bool:
    """Say whether one run of a line passes the whole breadth of a hole."""
    across = min(x for x, _ in hole), max(x for x, _ in hole)
    near = _across(site, hole, line) or across
    return _covered([laid.run for laid in site.by_line.get(line, ())], near)


def _across(site: Site, hole: Ring, line: int) -> tuple[Ticks, Ticks] | None:
    """Return from where to where a hole reaches into a line of planks, by its corners and edges there."""
    if not 1 <= line <= site.last_line:
        return None
    low, high = site.lines[line - 1], site.lines[line]
    xs = [float(x) for x, y in hole if low <= y <= high]
    for level, above in ((low, True), (high, False)):
        xs += [float(x) for chord in chords((hole,), level, above=above) for x in chord]
    return (round(min(xs)), round(max(xs))) if xs and min(xs) < max(xs) else None


def _covered(runs: Sequence[Run], across: tuple[Ticks, Ticks]) -> bool:
    return any(run.offset <= across[0] and across[1] <= run.right for run in runs)


def _on_the_way(first: int, last: int, base: int) -> list[int]:
    """Return the lines beyond the loop's rows, all of them or every so manyth, always the last."""
    step = -(-(last - first + 1) // _MOST_CHECKS)
    return sorted({line for line in (*range(last, first - 1, -step), last) if line != base})
