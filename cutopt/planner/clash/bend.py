"""The laying that breaks the rules least, where they cannot all be kept.

A beam search over runs: many half-made layings side by side, those of the least toll kept. Of layings
that look alike to all later runs only the best is kept, so while no other is dropped the search is a
dynamic program and its answer the best there is. Further searches keep to ways near those of the best
laying so far and some by chance, and so hold more of what they look at (a corridor round the incumbent).
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.clash.answer import Stop
from cutopt.planner.clash.toll import BREACH, Joints, link_toll, piece_toll, triple_toll
from cutopt.planner.problem import Choices, Problem

__all__ = ["Bent", "eased", "least_broken"]

Ints = NDArray[np.int64]

WIDTHS = (64, 512, 2048)
"""Layings kept side by side in searches by the number of breaches alone, one after another."""

WIDTH = 512
UNCHANGED = 3
"""The same for searches round the best laying; so many without a gain are the last."""

BY_CHANCE = 64
NEAR = np.array([0, 1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64])
"""Ways looked at in these searches: so many by chance, and so far from those of the best laying."""

CELLS = 2_000_000
"""Ways to go on that are looked at together, so that memory stays small where ways are many."""

CANDIDATES = 4
"""Ways to go on looked at closely, for each laying kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bent:
    """One way for every run (of the eased problem) and its toll."""

    ways: tuple[int, ...]
    toll: int

    @property
    def breaches(self) -> int:
        """How often it breaks a rule."""
        return self.toll // BREACH


def eased(problem: Problem) -> Problem:
    """Return the floor with every way to lay it, pieces under the min piece among them.

    Slanted ends count for nothing: without them every run has a way, whatever the walls.
    """
    runs = tuple(replace(run, left_slant=0, right_slant=0) for run in problem.runs)
    return replace(problem, runs=runs, rules=replace(problem.rules, min_piece=1))


def least_broken(problem: Problem, stop: Stop, seed: int) -> Bent:
    """Return a laying of ``eased(problem)`` with few and small breaches.

    There always is one; where ``stop`` says so early it is made in haste.
    """
    chance = np.random.default_rng(seed)
    narrow, *wider = WIDTHS
    best = _refined(problem, _by_count(problem, narrow, chance, stop), chance, stop)
    for width in wider:
        if best.breaches == 1 or stop():
            break
        found = _by_count(problem, width, chance, stop)
        if found.breaches < best.breaches:
            best = _refined(problem, found, chance, stop)
    return best


def _by_count(problem: Problem, width: int, chance: np.random.Generator, stop: Stop) -> Bent:
    return _Search(problem, _Leaning(width=width, step=BREACH), chance, stop).run()


def _refined(problem: Problem, best: Bent, chance: np.random.Generator, stop: Stop) -> Bent:
    """Return the best laying that searches round the best so far come to."""
    unchanged = 0
    while unchanged < UNCHANGED and not stop():
        found = _Search(problem, _Leaning(width=WIDTH, near=best.ways), chance, stop).run()
        unchanged = 0 if found.toll < best.toll else unchanged + 1
        best = found
    return best


@dataclass(frozen=True, slots=True, kw_only=True)
class _Leaning:
    """How a search leans: layings kept, tolls told apart by so much, and the laying to stay near."""

    width: int
    step: int = 1
    near: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class _Stage:
    """What led to each laying kept after one run."""

    parent: Ints
    way: Ints


class _Search:
    """One search; ``window`` has the joints of runs that later runs look back to.

    A laying to stay near is never dropped; ``lead`` is its place among those kept.
    """

    def __init__(
        self,
        problem: Problem,
        leaning: _Leaning,
        chance: np.random.Generator,
        stop: Stop,
    ) -> None:
        self._problem = problem
        self._eased = eased(problem)
        self._leaning = leaning
        self._chance = chance
        self._stop = stop
        self._toll = np.zeros(1, dtype=np.int64)
        self._window: dict[int, Joints] = {}
        self._lead = 0

    def run(self) -> Bent:
        """Return the least broken laying found."""
        stages = [self._lay(run) for run in range(len(self._problem.runs))]
        at = int(self._toll.argmin())
        toll = int(self._toll[at])
        ways = []
        for stage in reversed(stages):
            ways.append(int(stage.way[at]))
            at = int(stage.parent[at])
        return Bent(ways=tuple(reversed(ways)), toll=toll)

    def _lay(self, run: int) -> _Stage:
        """Lay one run after every laying; keep the best of those that differ from here on."""
        ways = self._ways(run)
        joints = Joints.of(self._eased, run).pick(ways)
        tolls = self._toll[:, None] + self._added(run, self._eased.choices[run].take(ways), joints)
        width = 1 if self._stop() else max(1, min(self._leaning.width, CELLS // len(ways)))
        parent, way = self._best(tolls, CANDIDATES * width)
        window = {before: found.pick(parent) for before, found in self._window.items()}
        window[run] = joints.pick(way)
        window = {before: found for before, found in window.items() if self._problem.last_look[before] > run}
        kept, lead = _unlike(window, int(np.flatnonzero((parent == self._lead) & (way == 0))[0]))
        kept = kept[:width]
        if self._leaning.near and lead not in kept:
            kept[-1] = lead
        self._lead = int(np.flatnonzero(kept == lead)[0]) if self._leaning.near else 0
        self._window = {before: found.pick(kept) for before, found in window.items()}
        self._toll = tolls[parent[kept], way[kept]]
        return _Stage(parent[kept], ways[way[kept]])

    def _ways(self, run: int) -> Ints:
        """Return the ways to look at, the best laying's first."""
        count = len(self._eased.choices[run])
        if not self._leaning.near:
            return np.arange(count)
        near = self._leaning.near[run] + np.concatenate([NEAR, -NEAR])
        ways = np.concatenate(
            [near[(near >= 0) & (near < count)], self._chance.integers(0, count, BY_CHANCE)]
        )
        first = np.sort(np.unique(ways, return_index=True)[1])
        return ways[first]

    def _best(self, tolls: Ints, wanted: int) -> tuple[Ints, Ints]:
        """Return layings and ways of the least tolls, best first; chance decides between equals."""
        rank = ((tolls - tolls.min()) // self._leaning.step + self._chance.random(tolls.shape)).ravel()
        best = np.argpartition(rank, wanted)[:wanted] if len(rank) > wanted else np.arange(len(rank))
        lead = self._lead * tolls.shape[1]
        best = best if lead in best else np.append(best, lead)
        parent, way = np.divmod(best[np.argsort(rank[best], kind="stable")], tolls.shape[1])
        return parent, way

    def _added(self, run: int, choices: Choices, joints: Joints) -> Ints:
        """Return the toll of each way of a run after each laying."""
        problem = self._problem
        window = {before: found.column() for before, found in self._window.items()}
        added = piece_toll(problem, run, choices) + np.zeros((len(self._toll), 1), dtype=np.int64)
        for link in problem.links_to[run]:
            added = added + link_toll(problem, link, window[link.before], joints)
        for triple in problem.triples_to[run]:
            joints_before = window[triple.first], window[triple.middle]
            added = added + triple_toll(problem, triple, *joints_before, joints)
        return added


def _unlike(window: dict[int, Joints], lead: int) -> tuple[Ints, int]:
    """Return the first of each kind of laying, and the first of the kind of ``lead``.

    Later runs see no more of a laying than the joints they look back to.
    """
    if not window:
        return np.arange(1), 0
    seen = np.stack([joints.first for joints in window.values()], axis=1)
    _, first, kind = np.unique(seen, axis=0, return_index=True, return_inverse=True)
    return np.sort(first), int(first[kind[lead]])
