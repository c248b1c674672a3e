"""A floor with its joints in place, of which one run after another is moved."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from cutopt.model.plan import PieceCut
from cutopt.planner.joints import keep_apart, keep_phases, keep_step
from cutopt.planner.problem import Link, Problem, TripleLink
from cutopt.units import Ticks

__all__ = ["Placed", "first_joint"]


def first_joint(pieces: tuple[PieceCut, ...]) -> Ticks | None:
    """Return the first joint from the run's left end (``None``: one piece, or none yet)."""
    return pieces[0].length if len(pieces) > 1 else None


@dataclass(frozen=True)
class Placed:
    """Where every run's first joint lies, from its left end; moved in place, run by run."""

    problem: Problem
    firsts: list[Ticks | None]

    def may_move(self, run: int, first: Ticks | None) -> bool:
        """Move a run's first joint where that is a way to lay it and keeps the rules; say whether it was.

        ``None``: the run is laid in one piece, which asks nothing of its neighbours.
        """
        if first is not None and not (self.problem.choices[run].first == first).any():
            return False
        before, self.firsts[run] = self.firsts[run], first
        kept = all(map(self._keeps_link, self._links[run])) and all(
            map(self._keeps_triple, self._triples[run])
        )
        if not kept:
            self.firsts[run] = before
        return kept

    @cached_property
    def _links(self) -> list[list[Link]]:
        links: list[list[Link]] = [[] for _ in self.firsts]
        for link in self.problem.links:
            for run in (link.before, link.after):
                links[run].append(link)
        return links

    @cached_property
    def _triples(self) -> list[list[TripleLink]]:
        triples: list[list[TripleLink]] = [[] for _ in self.firsts]
        for triple in (triple for completed in self.problem.triples_to for triple in completed):
            for run in (triple.first, triple.middle, triple.last):
                triples[run].append(triple)
        return triples

    def _keeps_link(self, link: Link) -> bool:
        rules = self.problem.rules
        ends = [self._place(run) for run in (link.before, link.after)]
        joints = [np.asarray(first) for first, _ in filter(None, ends)]
        if rules.stair_step and len(joints) == len(ends):
            kept = keep_phases(link.phases, *joints, plank=self.problem.plank, apart=rules.stair_step)
            if not kept:
                return False
        return self._apart(link.before, link.after, (link.low, link.high), rules.stagger)

    def _keeps_triple(self, triple: TripleLink) -> bool:
        rules = self.problem.rules
        common = triple.low, triple.high
        meet = rules.h_joint and triple.low <= triple.high
        if meet and not self._apart(triple.first, triple.last, common, rules.h_joint):
            return False
        ends = [self._place(run) for run in (triple.first, triple.middle, triple.last)]
        joints = [first for first, _ in filter(None, ends)]
        if not rules.stair_step or len(joints) < len(ends):
            return True
        return bool(keep_step(*np.array(joints), plank=self.problem.plank, apart=rules.stair_step))

    def _apart(self, one: int, other: int, stretch: tuple[Ticks, Ticks], apart: Ticks) -> bool:
        here, there = self._place(one), self._place(other)
        if here is None or there is None:
            return True
        ends = np.array([*here, *there])
        return bool(keep_apart(*ends, stretch=stretch, plank=self.problem.plank, apart=apart))

    def _place(self, run: int) -> tuple[Ticks, Ticks] | None:
        """Return a run's first and last joint from the field's origin."""
        first, one, plank = self.firsts[run], self.problem.runs[run], self.problem.plank
        if first is None:
            return None
        return one.offset + first, one.offset + first + (one.length - first - 1) // plank * plank
