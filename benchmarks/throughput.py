"""How many jobs are planned in a second: by one process, by several, and by a cluster of this machine.

Small rooms, all different, always the same from one seed. They come in rounds, and in each all ways take their turn
at the same rooms, so that a busy moment of a shared machine spoils no way alone. Beside them stands what mere
counting gains, which shares nothing but the cores: as much as the machine has to give just then. The clock of a way
starts when its processes run and have loaded what they need.

    python benchmarks/throughput.py                               200 rooms, 1 worker against 2, a cluster of 2
    python benchmarks/throughput.py --jobs 1000 --workers 8
    python benchmarks/throughput.py --smoke                       a few rooms, nothing stored

Writes ``results/DATE-LABEL.csv`` and ``.md``; it needs the extra ``cluster``. Exit status 1 when ways differ in what
any room comes to, or a bug was met.
"""

import argparse
import os
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from importlib.metadata import version
from statistics import median

from distributed import LocalCluster
from make_jobs import SHOPS, Dice
from tables import as_csv, machine, markdown, results_options, store, today

from cutopt.batch import BatchSettings, Crew, Work
from cutopt.jobfile import parse_job
from cutopt.model.estimate import Failed, Outcome, Tally, Task, Why
from cutopt.pipeline import tally_of

JOBS, ROUNDS, SMOKE = 200, 10, 3
COUNTED = 1_500_000
"""Steps of counting: about as long as a room takes."""

ONE, MORE, CLUSTER = "1 worker", "{} workers", "cluster of {}"
COUNTING = ", counting"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What one way did in one round."""

    round: int
    way: str
    jobs: int
    failed: int
    seconds: float


def rooms(number: int, seed: int) -> list[Task]:
    """Return rectangular rooms of one to four planks by 6 to 20 rows, of all shops, in common rules."""
    dice = Dice(seed)
    return [Task(key=f"room {n}", job=parse_job(_room(dice, n), f"room {n}")) for n in range(1, number + 1)]


def _room(dice: Dice, number: int) -> str:
    shop = dice.one_of(SHOPS)
    length = dice.between(shop.length, 4 * shop.length)
    return f"""title = "Room {number}"
unit = "{shop.unit}"

[plank]
length = {shop.text(shop.length)}
width = {shop.width}
per_box = {shop.per_box}
ends = "{dice.one_of(("handed", "square"))}"
kerf = {dice.one_of(("0", shop.kerf))}

[rules]
stagger = {shop.staggers[0]}
min_piece = {shop.min_pieces[0]}
h_joint = 0
stair_step = 0
cut_step = "{shop.cut_step}"
gap = 0

[[room]]
name = "Room"
rows = [{{ length = {shop.text(length)}, count = {dice.between(6, 20)} }}]
"""


def count(_task: Task) -> Outcome:
    """Count, and plan nothing."""
    steps = sum(1 for _ in range(COUNTED))
    return Failed(why=Why.TIME, problems=(f"counted to {steps}",))


def measure(tasks: Sequence[Task], rounds: int, workers: int) -> tuple[list[Measured], int]:
    """Let every way plan every room; return the times, and in how many rooms anything was wrong."""
    results, wrong = [], 0
    with ExitStack() as stack:
        ways = _ways(workers, stack)
        for crew in ways.values():
            _outcomes(crew, tasks[:workers])
        for nth in range(rounds):
            part = tasks[nth::rounds]
            found: dict[str, list[Outcome]] = {}
            for way, crew in _turned(ways, nth):
                start = time.perf_counter()
                found[way] = _outcomes(crew, part)
                results.append(_measured(nth + 1, way, found[way], time.perf_counter() - start))
                print(f"round {nth + 1}: {way:22}{results[-1].seconds:8.2f} s", file=sys.stderr)
            planned = [outcomes for way, outcomes in found.items() if not way.endswith(COUNTING)]
            wrong += sum(_wrong(told) for told in zip(*planned, strict=True))
    return results, wrong


def _wrong(told: Sequence[Outcome]) -> bool:
    """Return whether ways differ in what a room comes to, or it met a bug."""
    first = told[0]
    return len(set(told)) > 1 or (isinstance(first, Failed) and first.why is Why.BUG)


def _ways(workers: int, stack: ExitStack) -> dict[str, Crew]:
    # Before anything that has threads of its own.
    cluster = stack.enter_context(
        LocalCluster(
            n_workers=workers, threads_per_worker=1, dashboard_address="127.0.0.1:0", silence_logs=50
        )
    )

    def crew(work: Work, number: int = 1, scheduler: str | None = None) -> Crew:
        return stack.enter_context(Crew(work, BatchSettings(workers=number, scheduler=scheduler)))

    return {
        ONE: crew(tally_of),
        MORE.format(workers): crew(tally_of, workers),
        CLUSTER.format(workers): crew(tally_of, scheduler=cluster.scheduler_address),
        ONE + COUNTING: crew(count),
        MORE.format(workers) + COUNTING: crew(count, workers),
    }


def _turned(ways: dict[str, Crew], nth: int) -> Iterator[tuple[str, Crew]]:
    """Yield the ways in their order, in every other round backwards."""
    names = list(ways)
    yield from ((way, ways[way]) for way in (reversed(names) if nth % 2 else names))


def _outcomes(crew: Crew, tasks: Sequence[Task]) -> list[Outcome]:
    return [outcome for _, outcome in crew.run(tasks, lambda _done, _of, _failed: None)]


def _measured(nth: int, way: str, outcomes: Sequence[Outcome], seconds: float) -> Measured:
    failed = 0 if way.endswith(COUNTING) else sum(not isinstance(outcome, Tally) for outcome in outcomes)
    return Measured(round=nth, way=way, jobs=len(outcomes), failed=failed, seconds=round(seconds, 3))


def as_text(results: Sequence[Measured], options: argparse.Namespace, load: float) -> str:
    """Return the table for people."""
    about = (
        f"# {options.label}, {today()}\n\nSeed {options.seed}, {options.rounds} rounds. {machine()}; "
        f"distributed {version('distributed')}. The machine is shared: others took {load:.1f} cores when it began.\n\n"
        "Times one worker: how many times as fast, all rounds together, then in the middle one. Counting shares nothing "
        "but the cores: what it gains is what the machine had to give."
    )
    head = ("way", "jobs", "failed", "seconds", "jobs per second", "times one worker", "in the middle round")
    ways = dict.fromkeys(one.way for one in results)
    return f"{about}\n\n{markdown(head, (_row(results, way) for way in ways))}\n"


def _row(results: Sequence[Measured], way: str) -> list[object]:
    own = _by_round(results, way)
    alone = _by_round(results, ONE + COUNTING if way.endswith(COUNTING) else ONE)
    jobs = sum(one.jobs for one in results if one.way == way)
    failed = sum(one.failed for one in results if one.way == way)
    seconds = sum(own.values())
    ratio = sum(alone.values()) / seconds
    middle = median(alone[nth] / own[nth] for nth in own)
    return [way, jobs, failed, f"{seconds:.1f}", f"{jobs / seconds:.2f}", f"{ratio:.2f}", f"{middle:.2f}"]


def _by_round(results: Sequence[Measured], way: str) -> dict[int, float]:
    return {one.round: one.seconds for one in results if one.way == way}


def parse(arguments: Sequence[str] | None) -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--jobs", type=int, default=JOBS, metavar="N")
    parser.add_argument("--rounds", type=int, default=ROUNDS, metavar="N")
    parser.add_argument("--workers", type=int, default=2, metavar="N")
    parser.add_argument("--seed", type=int, default=1729, metavar="N")
    parser.add_argument("--smoke", action="store_true", help="a few rooms in one round, nothing stored")
    results_options(parser, "throughput")
    options = parser.parse_args(arguments)
    if options.smoke:
        options.jobs, options.rounds = SMOKE, 1
    if not 1 <= options.rounds <= options.jobs:
        parser.error("--rounds must be from 1 to as many as --jobs")
    if options.workers < 1:
        parser.error("--workers must be 1 or more")
    return options


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure, print and store; say by the exit status whether all ways agree."""
    options = parse(arguments)
    load = os.getloadavg()[0]
    results, wrong = measure(rooms(options.jobs, options.seed), options.rounds, options.workers)
    text = as_text(results, options, load)
    print(text, end="")
    if not options.smoke:
        store(options.out, options.label, table=as_csv(results), text=text)
    if wrong:
        print(f"wrong in {wrong} rooms: ways differ, or a bug was met", file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
