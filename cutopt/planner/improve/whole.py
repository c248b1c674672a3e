"""Fewer cuts: joints moved a little where that leaves a plank whole."""

from collections import Counter
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from cutopt.model.job import Pattern
from cutopt.model.plan import Laid, Part, PieceCut
from cutopt.planner.joints import keep_apart, keep_phases, keep_step
from cutopt.planner.problem import Link, Problem, TripleLink
from cutopt.units import Ticks

__all__ = ["with_whole_planks"]

Pieces = tuple[PieceCut, ...]


def with_whole_planks(problem: Problem, laid: Laid) -> Laid:
    """Return the same plan with fewer cuts where a plank gives one starter or end piece and nothing else.

    The run's joints move by what is trimmed from that plank, so it stays whole and the piece at the other
    end, cut anyway, comes out shorter: no plank more, no place for waiting more. Runs move one after
    another, and only where all rules still hold.
    """
    if problem.rules.pattern is not Pattern.RANDOM:
        return laid
    uses = Counter(piece.plank for pieces in laid for piece in pieces)
    alone = frozenset(plank for plank, pieces in uses.items() if pieces == 1)
    joints = _Joints(problem, [_first_joint(pieces) for pieces in laid])
    return tuple(_moved(problem, joints, run, pieces, alone) for run, pieces in enumerate(laid))


def _first_joint(pieces: Pieces) -> Ticks | None:
    """Return the first joint from the run's left end (``None``: one piece)."""
    return pieces[0].length if len(pieces) > 1 else None


def _moved(problem: Problem, joints: "_Joints", run: int, pieces: Pieces, alone: frozenset[int]) -> Pieces:
    """Return a run with one plank whole that was not, where its joints can move so far."""
    starter, end = pieces[0], pieces[-1]
    # What is left for the other piece once one is a whole plank.
    shorter = starter.length + end.length - problem.plank
    if (starter.part, end.part) != (Part.STARTER, Part.END) or shorter <= 0:
        return pieces
    if end.plank in alone and joints.may_move(run, shorter):
        return (replace(starter, length=shorter), *pieces[1:-1], _whole(problem, end))
    if starter.plank in alone and joints.may_move(run, problem.plank):
        return (_whole(problem, starter), *pieces[1:-1], replace(end, length=shorter))
    return pieces


def _whole(problem: Problem, piece: PieceCut) -> PieceCut:
    return replace(piece, part=Part.WHOLE, length=problem.plank)


@dataclass(frozen=True)
class _Joints:
    """Where every run's first joint lies, from its left end; moved in place, run by run."""

    problem: Problem
    firsts: list[Ticks | None]

    def may_move(self, run: int, first: Ticks) -> bool:
        """Move a run's first joint where that is a way to lay it and keeps the rules; say whether it was."""
        if not (self.problem.choices[run].first == first).any():
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
