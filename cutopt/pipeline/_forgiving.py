"""The most forgiving plan: of those with the fewest planks, one that lets walls be out by most."""

import time
from dataclasses import dataclass, field, replace

from cutopt.check import check_plan
from cutopt.errors import NoPlanInTimeError, RulesClashError
from cutopt.model.floor import Run
from cutopt.model.job import Job, Lay, ShareOffcuts, ShareRips
from cutopt.model.plan import Part, PieceCut, Plan
from cutopt.numbering import number
from cutopt.pipeline._plan import Planned, plan_job
from cutopt.planner import Limits, Watch, plan_cuts
from cutopt.setout import set_out
from cutopt.tolerance import tolerances
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks

__all__ = ["plan_forgiving"]

_MOST = 24
_SHARE = 4
_SHORTEST = 0.05


def plan_forgiving(job: Job, limits: Limits, watch: Watch) -> Planned:
    """Plan a job as :func:`plan_job` does, then look in the time left for a plan that forgives more.

    Other plans are sought for a floor whose every run is longer by some amount, more and more of it while
    planks stay as few, and with twice that on top of the minimum piece. Cut down to the real floor, the piece
    laid last in every run shorter by the amount, such a plan keeps the job's own rules, for its joints stay and
    no pair of them is added (as :mod:`cutopt.tolerance` proves). It allows every wall that amount either way.
    Kept is the plan of the fewest planks whose smallest tolerance is largest, then the next smallest. So it has
    never more planks than :func:`plan_job` finds, nor a smaller tolerance. A best effort that breaks rules is
    left as it is. Raises what :func:`plan_job` does.
    """
    end = time.monotonic() + limits.seconds
    found = plan_job(job, limits, watch)
    if found.breaches:
        return found
    best = found.plan
    tries = _Tries(_finest(found.job))
    while not (tries.over or watch.stop()):
        left = end - time.monotonic()
        if left < _SHORTEST:
            break
        share = replace(limits, seconds=max(_SHORTEST, left / _SHARE), seed=limits.seed + tries.seed)
        other = _roomier(found, tries.amount, best.totals.planks, share, watch)
        tries.note(good=other is not None)
        best = max(best, other or best, key=_rank)
    if best is found.plan:
        return found
    return replace(found, plan=best, setout=set_out(best, found.job.layout))


def _finest(job: Job) -> Ticks:
    """Return the least amount worth asking for, a multiple of the cut step."""
    finest = TICKS_PER_MM if job.unit.is_metric else TICKS_PER_INCH // 16
    step = job.rules.cut_step or 1
    return -(-finest // step) * step


def _rank(plan: Plan) -> tuple[int, tuple[Ticks, ...]]:
    """Return how good a plan is: fewest planks, then the smallest tolerance, then the next smallest."""
    return -plan.totals.planks, tuple(sorted(one.least for one in tolerances(plan)))


@dataclass(slots=True)
class _Tries:
    """Which amount to try next, in multiples of ``step``: doubled while it goes well, then halfway between.

    When the largest that goes well is known, the next seed is asked for more.
    """

    step: Ticks
    seed: int = 0
    done: int = 0
    low: int = 0
    high: int | None = None

    @property
    def amount(self) -> Ticks:
        """The amount to try."""
        return self.step * (max(1, 2 * self.low) if self.high is None else (self.low + self.high) // 2)

    @property
    def over(self) -> bool:
        """Whether enough was tried."""
        return self.done >= _MOST

    def note(self, *, good: bool) -> None:
        """Take note of how the amount went."""
        tried = self.amount // self.step
        self.done += 1
        if good:
            self.low = tried
        else:
            self.high = tried
        if self.high is not None and self.high - self.low <= 1:
            self.seed, self.high = self.seed + 1, None


@dataclass(slots=True)
class _Aim:
    """A watch that ends a search once it has a plan of so few planks, or knows that there is none."""

    planks: int
    watch: Watch
    may_stop: bool
    over: bool = field(default=False, init=False)

    def report(self, bound: int, best: int | None, seconds: float) -> None:  # noqa: ARG002 - what a watch is told
        """See whether the aim is met or out of reach."""
        met = self.may_stop and best is not None and best <= self.planks
        self.over = met or bound > self.planks

    def stop(self) -> bool:
        """Say whether the search should end."""
        return self.over or self.watch.stop()


def _roomier(found: Planned, amount: Ticks, planks: int, limits: Limits, watch: Watch) -> Plan | None:
    """Return a plan of at most so many planks in which all walls may be out by an amount, if one is found."""
    job, floor = found.job, found.floor
    strips = any(cut.strip is not None for cut in found.plan.planks)
    rules = replace(
        job.rules,
        min_piece=job.rules.min_piece + 2 * amount,
        share_rips=job.rules.share_rips if strips else ShareRips.NO,
    )
    # Where parts of the floor are planned by themselves, what is reported is not the whole.
    parted = strips or (
        rules.share_offcuts is ShareOffcuts.ROOM and len({run.field for run in floor.runs}) > 1
    )
    aim = _Aim(planks, watch, may_stop=not parted)
    backwards = rules.lay is Lay.RIGHT_TO_LEFT
    longer = replace(floor, runs=tuple(_longer(run, amount, backwards=backwards) for run in floor.runs))
    try:
        cutting = plan_cuts(longer, job.plank, rules, limits, aim, unit=job.unit)
    except (NoPlanInTimeError, RulesClashError):
        return None
    real = replace(
        cutting,
        runs=tuple(_cut_down(pieces, amount) for pieces in cutting.runs),
        bound=found.plan.bound,
        note=found.plan.note,
    )
    plan = number(floor, real, job, limits.seed)
    return plan if plan.totals.planks <= planks and not check_plan(plan) else None


def _longer(run: Run, amount: Ticks, *, backwards: bool) -> Run:
    """Return a run whose far wall, in the direction of laying, is further away."""
    return replace(
        run,
        length=run.length + amount,
        offset=run.offset - amount * backwards,
        area2=run.area2 + 2 * amount * run.width,
    )


def _cut_down(pieces: tuple[PieceCut, ...], amount: Ticks) -> tuple[PieceCut, ...]:
    """Return the pieces of a run, the one laid last shorter."""
    *others, last = pieces
    part = Part.END if others else Part.SINGLE
    return (*others, replace(last, length=last.length - amount, part=part))
