"""Going on with a plan: the rest planned anew from what is laid and in hand."""

from dataclasses import dataclass, replace

from cutopt.check import Finding, check_plan
from cutopt.model.floor import NOWHERE
from cutopt.model.job import Job
from cutopt.model.plan import Bound, Cutting, Plan
from cutopt.model.replan import Changes, Remaining
from cutopt.numbering import number
from cutopt.pipeline._plan import LEFT_UNKEPT, refuse
from cutopt.planner import Limits, Watch, from_hand, plan_cuts
from cutopt.replan import joined, remaining

__all__ = ["Replanned", "replan"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Replanned:
    """The whole plan again, with what stays of the plan before it.

    ``fresh`` planks are still to be opened, at least ``fewest``; ``have`` whole planks are in hand, ``None``
    where nobody counted. ``same``: the plan goes on as it was.
    """

    plan: Plan
    left: Remaining
    fresh: int
    fewest: int
    have: int | None
    same: bool = False
    breaches: tuple[Finding, ...] = ()

    @property
    def short(self) -> int:
        """How many planks are missing; 0 where there are enough, or nobody counted."""
        return 0 if self.have is None else max(0, self.fresh - self.have)


def replan(plan: Plan, changes: Changes, limits: Limits, watch: Watch) -> Replanned:
    """Plan what is left of a plan, keep every joint that is down, and check the whole.

    Where nothing has changed, the plan goes on as it was unless fewer planks do. Raises ``JobError`` where the
    changes do not fit the plan, ``RulesClashError``, ``NoPlanInTimeError``, and ``OurBugError`` where the
    check refuses the plan.
    """
    left = remaining(plan, changes)
    again = _planned(plan, left, changes, limits, watch)
    same = changes.changes_nothing and plan.totals.planks <= again.totals.planks
    if same:
        again = replace(plan, bound=_better(plan, again))
    findings = check_plan(again)
    refuse([finding for finding in findings if not limits.best_effort or finding.rule not in LEFT_UNKEPT])
    opened = _opened(again, left)
    return Replanned(
        plan=again,
        left=left,
        fresh=again.totals.planks - opened,
        fewest=again.bound.planks - opened,
        have=_have(plan, left, changes),
        same=same,
        breaches=findings,
    )


def _planned(plan: Plan, left: Remaining, changes: Changes, limits: Limits, watch: Watch) -> Plan:
    """Return the whole plan with its rest planned anew; ground whose rows were measured anew is not told."""
    measured = changes.rows or changes.rest or changes.left_across is not None
    if left.floor.runs:
        floor = replace(left.floor, down=left.down)
        cutting = plan_cuts(floor, plan.plank, plan.rules, limits, watch, unit=plan.unit)
        cutting = from_hand(floor, cutting, left.hand, plan.plank, plan.rules)
    else:
        cutting = Cutting(runs=(), bound=Bound(planks=0, reason="no row is left to lay"))
    floor, whole = joined(plan, left, cutting)
    job = Job(
        title=plan.title, unit=plan.unit, plank=plan.plank, rules=plan.rules, order=plan.order, rooms=()
    )
    ground = NOWHERE if measured else plan.ground
    return number(replace(floor, ground=ground), whole, job, limits.seed)


def _better(plan: Plan, again: Plan) -> Bound:
    """Return the bound on a plan that goes on as it was: what is laid may have raised it."""
    best = max(plan.bound, again.bound, key=lambda bound: bound.planks)
    return replace(best, proven=best.planks == plan.totals.planks)


def _opened(plan: Plan, left: Remaining) -> int:
    """Count the planks that are cut already: those of kept rows, and parts that were in hand."""
    kept = {piece.id for row in left.kept for piece in row.pieces} - left.lost
    return len(
        {
            plank.plank
            for plank in plan.planks
            if plank.length is not None or any(piece in kept for piece in plank.pieces)
        }
    )


def _have(plan: Plan, left: Remaining, changes: Changes) -> int | None:
    """Count the whole planks in hand: as told, else what is left of the boxes ordered."""
    if changes.stock is not None:
        return changes.stock.planks
    kept = {piece.id for row in left.kept for piece in row.pieces}
    opened = {plank.plank for plank in plan.planks if any(piece in kept for piece in plank.pieces)}
    lost = {name for name in changes.spoiled if name.startswith("p")} - {f"p{plank}" for plank in opened}
    return plan.totals.boxes * plan.plank.per_box - len(opened) - len(lost)
