"""The long study: how often plans meet their bound, how fast, and how far other ways of laying are from it.

Every job is planned by ``cutopt plan`` in a process of its own, whose whole wall time counts. Another
process then lays the same job by an installer's habit, by a fixed third (``baselines.py``) and by one
plain CP-SAT model (``plain_model.py``), and times the bound alone.

    python benchmarks/reach.py                      all stored jobs, 10 s each, one at a time
    python benchmarks/reach.py --smoke              three small jobs, nothing stored
    python benchmarks/reach.py --subset 'flat-*' rect-07    jobs by name
    python benchmarks/reach.py --jobs FOLDER --time-limit 60 --peer-seconds 30 --label tag
    python benchmarks/reach.py --redraw results/TABLE.csv

Writes one table a run, ``results/DATE-LABEL.csv`` and ``.md``, and two pictures of it (``-above.svg``,
``-rows.svg``; they need the extra ``bench``). Exit status 1 when a job ended in an error, or when a way of laying that
keeps every rule needed fewer planks than the bound says are needed.
"""

import argparse
import json
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from reach_tables import Outcome, as_text, draw_pictures, family_of, read_table, wrong
from tables import (
    CUTOPT,
    HERE,
    as_csv,
    first_error,
    last_line,
    machine,
    results_options,
    run_apart,
    store,
    today,
)

SMOKE = ("rect-07", "jog-02", "short-04")
# Beyond the search: starting Python, reading, checking, printing.
GRACE = 60.0
# Exit statuses of ``cutopt plan``.
IMPOSSIBLE, NO_PLAN = 1, 4
T = TypeVar("T")


def run_job(file: Path, options: argparse.Namespace) -> Outcome:
    """Plan one job, then lay it in the other ways; whatever happens, there is an outcome."""
    outcome = _planned(file, options)
    return outcome if outcome.status == "error" else _beside(outcome, file, options)


def _planned(file: Path, options: argparse.Namespace) -> Outcome:
    with tempfile.TemporaryDirectory() as folder:
        stored = Path(folder) / "plan.json"
        limits = ("--time-limit", str(options.time_limit), "--seed", str(options.seed))
        done = run_apart(
            (*CUTOPT, "plan", str(file), "--json", str(stored), *limits), options.time_limit + GRACE
        )
        outcome = Outcome(
            job=file.stem, family=family_of(file.stem), status="error", seconds=round(done.seconds, 2)
        )
        if done.status == 0:
            return _with_plan(outcome, json.loads(stored.read_text(encoding="utf-8")))
    if done.status < 0:
        return replace(outcome, note=f"no answer {GRACE:g} s after its time limit, or killed")
    status = {IMPOSSIBLE: "impossible", NO_PLAN: "time-out"}.get(done.status, "error")
    # What is said of a job of ours names no place on this machine.
    return replace(outcome, status=status, note=first_error(done.err).replace(str(file), file.name))


def _with_plan(outcome: Outcome, plan: dict[str, Any]) -> Outcome:
    totals, bound = plan["totals"], plan["bound"]
    return replace(
        outcome,
        status="proven" if bound["proven"] else "open",
        bound=bound["planks"],
        planks=totals["planks"],
        waste_percent=round(totals["waste_factor_percent"], 2),
        peak_waiting=totals["peak_waiting"],
    )


def _beside(outcome: Outcome, file: Path, options: argparse.Namespace) -> Outcome:
    command = (sys.executable, __file__, "--beside", str(file), "--peer-seconds", str(options.peer_seconds))
    done = run_apart(command, options.peer_seconds + GRACE)
    if done.status == 0:
        return replace(outcome, **json.loads(done.out))
    said = last_line(done.err).replace(str(file), file.name)
    return replace(outcome, note=outcome.note or f"other ways of laying: {said}")


def lay_beside(file: Path, seconds: float) -> dict[str, Any]:
    """Lay a job in the other ways, in this process; return columns of its outcome."""
    # Only this process loads the program and the solver.
    from baselines import fixed_third, installers_habit  # noqa: PLC0415
    from plain_model import findings, plain_model  # noqa: PLC0415

    from cutopt.jobfile import read_job  # noqa: PLC0415
    from cutopt.layout import lay_out  # noqa: PLC0415
    from cutopt.planner.bound import price_bound  # noqa: PLC0415
    from cutopt.planner.problem import build_problem  # noqa: PLC0415

    job = read_job(file)
    floor = lay_out(job)
    habit, habit_seconds = _timed(lambda: installers_habit(job))
    third, third_seconds = _timed(lambda: fixed_third(job))
    _, bound_seconds = _timed(lambda: price_bound(build_problem(floor, job.plank, job.rules)))
    model = plain_model(job, seconds)
    if model and model.laid and findings(job, model.laid):
        raise ValueError(f"the check refuses the plain model's plan of {file.name}")
    return {
        "rows": len({run.row for run in floor.runs}),
        "per_box": job.plank.per_box,
        "bound_seconds": bound_seconds,
        "habit": habit.planks,
        "habit_breaches": habit.breaches,
        "habit_seconds": habit_seconds,
        "third": third.planks,
        "third_breaches": third.breaches,
        "third_seconds": third_seconds,
        "model": model and model.planks,
        "model_bound": model and model.bound,
        "model_seconds": model and round(model.seconds, 2),
    }


def _timed(work: Callable[[], T]) -> tuple[T, float]:
    start = time.perf_counter()
    found = work()
    return found, round(time.perf_counter() - start, 3)


def run_all(files: Sequence[Path], options: argparse.Namespace) -> list[Outcome]:
    """Run all jobs, telling each outcome on stderr as it comes."""
    outcomes = []
    with ThreadPoolExecutor(options.at_once) as pool:
        for outcome in pool.map(lambda file: run_job(file, options), files):
            outcomes.append(outcome)
            counts = f"{outcome.planks} planks, bound {outcome.bound}" if outcome.planks else outcome.note
            print(f"{outcome.job:12} {outcome.status:10} {outcome.seconds:6.1f} s  {counts}", file=sys.stderr)
    return outcomes


def about(options: argparse.Namespace, jobs: int) -> str:
    """Return what was run, on what, in a few lines."""
    return (
        f"# {options.label}, {today()}\n\n"
        f"{jobs} jobs, time limit {options.time_limit:g} s, seed {options.seed}, plain model {options.peer_seconds:g} s, "
        f"{options.at_once} at a time. {machine()}."
    )


def parse(arguments: Sequence[str] | None) -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--jobs", type=Path, default=HERE / "jobs" / "reach", metavar="FOLDER")
    parser.add_argument(
        "--subset", nargs="+", default=["*"], metavar="GLOB", help="only jobs whose name matches one"
    )
    parser.add_argument("--time-limit", type=float, default=10.0, metavar="S")
    parser.add_argument(
        "--peer-seconds", type=float, metavar="S", help="for the plain model [the time limit]"
    )
    parser.add_argument("--seed", type=int, default=0, metavar="N")
    parser.add_argument("--at-once", type=int, choices=(1, 2), default=1, help="2 is sooner, less honest")
    results_options(parser, "reach")
    parser.add_argument("--smoke", action="store_true", help="three small jobs, printed and not stored")
    parser.add_argument("--redraw", type=Path, metavar="CSV", help="draw a stored table's pictures again")
    parser.add_argument("--beside", type=Path, help=argparse.SUPPRESS)
    options = parser.parse_args(arguments)
    if options.peer_seconds is None:
        options.peer_seconds = options.time_limit
    return options


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the jobs and write the tables; return the exit status."""
    options = parse(arguments)
    if options.beside:
        print(json.dumps(lay_beside(options.beside, options.peer_seconds)))
        return 0
    if options.redraw:
        list(draw_pictures(read_table(options.redraw), options.redraw.with_suffix("")))
        return 0
    wanted = SMOKE if options.smoke else options.subset
    files = sorted({file for name in wanted for file in options.jobs.glob(f"{name}.toml")})
    if not files:
        print(f"no jobs ({', '.join(wanted)}: *.toml) in {options.jobs}", file=sys.stderr)
        return 2
    outcomes = run_all(files, options)
    text = as_text(outcomes, about(options, len(files)))
    if not options.smoke:
        stem = store(options.out, options.label, table=as_csv(outcomes), text=text)
        list(draw_pictures(outcomes, stem))
    print(text, end="")
    return 1 if any(map(wrong, outcomes)) else 0


if __name__ == "__main__":
    sys.exit(main())
