"""The long study: how often plans meet their bound, how fast, and how far laying without a plan is from it.

Every job runs in a process of its own, by the same pipeline as ``cutopt plan``.

    python benchmarks/reach.py                      all stored jobs, 10 s each, one at a time
    python benchmarks/reach.py --smoke              three small jobs, nothing stored
    python benchmarks/reach.py --jobs FOLDER --time-limit 60 --at-once 2 --label tag

Writes one table a run, ``results/DATE-LABEL.csv`` and ``.md``. Exit status 1 when a job ended in an
error, or when a way of laying that keeps every rule needed fewer planks than the bound says are needed.
"""

import argparse
import csv
import io
import json
import platform
import subprocess
import sys
import time
from collections.abc import Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, dataclass, fields, replace
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from statistics import median

HERE = Path(__file__).parent
FAMILIES = ("rect", "jog", "taper", "flat", "short")
SMOKE = ("rect-07", "jog-02", "short-04")
# Beyond the search: starting Python, reading, checking, and the baselines.
GRACE = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One job's line of the table.

    ``status`` is proven, open (a plan above its bound), impossible (proved), time-out or error;
    ``habit`` and ``third`` are the planks that laying without a plan needs, with the runs in
    which it broke a rule. ``seconds`` is what the pipeline took, loading the solver included.
    """

    job: str
    family: str
    rows: int
    status: str
    bound: int | None = None
    planks: int | None = None
    waste_percent: float | None = None
    peak_waiting: int | None = None
    seconds: float = 0.0
    habit: int | None = None
    habit_breaches: int | None = None
    third: int | None = None
    third_breaches: int | None = None
    note: str = ""


class Unwatched:
    """Nobody looks on and nobody interrupts."""

    def report(self, bound: int, best: int | None, seconds: float) -> None:
        """Tell nobody."""

    def stop(self) -> bool:
        """Never ask to stop."""
        return False


def run_here(file: Path, seconds: float, seed: int) -> Outcome:
    """Plan one job in this process, then lay it by the baselines."""
    outcome = plan_here(file, seconds, seed)  # first, so that loading counts in its time
    from baselines import fixed_third, installers_habit  # noqa: PLC0415 - not before the planner

    from cutopt.jobfile import read_job  # noqa: PLC0415 - same

    job = read_job(file)
    habit, third = installers_habit(job), fixed_third(job)
    return replace(
        outcome,
        habit=habit.planks,
        habit_breaches=habit.breaches,
        third=third.planks,
        third_breaches=third.breaches,
    )


def plan_here(file: Path, seconds: float, seed: int) -> Outcome:
    """Plan a job by the pipeline."""
    start = time.perf_counter()
    from cutopt.errors import NoPlanInTimeError, RulesClashError  # noqa: PLC0415 - loading is part of the time
    from cutopt.jobfile import read_job  # noqa: PLC0415 - same
    from cutopt.layout import lay_out  # noqa: PLC0415 - same
    from cutopt.pipeline import plan_job  # noqa: PLC0415 - same
    from cutopt.planner import Limits  # noqa: PLC0415 - same

    job = read_job(file)
    rows = len({run.row for run in lay_out(job).runs})
    outcome = Outcome(job=file.stem, family=family_of(file), rows=rows, status="time-out")
    try:
        plan = plan_job(job, Limits(seconds=seconds, seed=seed), Unwatched()).plan
    except RulesClashError as clash:
        outcome = replace(outcome, status="impossible", note=clash.problems[0].what)
    except NoPlanInTimeError:
        pass
    else:
        outcome = replace(
            outcome,
            status="proven" if plan.bound.proven else "open",
            bound=plan.bound.planks,
            planks=plan.totals.planks,
            waste_percent=round(plan.totals.waste_factor_percent, 2),
            peak_waiting=plan.totals.peak_waiting,
        )
    return replace(outcome, seconds=round(time.perf_counter() - start, 2))


def family_of(file: Path) -> str:
    """Return the family a job's file is named after: ``rect-01.toml`` is of ``rect``."""
    return next((word for word in file.stem.split("-") if word in FAMILIES), "other")


def run_apart(file: Path, seconds: float, seed: int) -> Outcome:
    """Plan one job in a process of its own; whatever happens to it, there is an outcome."""
    command = [
        sys.executable,
        __file__,
        "--one",
        str(file),
        "--time-limit",
        str(seconds),
        "--seed",
        str(seed),
    ]
    try:
        done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=seconds + GRACE)
    except subprocess.TimeoutExpired:
        note = f"no answer {GRACE:g} s after its time limit"
        return Outcome(job=file.stem, family=family_of(file), rows=0, status="error", note=note)
    if done.returncode:
        note = (done.stderr.strip().splitlines() or ["no message"])[-1]
        return Outcome(job=file.stem, family=family_of(file), rows=0, status="error", note=note)
    return Outcome(**json.loads(done.stdout))


def run_all(files: Sequence[Path], seconds: float, seed: int, at_once: int) -> list[Outcome]:
    """Run all jobs, telling each outcome on stderr as it comes."""
    outcomes = []
    with ThreadPoolExecutor(at_once) as pool:
        for outcome in pool.map(lambda file: run_apart(file, seconds, seed), files):
            outcomes.append(outcome)
            counts = f"{outcome.planks} planks, bound {outcome.bound}" if outcome.planks else outcome.note
            print(f"{outcome.job:12} {outcome.status:10} {outcome.seconds:6.1f} s  {counts}", file=sys.stderr)
    return outcomes


def wrong(outcome: Outcome) -> bool:
    """Say whether the program failed on a job, or its bound is shown to be too high."""
    if outcome.bound is None or outcome.habit is None:
        return outcome.status == "error"
    # A floor by thirds breaks H-joint and stair-step by nature, so only the habit can refute a bound.
    return outcome.habit_breaches == 0 and outcome.habit < outcome.bound


def as_csv(outcomes: Iterable[Outcome]) -> str:
    """Return the table for machines."""
    text = io.StringIO()
    table = csv.DictWriter(text, [field.name for field in fields(Outcome)], lineterminator="\n")
    table.writeheader()
    table.writerows(asdict(outcome) for outcome in outcomes)
    return text.getvalue()


def as_markdown(outcomes: Sequence[Outcome], about: str) -> str:
    """Return the tables for people: families first, then every job."""
    families = sorted({outcome.family for outcome in outcomes})
    lines = [about, "", *_table(_SUMMARY, [_summary(name, outcomes) for name in [*families, "all"]]), ""]
    return "\n".join([*lines, *_table(_EACH, [_each(outcome) for outcome in outcomes]), ""])


_SUMMARY = (
    "family",
    "jobs",
    "proven",
    "open",
    "impossible",
    "time-out",
    "error",
    "planks over bound",
    "waste, median %",
    "seconds, median",
    "seconds, most",
    "habit over bound",
    "third over bound",
)
_EACH = (
    "job",
    "rows",
    "status",
    "bound",
    "planks",
    "waste %",
    "waiting",
    "seconds",
    "habit (breaches)",
    "third (breaches)",
)


def _summary(family: str, outcomes: Sequence[Outcome]) -> list[str]:
    mine = [outcome for outcome in outcomes if family in {outcome.family, "all"}]
    kinds = ("proven", "open", "impossible", "time-out", "error")
    statuses = [str(sum(outcome.status == kind for outcome in mine)) for kind in kinds]
    planned = [outcome for outcome in mine if outcome.bound is not None]
    seconds = [outcome.seconds for outcome in mine]
    over = [
        str(sum((getattr(one, column) or 0) - (one.bound or 0) for one in planned))
        for column in ("planks", "habit", "third")
    ]
    waste = f"{median(one.waste_percent or 0 for one in planned):.1f}" if planned else "-"
    times = [f"{median(seconds):.1f}", f"{max(seconds):.1f}"]
    return [family, str(len(mine)), *statuses, over[0], waste, *times, *over[1:]]


def _each(outcome: Outcome) -> list[str]:
    cells = (
        outcome.job,
        outcome.rows,
        outcome.status,
        outcome.bound,
        outcome.planks,
        outcome.waste_percent,
        outcome.peak_waiting,
        f"{outcome.seconds:.1f}",
        None if outcome.habit is None else f"{outcome.habit} ({outcome.habit_breaches})",
        None if outcome.third is None else f"{outcome.third} ({outcome.third_breaches})",
    )
    return ["-" if cell is None else str(cell) for cell in cells]


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    return [f"| {' | '.join(row)} |" for row in (head, ["---"] * len(head), *rows)]


def about(options: argparse.Namespace, jobs: int) -> str:
    """Return what was run, on what, in a few lines."""
    python, solver = platform.python_version(), version("ortools")
    date = datetime.now(UTC).date()
    return (
        f"# {options.label}, {date}\n\n"
        f"{jobs} jobs, time limit {options.time_limit:g} s, seed {options.seed}, {options.at_once} at a time. "
        f"cutopt {version('cutopt')}, ortools {solver}, Python {python}, {platform.machine()}.\n\n"
        "Habit: each row starts with the waiting plank that gives the longest legal starter, else a fresh plank\n"
        "cut at random (median of 5). Third: every row set off by a third of a plank. Breaches: runs where they\n"
        "could not keep a rule. Over bound: planks in sum over the jobs that were planned."
    )


def parse(arguments: Sequence[str] | None) -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--jobs", type=Path, default=HERE / "jobs" / "reach", metavar="FOLDER")
    parser.add_argument("--time-limit", type=float, default=10.0, metavar="S")
    parser.add_argument("--seed", type=int, default=0, metavar="N")
    parser.add_argument("--at-once", type=int, choices=(1, 2), default=1, help="2 is sooner, less honest")
    parser.add_argument("--out", type=Path, default=HERE / "results", metavar="FOLDER")
    parser.add_argument("--label", default="reach", metavar="NAME")
    parser.add_argument("--smoke", action="store_true", help="three small jobs, printed and not stored")
    parser.add_argument("--one", type=Path, help=argparse.SUPPRESS)
    return parser.parse_args(arguments)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the jobs and write the tables; return the exit status."""
    options = parse(arguments)
    if options.one:
        print(json.dumps(asdict(run_here(options.one, options.time_limit, options.seed))))
        return 0
    files = sorted(options.jobs.glob("*.toml"))
    if options.smoke:
        files = [options.jobs / f"{name}.toml" for name in SMOKE]
    if not files:
        print(f"no jobs (*.toml) in {options.jobs}", file=sys.stderr)
        return 2
    outcomes = run_all(files, options.time_limit, options.seed, options.at_once)
    text = as_markdown(outcomes, about(options, len(files)))
    if not options.smoke:
        options.out.mkdir(parents=True, exist_ok=True)
        stem = options.out / f"{datetime.now(UTC).date()}-{options.label}"
        stem.with_suffix(".csv").write_text(as_csv(outcomes), encoding="utf-8")
        stem.with_suffix(".md").write_text(text, encoding="utf-8")
    print(text)
    return 1 if any(map(wrong, outcomes)) else 0


if __name__ == "__main__":
    sys.exit(main())
