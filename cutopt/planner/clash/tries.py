"""Laying row after row at random, with steps back: finds a laying quickly where there are many."""

import numpy as np

from cutopt.planner.joints import keep_apart, keep_phases, keep_step
from cutopt.planner.limits import Stop
from cutopt.planner.problem import NO_JOINT, Bools, Choices, Ints, Problem, TripleLink
from cutopt.units import Ticks

__all__ = ["fitting_ways", "try_laying"]

TRIES = 4
"""Fresh starts: chance that went wrong early is not put right by steps back at the end."""

PATIENCE = 250
"""Steps forth and back without a run more laid, after which a try is given up."""

WAYS_TRIED = 6
"""How many ways of a run are tried before the run before it is laid otherwise."""


def try_laying(problem: Problem, stop: Stop) -> tuple[int, ...] | None:
    """Return a way for every run that keeps all rules, or ``None`` when chance finds none.

    The same floor always has the same answer, unless ``stop`` ends it.
    """
    steps = 4 * len(problem.runs) + 100
    for seed in range(TRIES):
        ways = _try(problem, np.random.default_rng(seed), steps, stop)
        if ways is not None:
            return ways
    return None


def _try(problem: Problem, chance: np.random.Generator, steps: int, stop: Stop) -> tuple[int, ...] | None:
    ways: list[int] = []
    left: list[list[int]] = []
    furthest = reached_at = 0
    for step in range(steps):
        if len(ways) == len(problem.runs):
            return tuple(ways)
        if len(ways) > furthest:
            furthest, reached_at = len(ways), step
        elif step - reached_at > PATIENCE:
            return None
        if stop():
            return None
        if len(left) == len(ways):
            left.append(_some(problem, ways, chance))
        if left[-1]:
            ways.append(left[-1].pop())
        elif ways:
            left.pop()
            ways.pop()
        else:
            return None
    return tuple(ways) if len(ways) == len(problem.runs) else None


def _some(problem: Problem, ways: list[int], chance: np.random.Generator) -> list[int]:
    """Return a few ways of the next run, the one to try first last: in one piece, which hinders no run."""
    found = chance.permutation(np.flatnonzero(fitting_ways(problem, ways)))[:WAYS_TRIED]
    bare = np.flatnonzero(problem.choices[len(ways)].first >= NO_JOINT)
    return [*found[~np.isin(found, bare)].tolist(), *bare.tolist()]


def fitting_ways(problem: Problem, ways: list[int]) -> Bools:
    """Return which ways of the next run go with the ways of all runs before it."""
    run = len(ways)
    fits = np.ones(len(problem.choices[run]), dtype=np.bool_)
    for link in problem.links_to[run]:
        pair = (link.before, ways[link.before]), (link.after, None)
        fits &= _apart(problem, *pair, stretch=(link.low, link.high), apart=problem.rules.stagger)
        if link.phases and problem.rules.stair_step:
            first = [_joints(problem, *one)[0] for one in pair]
            fits &= keep_phases(link.phases, *first, plank=problem.plank, apart=problem.rules.stair_step)
    for triple in problem.triples_to[run]:
        fits &= _fits_triple(problem, ways, triple)
    return fits


def _fits_triple(problem: Problem, ways: list[int], triple: TripleLink) -> Bools:
    pair = (triple.first, ways[triple.first]), (triple.last, None)
    fits = _apart(problem, *pair, stretch=(triple.low, triple.high), apart=problem.rules.h_joint)
    if problem.rules.stair_step:
        first, middle = (_joints(problem, run, ways[run])[0] for run in (triple.first, triple.middle))
        last = _joints(problem, triple.last, None)[0]
        steps = keep_step(first, middle, last, plank=problem.plank, apart=problem.rules.stair_step)
        fits &= steps | (np.maximum(np.maximum(first, middle), last) >= NO_JOINT // 2)
    return fits


def _apart(
    problem: Problem,
    before: tuple[int, int | None],
    after: tuple[int, int | None],
    *,
    stretch: tuple[Ticks, Ticks],
    apart: Ticks,
) -> Bools:
    ours, theirs = _joints(problem, *before), _joints(problem, *after)
    return keep_apart(*ours, *theirs, stretch=stretch, plank=problem.plank, apart=apart)


def _joints(problem: Problem, run: int, way: int | None) -> tuple[Ints, Ints]:
    """Return first and last joint of one way of a run, or of all, from the field's origin."""
    choices: Choices = problem.choices[run]
    if way is not None:
        choices = choices.take(np.array([way]))
    offset = problem.runs[run].offset
    return choices.first + offset, choices.last + offset
