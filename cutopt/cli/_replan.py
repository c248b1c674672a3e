"""The ``replan`` command: going on with a plan from what is laid, spoiled, measured and in hand."""

import re
import sys
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from cutopt.cli._errors import UnusableError
from cutopt.cli._output import STDOUT, Target, check_targets, note
from cutopt.cli._results import breaches_by_row, hand_over
from cutopt.cli._watch import watching
from cutopt.errors import NoPlanInTimeError, Problem, RulesClashError
from cutopt.jobfile import read_stock
from cutopt.model.plan import Plan
from cutopt.model.replan import Changes, RowMeasure
from cutopt.pipeline import Replanned, look, replan
from cutopt.planfile import read_laid, read_plan, write_plan
from cutopt.planner import Limits
from cutopt.sheet import OnSite, enough, render_csv, render_onsite
from cutopt.units import LengthError, Ticks, parse_length

__all__ = ["ReplanOptions", "run_replan"]

_BENDING = Problem(
    what="what is left cannot be laid so that these rules are kept beside the rows laid",
    remedy="measure again, or add --best-effort for a plan that breaks them least",
)

_ROW = re.compile(r"(\d{1,6})\s*=\s*([+-]?)(.+)", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReplanOptions:
    """What the user asked for; lengths and rows as typed."""

    plan: str
    laid: int
    done: str | None
    spoiled: tuple[str, ...]
    row: tuple[str, ...]
    rest: str | None
    left_across: str | None
    stock: str | None
    show: bool
    json: str | None
    csv: str | None
    seconds: float
    seed: int
    quiet: bool
    best_effort: bool


def run_replan(options: ReplanOptions) -> int:
    """Plan what is left, write the files, print how it goes on; return the exit status.

    Status 1 says that what is in hand is not enough, or that rules are broken.
    """
    targets = [
        Target(option=option, file=file)
        for option, file in (("--json", options.json), ("--csv", options.csv))
        if file is not None
    ]
    for source in (options.plan, options.done, options.stock):
        if source is not None:
            check_targets(targets, source)
    _refuse_more_than_a_look(options)
    plan = read_plan(
        sys.stdin.buffer.read().decode("utf-8", "replace") if options.plan == STDOUT else Path(options.plan)
    )
    changes = _changes(options, plan)
    again = look(plan, changes) if options.show else _search(plan, changes, options)
    texts = {"--json": write_plan, "--csv": render_csv}
    results = [(target, texts[target.option](again.plan)) for target in targets]
    hand_over(results, lambda: _told(again, plan.totals.boxes, options), quiet=options.quiet)
    return 1 if again.breaches or again.short else 0


def _changes(options: ReplanOptions, plan: Plan) -> Changes:
    done = None if options.done is None else read_laid(Path(options.done))
    if done is not None and done.plan and done.plan != sha256(write_plan(plan).encode()).hexdigest():
        note("what is laid was ticked off on another version of this plan: mind that the numbers agree")
    stock = (
        None
        if options.stock is None
        else read_stock(
            Path(options.stock), unit=plan.unit, plank=plan.plank.length, per_box=plan.plank.per_box
        )
    )
    return Changes(
        laid_rows=options.laid,
        laid_pieces=frozenset() if done is None else done.pieces,
        spoiled=options.spoiled,
        rows=dict(_row(text, plan) for text in options.row),
        rest=0 if options.rest is None else _signed(options.rest, "--rest", plan),
        left_across=None
        if options.left_across is None
        else _length(options.left_across, "--left-across", plan),
        stock=stock,
    )


def _row(text: str, plan: Plan) -> tuple[int, RowMeasure]:
    """Return the row and its measure: ``14=+1/2``, ``14=-1/4``, or ``14=98-1/2`` for its length."""
    found = _ROW.fullmatch(text.strip())
    if found is None:
        raise _refused(text, "--row", "write a row and its measure, like 14=+1/2 or 14=98-1/2")
    row, sign, length = found.groups()
    ticks = _length(length, "--row", plan)
    measure = {"+": RowMeasure(longer=ticks), "-": RowMeasure(longer=-ticks)}
    return int(row), measure.get(sign, RowMeasure(length=ticks))


def _signed(text: str, option: str, plan: Plan) -> Ticks:
    sign = -1 if text.strip().startswith("-") else 1
    return sign * _length(text.strip().lstrip("+-"), option, plan)


def _length(text: str, option: str, plan: Plan) -> Ticks:
    try:
        return parse_length(text, plan.unit)
    except LengthError as error:
        raise _refused(text, option, f"{error}") from None


def _refused(text: str, option: str, remedy: str) -> UnusableError:
    return UnusableError(Problem(what=f"{text} is no measure", where=option, remedy=remedy))


def _refuse_more_than_a_look(options: ReplanOptions) -> None:
    """Refuse what cannot be told without planning anew."""
    given = {
        "--spoiled": options.spoiled,
        "--row": options.row,
        "--rest": options.rest,
        "--left-across": options.left_across,
        "--json": options.json,
        "--csv": options.csv,
    }
    wrong = [name for name, value in given.items() if value]
    if options.show and wrong:
        what = "this only looks at the plan as it is"
        raise UnusableError(
            Problem(what=what, where=f"--show with {wrong[0]}", remedy="leave one of the two out")
        )


def _search(plan: Plan, changes: Changes, options: ReplanOptions) -> Replanned:
    limits = Limits(seconds=options.seconds, seed=options.seed, best_effort=options.best_effort)
    with watching(options.seconds, quiet=options.quiet) as watch:
        try:
            return replan(plan, changes, limits, watch)
        except NoPlanInTimeError:
            if watch.interrupted:
                note("stopped before a plan was found")
                raise KeyboardInterrupt from None
            raise
        except RulesClashError as clash:
            raise RulesClashError(*clash.problems, _BENDING) from None


def _told(again: Replanned, ordered: int, options: ReplanOptions) -> str:
    plan = again.plan
    here = OnSite(
        plan=plan,
        laid=frozenset(row.run for row in again.left.kept),
        fresh=again.fresh,
        fewest=again.fewest,
        have=again.have,
        ordered=ordered,
        same=again.same,
        notes=again.left.notes,
        shares=again.shares,
    )
    if options.quiet:
        return f"{enough(here)}\n"
    return render_onsite(here, breaches_by_row(again.plan, again.breaches), brief=options.show)
