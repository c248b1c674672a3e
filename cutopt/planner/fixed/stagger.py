"""Starts of a field whose rows keep the stagger once their joints are rounded to the cut step."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.fixed.starts import FieldStarts, roundings
from cutopt.planner.joints import keep_apart
from cutopt.planner.problem import Link, Problem
from cutopt.units import Ticks

__all__ = ["keep_stagger"]

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


def keep_stagger(problem: Problem, starts: FieldStarts, *, rounding: bool) -> Bools:
    """Return, per start, whether the field's rows can keep the stagger.

    As they are laid, or with ``rounding`` each joint rounded as it needs: what is not kept then is out
    of the question; what is kept can be laid where runs touch one run of the row before at most.
    Rounding takes up to one cut step of what rows are set off by.
    """
    circle, kept = starts.circle, np.ones(len(starts), dtype=bool)
    if problem.rules.stagger * circle.parts + circle.grid <= circle.plank:
        return kept
    pairs = _Pairs(
        problem, starts, [_choices(starts, at, rounding=rounding) for at in range(len(starts.kinds))]
    )
    # Runs within a plank hinder none: they can be laid in one piece.
    kind_of = {run: at for at, kind in enumerate(starts.kinds) for run in kind.runs if not kind.alone}
    open_ways: dict[int, list[Bools]] = {}
    for run in sorted(kind_of):
        ways = [way >= 0 for way in pairs.choices[kind_of[run]]]
        for link in problem.links_to[run]:
            if link.before in open_ways:
                apart = pairs.of(link, kind_of[link.before], kind_of[run])
                ways = [
                    way
                    & np.logical_or.reduce(
                        [before & row[nth] for before, row in zip(open_ways[link.before], apart, strict=True)]
                    )
                    for nth, way in enumerate(ways)
                ]
        open_ways[run] = ways
        kept &= np.logical_or.reduce(ways)
    return kept


def _choices(starts: FieldStarts, at: int, *, rounding: bool) -> list[Ints]:
    return list(roundings(starts, at)) if rounding else [starts.way[at]]


@dataclass(frozen=True, slots=True)
class _Pairs:
    """Which ways of touching runs keep the stagger, per start; looked up by their kinds and places."""

    problem: Problem
    starts: FieldStarts
    choices: Sequence[Sequence[Ints]]
    known: dict[tuple[int, ...], list[list[Bools]]] = field(default_factory=dict)

    def of(self, link: Link, before: int, after: int) -> list[list[Bools]]:
        """Return, for each way of the run before and each of the run after, where both go together."""
        runs = self.problem.runs
        offsets = runs[link.before].offset - link.low, runs[link.after].offset - link.low
        key = before, after, *offsets, link.high - link.low
        if key not in self.known:
            self.known[key] = [
                [
                    self._apart((before, one, offsets[0]), (after, other, offsets[1]), link)
                    for other in self.choices[after]
                ]
                for one in self.choices[before]
            ]
        return self.known[key]

    def _apart(self, before: tuple[int, Ints, Ticks], after: tuple[int, Ints, Ticks], link: Link) -> Bools:
        return keep_apart(
            *self._joints(*before),
            *self._joints(*after),
            stretch=(0, link.high - link.low),
            plank=self.problem.plank,
            apart=self.problem.rules.stagger,
        )

    def _joints(self, at: int, way: Ints, offset: Ticks) -> tuple[Ints, Ints]:
        """Return the first and last joint of a kind of run per start (of no meaning where it has no way)."""
        ways = self.starts.kinds[at].ways
        return ways.first[way] + offset, ways.last[way] + offset
