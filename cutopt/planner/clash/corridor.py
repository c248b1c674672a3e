"""A beam search for layings that break the rules least.

Many half-made layings go side by side over the runs; those of the least toll are kept, and of those that
look alike to all later runs the best alone. While no other is dropped the search is a dynamic program
and its answer the best there is. A search round a known laying keeps to ways near its own and some by
chance, and so holds more of what it looks at.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cutopt.planner.clash.toll import BREACH, Joints, link_toll, lone_toll, triple_toll
from cutopt.planner.limits import Stop
from cutopt.planner.problem import Choices, Problem

__all__ = ["Bent", "Leaning", "Search"]

Ints = NDArray[np.int64]

BY_CHANCE = 64
NEAR = np.array([0, 1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64])
"""Ways looked at round a known laying: so many by chance, and so far from those of the laying."""

CELLS = 2_000_000
"""Ways to go on that are looked at together, so that memory stays small where ways are many."""

CANDIDATES = 4
"""Ways to go on looked at closely, for each laying kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bent:
    """One way for every run and its toll; ways are those of the floor with all its ways."""

    ways: tuple[int, ...]
    toll: int

    @property
    def breaches(self) -> int:
        """How often it breaks a rule."""
        return self.toll // BREACH


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaning:
    """How a search leans: layings kept, tolls told apart by so much, and the laying to stay near."""

    width: int
    step: int = 1
    near: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class _Stage:
    """What led to each laying kept after one run."""

    parent: Ints
    way: Ints


@dataclass(slots=True, eq=False)
class Search:
    """One search: the problem whose rules count, the loose one whose ways are taken, and how it leans.

    ``window`` has the joints of runs that later runs look back to, laying by laying, and ``toll`` the
    tolls. A laying to stay near is never dropped; ``lead`` is its place among those kept.
    """

    problem: Problem
    loose: Problem
    leaning: Leaning
    chance: np.random.Generator
    stop: Stop
    toll: Ints = field(default_factory=lambda: np.zeros(1, dtype=np.int64), init=False)
    window: dict[int, Joints] = field(default_factory=dict, init=False)
    lead: int = field(default=0, init=False)

    def run(self) -> Bent:
        """Return the least broken laying found."""
        stages = [self._lay(run) for run in range(len(self.problem.runs))]
        at = int(self.toll.argmin())
        toll = int(self.toll[at])
        ways = []
        for stage in reversed(stages):
            ways.append(int(stage.way[at]))
            at = int(stage.parent[at])
        return Bent(ways=tuple(reversed(ways)), toll=toll)

    def _lay(self, run: int) -> _Stage:
        """Lay one run after every laying; keep the best of those that differ from here on."""
        ways = self._ways(run)
        joints = Joints.of(self.loose, run).pick(ways)
        tolls = self.toll[:, None] + self._added(run, self.loose.choices[run].take(ways), joints)
        width = 1 if self.stop() else max(1, min(self.leaning.width, CELLS // len(ways)))
        parent, way = self._best(tolls, CANDIDATES * width)
        window = {before: found.pick(parent) for before, found in self.window.items()}
        window[run] = joints.pick(way)
        window = {before: found for before, found in window.items() if self.problem.last_look[before] > run}
        kept, lead = _unlike(window, int(np.flatnonzero((parent == self.lead) & (way == 0))[0]))
        kept = kept[:width]
        if self.leaning.near and lead not in kept:
            kept[-1] = lead
        self.lead = int(np.flatnonzero(kept == lead)[0]) if self.leaning.near else 0
        self.window = {before: found.pick(kept) for before, found in window.items()}
        self.toll = tolls[parent[kept], way[kept]]
        return _Stage(parent[kept], ways[way[kept]])

    def _ways(self, run: int) -> Ints:
        """Return the ways to look at, the best laying's first."""
        count = len(self.loose.choices[run])
        if not self.leaning.near:
            return np.arange(count)
        near = self.leaning.near[run] + np.concatenate([NEAR, -NEAR])
        ways = np.concatenate([near[(near >= 0) & (near < count)], self.chance.integers(0, count, BY_CHANCE)])
        first = np.sort(np.unique(ways, return_index=True)[1])
        return ways[first]

    def _best(self, tolls: Ints, wanted: int) -> tuple[Ints, Ints]:
        """Return layings and ways of the least tolls, best first; chance decides between equals."""
        rank = ((tolls - tolls.min()) // self.leaning.step + self.chance.random(tolls.shape)).ravel()
        best = np.argpartition(rank, wanted)[:wanted] if len(rank) > wanted else np.arange(len(rank))
        lead = self.lead * tolls.shape[1]
        best = best if lead in best else np.append(best, lead)
        parent, way = np.divmod(best[np.argsort(rank[best], kind="stable")], tolls.shape[1])
        return parent, way

    def _added(self, run: int, choices: Choices, joints: Joints) -> Ints:
        """Return the toll of each way of a run after each laying."""
        problem = self.problem
        window = {before: found.column() for before, found in self.window.items()}
        added = lone_toll(problem, run, choices) + np.zeros((len(self.toll), 1), dtype=np.int64)
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
