"""From a job to a checked plan, set out on the floor."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from cutopt.check import Finding, Rule, check_plan, describe
from cutopt.errors import JobError, NoPlanInTimeError, OurBugError, Problem, RulesClashError
from cutopt.layout import lay_out
from cutopt.model.directions import DirectionTrial
from cutopt.model.floor import Floor
from cutopt.model.hand import LotShare, Stock
from cutopt.model.job import Job
from cutopt.model.plan import Plan
from cutopt.model.setout import SetOut
from cutopt.model.survey import SurveyReport
from cutopt.numbering import number
from cutopt.pipeline._lots import Bought, cut_in_lots
from cutopt.planner import Limits, Watch
from cutopt.setout import set_out
from cutopt.survey import solve_surveys
from cutopt.units import Ticks, Unit, format_length

__all__ = ["DIRECTIONS", "LEFT_UNKEPT", "Planned", "millimetres", "missing", "plan_job", "refuse"]

LEFT_UNKEPT = {Rule.MIN_PIECE, Rule.STAGGER, Rule.H_JOINT, Rule.STAIR_STEP, Rule.PATTERN, Rule.MAX_WAITING}
"""The rules that a best-effort plan may break where they cannot all be kept."""

_TOLD = 5
"""Findings shown in full, should the check refuse a plan."""

DIRECTIONS = (Fraction(0), Fraction(90), Fraction(45), Fraction(135))
"""What ``direction = "best"`` compares: along x, along y, and the two diagonals."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A checked plan, the floor it is for and how it is set out.

    ``job`` has the corners of its surveys, which ``surveys`` reports on, and the direction its rows run in;
    ``trials`` are the directions compared to choose that. ``breaches`` only of a best-effort plan, ``shares`` only
    of one made with what is in hand.
    """

    job: Job
    floor: Floor
    plan: Plan
    setout: SetOut
    surveys: tuple[SurveyReport, ...] = ()
    trials: tuple[DirectionTrial, ...] = ()
    breaches: tuple[Finding, ...] = ()
    shares: tuple[LotShare, ...] = ()

    @property
    def short(self) -> int:
        """How many planks are missing of what was told to be in hand."""
        return missing(self.shares)


def missing(shares: Sequence[LotShare]) -> int:
    """Return how many planks are missing of what is in hand, all lots together."""
    return sum(max(0, share.fresh - share.have) for share in shares if share.have is not None)


def plan_job(job: Job, limits: Limits, watch: Watch, stock: Stock | None = None) -> Planned:
    """Plan a job and check the plan independently; with a ``stock``, from the planks and parts it has.

    Raises ``JobError`` where the rooms cannot be laid out, ``RulesClashError`` where the rules are proved
    to clash, ``NoPlanInTimeError``, and ``OurBugError`` where the check refuses the plan.
    """
    job, surveys = solve_surveys(job)
    if stock is not None and stock.parted:
        job = replace(job, rules=replace(job.rules, lots=stock.keep))
    if job.layout.direction is None:
        return replace(_best_direction(job, limits, watch, stock), surveys=surveys)
    return replace(_plan(job, limits, watch, stock), surveys=surveys)


def _plan(job: Job, limits: Limits, watch: Watch, stock: Stock | None) -> Planned:
    floor = lay_out(job)
    hand = () if stock is None else stock.parts
    spec = Bought(plank=job.plank, rules=job.rules, unit=job.unit)
    cutting, shares = cut_in_lots(floor, spec, hand, stock, limits=limits, watch=watch)
    used = {piece.plank for pieces in cutting.runs for piece in pieces if piece.plank < 0}
    cutting = replace(cutting, hand={plank: hand[-1 - plank] for plank in used})
    plan = number(floor, cutting, job, limits.seed)
    have = None if stock is None else stock.planks
    plan = replace(plan, supply=have)
    if stock is not None and not shares:
        shares = (LotShare(lot="", fresh=plan.totals.planks, have=have),)
    findings = check_plan(plan)
    allowed = LEFT_UNKEPT if limits.best_effort else set()
    refuse([finding for finding in findings if finding.rule not in allowed])
    setout = set_out(plan, job.layout)
    return Planned(job=job, floor=floor, plan=plan, setout=setout, breaches=findings, shares=shares)


def _best_direction(job: Job, limits: Limits, watch: Watch, stock: Stock | None) -> Planned:
    """Plan the job in every direction, each in its share of the time, and choose by fewest planks.

    Fewest slivers, then fewest joints, decide between directions with equally many; then the order tried.
    Raises what the first direction did, where none can be planned.
    """
    share = replace(limits, seconds=limits.seconds / len(DIRECTIONS))
    planned: dict[Fraction, Planned] = {}
    failed: dict[Fraction, JobError | RulesClashError | NoPlanInTimeError] = {}
    for degrees in DIRECTIONS:
        turned = replace(job, layout=replace(job.layout, direction=degrees))
        try:
            planned[degrees] = _plan(turned, share, watch, stock)
        except (JobError, RulesClashError, NoPlanInTimeError) as error:
            failed[degrees] = error
    trials = tuple(
        _trial(degrees, planned[degrees])
        if degrees in planned
        else DirectionTrial(degrees=degrees, failed=failed[degrees].problems[0].what)
        for degrees in DIRECTIONS
    )
    if not planned:
        raise failed[DIRECTIONS[0]]
    best = min((trial for trial in trials if not trial.failed), key=DirectionTrial.rank)
    return replace(planned[best.degrees], trials=trials)


def _trial(degrees: Fraction, planned: Planned) -> DirectionTrial:
    plan = planned.plan
    least = plan.rules.min_rip
    return DirectionTrial(
        degrees=degrees,
        planks=plan.totals.planks,
        proven=plan.bound.proven and not planned.breaches,
        boxes=plan.totals.boxes,
        slivers=sum((run.width if run.narrow is None else run.narrow) < least for run in planned.floor.runs),
        joints=sum(len(row.pieces) - 1 for row in plan.rows),
        breaches=len(planned.breaches),
    )


def refuse(findings: Sequence[Finding]) -> None:
    """Raise what the check holds against a plan: it is never shown as one."""
    if findings:
        raise OurBugError(
            *(
                Problem(what="the independent check refused our plan", where=describe(finding, millimetres))
                for finding in findings[:_TOLD]
            ),
            Problem(
                what=f"a bug of cutopt, {len(findings)} findings in all",
                remedy="please report it together with the job file",
            ),
        )


def millimetres(ticks: Ticks) -> str:
    """Return a length as our own findings show it."""
    return format_length(ticks, Unit.MM, 1)
