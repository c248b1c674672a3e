"""How long a person waits, against the targets: help, a plan of thirty rows, and the check of that plan.

Every command is run as a process of its own, several times, in turns; the fastest run counts, for
whatever else the machine does only adds. Ratios are to a Python that starts and does nothing, so
that machines can be compared.

    python benchmarks/speed.py [--runs N]

Exit status 1 when a target is missed or the plan is not proven fewest.
"""

import argparse
import json
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tables import CUTOPT, HERE, machine

JOB = HERE / "jobs" / "thirty_rows.toml"


@dataclass(frozen=True, slots=True)
class Measured:
    """A command, its target and its fastest run, in seconds."""

    name: str
    target: float | None
    seconds: float

    @property
    def missed(self) -> bool:
        """Whether it took longer than its target."""
        return self.target is not None and self.seconds > self.target


def measure(runs: int, plan: Path) -> list[Measured]:
    """Run everything ``runs`` times, in turns, so that a busy moment spoils no command alone."""
    commands: dict[str, tuple[float | None, Sequence[str]]] = {
        "python, nothing": (None, (sys.executable, "-c", "")),
        "cutopt --help": (0.4, (*CUTOPT, "--help")),
        "cutopt plan, 30 rows": (2.5, (*CUTOPT, "plan", str(JOB), "--json", str(plan))),
        "cutopt check, its plan": (0.6, (*CUTOPT, "check", str(plan))),
    }
    times = [[_seconds(command) for _, command in commands.values()] for _ in range(runs)]
    fastest = [min(column) for column in zip(*times, strict=True)]
    return [
        Measured(name, target, seconds)
        for (name, (target, _)), seconds in zip(commands.items(), fastest, strict=True)
    ]


def _seconds(command: Sequence[str]) -> float:
    start = time.perf_counter()
    subprocess.run(command, capture_output=True, check=True)
    return time.perf_counter() - start


def table(results: Sequence[Measured]) -> str:
    """Return the results as aligned text."""
    nothing = results[0].seconds
    lines = [f"{'':24}{'target':>9}{'measured':>10}{'of target':>11}{'of nothing':>12}"]
    for one in results:
        target = "" if one.target is None else f"{one.target:.2f} s"
        share = "" if one.target is None else f"{one.seconds / one.target:.0%}"
        missed = "  missed" if one.missed else ""
        lines.append(
            f"{one.name:24}{target:>9}{one.seconds:>8.2f} s{share:>11}{one.seconds / nothing:>11.1f}x{missed}"
        )
    return "\n".join(lines)


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure, print, and say by the exit status whether the targets were met."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--runs", type=int, default=5, metavar="N")
    options = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory() as folder:
        plan = Path(folder) / "plan.json"
        results = measure(max(1, options.runs), plan)
        bound = json.loads(plan.read_text(encoding="utf-8"))["bound"]
    print(f"{machine()}\n{table(results)}")
    if not bound["proven"]:
        print(f"the plan of {JOB.name} is above its bound of {bound['planks']}: its time says nothing")
    return 0 if bound["proven"] and not any(one.missed for one in results) else 1


if __name__ == "__main__":
    sys.exit(main())
