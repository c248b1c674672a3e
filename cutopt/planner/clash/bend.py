"""The laying that breaks the rules least, where they cannot all be kept."""

from dataclasses import dataclass, replace

import numpy as np

from cutopt.planner.clash.corridor import Bent, Leaning, Search
from cutopt.planner.clash.fewest import fewest_breaches
from cutopt.planner.clash.parts import group_runs, only
from cutopt.planner.clash.toll import BREACH, total_toll
from cutopt.planner.limits import Stop
from cutopt.planner.problem import Problem

__all__ = ["eased", "least_broken"]

WIDTHS = (64, 512, 2048)
"""Layings kept side by side in searches by the number of breaches alone, one after another."""

WIDTH = 512
UNCHANGED = 4
"""The same for searches round the best laying; so many without a gain are the last."""


def eased(problem: Problem) -> Problem:
    """Return the floor with every way to lay it: pieces under the min piece, joints beside those of what lies.

    Slanted ends count for nothing: without them every run has a way, whatever the walls.
    """
    runs = tuple(replace(run, left_slant=0, right_slant=0) for run in problem.runs)
    return replace(problem, runs=runs, rules=replace(problem.rules, min_piece=1), down=())


def least_broken(problem: Problem, stop: Stop, seed: int) -> tuple[int, ...]:
    """Return a way of ``eased(problem)`` for every run, with few and small breaches.

    The fewest where the runs of a field form a chain and ``stop`` leaves the time; there always is an
    answer, made in haste where it does not.
    """
    groups = group_runs(problem)
    parts = [_Part(only(problem, group), np.random.default_rng(seed), stop) for group in groups]
    # All of them in haste before any of them with care.
    found = [part.by_count(WIDTHS[0]) for part in parts]
    ways = [0] * len(problem.runs)
    for group, part, bent in zip(groups, parts, found, strict=True):
        for run, way in zip(group, part.improved(bent).ways, strict=True):
            ways[run] = way
    return tuple(ways)


@dataclass(frozen=True, slots=True)
class _Part:
    """Runs that bear on one another, and what decides when to stop."""

    problem: Problem
    chance: np.random.Generator
    stop: Stop

    def improved(self, best: Bent) -> Bent:
        """Return the best laying found, starting from a hasty one."""
        if not best.toll or self.stop():
            return best
        fewest = self._fewest()
        if fewest:
            return self._refined(min(best, fewest, key=lambda bent: bent.breaches))
        best = self._refined(best)
        for width in WIDTHS[1:]:
            if best.breaches == 1 or self.stop():
                break
            found = self.by_count(width)
            if found.breaches < best.breaches:
                best = self._refined(found)
        return best

    def by_count(self, width: int) -> Bent:
        """Return a laying with few breaches, however large."""
        return self._search(Leaning(width=width, step=BREACH))

    def _fewest(self) -> Bent | None:
        loose = eased(self.problem)
        ways = fewest_breaches(self.problem, loose, self.stop)
        return Bent(ways=ways, toll=total_toll(self.problem, loose, ways)) if ways else None

    def _refined(self, best: Bent) -> Bent:
        """Return the best laying that searches round the best so far come to."""
        unchanged = 0
        while unchanged < UNCHANGED and not self.stop():
            found = self._search(Leaning(width=WIDTH, near=best.ways))
            unchanged = 0 if found.toll < best.toll else unchanged + 1
            best = found
        return best

    def _search(self, leaning: Leaning) -> Bent:
        return Search(self.problem, eased(self.problem), leaning, self.chance, self.stop).run()
