"""Jobs that a study of reach left open: whether the search is to blame, or the bound.

Every open job of a stored table is planned again: with more time; with twice as many planks allowed to
wait; and without stagger, H-joint and stair-step, of which the bound knows nothing either. Fewer planks in
more time: the search was to blame. The bound met only where more may wait, or only without the rules on
joints: these are what the bound leaves out, and it is likely out of reach. Otherwise both are suspect.

    python benchmarks/blame.py                                  the newest stored table of reach.py
    python benchmarks/blame.py --table CSV --jobs FOLDER --time-limit 60

Writes ``results/DATE-LABEL.csv`` and ``.md``.
"""

import argparse
import csv
import json
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tables import HERE, as_csv, last_line, machine, markdown, results_options, run_apart, store, today

from cutopt.errors import CutoptError
from cutopt.jobfile import read_job
from cutopt.layout import lay_out
from cutopt.model.job import Rules
from cutopt.planner import Limits, plan_cuts

GRACE = 60.0
VARIANTS = ("longer", "waiting", "joints")
NONE = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Blamed:
    """One open job: bound and planks of the table, planks of each new run (0: none found), and the verdict.

    ``bound`` is the better of the table's and that of the longer run.
    """

    job: str
    bound: int
    planks: int
    longer: int
    waiting: int
    joints: int

    @property
    def verdict(self) -> str:
        """Say what is to blame."""
        if self.longer == self.bound:
            return "search: the bound is met in more time"
        better = "search in part; " if NONE < self.longer < self.planks else ""
        if NONE < self.waiting <= self.bound:
            return f"{better}bound: met only where more planks may wait"
        if NONE < self.joints <= self.bound:
            return f"{better}bound: met only without the rules on joints"
        return f"{better}undecided: not met with these rules eased either"


def plan_variant(file: Path, variant: str, seconds: float) -> dict[str, int]:
    """Plan a job, eased as ``variant`` says; return planks (0: none found) and bound."""
    job = read_job(file)
    rules = _eased(job.rules, variant)
    try:
        cutting = plan_cuts(lay_out(job), job.plank, rules, Limits(seconds=seconds))
    except CutoptError:
        return {"planks": NONE, "bound": NONE}
    planks = len({piece.plank for run in cutting.runs for piece in run})
    return {"planks": planks, "bound": cutting.bound.planks}


def _eased(rules: Rules, variant: str) -> Rules:
    if variant == "joints":
        return replace(rules, stagger=0, h_joint=0, stair_step=0)
    if variant == "waiting":
        return replace(rules, max_waiting=None if rules.max_waiting is None else 2 * rules.max_waiting)
    return rules


def blame(file: Path, line: dict[str, str], seconds: float) -> Blamed:
    """Run the variants of one job, each in a process of its own."""
    found = {variant: _apart(file, variant, seconds) for variant in VARIANTS}
    return Blamed(
        job=file.stem,
        bound=max(int(line["bound"]), found["longer"]["bound"]),
        planks=int(line["planks"]),
        **{variant: found[variant]["planks"] for variant in VARIANTS},
    )


def _apart(file: Path, variant: str, seconds: float) -> dict[str, int]:
    command = [sys.executable, __file__, "--one", str(file), variant, "--time-limit", str(seconds)]
    ran = run_apart(command, seconds + GRACE)
    if ran.status:
        print(f"{file.stem}, {variant}: {last_line(ran.err)}", file=sys.stderr)
        return {"planks": NONE, "bound": NONE}
    answer: dict[str, int] = json.loads(ran.out)
    return answer


def report(blamed: Sequence[Blamed], seconds: float) -> str:
    """Return the tables for people."""
    counts = Counter(one.verdict for one in blamed)
    head = ("job", "bound", "planks", "in more time", "more may wait", "no rules on joints", "to blame")
    rows = [
        (one.job, one.bound, one.planks, *(getattr(one, name) or None for name in VARIANTS), one.verdict)
        for one in blamed
    ]
    how = "as it is, with twice as many planks waiting, and with no rules on joints"
    return "\n\n".join(
        [
            f"# Open jobs: search or bound, {today()}",
            f"Each planned anew for {seconds:g} s: {how}. {machine()}.",
            markdown(("to blame", "jobs"), counts.most_common()),
            markdown(head, rows) + "\n",
        ]
    )


def open_jobs(table: Path) -> list[dict[str, str]]:
    """Return the lines of a stored table whose plan is above its bound."""
    with table.open(encoding="utf-8", newline="") as lines:
        return [line for line in csv.DictReader(lines) if line["status"] == "open"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Study the open jobs and write the tables; return the exit status."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--table", type=Path, metavar="CSV", help="a stored table of reach.py")
    parser.add_argument("--jobs", type=Path, default=HERE / "jobs" / "reach", metavar="FOLDER")
    parser.add_argument("--time-limit", type=float, default=60.0, metavar="S")
    results_options(parser, "blame")
    parser.add_argument("--one", nargs=2, help=argparse.SUPPRESS)
    options = parser.parse_args(arguments)
    if options.one:
        print(json.dumps(plan_variant(Path(options.one[0]), options.one[1], options.time_limit)))
        return 0
    tables = [options.table] if options.table else sorted((HERE / "results").glob("*reach*.csv"))
    lines = open_jobs(tables[-1]) if tables else []
    if not lines:
        print("no open jobs: run reach.py first, or name a table with --table", file=sys.stderr)
        return 2
    blamed = []
    for line in lines:
        blamed.append(blame(options.jobs / f"{line['job']}.toml", line, options.time_limit))
        print(f"{blamed[-1].job:12} {blamed[-1].verdict}", file=sys.stderr)
        store(options.out, options.label, table=as_csv(blamed), text=report(blamed, options.time_limit))
    return 0


if __name__ == "__main__":
    sys.exit(main())
