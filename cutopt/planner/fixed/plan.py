"""The pipeline of fixed patterns: starts, bound, search, or the proof that no start keeps the rules."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from cutopt.errors import NoPlanInTimeError
from cutopt.errors import Problem as Trouble
from cutopt.model.plan import Bound, Cutting, Laid
from cutopt.planner.bound import Priced, area_bound, area_reason, price_bound
from cutopt.planner.construct.beam import search
from cutopt.planner.construct.draft import Draft, replay
from cutopt.planner.construct.greedy import cut_thriftily
from cutopt.planner.construct.guides import Attempt, attempts, priced_hope
from cutopt.planner.construct.order import Order, as_laid
from cutopt.planner.fixed.bounds import bound_by_pieces, bound_by_prices
from cutopt.planner.fixed.laid import Starts, lay_on
from cutopt.planner.fixed.order import Ranked, rank_starts
from cutopt.planner.fixed.refusal import Legal, legal_starts
from cutopt.planner.fixed.starts import FieldStarts
from cutopt.planner.fixed.together import combine, improve
from cutopt.planner.improve import in_one_piece, with_less_waiting
from cutopt.planner.limits import Clock
from cutopt.planner.problem import Problem

__all__ = ["plan_fixed"]

# The search's own limit: starts looked at, and searched from so many times; the few searched first.
STARTS = 24
TURNS = 2
FEW = 4
# Changes made one by one to starts, fewer on large floors; among how many of the best at least.
STEPS = 400
RUNS = 200_000
NEAR = 8


def plan_fixed(problem: Problem, clock: Clock) -> Cutting:
    """Return the best cutting found for a floor in a fixed pattern, with a lower bound on planks.

    Raises ``RulesClashError`` where no start of the pattern keeps the rules, and
    ``NoPlanInTimeError`` where none was found though some may.
    """
    legal = legal_starts(problem)
    trials = _Trials(problem, legal.fields, clock)
    bound, order = _search(problem, legal, trials, clock)
    if not trials.laid:
        what = f"no start of the {problem.rules.pattern} pattern was found that keeps stagger and min piece"
        raise NoPlanInTimeError(Trouble(what=what, remedy='lower one of them, or use pattern = "random"'))
    planks = trials.planks
    note = "the search was ended by time" if planks > bound and clock.out() else ""

    def with_fewer(capped: Problem) -> Laid | None:
        again = _Trials(capped, legal.fields, clock, planks=planks + 1)
        again.hurry(order[:STARTS], planks)
        again.turn(order[:FEW], planks)
        return again.laid or None

    laid = trials.laid if legal.rounding else with_less_waiting(problem, trials.laid, with_fewer)
    return Cutting(
        runs=in_one_piece(problem, laid),
        bound=Bound(planks=bound, reason=_reason(problem, bound), proven=planks == bound),
        note=note,
    )


def _search(problem: Problem, legal: Legal, trials: "_Trials", clock: Clock) -> tuple[int, Sequence[Starts]]:
    """Try starts until the bound is met or the search's own limit; return the bound and the starts."""
    fields = legal.fields
    bound = bound_by_pieces(problem, fields)
    clock.tell(bound, None)
    ranked = [rank_starts(problem, field) for field in fields]
    order = combine(problem, ranked)
    if not legal.rounding:
        trials.hurry(order[:STARTS], bound)
        trials.turn(order[:FEW], bound)
        order = [trials.climb(ranked, order[0], bound), *order]
    clock.tell(bound, trials.found)
    if trials.go_on(bound):
        order = improve(problem, fields, order, clock.out)
    if not legal.rounding:
        trials.turn(order[:FEW], bound)
    if trials.go_on(bound):
        by_prices = bound_by_prices(problem, fields, order[:FEW], trials.planks, clock.out)
        bound = max(bound, by_prices)
    clock.tell(bound, trials.found)
    for _ in range(0 if legal.rounding else TURNS):
        trials.turn(order[:STARTS], bound)
    for _ in range(TURNS if legal.rounding else 1):
        trials.turn(order[:STARTS], bound, rounding=True)
    clock.tell(bound, trials.found)
    return bound, [trials.starts, *order]


def _reason(problem: Problem, bound: int) -> str:
    if bound == area_bound(problem):
        return area_reason(bound)
    return f"wherever the {problem.rules.pattern} pattern starts, its pieces take {bound} planks at least"


@dataclass(frozen=True, slots=True)
class _Floor:
    """The prices of a floor with its starts chosen, and the searches of it."""

    priced: Priced
    attempts: Iterator[Attempt]


@dataclass(slots=True)
class _Trials:
    """Floors planned with one start after another; the best plan so far, its planks and pieces."""

    problem: Problem
    fields: Sequence[FieldStarts]
    clock: Clock
    planks: int = 10**9
    laid: Laid = ()
    starts: Starts = ()
    floors: dict[tuple[Starts, bool], _Floor] = field(default_factory=dict)

    @property
    def found(self) -> int | None:
        """The planks of the best plan so far, if there is one."""
        return self.planks if self.laid else None

    def go_on(self, bound: int) -> bool:
        """Say whether planks may still be saved."""
        return self.planks > bound and not self.clock.out()

    def hurry(self, order: Sequence[Starts], bound: int) -> None:
        """Cut the pieces of each start as they come: a plan at once, whatever the time left."""
        for starts in order:
            if self.laid and not self.go_on(bound):
                return
            self._cut(starts)

    def climb(self, fields: Sequence[Ranked], starts: Starts, bound: int) -> Starts:
        """Change one field's start after another for one that takes no more planks; return the last."""
        chance = np.random.default_rng(self.clock.limits.seed)
        planks = self._cut(starts)
        for _ in range(min(STEPS, RUNS // len(self.problem.runs))):
            if not self.go_on(bound):
                break
            at = int(chance.integers(len(fields)))
            near = min(len(fields[at].starts), NEAR << 2 * int(chance.integers(4)))
            other = (*starts[:at], int(fields[at].starts[chance.integers(near)]), *starts[at + 1 :])
            found = self._cut(other)
            if found <= planks:
                starts, planks = other, found
        return starts

    def _cut(self, starts: Starts) -> int:
        problem = lay_on(self.problem, self.fields, starts)
        # The first way of a run is in one piece, else the only one: on the pattern.
        draft = cut_thriftily(problem, [0] * len(problem.runs))
        self._keep(starts, as_laid(problem), draft)
        return draft.planks

    def turn(self, order: Sequence[Starts], bound: int, *, rounding: bool = False) -> None:
        """Search once from each start that may still save a plank, until the bound is met."""
        for starts in order:
            if not self.go_on(bound):
                return
            floor = self.floors.get((starts, rounding)) or self._floor(starts, rounding=rounding)
            self.floors[starts, rounding] = floor
            if floor.priced.planks < self.planks:
                self._try(starts, floor)

    def _floor(self, starts: Starts, *, rounding: bool) -> _Floor:
        problem = lay_on(self.problem, self.fields, starts, rounding=rounding)
        priced = price_bound(problem, self.clock.out)
        return _Floor(priced, attempts(problem, priced, self.clock.limits.seed))

    def _try(self, starts: Starts, floor: _Floor) -> None:
        attempt = next(floor.attempts)
        draft = search(
            attempt.order.problem,
            attempt.guides,
            hope=priced_hope(floor.priced, attempt.order),
            at_most=self.planks - 1,
            temper=attempt.temper,
            stop=self.clock.out,
        )
        if draft:
            self._keep(starts, attempt.order, draft)

    def _keep(self, starts: Starts, order: Order, draft: Draft) -> None:
        if draft.planks < self.planks:
            self.planks, self.starts = draft.planks, starts
            self.laid = order.restore(replay(order.problem, draft))
