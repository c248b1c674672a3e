"""The ``plan`` command: a job file in, a checked and numbered cut sheet out."""

import sys
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from cutopt.check import describe
from cutopt.cli._output import STDOUT, Target, check_targets, emit, note, write_files
from cutopt.cli._watch import watching
from cutopt.errors import NoPlanInTimeError, Problem, RulesClashError
from cutopt.jobfile import parse_job, read_job
from cutopt.model.job import Job
from cutopt.pipeline import Planned, plan_job
from cutopt.planfile import write_plan
from cutopt.planner import Limits
from cutopt.sheet import count, render_csv, render_sheet, summary
from cutopt.units import format_length

__all__ = ["PlanOptions", "run_plan"]

_STOPPED = "Stopped by Ctrl-C: this is the best plan found until then, checked like any other."

_BENDING = Problem(
    what="no plan keeps these rules",
    remedy="change one that may be changed, or add --best-effort for a plan that breaks them least",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanOptions:
    """What the user asked for; ``json`` and ``csv`` are files, ``-`` for stdout."""

    job: str
    json: str | None
    csv: str | None
    seconds: float
    seed: int
    searches: int | None
    quiet: bool
    best_effort: bool


def run_plan(options: PlanOptions) -> int:
    """Plan the job, write its files, print the sheet; return the exit status."""
    targets = [
        Target(option=option, file=file)
        for option, file in (("--json", options.json), ("--csv", options.csv))
        if file is not None
    ]
    check_targets(targets, options.job)
    job = _read(options.job)
    planned = _search(job, options)
    texts = {"--json": write_plan, "--csv": render_csv}
    results = [(target, texts[target.option](planned.plan)) for target in targets]
    printed = [text for target, text in results if target.is_stdout]
    try:
        write_files((target, text) for target, text in results if not target.is_stdout)
    finally:  # a full disk must not lose the plan
        emit(printed[0] if printed else _sheet(planned, job, quiet=options.quiet))
    for target in targets:
        if not target.is_stdout and not options.quiet:
            note(f"wrote {target.file}")
    return 1 if planned.breaches else 0


def _read(file: str) -> Job:
    if file != STDOUT:
        return read_job(Path(file))
    return parse_job(sys.stdin.buffer.read(), "standard input")


def _search(job: Job, options: PlanOptions) -> Planned:
    limits = Limits(
        seconds=options.seconds,
        seed=options.seed,
        best_effort=options.best_effort,
        searches=options.searches,
    )
    with watching(options.seconds, quiet=options.quiet) as watch:
        try:
            planned = plan_job(job, limits, watch)
        except NoPlanInTimeError:
            if watch.interrupted:
                note("stopped before a plan was found")
                raise KeyboardInterrupt from None
            raise
        except RulesClashError as clash:
            raise RulesClashError(*clash.problems, _BENDING) from None
    if watch.interrupted and not planned.plan.note:
        return replace(planned, plan=replace(planned.plan, note=_STOPPED))
    return planned


def _sheet(planned: Planned, job: Job, *, quiet: bool) -> str:
    if quiet:
        broken = f", rules broken in {count(len(planned.breaches), 'place')}" if planned.breaches else ""
        return f"{summary(planned.plan, broken=bool(planned.breaches))}{broken}\n"
    return render_sheet(planned.plan, job, planned.floor, _breaches(planned))


def _breaches(planned: Planned) -> Mapping[int, list[str]]:
    """Return the breaches of a best-effort plan in words, each under the last of its rows."""
    plan = planned.plan

    def length(ticks: int) -> str:
        return format_length(ticks, plan.unit, plan.rules.cut_step)

    found: defaultdict[int, list[str]] = defaultdict(list)
    for finding in planned.breaches:
        found[max(finding.rows, default=plan.rows[-1].run.row)].append(describe(finding, length))
    return found
