"""A plan in which first and last rows share planks, or the ordinary one where that is no worse."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from cutopt.errors import NoPlanInTimeError, RulesClashError
from cutopt.model.plan import Bound, Cutting, Laid
from cutopt.planner.bound import area_bound, area_reason
from cutopt.planner.limits import Clock, Watch
from cutopt.planner.problem import Problem
from cutopt.planner.rips.edges import Edges
from cutopt.planner.rips.feed import feed
from cutopt.units import Ticks

__all__ = ["plan_with_rips"]

# Plans of the other rows from which the fed rows are laid, at most so many; ways to lay those, for each.
TRIES = 12
LAYINGS = 6

Planner = Callable[[Problem, Clock], Cutting]


@dataclass(frozen=True, slots=True)
class _Quiet:
    """A watch that passes on the wish to end, and reports nothing of plans of part of a floor."""

    watch: Watch

    def report(self, bound: int, best: int | None, seconds: float) -> None:
        """Take no note."""

    def stop(self) -> bool:
        """Say whether the search should end now."""
        return self.watch.stop()


def plan_with_rips(problem: Problem, edges: Edges, clock: Clock, plan: Planner) -> Cutting:
    """Return the best cutting found, strips shared where that saves planks; ``plan`` makes ordinary ones.

    The bound. Leave the first rows out, or the last rows: all of ``edges.firsts``, or all of
    ``edges.lasts``. The rows that are left share no strips among themselves, and no plan of the whole
    floor opens fewer planks than they need by an ordinary plan. For of any plan, strike what is cut for the
    rows left out. Where a strip was used beside a piece so struck, what was cut from it takes that piece's
    place on the plank: it is no longer, and keeps no other factory end. So each plank gives what an ordinary
    plank may give, none is new and none waits longer, and the rules on joints only lost rows. A starter off
    the cut step, whose plank was used without trim, may have trim now; the bounds allow for that
    (``bound/ways.py``: it can then be moved to the next step by itself). The better of both bounds holds.

    Raises as ``plan`` does.
    """
    out, hosts = _sides(problem, edges)
    try:
        others = _planned(problem, out, clock.share(4), plan)
    except (RulesClashError, NoPlanInTimeError):
        return _ordinary(problem, _bound_by_area(problem, edges), clock, plan)
    bound = max(_bound_of(others), _bound_by_area(problem, edges), key=lambda bound: bound.planks)
    best = _fed(problem, out, hosts, others.runs, clock.share(2))
    if best is None or _planks(best) > bound.planks:
        best, note = _simpler(problem, bound, best, clock.share(2), plan)
    else:
        note = ""
    for laid in _further(problem, out, clock, plan):
        if _planks(best) <= bound.planks:
            break
        found = _fed(problem, out, hosts, laid, clock)
        if found and _planks(found) < _planks(best):
            best = found
    proven = _planks(best) == bound.planks
    return Cutting(runs=best, bound=replace(bound, proven=proven), note="" if proven else note)


def _simpler(
    problem: Problem, bound: Bound, best: Laid | None, clock: Clock, plan: Planner
) -> tuple[Laid, str]:
    """Return the ordinary plan where it opens as few planks as the best one so far, and how its search ended."""
    try:
        ordinary = _ordinary(problem, bound, clock, plan)
    except NoPlanInTimeError:
        if best is None:
            raise
        return best, "the search was ended by time"
    if best is None or _planks(ordinary.runs) <= _planks(best):
        return ordinary.runs, ordinary.note
    return best, ordinary.note


def _sides(problem: Problem, edges: Edges) -> tuple[tuple[int, ...], frozenset[int]]:
    """Return the runs to lay from strips, the shorter side, and those whose strips they are."""

    def along(runs: tuple[int, ...]) -> Ticks:
        return sum(problem.runs[run].length for run in runs)

    if along(edges.firsts) < along(edges.lasts):
        return edges.firsts, frozenset(edges.lasts)
    return edges.lasts, frozenset(edges.firsts)


def _without(problem: Problem, out: tuple[int, ...]) -> Problem:
    kept = tuple(run for index, run in enumerate(problem.runs) if index not in out)
    return replace(problem, runs=kept)


def _planned(problem: Problem, out: tuple[int, ...], clock: Clock, plan: Planner) -> Cutting:
    """Return the cutting of the other runs, those left out with no pieces."""
    quiet = replace(clock, watch=_Quiet(clock.watch))
    cutting = plan(_without(problem, out), quiet)
    pieces = iter(cutting.runs)
    return replace(
        cutting, runs=tuple(() if index in out else next(pieces) for index in range(len(problem.runs)))
    )


def _ordinary(problem: Problem, bound: Bound, clock: Clock, plan: Planner) -> Cutting:
    """Return a cutting without shared strips, beside the bound of those with them."""
    cutting = plan(problem, clock)
    proven = _planks(cutting.runs) == bound.planks
    return replace(cutting, bound=replace(bound, proven=proven))


def _planks(laid: Laid) -> int:
    return len({piece.plank for pieces in laid for piece in pieces})


def _bound_of(others: Cutting) -> Bound:
    return Bound(planks=others.bound.planks, reason=_left_aside(others.bound.reason))


def _bound_by_area(problem: Problem, edges: Edges) -> Bound:
    sides = (edges.firsts, edges.lasts)
    planks = max(area_bound(_without(problem, side)) for side in sides)
    return Bound(planks=planks, reason=_left_aside(area_reason(planks)))


def _left_aside(reason: str) -> str:
    return f"without the edge rows that strips of other rows' planks could give, {reason}"


def _fed(
    problem: Problem, out: tuple[int, ...], hosts: frozenset[int], laid: Laid, clock: Clock
) -> Laid | None:
    """Return the best of some ways to lay the runs left out beside the others."""
    best = None
    for turn in range(LAYINGS):
        found = feed(problem, laid, out, hosts, clock.limits.seed + turn, clock.out)
        if found and (best is None or _planks(found) < _planks(best)):
            best = found
        if clock.out() or (best and _planks(best) == _planks(laid)):
            break
    return best


def _further(problem: Problem, out: tuple[int, ...], clock: Clock, plan: Planner) -> Iterator[Laid]:
    """Yield other plans of the other runs: by other chances, some with places kept for waiting strips."""
    most = problem.rules.max_waiting
    strips = sum(problem.runs[run].length // problem.plank + 2 for run in out)
    for nth in range(1, TRIES):
        if clock.out():
            return
        kept = most if most is None else max(0, most - (strips, strips // 2, 0)[nth % 3])
        # A little more stagger is legal too, and brings another plan where the first is found at once.
        stagger = problem.rules.stagger + nth * problem.rules.cut_step
        capped = replace(problem, rules=replace(problem.rules, max_waiting=kept, stagger=stagger))
        share = clock.share(max(1, (TRIES - nth) // 2))
        chance = replace(share, limits=replace(share.limits, seed=clock.limits.seed + nth))
        try:
            yield _planned(capped, out, chance, plan).runs
        except (RulesClashError, NoPlanInTimeError):
            continue
