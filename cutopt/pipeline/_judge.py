"""A layout judged so that one learns from it: the independent check, mends that it lets pass, habits, and the best there is."""

from collections import Counter
from collections.abc import Hashable, Iterator, Mapping, Sequence
from fractions import Fraction

from cutopt.check import Fault, Finding, Kind, Rule, Wanted, check_plan, remarks
from cutopt.errors import NoPlanInTimeError, RulesClashError
from cutopt.mend import first_saved, habits, mend
from cutopt.model.floor import Floor
from cutopt.model.job import Job
from cutopt.model.judgement import AgainstBest, Breach, Judgement, Mend, RuleVerdict
from cutopt.model.plan import Plan
from cutopt.numbering import number
from cutopt.planner import Limits, Watch, plan_cuts
from cutopt.units import Ticks, format_length

__all__ = ["against_best", "judge"]

_MENDED = {Rule.STAGGER, Rule.H_JOINT, Rule.STAIR_STEP, Rule.MIN_PIECE}
"""Rules of which a breach may be mended by another start of a row."""

_MOST_MENDED = 40
"""So many breaches are given a mend; who has more reads the first and begins again."""

_FIRST_TOLD = (
    Rule.RUN_LENGTH,
    Rule.MIN_PIECE,
    Rule.STAGGER,
    Rule.H_JOINT,
    Rule.STAIR_STEP,
    Rule.PATTERN,
    Rule.CUT_STEP,
    Rule.CUT_ENDS,
    Rule.FACTORY_ENDS,
    Rule.PIECE_LENGTH,
    Rule.PLANK_LENGTH,
    Rule.MAX_WAITING,
)


def judge(plan: Plan, untold: Mapping[str, str] | None = None) -> Judgement:
    """Return what a layout comes to under its rules: every breach in the order laid, with a mend where there is one.

    ``untold`` names rules that cannot be judged, each with what is not told; nothing is found against these.
    """
    hidden = untold or {}
    findings = [one for one in check_plan(plan) if one.rule not in hidden]
    notes = [one for one in remarks(plan) if one.rule not in hidden]
    sought = [one for one in findings if one.rule in _MENDED][:_MOST_MENDED]
    mends = {id(one): _mend(plan, one, hidden) for one in sought}
    breaches = sorted(findings, key=lambda one: max(one.rows, default=0))
    return Judgement(
        plan=plan,
        breaches=tuple(
            _breach(
                nth, one, plan, must=nth <= len(breaches), mended=mends.get(id(one)), sought=id(one) in mends
            )
            for nth, one in enumerate((*breaches, *notes), 1)
        ),
        verdicts=tuple(_verdicts(findings, plan, hidden)),
        habits=habits(plan),
    )


def _mend(plan: Plan, finding: Finding, hidden: Mapping[str, str]) -> Mend | None:
    """Return what mends a breach and brings no new one, counted by the independent check."""

    def faults(changed: Plan) -> Counter[Hashable]:
        return Counter(
            _key(one)
            for one in check_plan(changed)
            if one.rule not in hidden and one.rule not in (Rule.TOTALS, Rule.BOUND)
        )

    return mend(plan, finding.rows, faults, _key(finding))


def _key(finding: Finding) -> Hashable:
    return finding.fault, finding.rows, finding.run


def _breach(  # noqa: PLR0913 - a breach has that many parts
    nth: int, finding: Finding, plan: Plan, *, must: bool, mended: Mend | None, sought: bool
) -> Breach:
    return Breach(
        number=nth,
        rule=finding.rule.value,
        words=finding.fault.words,
        rows=finding.rows,
        row=finding.place_row,
        run=finding.run,
        place=finding.place,
        found=_amount(finding.found, finding.fault, plan),
        wanted=_wanted(finding, plan),
        short=_short(finding, plan),
        must=must,
        mend=mended,
        sought=sought,
    )


def _amount(amount: object, fault: Fault, plan: Plan) -> str:
    if amount is None:
        return ""
    if fault.kind is Kind.LENGTH and isinstance(amount, int):
        return _length(amount, plan)
    return str(amount)


def _wanted(finding: Finding, plan: Plan) -> str:
    amount = _amount(finding.wanted, finding.fault, plan)
    return f"{finding.fault.relation.value} {amount}".strip() if amount else ""


def _short(finding: Finding, plan: Plan) -> str:
    """Return by how much a length or a count misses what is wanted."""
    found, wanted = finding.found, finding.wanted
    if not (isinstance(found, int) and isinstance(wanted, int)):
        return ""
    if finding.fault.relation not in (Wanted.LEAST, Wanted.MOST, Wanted.EQUAL):
        return ""
    return _amount(abs(wanted - found), finding.fault, plan)


def _length(ticks: Ticks, plan: Plan) -> str:
    return format_length(ticks, plan.unit, plan.rules.cut_step)


def _verdicts(findings: Sequence[Finding], plan: Plan, hidden: Mapping[str, str]) -> Iterator[RuleVerdict]:
    """Yield the rules everybody asks for, then whatever else is broken; one that is off is none."""
    broken = Counter(one.rule for one in findings)
    off = {Rule.H_JOINT: not plan.rules.h_joint, Rule.STAIR_STEP: not plan.rules.stair_step}
    for rule in dict.fromkeys((*_FIRST_TOLD, *broken)):
        if not off.get(rule, False) or broken[rule]:
            yield RuleVerdict(rule=rule.value, breaches=broken[rule], untold=hidden.get(rule, ""))


def against_best(plan: Plan, limits: Limits, watch: Watch) -> AgainstBest | None:
    """Return a layout beside the best plan found for the same rows and rules; ``None`` where there is none."""
    floor = Floor(runs=tuple(laid.run for laid in plan.rows), down=plan.down)
    job = Job(
        title=plan.title, unit=plan.unit, plank=plan.plank, rules=plan.rules, order=plan.order, rooms=()
    )
    try:
        cutting = plan_cuts(floor, plan.plank, plan.rules, limits, watch, unit=plan.unit)
    except (RulesClashError, NoPlanInTimeError):
        return None
    best = number(floor, cutting, job, limits.seed)
    if check_plan(best):
        return None
    saved = first_saved(plan)
    return AgainstBest(
        planks=plan.totals.planks,
        best=best.totals.planks,
        bound=best.bound.planks,
        waste=_waste(plan),
        best_waste=_waste(best),
        waiting=plan.totals.peak_waiting,
        best_waiting=best.totals.peak_waiting,
        cuts=plan.totals.cuts,
        best_cuts=best.totals.cuts,
        first_saved=None if saved is None else saved[0],
        saved_by="" if saved is None else saved[1],
    )


def _waste(plan: Plan) -> Fraction:
    """Return the waste factor as laid, exactly."""
    net2 = sum(laid.run.area2 for laid in plan.rows)
    return Fraction(2 * plan.totals.planks * plan.plank.length * plan.plank.width, net2) - 1
