"""The ``estimate`` command: what floors come to, what moves that, and how sure it is."""

import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from cutopt import __version__
from cutopt.batch import BatchSettings
from cutopt.cli._crew import planning
from cutopt.cli._errors import UnusableError, tell
from cutopt.cli._estimate_files import Told, printed, written
from cutopt.cli._output import STDOUT, Target, check_targets
from cutopt.cli._results import hand_over
from cutopt.cli._sheets import check_folder, write_sheets
from cutopt.errors import CutoptError, JobError, NoPlanInTimeError, OurBugError, Problem, RulesClashError
from cutopt.jobfile import files_named, parse_job, read_catalogue, read_job, read_portfolio, vary
from cutopt.model.estimate import Failed, Why
from cutopt.model.job import Job
from cutopt.model.papers import PaperName
from cutopt.model.pricing import Varied, Vary
from cutopt.pipeline import Asked, PlanAll, Search, estimate, settled, work_out

__all__ = ["EstimateOptions", "run_estimate"]


@dataclass(frozen=True, slots=True, kw_only=True)
class EstimateOptions:
    """What the user asked for; ``csv``, ``xlsx``, ``svg`` and ``pdf`` are files, ``store`` and ``sheets`` folders."""

    jobs: tuple[str, ...]
    portfolio: str | None
    study: bool
    vary: tuple[str, ...]
    every: bool
    planks: str | None
    table: bool
    risk: bool
    margins: bool | None
    csv: str | None
    xlsx: str | None
    svg: str | None
    pdf: str | None
    paper: PaperName | None
    sheets: str | None
    store: str | None
    workers: int | None
    scheduler: str | None
    seconds: float
    seed: int
    searches: int
    quiet: bool

    @property
    def search(self) -> Search:
        """How long every plan is sought."""
        return Search(seconds=self.seconds, seed=self.seed, searches=self.searches)

    @property
    def settings(self) -> BatchSettings:
        """Who plans, and where what is done is kept."""
        store = None if self.store is None else Path(self.store)
        return BatchSettings(workers=self.workers, store=store, scheduler=self.scheduler)


def run_estimate(options: EstimateOptions) -> int:
    """Work out what is asked, write the files, print the rest; return the exit status.

    A job that cannot be read or planned is told on stderr and does not stop the others: the status is that of the last.
    """
    _refuse_odd(options)
    targets = [
        Target(option=option, file=file)
        for option, file in (
            ("--csv", options.csv),
            ("--xlsx", options.xlsx),
            ("--svg", options.svg),
            ("--pdf", options.pdf),
        )
        if file is not None
    ]
    sources = _sources(options)
    for source in sources:
        check_targets(targets, source)
    if options.sheets is not None:
        check_folder(options.sheets)
    with planning(options.settings, quiet=options.quiet) as plan_all:
        told = _portfolio(options, plan_all) if options.portfolio else _jobs(options, plan_all)
        told = replace(told, timed=plan_all.timed)
    if told.nothing:  # then what an earlier run wrote is left alone
        return told.status
    results = [result for target in targets for result in written(target, told, options.paper)]
    for source in sources:
        check_targets([target for target, _ in results], source)
    hand_over(results, lambda: printed(told, quiet=options.quiet), quiet=options.quiet)
    return told.status


def _sources(options: EstimateOptions) -> list[str]:
    """Return every file that is read, those among them that others name."""
    told = [source for source in (*options.jobs, options.portfolio, options.planks) if source is not None]
    return [*told, *(str(path) for source in told if source != STDOUT for path in files_named(Path(source)))]


def _refuse_odd(options: EstimateOptions) -> None:
    if options.portfolio and options.jobs:
        raise UnusableError(
            Problem(
                what="a portfolio names its jobs itself",
                where="--portfolio with JOB",
                remedy="leave one of the two out",
            )
        )
    if not options.portfolio and not options.jobs:
        raise UnusableError(
            Problem(what="nothing to estimate", remedy="name a job file, several, or a --portfolio")
        )
    if options.jobs.count(STDOUT) > 1:
        raise UnusableError(Problem(what="standard input can be read once only", where="JOB - twice"))
    asked = options.study or options.vary or options.every or options.planks or options.table or options.risk
    if options.portfolio and asked:
        raise UnusableError(
            Problem(
                what="studies, tables and risks are worked out for job files",
                where="--portfolio",
                remedy="name the job file of one type instead",
            )
        )
    if options.pdf and len(options.jobs) != 1:
        raise UnusableError(
            Problem(
                what="the client's page is for one job",
                where="--pdf",
                remedy="name one job file, and write a page for each",
            )
        )
    if options.sheets and not options.portfolio:
        raise UnusableError(
            Problem(
                what="sheets of all types are written for a portfolio",
                where="--sheets",
                remedy="use cutopt plan JOB for one job",
            )
        )


def _jobs(options: EstimateOptions, plan_all: PlanAll) -> Told:
    """Estimate job files; with several, one that is wrong does not stop the others."""
    single = len(options.jobs) == 1
    status, jobs = 0, []
    for name in options.jobs:
        try:
            jobs.append(settled(_read(name, options), options.search, plan_all))
        except CutoptError as error:
            status = tell(_in_file(error, name)) or status
    asked = Asked(
        margins=single and _wants_margins(options, jobs),
        study=bool(options.study or options.vary or options.every or options.planks),
        table=options.table,
        risk=options.risk or single,
    )
    estimates = estimate(jobs, options.search, asked, plan_all)
    for one in estimates:
        if one.failed is not None:
            status = tell(_failure(one.failed, one.job.title)) or status
    return Told(
        estimates=tuple(one for one in estimates if one.figure or one.cells),
        status=status,
        made=f"Made by cutopt {__version__} of {', '.join(options.jobs)} with --seed {options.seed} "
        f"--searches {options.searches}: the same again gives the same figures.",
    )


def _wants_margins(options: EstimateOptions, jobs: Sequence[Job]) -> bool:
    """Say whether margins are worth their many plans: where they are asked for, or told of a single room."""
    shown = not options.quiet or options.csv or options.xlsx or options.pdf
    return (
        options.margins
        if options.margins is not None
        else bool(shown and all(len(job.rooms) == 1 for job in jobs))
    )


def _in_file(error: CutoptError, file: str) -> CutoptError:
    """Return an error whose every problem names the file it is in."""
    problems = (
        problem
        if file in problem.where
        else replace(problem, where=": ".join(filter(None, (file, problem.where))))
        for problem in error.problems
    )
    return type(error)(*problems)


def _read(file: str, options: EstimateOptions) -> Job:
    """Read a job, and take what is varied from the command line where it is told there."""
    job = parse_job(sys.stdin.buffer.read(), "standard input") if file == STDOUT else read_job(Path(file))
    if options.planks is not None:
        job = replace(job, catalogue=read_catalogue(Path(options.planks), job))
    told = vary(options.vary, job)
    if options.planks is not None:
        told = (*told, Vary(what=Varied.PLANK, choices=tuple(one.name for one in job.catalogue)))
    study = replace(job.study, vary=told) if told else job.study
    return replace(job, study=replace(study, every=study.every or options.every))


def _portfolio(options: EstimateOptions, plan_all: PlanAll) -> Told:
    """Work out a portfolio; types that are wrong do not stop the others."""
    portfolio = read_portfolio(Path(str(options.portfolio)))
    totals = work_out(portfolio, options.search, plan_all)
    status = 0
    for one in totals.types:
        if one.failed is not None:
            status = tell(_failure(one.failed, one.name)) or status
    if options.sheets is not None:
        write_sheets(portfolio, totals, options.sheets, options.search)
    return Told(totals=totals, status=status)


_ERRORS: dict[Why, type[CutoptError]] = {
    Why.FILE: JobError,
    Why.CLASH: RulesClashError,
    Why.TIME: NoPlanInTimeError,
    Why.BUG: OurBugError,
}


def _failure(failed: Failed, name: str) -> CutoptError:
    """Return why a job has no figure as an error that names it, with the exit status that goes with it."""
    return _ERRORS[failed.why](*(Problem(what=problem, where=name) for problem in failed.problems))
