"""The floor left to plan once the breaches are chosen: broken runs laid as they are, all other rules kept.

Every breach lies among runs that each have one way left, so whatever the search does with the others,
it breaks no rule oftener or worse.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property
from itertools import chain

import numpy as np

from cutopt.model.job import Pattern
from cutopt.planner.clash.toll import Joints, link_toll, lone_toll, triple_toll
from cutopt.planner.problem import Choices, Link, Problem, TripleLink

__all__ = ["BentProblem", "bent_problem"]

Key = tuple[int, int]
"""The job's row and the run within it."""


@dataclass(frozen=True)
class BentProblem(Problem):
    """A problem whose runs have the ``given`` ways only, by row and run; what is ``broken`` is let be.

    ``broken`` names the two or three runs of every broken rule.
    """

    given: Mapping[Key, Choices]
    broken: frozenset[tuple[Key, ...]]

    @cached_property
    def choices(self) -> tuple[Choices, ...]:
        """Per run, the ways to lay it."""
        return tuple(self.given[run.row, run.run] for run in self.runs)

    @cached_property
    def on_step(self) -> bool:
        """The search takes starters on the cut step alone, and so may its prices."""
        return True

    @cached_property
    def links(self) -> tuple[Link, ...]:
        """Every pair of touching runs; of a broken pair no joints are held against each other."""
        return tuple(
            replace(link, high=link.low - 1, phases=()) if self._is_broken(link.before, link.after) else link
            for link in super().links
        )

    @cached_property
    def triples_to(self) -> tuple[tuple[TripleLink, ...], ...]:
        """Per run, the triples it completes, but for broken ones."""
        return tuple(
            tuple(one for one in triples if not self._is_broken(one.first, one.middle, one.last))
            for triples in super().triples_to
        )

    def _is_broken(self, *runs: int) -> bool:
        return tuple((self.runs[index].row, self.runs[index].run) for index in runs) in self.broken


def bent_problem(problem: Problem, loose: Problem, ways: Sequence[int]) -> BentProblem:
    """Return what is left to plan of a floor: ``ways`` of ``loose`` hold for the runs that break a rule."""
    key = [(run.row, run.run) for run in problem.runs]
    broken = list(_broken(problem, loose, ways))
    fixed = set(chain.from_iterable(broken))
    given = {
        key[run]: loose.choices[run].take(np.array([ways[run]])) if run in fixed else _legal(problem, run)
        for run in range(len(problem.runs))
    }
    # A pattern's ways are on it already.
    same = {one.name: getattr(problem, one.name) for one in fields(Problem)}
    return BentProblem(
        **same | {"rules": replace(problem.rules, pattern=Pattern.RANDOM)},
        given=given,
        broken=frozenset(tuple(key[run] for run in runs) for runs in broken),
    )


def _legal(problem: Problem, run: int) -> Choices:
    """Return the ways of a run that keep the rules by themselves: on a pattern there are others."""
    choices = problem.choices[run]
    kept = lone_toll(problem, run, choices) == 0
    return choices if kept.all() else choices.take(kept)


def _broken(problem: Problem, loose: Problem, ways: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """Yield the runs of every broken rule: one, two touching, or three in a row."""
    joints = [Joints.of(loose, run).pick(np.array([way])) for run, way in enumerate(ways)]
    for run, way in enumerate(ways):
        if lone_toll(problem, run, loose.choices[run].take(np.array([way]))).any():
            yield (run,)
    for link in problem.links:
        if link_toll(problem, link, joints[link.before], joints[link.after]).any():
            yield link.before, link.after
    for one in chain.from_iterable(problem.triples_to):
        if triple_toll(problem, one, joints[one.first], joints[one.middle], joints[one.last]).any():
            yield one.first, one.middle, one.last
