"""What a job comes to and what moves it: every plan asked of one that makes many at once."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from cutopt.estimate import figure, risk
from cutopt.model.estimate import (
    Failed,
    Figure,
    Margins,
    Outcome,
    Risk,
    RoomCell,
    Study,
    StudyRow,
    Tally,
    Task,
)
from cutopt.model.job import Job
from cutopt.model.pricing import NO_RISK, NO_STUDY, NOT_PRICED, Shape, Steps, TableSpec
from cutopt.pipeline._plan import DIRECTIONS
from cutopt.study import best, margins, mismeasured, table_jobs, variants
from cutopt.survey import solve_surveys
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM

__all__ = ["Asked", "Estimate", "PlanAll", "Search", "estimate", "settled", "study", "waste_table"]

PlanAll = Callable[[Sequence[Task]], Sequence[Outcome]]
"""Plans tasks, many at once where it can, and answers in their order."""

_QUICK = 0
"""Searches for plans of which only the boxes count: the bound tells whether more would help."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """How long every plan is sought: ended by ``searches``, the answer is the same on every machine."""

    seconds: float = 60.0
    seed: int = 0
    searches: int | None = 2

    def task(self, key: str, job: Job, *, tidy: bool = True) -> Task:
        """Return a job as a task; of one that is not to be ``tidy`` only the planks count.

        What no plan hangs on is left out, so that another price, say, is no other task.
        """
        bare = replace(
            job,
            title="",
            pricing=NOT_PRICED,
            risk=NO_RISK,
            study=NO_STUDY,
            catalogue=(),
            table=None,
            assumptions=(),
            warnings=(),
        )
        return Task(
            key=key, job=bare, seconds=self.seconds, seed=self.seed, searches=self.searches, tidy=tidy
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is to be told of a job beside its figure."""

    margins: bool = False
    study: bool = False
    table: bool = False
    risk: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """All that was asked of one job; ``failed`` in place of everything else where it cannot be planned."""

    job: Job
    figure: Figure | None = None
    failed: Failed | None = None
    margins: Margins = ()
    study: Study | None = None
    risk: Risk | None = None
    cells: tuple[RoomCell, ...] = ()


def settled(job: Job, search: Search, plan_all: PlanAll) -> Job:
    """Return a job with its surveys solved and, where directions are to be compared, the best of them.

    Raises ``JobError`` where a survey cannot be solved.
    """
    job, _ = solve_surveys(job)
    if job.layout.direction is not None:
        return job
    turned = [replace(job, layout=replace(job.layout, direction=degrees)) for degrees in DIRECTIONS]
    outcomes = plan_all([search.task(f"direction {nth}", one, tidy=False) for nth, one in enumerate(turned)])
    planned = [(found.planks, nth) for nth, found in enumerate(outcomes) if isinstance(found, Tally)]
    return turned[min(planned, default=(0, 0))[1]]


def estimate(jobs: Sequence[Job], search: Search, asked: Asked, plan_all: PlanAll) -> tuple[Estimate, ...]:
    """Return what settled jobs come to, each by itself, and all else that is asked of them."""
    outcomes = plan_all([search.task(job.title, job) for job in jobs])
    return tuple(
        _estimate(job, found, search, asked, plan_all) for job, found in zip(jobs, outcomes, strict=True)
    )


def _estimate(job: Job, found: Outcome, search: Search, asked: Asked, plan_all: PlanAll) -> Estimate:
    cells = waste_table(job, search, plan_all) if asked.table else ()
    if isinstance(found, Failed):
        return Estimate(job=job, failed=found, cells=cells)
    return Estimate(
        job=job,
        figure=figure(job, found),
        margins=_margins(job, search, plan_all) if asked.margins else (),
        study=study(job, search, plan_all) if asked.study else None,
        risk=risk(job, (found, *_mismeasured(job, search, plan_all))) if asked.risk else None,
        cells=cells,
    )


def study(job: Job, search: Search, plan_all: PlanAll) -> Study:
    """Return what the choices of a study come to."""
    tried = variants(job)
    outcomes = plan_all([search.task(name, one, tidy=False) for _, name, one in tried])
    rows = [
        StudyRow(
            changed=tuple(changed),
            name=name,
            figure=figure(one, found) if isinstance(found, Tally) else None,
            failed=found if isinstance(found, Failed) else None,
        )
        for (changed, name, one), found in zip(tried, outcomes, strict=True)
    ]
    return best(rows)


def waste_table(job: Job, search: Search, plan_all: PlanAll) -> tuple[RoomCell, ...]:
    """Return the waste factors of rooms of many sizes, laid with the plank and the rules of a job."""
    rooms = table_jobs(job, job.table or usual_table(job))
    outcomes = plan_all(
        [search.task(f"{shape} {nth}", one, tidy=False) for nth, (shape, _, _, one) in enumerate(rooms)]
    )
    return tuple(
        RoomCell(
            shape=shape,
            along=along,
            across=across,
            figure=figure(one, found) if isinstance(found, Tally) else None,
            failed=found if isinstance(found, Failed) else None,
        )
        for (shape, along, across, one), found in zip(rooms, outcomes, strict=True)
    )


def usual_table(job: Job) -> TableSpec:
    """Return the rooms of a table where the job names none: 8 to 20 ft by 8 to 16 ft, or about that in metres."""
    if job.unit.is_metric:
        metre = 1000 * TICKS_PER_MM
        along, across = (
            Steps(first=5 * metre // 2, last=6 * metre, step=metre // 2),
            Steps(first=5 * metre // 2, last=5 * metre, step=metre // 2),
        )
    else:
        foot = 12 * TICKS_PER_INCH
        along, across = (
            Steps(first=8 * foot, last=20 * foot, step=2 * foot),
            Steps(first=8 * foot, last=16 * foot, step=2 * foot),
        )
    return TableSpec(along=along, across=across, shapes=(Shape.RECTANGLE,))


def _margins(job: Job, search: Search, plan_all: PlanAll) -> Margins:
    quick = replace(search, searches=_QUICK)

    def boxes_of(jobs: Sequence[Job]) -> list[int | None]:
        outcomes = plan_all([quick.task(f"margin {nth}", one, tidy=False) for nth, one in enumerate(jobs)])
        return [
            figure(one, found).boxes if isinstance(found, Tally) else None
            for one, found in zip(jobs, outcomes, strict=True)
        ]

    return margins(job, boxes_of)


def _mismeasured(job: Job, search: Search, plan_all: PlanAll) -> list[Tally]:
    """Return what rooms come to that the tape got wrong, where that is asked for."""
    if not job.risk.mismeasure:
        return []
    jobs = mismeasured(job, search.seed)
    quick = replace(search, searches=_QUICK)
    outcomes = plan_all([quick.task(f"mismeasured {nth}", one, tidy=False) for nth, one in enumerate(jobs)])
    return [found for found in outcomes if isinstance(found, Tally)]
