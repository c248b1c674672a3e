"""The planner's pipeline: bound, construction, improvement, or the proof that rules clash."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import islice

from cutopt.errors import NoPlanInTimeError, RulesClashError
from cutopt.errors import Problem as Trouble
from cutopt.model.floor import Floor
from cutopt.model.job import Pattern, PlankSpec, Rules, ShareOffcuts
from cutopt.model.plan import Bound, Cutting, HandPart, Laid
from cutopt.planner.bound import Priced, area_bound, area_reason, price_bound
from cutopt.planner.clash import bend_rules, draft_by_chance, draft_or_clash
from cutopt.planner.construct.beam import Hope, search
from cutopt.planner.construct.draft import Draft, replay
from cutopt.planner.construct.guides import Attempt, area_hope, attempts, first_attempts, priced_hope
from cutopt.planner.construct.order import Order
from cutopt.planner.exact import Answer, can_settle, settle
from cutopt.planner.fixed import plan_fixed
from cutopt.planner.hand import put_parts, use_parts, with_parts
from cutopt.planner.improve import in_one_piece, with_less_waiting, with_whole_planks
from cutopt.planner.limits import Clock, Limits, Stop, Unwatched, Watch, never
from cutopt.planner.packing import can_pack, pack
from cutopt.planner.parts import fresh_planks
from cutopt.planner.problem import Problem, build_problem
from cutopt.planner.rips import edges_of, plan_with_rips
from cutopt.planner.rooms import room_by_room
from cutopt.units import Unit

__all__ = ["plan_cuts"]

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
    hand: Sequence[HandPart] = (),
) -> Cutting:
    """Return the best cutting found for a floor, with a lower bound on fresh planks.

    Pieces cut from the part ``hand[k]`` have the plank number -1 - k, all others one of 0 or more. Parts that
    were a plank of rows laid before wait from the last of these until they are used, and count so.

    Raises ``RulesClashError`` where it is proved that no plan keeps the rules (told in ``unit``; with
    ``limits.best_effort`` they are broken as little as can be instead), and ``NoPlanInTimeError`` where
    none was found in the time given.
    """
    clock = Clock(limits, watch or Unwatched())

    def planned(part: Floor, own: Sequence[HandPart], time: Clock) -> Cutting:
        return _plan(build_problem(part, plank, rules, unit, own), time)

    if rules.share_offcuts is ShareOffcuts.JOB:
        return planned(floor, hand, clock)
    return room_by_room(floor, hand, clock, planned)


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
    """Return a cutting; with parts in hand, of fresh planks as few as they make possible.

    Where the search knows nothing of parts they are put in place of fresh planks at the end.
    """
    if not problem.hand:
        return _ordered(problem, clock)
    apart = replace(problem, hand=())
    if edges_of(problem):
        return use_parts(problem, _ordered(apart, clock))
    if problem.rules.pattern is not Pattern.RANDOM or can_pack(problem):
        return use_parts(problem, _ordered(apart, clock), area_bound(problem))
    return put_parts(problem, _ordered(problem, clock))


def _ordered(problem: Problem, clock: Clock) -> Cutting:
    """Return a cutting, strips shared or rules bent where that is asked for."""
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
    try:
        apart = _within_rules(replace(problem, nest=False), clock.share(2))
    except NoPlanInTimeError:
        return _within_rules(problem, clock)
    planks = fresh_planks(apart.runs)
    by_area = area_bound(problem)
    if planks == by_area:
        return replace(apart, bound=Bound(planks=planks, reason=_by_area(problem, planks), proven=True))
    nested = _within_rules(problem, clock, _Found(planks, apart.runs))
    if fresh_planks(nested.runs) < planks:
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
        bound = Bound(planks=by_area, reason=_by_area(problem, by_area))
        return _polished(problem, best, bound, first, clock)
    counted = clock.limits.searches is not None
    priced = price_bound(problem, stop=clock.out if counted else partial(clock.past, FOR_PRICES))
    bound = Bound(planks=max(priced.planks, by_area), reason=_reason(problem, priced, by_area))
    if known and best == known and known.planks == bound.planks:
        return _cutting(problem, known, bound, clock)
    for_stretches = clock.out if counted else partial(clock.past, FOR_PRICES + FOR_STRETCHES)
    tries = _Tries(
        partial(attempts, priced=priced, seed=clock.limits.seed, stop=for_stretches),
        partial(priced_hope, priced),
    )
    begun = islice(tries.attempts(problem), clock.limits.searches)
    going_on = replace(tries, attempts=lambda _: begun)
    if can_settle(problem) and not problem.hand:
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

    if best.planks > bound.planks or clock.out() or not clock.limits.tidy:
        return _cutting(problem, best, bound, clock)
    clock.tell(bound.planks, best.planks)  # what was as good from the start was never told
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
            laid = with_parts(problem, order.restore(replay(order.problem, draft)))
            best = _Found(fresh_planks(laid) if problem.hand else draft.planks, laid)
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


def _reason(problem: Problem, priced: Priced, by_area: int) -> str:
    if by_area >= priced.planks:
        return _by_area(problem, by_area)
    return _by_prices(priced.planks, hand=bool(problem.hand))


def _by_area(problem: Problem, planks: int) -> str:
    return area_reason(planks, hand=bool(problem.hand))


def _by_prices(planks: int, *, hand: bool = False) -> str:
    offcuts = "offcut and every part in hand" if hand else "offcut"
    return (
        f"even with every row laid the way that suits its planks best and every {offcuts} used where it is "
        f"worth most, stagger left aside, the rows take {planks} planks"
    )


def _by_ruling_out(planks: int) -> str:
    return f"no way to cut the pieces from {planks - 1} planks exists: two solvers ruled all of them out"


def _by_no_laying(planks: int) -> str:
    return (
        f"no way to lay the rows from {planks} planks exists: ruled out by two solves that share neither "
        "the way the rules are written down nor how it is simplified"
    )
