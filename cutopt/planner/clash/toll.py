"""Breaches of the rules, counted and measured for whole arrays of layings at once.

A toll is one number: breaches by count, then what they all fall short, in ticks. So the least toll
has the fewest breaches, and among those the smallest. The three rules on joints and the min piece
count alike; as in the check, two runs (or three) break a rule once, by their closest joints.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.joints import FAR, closest, step_change
from cutopt.planner.problem import NO_JOINT, Choices, Link, Problem, TripleLink
from cutopt.units import Ticks

__all__ = [
    "BREACH",
    "Joints",
    "link_toll",
    "lone_toll",
    "piece_toll",
    "step_toll",
    "total_toll",
    "triple_toll",
]

Ints = NDArray[np.int64]

BREACH = 1 << 40
"""The toll of a breach beside its shortfall: more than all shortfalls of a floor together."""


@dataclass(frozen=True, slots=True, eq=False)
class Joints:
    """First and last joints of one run, laying by laying, from the field's origin."""

    first: Ints
    last: Ints

    @classmethod
    def of(cls, problem: Problem, run: int) -> "Joints":
        """Return the joints of every way of a run."""
        choices, offset = problem.choices[run], problem.runs[run].offset
        return cls(choices.first + offset, choices.last + offset)

    def pick(self, which: Ints) -> "Joints":
        """Return the joints of some of the layings."""
        return Joints(self.first[which], self.last[which])

    def column(self) -> "Joints":
        """Return the joints one below the other, to be held against a row of others."""
        return Joints(self.first[:, None], self.last[:, None])


def _toll(wanted: Ticks, found: Ints) -> Ints:
    return np.where(found < wanted, BREACH + wanted - found, 0)


def piece_toll(problem: Problem, run: int, choices: Choices) -> Ints:
    """Return what starter and end piece of each way fall short of the min piece."""
    one, least = problem.runs[run], problem.rules.min_piece
    starter = _toll(least + abs(one.left_slant), choices.first)
    end = _toll(least + abs(one.right_slant), one.length - choices.last)
    return np.where(choices.first < NO_JOINT, starter + end, 0)


def lone_toll(problem: Problem, run: int, choices: Choices) -> Ints:
    """Return what each way falls short by itself: of the min piece, and beside runs that lie already."""
    toll = piece_toll(problem, run, choices)
    for asked in problem.asked[run]:
        apart = asked.apart(choices.first, choices.last, problem.plank)
        toll = toll + _toll(asked.wanted(problem.rules), apart)
    return toll


def link_toll(problem: Problem, link: Link, before: Joints, after: Joints) -> Ints:
    """Return what two touching runs fall short of the stagger, and of the step after what lies already."""
    stagger = _apart(problem, (link.low, link.high), before, after, problem.rules.stagger)
    return stagger + step_toll(problem, link, before, after)


def step_toll(problem: Problem, link: Link, before: Joints, after: Joints) -> Ints:
    """Return what two touching runs fall short of the stair-step after runs that lie already."""
    bare = np.maximum(before.first, after.first) >= FAR
    toll = np.zeros_like(bare, dtype=np.int64)
    for phase in link.phases:
        change = step_change(np.asarray(phase), before.first, after.first, plank=problem.plank)
        toll = toll + np.where(bare, 0, _toll(problem.rules.stair_step, change))
    return toll


def triple_toll(problem: Problem, triple: TripleLink, first: Joints, middle: Joints, last: Joints) -> Ints:
    """Return what three runs one after another fall short of H-joint and stair-step."""
    rules = problem.rules
    toll = _apart(problem, (triple.low, triple.high), first, last, rules.h_joint)
    if not rules.stair_step:
        return toll
    change = step_change(first.first, middle.first, last.first, plank=problem.plank)
    bare = np.maximum(np.maximum(first.first, middle.first), last.first) >= NO_JOINT // 2
    return toll + np.where(bare, 0, _toll(rules.stair_step, change))


def _apart(
    problem: Problem, stretch: tuple[Ticks, Ticks], before: Joints, after: Joints, wanted: Ticks
) -> Ints:
    joints = (before.first, before.last, after.first, after.last)
    return _toll(wanted, closest(*joints, stretch=stretch, plank=problem.plank))


def total_toll(problem: Problem, loose: Problem, ways: Sequence[int]) -> int:
    """Return the toll of one way of ``loose`` for every run, under the rules of ``problem``."""
    one = [np.array([way]) for way in ways]
    joints = [Joints.of(loose, run).pick(way) for run, way in enumerate(one)]
    tolls = [lone_toll(problem, run, loose.choices[run].take(way)) for run, way in enumerate(one)]
    tolls += [link_toll(problem, link, joints[link.before], joints[link.after]) for link in problem.links]
    tolls += [
        triple_toll(problem, triple, *(joints[run] for run in (triple.first, triple.middle, triple.last)))
        for triples in problem.triples_to
        for triple in triples
    ]
    return sum(int(toll.sum()) for toll in tolls)
