"""One task among many: planned, checked and counted, or told why not. Runs in a process of its own, or elsewhere."""

from collections.abc import Sequence
from dataclasses import replace
from time import monotonic

from cutopt.check import check_plan
from cutopt.errors import CutoptError, NoPlanInTimeError, OurBugError, RulesClashError
from cutopt.estimate import tally
from cutopt.layout import lay_out
from cutopt.model.estimate import Failed, Outcome, Task, Why
from cutopt.model.floor import Floor
from cutopt.model.job import Job
from cutopt.model.plan import Plan
from cutopt.numbering import number
from cutopt.pipeline._plan import plan_job, refuse
from cutopt.planner import Limits, Unwatched, plan_cuts
from cutopt.survey import solve_surveys

__all__ = ["plan_units", "tally_of"]


def tally_of(task: Task) -> Outcome:
    """Return what a task comes to; whatever is wrong with it is told, not raised."""
    began = monotonic()
    try:
        found = tally(_plan(task))
        late = monotonic() - began >= task.seconds
        return replace(found, timed=late and not found.proven)
    except CutoptError as error:
        return Failed(why=_why(error), problems=tuple(map(str, error.problems)))


def _why(error: CutoptError) -> Why:
    match error:
        case RulesClashError():
            return Why.CLASH
        case NoPlanInTimeError():
            return Why.TIME
        case OurBugError():
            return Why.BUG
        case _:
            return Why.FILE


def _plan(task: Task) -> Plan:
    limits = Limits(seconds=task.seconds, seed=task.seed, searches=task.searches, tidy=task.tidy)
    if task.times == 1 and not task.beside:
        return plan_job(task.job, limits, Unwatched()).plan
    return plan_units(((task.job, task.times), *task.beside), limits)[0]


def plan_units(units: Sequence[tuple[Job, int]], limits: Limits) -> tuple[Plan, Floor]:
    """Plan several jobs, each laid as often as told, one after another from one heap of offcuts; return the floor too.

    All have the plank and the rules of the first. Where they lie is not kept: it is a plan to cut by, not to
    draw. Raises what :func:`plan_job` does.
    """
    first = units[0][0]
    floor = _joined([_floor(job, limits) for job, times in units for _ in range(times)])
    cutting = plan_cuts(floor, first.plank, first.rules, limits, unit=first.unit)
    plan = number(floor, cutting, first, limits.seed)
    refuse(check_plan(plan))
    return plan, floor


def _floor(job: Job, limits: Limits) -> Floor:
    job, _ = solve_surveys(job)
    if job.layout.direction is None:
        job = plan_job(job, limits, Unwatched()).job
    return lay_out(job)


def _joined(floors: Sequence[Floor]) -> Floor:
    """Return floors as one, laid one after another: fields of their own, rows counted on, no place on a plan."""
    runs, down, rows = [], [], 0
    for nth, floor in enumerate(floors, 1):
        runs += [
            replace(run, room=f"{nth}: {run.room}", field=f"{nth}: {run.field}", row=run.row + rows)
            for run in floor.runs
        ]
        down += [replace(run, field=f"{nth}: {run.field}") for run in floor.down]
        rows += max((run.row for run in floor.runs), default=0)
    return Floor(runs=tuple(runs), down=tuple(down))
