"""The pipeline of fixed patterns: starts, bound, search, or the proof that no start keeps the rules."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from cutopt.errors import NoPlanInTimeError
from cutopt.errors import Problem as Trouble
from cutopt.model.plan import Bound, Cutting
from cutopt.planner.bound import Priced, area_bound, price_bound
from cutopt.planner.construct.beam import search
from cutopt.planner.construct.draft import replay
from cutopt.planner.construct.guides import Attempt, attempts, priced_hope
from cutopt.planner.construct.order import Laid
from cutopt.planner.fixed.bounds import bound_by_pieces, bound_by_prices, bound_start_by_start
from cutopt.planner.fixed.laid import lay_on
from cutopt.planner.fixed.order import in_order
from cutopt.planner.fixed.refusal import legal_starts
from cutopt.planner.fixed.starts import FieldStarts
from cutopt.planner.limits import Clock
from cutopt.planner.problem import Problem

__all__ = ["plan_fixed"]

# The search's own limit: so many starts, so many times each.
STARTS = 24
TURNS = 4
# More planks than any floor needs.
ANY = 10**9


def plan_fixed(problem: Problem, clock: Clock) -> Cutting:
    """Return the best cutting found for a floor in a fixed pattern, with a lower bound on planks.

    Raises ``RulesClashError`` where no start of the pattern keeps the rules, and
    ``NoPlanInTimeError`` where no plan was found in the time given.
    """
    fields = legal_starts(problem)
    order = in_order(problem, fields)[:STARTS]
    bound = _quick_bound(problem, fields)
    trials = _Trials(problem, fields, order, clock)
    trials.turn(bound)
    if trials.best and trials.best.planks > bound:
        bound = max(bound, _sharp_bound(problem, fields, order[0], trials.best.planks, clock))
        for _ in range(1, TURNS):
            trials.turn(bound)
    if trials.best is None:
        raise NoPlanInTimeError(Trouble(what="no plan found in the time given", remedy="give more time"))
    planks = trials.best.planks
    return Cutting(
        runs=trials.best.laid,
        bound=Bound(planks=bound, reason=_reason(problem, bound), proven=planks == bound),
        note="the search was ended by time" if planks > bound and clock.out() else "",
    )


def _quick_bound(problem: Problem, fields: Sequence[FieldStarts]) -> int:
    if len(fields) > 1:
        return area_bound(problem)
    return max(area_bound(problem), int(bound_by_pieces(problem, fields[0]).min()))


def _sharp_bound(
    problem: Problem, fields: Sequence[FieldStarts], starts: tuple[int, ...], best: int, clock: Clock
) -> int:
    if len(fields) > 1:
        return bound_by_prices(problem, fields, starts, best, clock.out)
    planks = bound_by_pieces(problem, fields[0])
    return bound_start_by_start(problem, fields[0], planks, best, clock.out)


def _reason(problem: Problem, bound: int) -> str:
    if bound == area_bound(problem):
        return f"the rows' lengths alone fill {bound} planks"
    return f"wherever the {problem.rules.pattern} pattern starts, its pieces take {bound} planks at least"


@dataclass(frozen=True, slots=True)
class _Floor:
    """A floor with its starts chosen: the prices of what they leave, and the searches of it."""

    priced: Priced
    attempts: Iterator[Attempt]


@dataclass(frozen=True, slots=True)
class _Found:
    """A plan: its planks and the pieces of every run."""

    planks: int
    laid: Laid


@dataclass(slots=True)
class _Trials:
    """Searches of the floor with each of some starts, by turns; ``best`` is the best plan so far."""

    problem: Problem
    fields: Sequence[FieldStarts]
    order: Sequence[tuple[int, ...]]
    clock: Clock
    best: _Found | None = None
    floors: dict[tuple[int, ...], _Floor] = field(default_factory=dict)

    def turn(self, bound: int) -> None:
        """Search once from each of the starts that may still save a plank, until the bound is met."""
        for starts in self.order:
            if self.clock.out() or (self.best and self.best.planks <= bound):
                return
            self._try(starts)
            self.clock.tell(bound, self.best.planks if self.best else None)

    def _try(self, starts: tuple[int, ...]) -> None:
        floor = self.floors.get(starts) or self._floor(starts)
        self.floors[starts] = floor
        at_most = self.best.planks - 1 if self.best else ANY
        if floor.priced.planks > at_most:
            return
        attempt = next(floor.attempts)
        order = attempt.order
        draft = search(
            order.problem,
            attempt.guides,
            hope=priced_hope(floor.priced, order),
            at_most=at_most,
            temper=attempt.temper,
            stop=self.clock.out,
        )
        if draft:
            self.best = _Found(draft.planks, order.restore(replay(order.problem, draft)))

    def _floor(self, starts: tuple[int, ...]) -> _Floor:
        problem = lay_on(self.problem, self.fields, starts)
        priced = price_bound(problem)
        return _Floor(priced, attempts(problem, priced, self.clock.limits.seed))
