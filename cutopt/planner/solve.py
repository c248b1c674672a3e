"""The planner's pipeline: bound, construction, improvement, or the proof that rules clash."""

from dataclasses import replace
from itertools import groupby

from cutopt.errors import NoPlanInTimeError
from cutopt.errors import Problem as Trouble
from cutopt.model.floor import Floor
from cutopt.model.job import PlankSpec, Rules, ShareOffcuts
from cutopt.model.plan import Bound, Cutting, PieceCut
from cutopt.planner.bound import Priced, area_bound, price_bound
from cutopt.planner.construct.beam import search
from cutopt.planner.construct.draft import Draft, replay
from cutopt.planner.construct.guides import attempts, hope_of
from cutopt.planner.limits import Clock, Limits, Unwatched, Watch
from cutopt.planner.problem import Problem, build_problem

__all__ = ["plan_cuts"]


def plan_cuts(
    floor: Floor, plank: PlankSpec, rules: Rules, limits: Limits, watch: Watch | None = None
) -> Cutting:
    """Return the best cutting found for a floor, with a lower bound on planks.

    Raises ``RulesClashError`` where it is proved that no plan keeps the rules, and
    ``NoPlanInTimeError`` where none was found in the time given.
    """
    clock = Clock(limits, watch or Unwatched())
    if rules.share_offcuts is ShareOffcuts.JOB:
        return _plan(build_problem(floor, plank, rules), clock)
    rooms = [Floor(runs=tuple(runs)) for _, runs in groupby(floor.runs, key=lambda run: run.room)]
    return _joined([_plan(build_problem(room, plank, rules), clock) for room in rooms])


def _plan(problem: Problem, clock: Clock) -> Cutting:
    priced = price_bound(problem)
    bound = Bound(planks=max(priced.planks, area_bound(problem)), reason=_reason(priced, problem))
    draft = _search(problem, priced, bound.planks, clock)
    if draft is None:
        raise NoPlanInTimeError(Trouble(what="no plan found in the time given", remedy="give more time"))
    return Cutting(
        runs=replay(problem, draft),
        bound=replace(bound, proven=draft.planks == bound.planks),
        note="" if draft.planks == bound.planks else "the search was ended by time",
    )


def _search(problem: Problem, priced: Priced, bound: int, clock: Clock) -> Draft | None:
    best: Draft | None = None
    hope = hope_of(problem, priced)
    clock.tell(bound, None)
    for attempt in attempts(problem, priced, clock.limits.seed):
        at_most = 10**9 if best is None else best.planks - 1
        found = search(
            problem, attempt.guides, hope=hope, at_most=at_most, temper=attempt.temper, stop=clock.out
        )
        best = found or best
        clock.tell(bound, best.planks if best else None)
        if clock.out() or (best and best.planks <= bound):
            return best
    return best


def _reason(priced: Priced, problem: Problem) -> str:
    area = area_bound(problem)
    if area >= priced.planks:
        return f"the rows' lengths alone fill {area} planks"
    return (
        "every way to lay the rows is priced so that no plank can be cut into more than its price; "
        f"the cheapest ways together cost {priced.planks} planks"
    )


def _joined(cuttings: list[Cutting]) -> Cutting:
    """Put rooms planned by themselves together; no plank is shared between them."""
    runs: list[tuple[PieceCut, ...]] = []
    for cutting in cuttings:
        used = max((piece.plank for run in runs for piece in run), default=0)
        runs += [tuple(replace(piece, plank=piece.plank + used) for piece in run) for run in cutting.runs]
    bound = sum(cutting.bound.planks for cutting in cuttings)
    return Cutting(
        runs=tuple(runs),
        bound=Bound(
            planks=bound,
            reason=f"each room by itself, offcuts staying in their room: {bound} planks in all",
            proven=all(cutting.bound.proven for cutting in cuttings),
        ),
        note=next((cutting.note for cutting in cuttings if cutting.note), ""),
    )
