"""The main job, one stage after another: rooms, rows, cutting, numbers, and the check of it all."""

from collections.abc import Sequence
from dataclasses import dataclass

from cutopt.check import Finding, Rule, check_plan, describe
from cutopt.errors import OurBugError, Problem
from cutopt.layout import lay_out
from cutopt.model.floor import Floor
from cutopt.model.job import Job
from cutopt.model.plan import Plan
from cutopt.numbering import number
from cutopt.planner import Limits, Watch, plan_cuts
from cutopt.units import Ticks, Unit, format_length

__all__ = ["Planned", "plan_job"]

_LEFT_UNKEPT = {Rule.MIN_PIECE, Rule.STAGGER, Rule.H_JOINT, Rule.STAIR_STEP, Rule.PATTERN, Rule.MAX_WAITING}
"""The rules that a best-effort plan may break where they cannot all be kept."""

_TOLD = 5
"""Findings shown in full, should the check refuse a plan."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A checked plan and the floor it is for; ``breaches`` only of a best-effort plan."""

    floor: Floor
    plan: Plan
    breaches: tuple[Finding, ...] = ()


def plan_job(job: Job, limits: Limits, watch: Watch) -> Planned:
    """Plan a job and check the plan independently.

    Raises ``JobError`` where the rooms cannot be laid out, ``RulesClashError`` where the rules are proved
    to clash, ``NoPlanInTimeError``, and ``OurBugError`` where the check refuses the plan.
    """
    floor = lay_out(job)
    cutting = plan_cuts(floor, job.plank, job.rules, limits, watch, unit=job.unit)
    plan = number(floor, cutting, job, limits.seed)
    findings = check_plan(plan)
    allowed = _LEFT_UNKEPT if limits.best_effort else set()
    _refuse([finding for finding in findings if finding.rule not in allowed])
    return Planned(floor=floor, plan=plan, breaches=findings)


def _refuse(findings: Sequence[Finding]) -> None:
    """Raise what the check holds against a plan: it is never shown as one."""
    if findings:
        raise OurBugError(
            *(
                Problem(what="the independent check refused our plan", where=describe(finding, _millimetres))
                for finding in findings[:_TOLD]
            ),
            Problem(
                what=f"a bug of cutopt, {len(findings)} findings in all",
                remedy="please report it together with the job file",
            ),
        )


def _millimetres(ticks: Ticks) -> str:
    return format_length(ticks, Unit.MM, 1)
