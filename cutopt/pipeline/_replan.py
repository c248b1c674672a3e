"""Going on with a plan: the rest planned anew from what is laid and in hand."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from cutopt.check import Finding, Rule, check_plan, describe
from cutopt.errors import JobError, NoPlanInTimeError, PlanFileError, Problem
from cutopt.model.floor import NOWHERE
from cutopt.model.hand import Lot, LotShare, Stock
from cutopt.model.job import Job, KeepLots
from cutopt.model.plan import Bound, Cutting, Plan, Source
from cutopt.model.replan import Changes, Remaining
from cutopt.numbering import number
from cutopt.pipeline._lots import Bought, cut_in_lots
from cutopt.pipeline._plan import LEFT_UNKEPT, millimetres, missing, refuse
from cutopt.planner import Limits, Watch
from cutopt.replan import joined, of_lot, remaining

__all__ = ["Replanned", "look", "replan"]


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
    shares: tuple[LotShare, ...] = ()

    @property
    def short(self) -> int:
        """How many planks are missing; 0 where there are enough, or nobody counted."""
        if self.shares:
            return missing(self.shares)
        return 0 if self.have is None else max(0, self.fresh - self.have)


def replan(plan: Plan, changes: Changes, limits: Limits, watch: Watch) -> Replanned:
    """Plan what is left of a plan, keep every joint that is down, and check the whole.

    Where nothing has changed, the plan goes on as it was unless fewer planks do. Rules that rows already laid
    break stay broken. Raises ``PlanFileError`` where the plan does not hold, ``JobError`` where the changes do
    not fit it, ``RulesClashError``, ``NoPlanInTimeError``, and ``OurBugError`` where the check refuses the
    new plan.
    """
    broken = _sound(plan)
    left = remaining(plan, changes)
    have = _have(plan, left, changes)
    stock = _in_lots(plan, left, changes)
    try:
        again, shares = _planned(plan, left, stock, limits, watch, measured=changes.measures)
    except NoPlanInTimeError:
        if not changes.changes_nothing:
            raise
        again, shares = plan, ()
    same = changes.changes_nothing and plan.totals.planks <= again.totals.planks
    if same:
        again = replace(plan, bound=_better(plan, again))
    opened = _opened(plan, left) if same else _opened(again, left)
    again = replace(again, supply=None if have is None else opened + have)
    findings = check_plan(again)
    _refuse_mixed(findings)
    refuse([finding for finding in findings if not _may_stay(finding, left, broken, limits)])
    return Replanned(
        plan=again,
        left=left,
        fresh=again.totals.planks - opened,
        fewest=max(0, again.bound.planks - opened),
        have=have,
        same=same,
        breaches=findings,
        shares=() if same or have is None else _with_lost(shares, again.totals.planks - opened),
    )


def look(plan: Plan, changes: Changes) -> Replanned:
    """Say where a plan stands, without planning anything anew.

    Raises ``PlanFileError`` where the plan does not hold, ``JobError`` where the changes do not fit it.
    """
    breaches = _sound(plan)
    left = remaining(plan, changes)
    opened = _opened(plan, left)
    return Replanned(
        plan=plan,
        left=left,
        fresh=plan.totals.planks - opened,
        fewest=max(0, plan.bound.planks - opened),
        have=_have(plan, left, changes),
        same=True,
        breaches=breaches,
    )


def _with_lost(shares: tuple[LotShare, ...], fresh: int) -> tuple[LotShare, ...]:
    """Return the lots' shares, fresh planks for pieces of kept rows cut anew among those of the first."""
    lost = fresh - sum(share.fresh for share in shares)
    return (replace(shares[0], fresh=shares[0].fresh + lost), *shares[1:]) if shares else ()


def _sound(plan: Plan) -> tuple[Finding, ...]:
    """Return the rules that a best-effort plan breaks; refuse a plan that is wrong in any other way."""
    findings = check_plan(plan)
    wrong = [finding for finding in findings if finding.rule not in LEFT_UNKEPT]
    if wrong:
        raise PlanFileError(
            Problem(
                what=f"the plan does not hold: {describe(wrong[0], millimetres)}",
                where="plan file",
                remedy="look at it with cutopt check, and plan the job again",
            )
        )
    return findings


def _may_stay(finding: Finding, left: Remaining, broken: Sequence[Finding], limits: Limits) -> bool:
    """Say whether a breach is one that a best effort may leave, or lay in the rows that stay before."""
    if finding.rule not in LEFT_UNKEPT:
        return False
    kept = {row.run.row for row in left.kept}
    there = {(old.fault, old.rows) for old in broken}
    return limits.best_effort or (kept.issuperset(finding.rows) and (finding.fault, finding.rows) in there)


def _planned(  # noqa: PLR0913 - what there is, what is left, how long
    plan: Plan, left: Remaining, stock: Stock | None, limits: Limits, watch: Watch, *, measured: bool
) -> tuple[Plan, tuple[LotShare, ...]]:
    """Return the whole plan with its rest planned anew; ground whose rows were measured anew is not told."""
    rules = plan.rules
    if stock is not None and stock.lots:
        apart = stock.parted or rules.lots is not KeepLots.MIX
        rules = replace(rules, lots=stock.keep if apart else KeepLots.MIX)
        left = of_lot(left, stock.lots[0].name)
    spec = Bought(plank=plan.plank, rules=replace(rules, max_waiting=left.max_waiting), unit=plan.unit)
    shares: tuple[LotShare, ...] = ()
    if left.floor.runs:
        floor = replace(left.floor, down=left.down)
        cutting, shares = cut_in_lots(floor, spec, left.hand, stock, limits=limits, watch=watch)
        if left.max_waiting != plan.rules.max_waiting:
            cutting = replace(cutting, bound=_by_length(left, plan))
    else:
        cutting = Cutting(runs=(), bound=Bound(planks=0, reason="no row is left to lay"))
    floor, whole = joined(plan, left, cutting)
    job = Job(title=plan.title, unit=plan.unit, plank=plan.plank, rules=rules, order=plan.order, rooms=())
    ground = NOWHERE if measured else plan.ground
    return number(replace(floor, ground=ground), whole, job, limits.seed), shares


def _by_length(left: Remaining, plan: Plan) -> Bound:
    """Return the fresh planks that the rest fills by length alone, slanted ends nested.

    Where fewer planks may wait than the rule says, for kept rows lie beyond, a bound that counts them would
    hold under a stricter rule than the job's.
    """
    full = [run for run in left.floor.runs if run.width == plan.plank.width]  # others may come from strips
    lengths = sum(run.length - (abs(run.left_slant) + abs(run.right_slant) + 1) // 2 for run in full)
    needed = lengths - sum(part.length for part in left.hand)
    planks = max(0, -(-needed // plan.plank.length))
    return Bound(planks=planks, reason=f"the rows' lengths, less the parts in hand, fill {planks} planks")


def _in_lots(plan: Plan, left: Remaining, changes: Changes) -> Stock | None:
    """Return what is in hand by lots: as told, else as the plan dealt them out, the last lot taking the rest."""
    if plan.rules.lots is KeepLots.MIX or (changes.stock is not None and changes.stock.lots):
        return changes.stock
    counts = Counter(
        plank.lot
        for plank in plan.planks
        if plank.strip is None and plank.source is Source.BOX and plank.plank not in left.begun
    )
    names = dict.fromkeys(plank.lot for plank in plan.planks if plank.strip is None)
    lots = [Lot(name=name, planks=counts[name]) for name in names]
    stock = changes.stock or Stock()
    return replace(stock, planks=None, lots=tuple(lots), keep=plan.rules.lots)


def _refuse_mixed(findings: Sequence[Finding]) -> None:
    """Refuse lots that what is laid, or spoiled there, no longer lets apart."""
    mixed = next((finding for finding in findings if finding.rule is Rule.LOTS), None)
    if mixed:
        rows = ", ".join(map(str, mixed.rows[:3]))
        raise JobError(
            Problem(
                what="the lots cannot be kept apart any more",
                where=f"row {rows}",
                remedy='write lots = "row" or lots = "mix" in the stock file',
            )
        )


def _better(plan: Plan, again: Plan) -> Bound:
    """Return the bound on a plan that goes on as it was: what is laid may have raised it."""
    best = max(plan.bound, again.bound, key=lambda bound: bound.planks)
    planks = min(best.planks, plan.totals.planks)
    return replace(best, planks=planks, proven=planks == plan.totals.planks)


def _opened(plan: Plan, left: Remaining) -> int:
    """Count the planks from boxes that are opened: those of pieces that are cut, and spoiled ones."""
    cut = left.done.keys()
    begun = {
        plank.plank
        for plank in plan.planks
        if plank.source is Source.BOX
        and plank.strip is None
        and (plank.lost or not cut.isdisjoint(plank.pieces))
    }
    return len(begun) + len(plan.spoiled)


def _have(plan: Plan, left: Remaining, changes: Changes) -> int | None:
    """Count the whole planks in hand: as told, else what there was less all that is opened.

    ``None`` where nobody counted, or lots are kept apart and nobody counted these.
    """
    if plan.rules.lots is not KeepLots.MIX and not (changes.stock and changes.stock.lots):
        return None
    if changes.stock is not None:
        return changes.stock.planks
    boxes = {plank.plank for plank in plan.planks if plank.strip is None and plank.source is Source.BOX}
    opened = len(left.begun.keys() & boxes) + len(plan.spoiled)
    supply = plan.totals.boxes * plan.plank.per_box if plan.supply is None else plan.supply
    return max(0, supply - opened)
