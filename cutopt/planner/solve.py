"""The planner's pipeline: bound, construction, improvement, or the proof that rules clash."""

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from itertools import groupby, islice

from cutopt.errors import NoPlanInTimeError, RulesClashError
from cutopt.errors import Problem as Trouble
from cutopt.model.floor import Floor, Run
from cutopt.model.job import Pattern, PlankSpec, Rules, ShareOffcuts
from cutopt.model.plan import Bound, Cutting, Laid, PieceCut
from cutopt.planner.bound import Priced, area_bound, area_reason, price_bound
from cutopt.planner.clash import bend_rules, draft_by_chance, draft_or_clash
from cutopt.planner.construct.beam import Hope, search
from cutopt.planner.construct.draft import Draft, replay
from cutopt.planner.construct.guides import Attempt, area_hope, attempts, first_attempts, priced_hope
from cutopt.planner.construct.order import Order
from cutopt.planner.exact import Answer, can_settle, settle
from cutopt.planner.fixed import plan_fixed
from cutopt.planner.improve import in_one_piece, with_less_waiting, with_whole_planks
from cutopt.planner.limits import Clock, Limits, Stop, Unwatched, Watch, never
from cutopt.planner.packing import can_pack, pack
from cutopt.planner.problem import Problem, build_problem
from cutopt.planner.rips import edges_of, plan_with_rips
from cutopt.units import Unit

__all__ = ["plan_cuts"]

# Rooms told by name where some are not proven.
NAMED = 4
# More planks than any floor needs.
ANY = 10**9
# Share of the time that the search for prices may take.
FOR_PRICES = 0.4
# Share of the time that the prices of stretches may take besides.
FOR_STRETCHES = 0.15
# Share of the time after which a small floor's fewest planks are asked for outright.
FOR_SEARCH = 0.35
# Work on that, about as many seconds, for each search that may be made.
WORK = 0.5
# Share of the time for plans with fewer planks waiting, and searches for each one fewer where they are counted.
FOR_POLISH = 0.04
POLISHES = 2


def plan_cuts(  # noqa: PLR0913 - what to plan, how long, who watches
    floor: Floor,
    plank: PlankSpec,
    rules: Rules,
    limits: Limits,
    watch: Watch | None = None,
    *,
    unit: Unit = Unit.MM,
) -> Cutting:
    """Return the best cutting found for a floor, with a lower bound on planks.

    Raises ``RulesClashError`` where it is proved that no plan keeps the rules (told in ``unit``; with
    ``limits.best_effort`` they are broken as little as can be instead), and ``NoPlanInTimeError`` where
    none was found in the time given.
    """
    clock = Clock(limits, watch or Unwatched())
    if rules.share_offcuts is ShareOffcuts.JOB:
        return _plan(build_problem(floor, plank, rules, unit), clock)
    rooms = [_field(floor, name, runs) for name, runs in groupby(floor.runs, key=lambda run: run.field)]
    # Rooms that are alike are planned once: in a tower of equal flats the time goes to one of them.
    alike = {_but_for_names(room): room for room in reversed(rooms)}
    cuttings = {
        shape: _plan(build_problem(room, plank, rules, unit), clock.share(len(alike) - nth))
        for nth, (shape, room) in enumerate(reversed(alike.items()))
    }
    return _joined([(room.runs[0].field, cuttings[_but_for_names(room)]) for room in rooms])


def _field(floor: Floor, name: str, runs: Iterable[Run]) -> Floor:
    """Return one field of a floor: a room, or rooms whose rows run through."""
    return Floor(runs=tuple(runs), down=tuple(run for run in floor.down if run.field == name))


def _but_for_names(room: Floor) -> Floor:
    """Return a room as any other of its shape would be: its own names and its place among the rows left out."""
    fields = list(dict.fromkeys(run.field for run in room.runs))
    first = room.runs[0].row
    return Floor(
        runs=tuple(
            replace(run, room="", field=str(fields.index(run.field)), row=run.row - first)
            for run in room.runs
        ),
        down=tuple(replace(run, field=str(fields.index(run.field))) for run in room.down),
    )


@dataclass(frozen=True, slots=True)
class _Found:
    """A plan: its planks and the pieces of every run."""

    planks: int
    laid: Laid

    @classmethod
    def of(cls, problem: Problem, draft: Draft | None) -> "_Found | None":
        return cls(draft.planks, replay(problem, draft)) if draft else None


@dataclass(frozen=True, slots=True)
class _Tries:
    """Searches to make, at most so many (``None``: without end), and what they may hope for."""

    attempts: Callable[[Problem], Iterator[Attempt]]
    hope: Callable[[Order], Hope]
    most: int | None = None


def _plan(problem: Problem, clock: Clock) -> Cutting:
    edges = edges_of(problem)
    try:
        if edges:
            return plan_with_rips(problem, edges, clock, _nested_to_save)
        return _nested_to_save(problem, clock)
    except RulesClashError as clash:
        if not clock.limits.best_effort:
            raise
        return bend_rules(problem, clash, clock, _nested_to_save)


def _nested_to_save(problem: Problem, clock: Clock) -> Cutting:
    """Return a plan in which slanted ends nest, or one of as few planks in which none does.

    That is the simpler one to cut. Any bound counts what nesting may save.
    """
    if not problem.nesting.any:
        return _within_rules(problem, clock)
    apart = _within_rules(replace(problem, nest=False), clock.share(2))
    planks = len({piece.plank for pieces in apart.runs for piece in pieces})
    by_area = area_bound(problem)
    if planks == by_area:
        return replace(apart, bound=Bound(planks=planks, reason=area_reason(planks), proven=True))
    nested = _within_rules(problem, clock, _Found(planks, apart.runs))
    if len({piece.plank for pieces in nested.runs for piece in pieces}) < planks:
        return nested
    return replace(nested, runs=apart.runs, bound=replace(nested.bound, proven=planks == nested.bound.planks))


def _within_rules(problem: Problem, clock: Clock, known: _Found | None = None) -> Cutting:
    """Return the best cutting found; one that is ``known`` is where the search begins."""
    if problem.rules.pattern is not Pattern.RANDOM:
        return plan_fixed(problem, clock)
    by_area = area_bound(problem)
    clock.tell(by_area, known.planks if known else None)
    best = known or _Found.of(problem, draft_by_chance(problem, clock))
    if can_pack(problem):
        return _packed(problem, clock)
    first = _Tries(partial(first_attempts, seed=clock.limits.seed), area_hope)
    best = _search(problem, first, never, by_area, best, clock)
    best = best or _Found.of(problem, draft_or_clash(problem, clock))
    if best and best.planks == by_area:
        return _polished(problem, best, Bound(planks=by_area, reason=area_reason(by_area)), first, clock)
    counted = clock.limits.searches is not None
    priced = price_bound(problem, stop=clock.out if counted else partial(clock.past, FOR_PRICES))
    bound = Bound(planks=max(priced.planks, by_area), reason=_reason(priced, by_area))
    if known and best == known and known.planks == bound.planks:
        return _cutting(problem, known, bound, clock)
    for_stretches = clock.out if counted else partial(clock.past, FOR_PRICES + FOR_STRETCHES)
    tries = _Tries(
        partial(attempts, priced=priced, seed=clock.limits.seed, stop=for_stretches),
        partial(priced_hope, priced),
    )
    begun = islice(tries.attempts(problem), clock.limits.searches)
    going_on = replace(tries, attempts=lambda _: begun)
    if can_settle(problem):
        best = _search(problem, *_at_first(going_on, clock), bound.planks, best, clock)
        best, bound = _settled(problem, best, bound, clock)
    best = _search(problem, going_on, never, bound.planks, best, clock)
    if best is None:
        raise NoPlanInTimeError(Trouble(what="no plan found in the time given", remedy="give more time"))
    return _polished(problem, best, bound, tries, clock)


def _packed(problem: Problem, clock: Clock) -> Cutting:
    """Return the cutting of a floor that is plain bin packing."""
    by_area = area_bound(problem)
    packed = pack(problem, by_area, clock.out, lambda: clock.limits.seconds - clock.seconds)
    if packed.bound == by_area:
        reason = area_reason(by_area)
    elif packed.bound == packed.priced:
        reason = _by_prices(packed.bound)
    else:
        reason = _by_ruling_out(packed.bound)
    bound = Bound(planks=packed.bound, reason=reason)
    # Packing makes no searches that could have been counted.
    uncounted = replace(clock, limits=replace(clock.limits, searches=None))
    return _cutting(problem, _Found(packed.planks, packed.laid), bound, uncounted)


def _at_first(tries: _Tries, clock: Clock) -> tuple[_Tries, Stop]:
    """Return the share of the tries to make before a small floor is settled, and when to leave the rest."""
    searches = clock.limits.searches
    if searches is None:
        return tries, partial(clock.past, FOR_SEARCH)
    return replace(tries, most=math.ceil(FOR_SEARCH * searches)), never


def _settled(
    problem: Problem, best: _Found | None, bound: Bound, clock: Clock
) -> tuple[_Found | None, Bound]:
    """Ask outright for as few planks as the bound says; raise the bound where there is no such plan."""
    searches = clock.limits.searches
    stop, work = (clock.half(), math.inf) if searches is None else (clock.out, searches * WORK)
    while best and best.planks > bound.planks:
        settled = settle(problem, bound.planks, stop, work=work)
        if settled.answer is Answer.FOUND:
            return _Found(bound.planks, settled.laid), bound
        if settled.answer is Answer.UNDECIDED:
            break
        bound = Bound(planks=bound.planks + 1, reason=_by_no_laying(bound.planks))
        clock.tell(bound.planks, best.planks)
    return best, bound


def _polished(problem: Problem, best: _Found, bound: Bound, tries: _Tries, clock: Clock) -> Cutting:
    """Return the plan with as few planks waiting as some further tries find."""
    counted = clock.limits.searches is not None
    end = clock.seconds + FOR_POLISH * clock.limits.seconds
    pause = never if counted else lambda: clock.seconds >= end
    few = replace(tries, most=POLISHES if counted else None)

    def further(capped: Problem) -> Laid | None:
        found = _search(capped, few, pause, best.planks, None, clock, at_most=best.planks)
        return found.laid if found else None

    if best.planks > bound.planks or clock.out():
        return _cutting(problem, best, bound, clock)
    laid = with_less_waiting(problem, best.laid, further)
    return _cutting(problem, replace(best, laid=laid), bound, clock)


def _search(  # noqa: PLR0913, PLR0917 - what to search, with what, and until when
    problem: Problem,
    tries: _Tries,
    pause: Stop,
    bound: int,
    best: _Found | None,
    clock: Clock,
    at_most: int = ANY,
) -> _Found | None:
    """Return the best plan that the tries find before the bound is met or the time is over.

    ``pause``: asked after each try whether to leave the others for later.
    """
    for attempt in islice(tries.attempts(problem), tries.most):
        if clock.out() or (best and best.planks <= bound):
            break
        order = attempt.order
        draft = search(
            order.problem,
            attempt.guides,
            hope=tries.hope(order),
            at_most=best.planks - 1 if best else at_most,
            temper=attempt.temper,
            stop=clock.out,
        )
        if draft:
            best = _Found(draft.planks, order.restore(replay(order.problem, draft)))
        if at_most == ANY:
            clock.tell(bound, best.planks if best else None)
        if pause():
            break
    return best


def _cutting(problem: Problem, found: _Found, bound: Bound, clock: Clock) -> Cutting:
    proven = found.planks == bound.planks
    note = "" if proven else _ended(clock)
    laid = with_whole_planks(problem, in_one_piece(problem, found.laid))
    return Cutting(runs=laid, bound=replace(bound, proven=proven), note=note)


def _ended(clock: Clock) -> str:
    """Return what ended a search that proved nothing, where it was a limit and not somebody."""
    if clock.watch.stop():
        return ""
    if clock.out():
        return "the search was ended by time"
    searches = clock.limits.searches
    if searches is None:
        return ""
    return f"the search was ended after {searches} search{'' if searches == 1 else 'es'}"


def _reason(priced: Priced, by_area: int) -> str:
    return area_reason(by_area) if by_area >= priced.planks else _by_prices(priced.planks)


def _by_prices(planks: int) -> str:
    return (
        "even with every row laid the way that suits its planks best and every offcut used where it is "
        f"worth most, stagger left aside, the rows take {planks} planks"
    )


def _by_ruling_out(planks: int) -> str:
    return f"no way to cut the pieces from {planks - 1} planks exists: two solvers ruled all of them out"


def _by_no_laying(planks: int) -> str:
    return (
        f"no way to lay the rows from {planks} planks exists: ruled out by two solves that share neither "
        "the way the rules are written down nor how it is simplified"
    )


def _joined(rooms: list[tuple[str, Cutting]]) -> Cutting:
    """Put rooms planned by themselves together, by their names; no plank is shared between them."""
    runs: list[tuple[PieceCut, ...]] = []
    used = 0
    for _, cutting in rooms:
        before = len(runs)
        runs += [tuple(_after(piece, before, used) for piece in run) for run in cutting.runs]
        used = max((piece.plank for run in runs[-len(cutting.runs) :] for piece in run), default=used)
    bound = sum(cutting.bound.planks for _, cutting in rooms)
    unproven = [name for name, cutting in rooms if not cutting.bound.proven]
    return Cutting(
        runs=tuple(runs),
        bound=Bound(
            planks=bound,
            reason=f"each room by itself, offcuts staying in their room: {bound} planks in all"
            + (f"; fewest in each but {_named(unproven)}" if unproven else ""),
            proven=not unproven,
        ),
        note=next((cutting.note for _, cutting in rooms if cutting.note), ""),
    )


def _after(piece: PieceCut, runs: int, planks: int) -> PieceCut:
    """Return a piece of a room planned by itself as it stands after so many runs and planks of others."""
    beside = (piece.beside[0] + runs, piece.beside[1]) if piece.beside else None
    return replace(piece, plank=piece.plank + planks, beside=beside)


def _named(rooms: list[str]) -> str:
    """Return rooms by name, the first few of them."""
    named = ", ".join(f'"{name}"' for name in rooms[:NAMED])
    return named if len(rooms) <= NAMED else f"{named} and {len(rooms) - NAMED} more"
