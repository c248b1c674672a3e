"""The ``plan`` command: a job file in, a checked and numbered cut sheet out."""

import sys
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from cutopt.cli._errors import UnusableError
from cutopt.cli._output import STDOUT, Target, check_targets, note, numbered
from cutopt.cli._results import breaches_by_row, hand_over
from cutopt.cli._watch import watching
from cutopt.drawing import GuideLine, drawings, outlines, picture, render_svg
from cutopt.errors import NoPlanInTimeError, Problem, RulesClashError
from cutopt.jobfile import parse_job, read_job, read_stock
from cutopt.model.hand import Stock
from cutopt.model.job import Job
from cutopt.model.papers import PaperName, usual_paper
from cutopt.model.plan import Plan
from cutopt.page import render_page
from cutopt.papers import render_pdf
from cutopt.pipeline import Planned, plan_forgiving, plan_job
from cutopt.planfile import write_plan
from cutopt.planner import Limits
from cutopt.sheet import (
    Besides,
    count,
    paper_words,
    render_csv,
    render_order,
    render_sheet,
    summary,
    verdict,
    work_of,
)
from cutopt.tolerance import tolerances

__all__ = ["PlanOptions", "run_plan", "sheet_of"]

_STOPPED = "Stopped by Ctrl-C: this is the best plan found until then, checked like any other."

_BENDING = Problem(
    what="no plan keeps these rules",
    remedy="change one that may be changed, or add --best-effort for a plan that breaks them least",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanOptions:
    """What the user asked for; ``json``, ``csv``, ``order``, ``svg``, ``pdf`` and ``html`` are files.

    ``-`` stands for stdout.
    """

    job: str
    json: str | None
    csv: str | None
    order: str | None
    svg: str | None
    pdf: str | None
    html: str | None
    paper: PaperName | None
    seconds: float
    seed: int
    searches: int | None
    quiet: bool
    best_effort: bool
    forgiving: bool = False
    stock: str | None = None


def run_plan(options: PlanOptions) -> int:
    """Plan the job, write its files, print the sheet; return the exit status."""
    targets = [
        Target(option=option, file=file)
        for option, file in (
            ("--json", options.json),
            ("--csv", options.csv),
            ("--order", options.order),
            ("--svg", options.svg),
            ("--pdf", options.pdf),
            ("--html", options.html),
        )
        if file is not None
    ]
    for source in (options.job, options.stock):
        if source is not None:
            check_targets(targets, source)
    job = _read(options.job)
    planned = _search(job, _stock(job, options), options)
    results = [result for target in targets for result in _written(target, planned, options)]
    hand_over(results, lambda: _sheet(planned, quiet=options.quiet), quiet=options.quiet)
    return 1 if planned.breaches or planned.short else 0


def _written(target: Target, planned: Planned, options: PlanOptions) -> list[tuple[Target, str | bytes]]:
    """Return the results for one option, each with its file; sheets after the first have files of their own."""
    if target.option != "--svg":
        return [(target, _result(target.option, planned, options))]
    sheets = render_svg(planned.plan, _lines(planned), options.paper)
    if target.is_stdout:
        return [(target, sheets[0])]
    return [(numbered(target, nth), sheet) for nth, sheet in enumerate(sheets, 1)]


def _result(option: str, planned: Planned, options: PlanOptions) -> str | bytes:
    """Return what goes to the one file of an option."""
    match option:
        case "--json":
            return write_plan(planned.plan)
        case "--csv":
            return render_csv(planned.plan)
        case "--order":
            return render_order(planned.plan)
        case "--pdf":
            return _papers(planned, options.paper)
        case _:
            return _page(planned.plan, breaches_by_row(planned.plan, planned.breaches))


def _lines(planned: Planned) -> list[GuideLine]:
    """Return the working lines of all fields, numbered on."""
    lines = (line for field in planned.setout.fields for line in field.lines)
    return [
        GuideLine(start=line.on_plan[0], end=line.on_plan[1], label=f"line {nth}")
        for nth, line in enumerate(lines, 1)
    ]


def _papers(planned: Planned, paper: PaperName | None) -> bytes:
    plan = planned.plan
    words = paper_words(
        plan, planned.job, planned.floor, breaches_by_row(planned.plan, planned.breaches), _besides(planned)
    )
    return render_pdf(words, drawings(plan, _lines(planned), paper), paper or usual_paper(plan.unit))


def _page(plan: Plan, breaches: Mapping[int, list[str]]) -> str:
    return render_page(plan, write_plan(plan), work_of(plan, breaches), outlines(plan))


def _read(file: str) -> Job:
    if file != STDOUT:
        return read_job(Path(file))
    return parse_job(sys.stdin.buffer.read(), "standard input")


def _stock(job: Job, options: PlanOptions) -> Stock | None:
    """Return what is in hand, where that is told; the most forgiving plan is not sought within it."""
    if options.stock is None:
        return None
    if options.forgiving:
        raise UnusableError(
            Problem(
                what="what is in hand leaves no choice of plans",
                where="--stock with --forgiving",
                remedy="leave one of the two out",
            )
        )
    plank = job.plank
    return read_stock(Path(options.stock), unit=job.unit, plank=plank.length, per_box=plank.per_box)


def _search(job: Job, stock: Stock | None, options: PlanOptions) -> Planned:
    limits = Limits(
        seconds=options.seconds,
        seed=options.seed,
        best_effort=options.best_effort,
        searches=options.searches,
    )
    with watching(options.seconds, quiet=options.quiet) as watch:
        try:
            if options.forgiving:
                planned = plan_forgiving(job, limits, watch)
            else:
                planned = plan_job(job, limits, watch, stock)
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


def _sheet(planned: Planned, *, quiet: bool) -> str:
    if quiet:
        broken = f", rules broken in {count(len(planned.breaches), 'place')}" if planned.breaches else ""
        line = summary(planned.plan, broken=bool(planned.breaches))
        if planned.shares:
            line = verdict(planned.shares, planned.plan.bound.planks, planned.plan.plank.per_box)
        return f"{line}{broken}\n"
    return sheet_of(planned)


def sheet_of(planned: Planned) -> str:
    """Return the whole sheet of a plan, as it is printed."""
    besides = replace(_besides(planned), picture=picture(planned.plan))
    return render_sheet(
        planned.plan, planned.job, planned.floor, breaches_by_row(planned.plan, planned.breaches), besides
    )


def _besides(planned: Planned) -> Besides:
    return Besides(
        surveys=planned.surveys,
        trials=planned.trials,
        setout=planned.setout,
        tolerances=tolerances(planned.plan),
        shares=planned.shares,
    )
