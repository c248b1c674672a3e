"""Published bin packing: the planner on floors of single-piece rows beside other ways to pack, in the same run.

Instances are read from all ``*.txt`` of a folder, one a line: name, capacity, optimum, items; ``#`` begins
a comment. Without a folder it is the tests' selection from the OR-Library (E. Falkenauer 1996; J. E. Beasley
1990; MIT licence, which lies beside them). The others are first-fit and best-fit decreasing, CP-SAT with
one boolean an item and bin, and the arc-flow model given to CP-SAT and to HiGHS (``packing_peers.py``). Each
instance is run in a process of its own, solvers loaded before the clock starts.

    python benchmarks/packing.py                                    the tests' selection
    python benchmarks/packing.py --sets FOLDER --subset 'u120_*' 't60_*' --time-limit 20 --peer-seconds 20
    python benchmarks/packing.py --methods cutopt 'first fit'       only these

Writes ``results/DATE-LABEL.csv``, a line an instance and method, and ``.md``. Exit status 1 when a method
failed, or claims fewer bins, or more with proof, than the published optimum.
"""

import argparse
import json
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fnmatch import fnmatch
from pathlib import Path

from tables import (
    HERE,
    as_csv,
    last_line,
    machine,
    markdown,
    mean_and_most,
    results_options,
    run_apart,
    store,
    today,
)

GRACE = 60.0
METHODS = ("cutopt", "first fit", "best fit", "CP-SAT assignment", "CP-SAT arc-flow", "HiGHS arc-flow")
SETS = HERE.parent / "tests" / "data" / "binpacking"


@dataclass(frozen=True, slots=True, kw_only=True)
class Packed:
    """What one method answered on one instance; ``proved`` by itself, ``seconds`` loading left out."""

    instance: str
    optimum: int
    method: str
    bins: int | None = None
    proved: bool = False
    seconds: float | None = None
    note: str = ""

    @property
    def set_name(self) -> str:
        """The set an instance is of: ``u120_03`` is of ``u120``."""
        return self.instance.partition("_")[0]

    @property
    def solved(self) -> bool:
        """Whether it found the optimum and proved it."""
        return self.proved and self.bins == self.optimum

    @property
    def wrong(self) -> bool:
        """Whether it failed, or cannot be right."""
        if self.bins is None:
            return bool(self.note)
        return self.bins < self.optimum or (self.proved and self.bins > self.optimum)


def instances(folder: Path, subset: Sequence[str]) -> Iterator[tuple[str, list[int]]]:
    """Yield the names that match, each with capacity, optimum and items."""
    for file in sorted(folder.glob("*.txt")):
        for line in file.read_text(encoding="utf-8").splitlines():
            name, *numbers = line.partition("#")[0].split() or [""]
            if name and any(fnmatch(name, glob) for glob in subset):
                yield name, list(map(int, numbers))


def run_instance(name: str, optimum: int, options: argparse.Namespace) -> list[Packed]:
    """Run all methods on an instance; whatever happens, there is a line for each."""
    limits = ("--time-limit", str(options.time_limit), "--peer-seconds", str(options.peer_seconds))
    command = (sys.executable, __file__, "--one", name, "--sets", str(options.sets), *limits)
    timeout = options.time_limit + options.peer_seconds * len(options.methods) + GRACE
    done = run_apart((*command, "--methods", *options.methods), timeout)
    # Solvers print as well.
    lines = [line for line in done.out.splitlines() if line.startswith("{")]
    answers = {answer["method"]: answer for answer in map(json.loads, lines)}
    note = last_line(done.err) if done.status >= 0 else "no answer long after its time limit, or killed"
    return [
        Packed(instance=name, optimum=optimum, **answers.get(method, {"method": method, "note": note}))
        for method in options.methods
    ]


def solve_here(options: argparse.Namespace) -> None:
    """Run all methods on one instance in this process, printing each answer as it comes."""
    from packing_peers import Instance, solve  # noqa: PLC0415 - only this process loads the solvers

    ((name, (capacity, optimum, *items)),) = instances(options.sets, [options.one])
    instance = Instance(name=name, capacity=capacity, optimum=optimum, items=tuple(items))
    for method in options.methods:
        seconds = options.time_limit if method == "cutopt" else options.peer_seconds
        answer, took = solve(method, instance, seconds)
        line = {"method": method, "bins": answer.bins, "proved": answer.proved, "seconds": round(took, 3)}
        print(json.dumps(line), flush=True)


Group = Sequence[Packed]

_SUMMARY: dict[str, Callable[[Group], object]] = {
    "set": lambda group: group[0].set_name,
    "method": lambda group: group[0].method,
    "instances": len,
    "optimum found": lambda group: sum(one.bins == one.optimum for one in group),
    "with proof": lambda group: sum(one.solved for one in group),
    "bins above optimum": lambda group: sum(one.bins - one.optimum for one in group if one.bins is not None),
    "seconds, mean": lambda group: _seconds(group)[0],
    "seconds, most": lambda group: _seconds(group)[1],
}


def _seconds(group: Group) -> list[str | None]:
    return mean_and_most([one.seconds for one in group if one.seconds is not None])


def as_text(results: Group, options: argparse.Namespace) -> str:
    """Return the tables for people: sets and methods first, then every instance."""
    about = (
        f"# {options.label}, {today()}\n\n"
        f"Time limit {options.time_limit:g} s, of each other method {options.peer_seconds:g} s, 2 workers. {machine()}.\n\n"
        "Bins needed, whether the method itself proved that fewer will not do, and seconds. First and best fit\n"
        "(largest items first) are proved where they need no more bins than the sizes fill."
    )
    sets = list(dict.fromkeys(one.set_name for one in results))
    groups = [
        [one for one in results if (one.set_name, one.method) == (name, method)]
        for name in sets
        for method in options.methods
    ]
    summary = markdown(list(_SUMMARY), ([column(group) for column in _SUMMARY.values()] for group in groups))
    width = len(options.methods)
    lines = (results[at : at + width] for at in range(0, len(results), width))
    each = markdown(
        ["instance", "optimum", *options.methods],
        ([line[0].instance, line[0].optimum, *map(_cell, line)] for line in lines),
    )
    return f"{about}\n\n{summary}\n\n{each}\n"


def _cell(one: Packed) -> str:
    if one.seconds is None:
        return one.note or "-"
    bins = "none" if one.bins is None else f"{one.bins}{' proved' if one.proved else ''}"
    return f"{bins}, {one.seconds:.2f} s"


def parse(arguments: Sequence[str] | None) -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--sets", type=Path, default=SETS, metavar="FOLDER")
    parser.add_argument("--subset", nargs="+", default=["*"], metavar="GLOB", help="only instances named so")
    parser.add_argument("--methods", nargs="+", choices=METHODS, default=list(METHODS), metavar="NAME")
    parser.add_argument("--time-limit", type=float, default=20.0, metavar="S")
    parser.add_argument(
        "--peer-seconds", type=float, metavar="S", help="for each other method [the time limit]"
    )
    results_options(parser, "packing")
    parser.add_argument("--one", help=argparse.SUPPRESS)
    options = parser.parse_args(arguments)
    if options.peer_seconds is None:
        options.peer_seconds = options.time_limit
    return options


def main(arguments: Sequence[str] | None = None) -> int:
    """Run all instances and write the tables; return the exit status."""
    options = parse(arguments)
    if options.one:
        solve_here(options)
        return 0
    found = list(instances(options.sets, options.subset))
    if not found:
        print(f"no instances ({', '.join(options.subset)}) in {options.sets}", file=sys.stderr)
        return 2
    results: list[Packed] = []
    for name, (_, optimum, *_items) in found:
        results += run_instance(name, optimum, options)
        told = (f"{one.method} {_cell(one)}" for one in results[-len(options.methods) :])
        print(f"{name}: {optimum}; {'; '.join(told)}", file=sys.stderr)
        # Anew after each instance: a run of hours that is stopped keeps what it has.
        store(options.out, options.label, table=as_csv(results), text=as_text(results, options))
    print(as_text(results, options), end="")
    return 1 if any(one.wrong for one in results) else 0


if __name__ == "__main__":
    sys.exit(main())
