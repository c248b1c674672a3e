"""Where a fixed pattern may start in a field, and how every start lays the field's runs.

In a fixed pattern row i has its joints at phase f + i P/2, or f + i P/3 or f - i P/3, rounded to the
cut step; the start f and the direction hold for a whole field. A joint's phase less its row's share
is its *rest*, in parts of a tick (halves or thirds), so that everything stays whole numbers: a field
is on its pattern when all rests lie within one cut step of the plank's circle.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cutopt.model.floor import DownRun, Run
from cutopt.model.job import Pattern
from cutopt.planner.problem import NO_JOINT, Choices, Problem
from cutopt.units import Ticks

__all__ = ["FieldStarts", "Kind", "field_starts", "roundings", "roundings_at"]

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

PARTS = {Pattern.HALF: 2, Pattern.THIRD: 3}
# Starts times kinds of run that are looked at one by one; beyond, starts are put together in bins.
MOST = 1_500_000
FEWEST = 256


@dataclass(frozen=True, slots=True)
class Circle:
    """The circle of rests: a plank's length round, in ``parts`` of a tick."""

    plank: Ticks
    parts: int
    step: Ticks

    @property
    def whole(self) -> int:
        """Once round."""
        return self.plank * self.parts

    @property
    def grid(self) -> int:
        """One cut step."""
        return self.step * self.parts

    @property
    def directions(self) -> tuple[int, ...]:
        """Which ways the rows may be set off; half a plank is the same either way."""
        return (1,) if self.parts == 2 else (1, -1)  # noqa: PLR2004 - halves


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Kind:
    """Runs (by index) that every start of their field lays alike, and all the legal ways to lay one."""

    runs: tuple[int, ...]
    run: Run
    ways: Choices
    alone: bool

    @property
    def jointed(self) -> Ints:
        """The ways with joints, by number."""
        return np.flatnonzero(self.ways.first < NO_JOINT)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class FieldStarts:
    """All starts of one field: arrays of shape (F,), one entry a start, or (kinds, F).

    ``way`` numbers the way each kind is laid (-1: none) with its joint rounded up to the cut step, one
    step further where only that is legal; ``laid`` says where all runs can be laid, ``even`` where none
    needs that further step. ``starter``, ``end``
    and ``between`` are the least that any rounding of any start from ``rest`` to the next one asks for
    (a whole plank counts as its length); ``possible`` says where some rounding may lay all runs.
    """

    kinds: tuple[Kind, ...]
    circle: Circle
    direction: Ints
    rest: Ints
    way: Ints
    starter: Ints
    end: Ints
    between: Ints
    laid: Bools
    even: Bools
    possible: Bools

    def __len__(self) -> int:
        """Count the starts."""
        return len(self.rest)


def field_starts(problem: Problem, runs: tuple[int, ...]) -> FieldStarts:
    """Return the starts of the field of these runs (by index).

    Each rest that any way of any run has is a start: moving a start on to the next such rest loses no
    way of laying a run. Where that makes too many, starts are put together in bins.
    """
    circle = Circle(problem.plank, PARTS[problem.rules.pattern], problem.rules.cut_step)
    kinds = tuple(_kinds(problem, runs, circle))
    names = {problem.runs[index].field for index in runs}
    planned = [run for run in problem.down if run.planned and run.field in names and run.joints]
    tables = [_table(kinds, planned, circle, direction) for direction in circle.directions]
    joined = {
        name: np.concatenate([getattr(table, name) for table in tables], axis=-1)
        for name in ("direction", "rest", "way", "starter", "end", "between", "laid", "even", "possible")
    }
    return FieldStarts(kinds=kinds, circle=circle, **joined)


def roundings(field: FieldStarts, at: int) -> Iterator[Ints]:
    """Yield, one rounding after another, the way in which each start lays a kind of run (-1: no more)."""
    kind, circle = field.kinds[at], field.circle
    tables = []
    for direction in circle.directions:
        ways, rests = _rests_of(kind, direction, circle)
        first, stop = _window(rests, field.rest[field.direction == direction], circle.grid, circle)
        tables.append((ways, first, stop))
    for nth in range(max(int((stop - first).max(initial=0)) for _, first, stop in tables)):
        yield np.concatenate(
            [
                np.where(first + nth < stop, ways[(first + nth) % max(1, len(ways))], -1)
                if len(ways)
                else np.full(len(first), -1)
                for ways, first, stop in tables
            ]
        )


def roundings_at(field: FieldStarts, at: int, start: int) -> Ints:
    """Return the ways in which one start may lay a kind of run, whichever way it rounds."""
    ways, rests = _rests_of(field.kinds[at], int(field.direction[start]), field.circle)
    off = (rests - field.rest[start]) % field.circle.whole
    left: Ints = ways[off <= field.circle.grid]
    return left


def _rests_of(kind: Kind, direction: int, circle: Circle) -> tuple[Ints, Ints]:
    """Return the ways with joints in rising order of their rests, and those rests."""
    jointed, run = kind.jointed, kind.run
    joints = run.offset + kind.ways.first[jointed]
    rests = (joints * circle.parts - direction * run.line * circle.plank) % circle.whole
    order = np.argsort(rests, kind="stable")
    return jointed[order], rests[order]


def _rest_of(run: DownRun, direction: int, circle: Circle) -> int:
    return (run.joints[0] * circle.parts - direction * run.line * circle.plank) % circle.whole


def _kinds(problem: Problem, runs: tuple[int, ...], circle: Circle) -> Iterator[Kind]:
    alike: dict[tuple[object, ...], list[int]] = {}
    for index in runs:
        run = problem.runs[index]
        place = run.offset % circle.plank, run.line % circle.parts
        slants, reliefs = (abs(run.left_slant), abs(run.right_slant)), problem.nesting.reliefs_of(index)
        key = (run.length, *slants, *place, problem.asked[index], reliefs)
        alike.setdefault(key, []).append(index)
    for found in alike.values():
        run = problem.runs[found[0]]
        # Only these runs' ways are ever held, not those of all runs at once.
        (ways,) = replace(problem, runs=(run,)).choices
        reliefs = problem.nesting.reliefs_of(found[0])
        ways = replace(ways, reliefs=reliefs) if ways.reliefs != reliefs else ways
        yield Kind(runs=tuple(found), run=run, ways=ways, alone=run.length <= problem.plank)


def _table(
    kinds: tuple[Kind, ...], planned: Sequence[DownRun], circle: Circle, direction: int
) -> FieldStarts:
    """Return the starts in one direction; rows of the field that were ``planned`` before are on the pattern too."""
    found = [_rests_of(kind, direction, circle) for kind in kinds]
    there = np.array([_rest_of(run, direction, circle) for run in planned], dtype=np.int64)
    starts, reach = _starts([*(rests for _, rests in found), *([there] if planned else [])], circle)
    count = (len(kinds), len(starts))
    way = np.full(count, -1, dtype=np.int64)
    starter, end, between = (np.zeros(count, dtype=np.int64) for _ in range(3))
    laid, even, possible = (np.ones(len(starts), dtype=bool) for _ in range(3))
    for rest in there:
        laid &= (rest - starts) % circle.whole <= circle.grid
        even &= (rest - starts) % circle.whole < circle.grid
        possible &= (rest - starts) % circle.whole <= reach
    for at, (kind, (ways, rests)) in enumerate(zip(kinds, found, strict=True)):
        first, stop = _window(rests, starts, reach, circle)
        on = _window(rests, starts, circle.grid, circle)
        if len(ways):
            way[at] = np.where(on[1] > on[0], ways[first % len(ways)], -1)
            starter[at], end[at], between[at] = _least(kind, ways, first, stop, circle.plank)
        if not kind.alone:
            laid &= on[1] > on[0]
            even &= np.subtract(*_window(rests, starts, circle.grid - 1, circle)) < 0
            possible &= stop > first
    return FieldStarts(
        kinds=kinds,
        circle=circle,
        direction=np.full(len(starts), direction),
        rest=starts,
        way=way,
        starter=starter,
        end=end,
        between=between,
        laid=laid,
        even=even,
        possible=possible,
    )


def _starts(rests: list[Ints], circle: Circle) -> tuple[Ints, int]:
    """Return the starts, and how far from a start the rests of its runs may lie."""
    every: Ints = np.unique(np.concatenate(rests)) if rests else np.zeros(0, dtype=np.int64)
    most = max(FEWEST, MOST // max(1, len(rests)))
    if not len(every):
        return np.zeros(1, dtype=np.int64), circle.grid
    if len(every) <= most:
        return every, circle.grid
    steps = -(-circle.whole // (most * circle.grid))
    return np.arange(0, circle.whole, steps * circle.grid, dtype=np.int64), (steps + 1) * circle.grid


def _window(rests: Ints, starts: Ints, reach: int, circle: Circle) -> tuple[Ints, Ints]:
    """Return, per start, the first rest at or after it and one past the last within ``reach``."""
    turned = np.concatenate([rests, rests + circle.whole])
    first = np.searchsorted(turned, starts, side="left")
    stop = np.searchsorted(turned, starts + reach, side="right")
    return first.astype(np.int64), np.minimum(stop, first + len(rests)).astype(np.int64)


def _least(kind: Kind, ways: Ints, first: Ints, stop: Ints, plank: Ticks) -> tuple[Ints, Ints, Ints]:
    """Return the shortest starter, end piece and fewest planks between, over each start's ways."""
    length = kind.run.length
    starters, ends = kind.ways.first[ways], length - kind.ways.last[ways]
    betweens = (length - starters - ends) // plank
    none = np.full(len(first), length + plank, dtype=np.int64)
    least = (none, none, none)
    for step in range(int((stop - first).max(initial=0))):
        inside = first + step < stop
        place = (first + step) % len(ways)
        least = tuple(  # type: ignore[assignment]
            np.where(inside, np.minimum(best, values[place]), best)
            for best, values in zip(least, (starters, ends, betweens), strict=True)
        )
    return least
