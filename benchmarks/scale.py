"""How cost grows with the job: floors of 100, 1,000 and 10,000 rows by ``cutopt plan``, its time and its memory.

Three shapes: rows all equal, rows all of different lengths, and a tower of one flat of five rooms
over and over. Every job is planned in a process of its own, whose wall time and peak memory count.

    python benchmarks/scale.py                                      all shapes, 100 to 10,000 rows
    python benchmarks/scale.py --rows 100 300 --time-limit 5 20 --shapes tower --label scale-try

Writes ``results/DATE-LABEL.csv``, ``.md`` and a picture of time against rows, ``-rows.svg`` (it needs the extra
``bench``). Exit status 1 when a job ended without a plan.
"""

import argparse
import json
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from plots import Points, draw
from tables import (
    CUTOPT,
    Ran,
    as_csv,
    first_error,
    machine,
    markdown,
    results_options,
    run_apart,
    store,
    today,
)

# Rows, and seconds for the search of each.
ROWS, LIMITS = (100, 1_000, 10_000), (10.0, 15.0, 90.0)
# Beyond the search: reading, checking and writing ten thousand rows.
GRACE = 300.0

HEAD = """title = "{title}"
unit = "mm"

[plank]
length = 1285
width = 192
per_box = 9
ends = "handed"
kerf = 0

[rules]
stagger = 300
min_piece = 300
h_joint = 50
stair_step = 25
cut_step = "1 mm"
gap = 0
max_waiting = 6
"""

# A flat's rooms: length of a row in millimetres, rows.
FLAT = (
    ("Living room", 5370, 24),
    ("Bedroom", 3640, 18),
    ("Kitchen", 2890, 14),
    ("Hall", 7120, 6),
    ("Closet", 1130, 4),
)

SHORTEST, SPREAD = 3000, 10_000
# Prime, so that its multiples run through all lengths once, out of order.
STRIDE = 7919


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One job's line of the table; ``status`` is proven, open or error."""

    shape: str
    rows: int
    limit: float
    status: str
    bound: int | None = None
    planks: int | None = None
    over_percent: float | None = None
    seconds: float
    peak_mib: int
    note: str = ""


def equal(rows: int) -> str:
    """Return a hall of equal rows."""
    return _room("Hall", [f"length = 5370, count = {rows}"])


def different(rows: int) -> str:
    """Return rows whose lengths are all different, in no order."""
    apart = max(1, SPREAD // rows)
    return _room("Hall", [f"length = {SHORTEST + apart * (row * STRIDE % rows)}" for row in range(rows)])


def tower(rows: int) -> str:
    """Return one flat over and over, its last storey cut short."""
    laid, rooms = 0, []
    for name, length, count in _storeys():
        rooms.append(_room(name, [f"length = {length}, count = {min(count, rows - laid)}"]))
        laid += count
        if laid >= rows:
            return "".join(rooms)
    raise AssertionError("there are storeys without end")


def _storeys() -> Iterator[tuple[str, int, int]]:
    storey = 0
    while True:
        storey += 1
        yield from ((f"{name} {storey}", length, count) for name, length, count in FLAT)


def _room(name: str, rows: Sequence[str]) -> str:
    lines = "\n".join(f"  {{ {row} }}," for row in rows)
    return f'\n[[room]]\nname = "{name}"\nrows = [\n{lines}\n]\n'


SHAPES: dict[str, Callable[[int], str]] = {"equal": equal, "different": different, "tower": tower}


def job_text(shape: str, rows: int) -> str:
    """Return the job file of a shape with so many rows."""
    return HEAD.format(title=f"{shape}, {rows} rows") + SHAPES[shape](rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A floor to plan, and the seconds its search may take."""

    shape: str
    rows: int
    limit: float


def measure(cases: Sequence[Case], seed: int) -> list[Measured]:
    """Plan every case; the plans are read after the last, so that no process inherits their size."""
    with tempfile.TemporaryDirectory() as folder:
        plans = [Path(folder) / f"{case.shape}-{case.rows}.json" for case in cases]
        runs = [_run(case, plan, seed) for case, plan in zip(cases, plans, strict=True)]
        return [_read(case, run, plan) for case, run, plan in zip(cases, runs, plans, strict=True)]


def _run(case: Case, plan: Path, seed: int) -> Ran:
    job = plan.with_suffix(".toml")
    job.write_text(job_text(case.shape, case.rows), encoding="utf-8")
    limits = ("--time-limit", str(case.limit), "--seed", str(seed))
    done = run_apart((*CUTOPT, "plan", str(job), "--json", str(plan), *limits), case.limit + GRACE)
    print(
        f"{case.shape:10} {case.rows:7,} rows {done.seconds:7.1f} s {done.peak_mib:6,} MiB", file=sys.stderr
    )
    return done


def _read(case: Case, run: Ran, file: Path) -> Measured:
    measured = Measured(**asdict(case), status="error", seconds=round(run.seconds, 2), peak_mib=run.peak_mib)
    if run.status:
        return replace(measured, note=first_error(run.err).replace(str(file.parent), "."))
    plan = json.loads(file.read_text(encoding="utf-8"))
    bound, planks = plan["bound"]["planks"], plan["totals"]["planks"]
    return replace(
        measured,
        status="proven" if plan["bound"]["proven"] else "open",
        bound=bound,
        planks=planks,
        over_percent=round(100 * (planks / bound - 1), 3),
    )


def as_text(results: Sequence[Measured], options: argparse.Namespace) -> str:
    """Return the table for people."""
    about = (
        f"# {options.label}, {today()}\n\nSeed {options.seed}. {machine()}.\n\n"
        "Equal: one length. Different: no two rows alike. Tower: a flat of five rooms over and over.\n"
        "Limit: seconds for the search. Seconds and peak memory are those of the whole command."
    )
    head = (
        "shape",
        "rows",
        "limit",
        "status",
        "bound",
        "planks",
        "% over bound",
        "seconds",
        "peak MiB",
        "note",
    )
    return f"{about}\n\n{markdown(head, (list(asdict(one).values()) for one in results))}\n"


def draw_picture(results: Sequence[Measured], stem: Path) -> None:
    """Draw time against rows, a line a shape, and one that grows in step with the rows."""
    lines = [
        Points(
            name=shape, places=[(one.rows, one.seconds) for one in results if one.shape == shape], line=True
        )
        for shape in dict.fromkeys(one.shape for one in results)
    ]
    rows, least = [one.rows for one in results], min(one.seconds for one in results)
    few, many = min(rows), max(rows)
    step = Points(name="in step with the rows", places=[(few, least), (many, least * many / few)], line=True)
    file = stem.with_name(f"{stem.name}-rows.svg")
    draw(file, [*lines, step], title="time against rows", along="rows", up="seconds, the whole command")


def parse(arguments: Sequence[str] | None) -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--rows", type=int, nargs="+", default=list(ROWS), metavar="N")
    parser.add_argument("--shapes", nargs="+", choices=SHAPES, default=list(SHAPES))
    parser.add_argument(
        "--time-limit",
        type=float,
        nargs="+",
        default=list(LIMITS),
        metavar="S",
        help="one for each of --rows",
    )
    parser.add_argument("--seed", type=int, default=0, metavar="N")
    results_options(parser, "scale")
    options = parser.parse_args(arguments)
    if len(options.time_limit) != len(options.rows):
        parser.error(f"--time-limit needs as many values as --rows, {len(options.rows)}")
    return options


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure, store and print; return the exit status."""
    options = parse(arguments)
    sizes = zip(options.rows, options.time_limit, strict=True)
    cases = [Case(shape=shape, rows=rows, limit=limit) for rows, limit in sizes for shape in options.shapes]
    results = measure(cases, options.seed)
    text = as_text(results, options)
    draw_picture(results, store(options.out, options.label, table=as_csv(results), text=text))
    print(text, end="")
    return 1 if any(one.status == "error" for one in results) else 0


if __name__ == "__main__":
    sys.exit(main())
