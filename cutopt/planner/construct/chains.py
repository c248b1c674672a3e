"""What waiting planks are worth, looking ahead run by run along chains of planks handed on.

A waiting plank starts a run, whose end piece is cut from a fresh plank, which waits in its stead and
starts another run: a chain. Each run pays the chain that lays it what laying the run is worth, each
fresh plank costs one, and waiting costs a little from run to run, for there are few places. What the
best chain from here on earns is what a plank of some length is worth here. Prices for a stretch as
a whole cannot say that: they take every plank to find the run that suits it, however late.

Values are found from the last run back (dynamic programming: Bellman, Dynamic Programming, 1957).
They guide a search and prove nothing.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutopt.model.plan import Keeps
from cutopt.planner.construct.worth import Worth
from cutopt.planner.problem import Choices, Problem

__all__ = ["can_chain", "chain_worths"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

# Table entries for a whole floor; more take too much memory.
MOST_ENTRIES = 60_000_000


def can_chain(problem: Problem) -> bool:
    """Say whether the tables of a floor are small enough, and waiting has a cost at all."""
    entries = 2 * len(problem.runs) * _places(problem)
    return problem.rules.max_waiting is not None and entries <= MOST_ENTRIES


def chain_worths(problem: Problem, payments: Sequence[float], holding: float) -> list[Worth]:
    """Return per run what planks are worth that wait after it.

    ``payments`` (planks, one a run) are what laying the run is worth; ``holding`` (planks) what
    waiting costs from one run to the next.
    """
    none = np.zeros(_places(problem), dtype=np.float64)
    values = _Values(none, none)
    known: dict[Choices, _Ways] = {}
    worths = []
    for choices, payment in zip(reversed(problem.choices), reversed(payments), strict=True):
        worths.append(values.as_worth(problem))
        if choices not in known:
            known[choices] = _Ways.of(problem, choices)
        values = _before(values, known[choices], payment, holding, handed=problem.handed)
    return worths[::-1]


def _places(problem: Problem) -> int:
    return problem.plank // problem.rules.cut_step + 2


@dataclass(frozen=True, slots=True, eq=False)
class _Ways:
    """The ways to lay a run, lengths in places of the tables; ``cut_*`` where there is a piece to cut.

    ``starter`` and ``end`` are the least places that fit the piece, ``rest_*`` where what it leaves of a
    fresh plank stands; ``own`` is where one plank gives both. ``single`` is the place of a single
    piece and ``shift`` how much shorter it makes a plank (0: the run is not laid in one cut piece).
    """

    starter: Ints
    end: Ints
    wholes: Ints
    cut_starter: Bools
    cut_end: Bools
    rest_of_starter: Ints
    rest_of_end: Ints
    own: Bools
    single: int
    shift: int

    @staticmethod
    def of(problem: Problem, choices: Choices) -> "_Ways":
        """Return the ways of a run, its single piece apart."""
        step, room = problem.rules.cut_step, problem.plank - problem.loss
        single = int(choices.single.max(initial=0))
        two = choices.take(choices.single == 0).relieved
        return _Ways(
            starter=-(-two.starter // step),
            end=-(-two.end // step),
            wholes=two.wholes,
            cut_starter=two.starter > 0,
            cut_end=two.end > 0,
            rest_of_starter=np.maximum(room - two.starter, 0) // step,
            rest_of_end=np.maximum(room - two.end, 0) // step,
            own=(two.starter > 0) & (two.end > 0) & (two.starter + two.end <= room),
            single=-(-single // step),
            shift=-(-(single + problem.loss) // step) if single else 0,
        )


@dataclass(frozen=True, slots=True, eq=False)
class _Values:
    """Worth by place of planks that can give a starter, and of those that can give an end piece.

    With square ends they are one table.
    """

    starts: Floats
    ends: Floats

    def as_worth(self, problem: Problem) -> Worth:
        """Return the tables the search looks up."""
        alone = problem.shortest_single <= problem.plank
        boths = np.maximum(self.starts, self.ends) if alone else self.starts
        if any(part.keeps is Keeps.BOTH for part in problem.hand):
            # Two pieces of one plank are in no chain: their length stands for them.
            share = np.arange(len(boths)) * problem.rules.cut_step / problem.plank
            boths = np.maximum(np.maximum(self.starts, self.ends), np.minimum(share, 1))
        return Worth(problem.rules.cut_step, self.starts, self.ends, boths, problem.handed)


def _before(after: _Values, ways: _Ways, payment: float, holding: float, *, handed: bool) -> _Values:
    """Return the values before a run from those after it."""
    fresh_start = np.where(ways.cut_starter, 1 - after.ends[ways.rest_of_starter], 0)
    fresh_end = np.where(ways.cut_end, 1 - after.starts[ways.rest_of_end], 0)
    # A run that pays more than laying it anew costs would breed planks from nothing.
    anew = np.where(ways.own, np.minimum(1, fresh_start + fresh_end), fresh_start + fresh_end)
    paid = min(payment, float((ways.wholes + anew).min(initial=np.inf)))
    from_start = _earned(after.starts, ways, ways.starter, ways.cut_starter, paid - fresh_end, paid)
    from_end = _earned(after.ends, ways, ways.end, ways.cut_end, paid - fresh_start, paid)
    if not handed:
        from_start = from_end = np.maximum(from_start, from_end)
    return _Values(_kept(after.starts, from_start, holding), _kept(after.ends, from_end, holding))


def _earned(  # noqa: PLR0913, PLR0917 - one sort of plank, and all it may be cut into
    after: Floats, ways: _Ways, place: Ints, cut: Bools, gain: Floats, paid: float
) -> Floats:
    """Return by place what a waiting plank earns when it is cut for this run."""
    earned = np.zeros_like(after)
    np.maximum.at(earned, place[cut], (gain - ways.wholes)[cut])
    if ways.shift:
        left = np.maximum(np.arange(len(after)) - ways.shift, 0)
        alone = paid + after[left]
        earned[ways.single :] = np.maximum(earned, alone)[ways.single :]
    rising: Floats = np.maximum.accumulate(earned)
    return rising


def _kept(after: Floats, earned: Floats, holding: float) -> Floats:
    """Return the better of cutting a plank now and letting it wait, a whole plank's worth at the most."""
    kept: Floats = np.clip(np.maximum(after - holding, earned), 0, 1)
    return kept
