"""What the long studies share: a process of its own for each case, tables for people and machines, where they are kept.

Stored tables say which versions and what kind of machine they were made with, and nothing about whose
machine it was or where anything lies on it.
"""

import argparse
import csv
import io
import os
import platform
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, fields
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from statistics import mean, median
from threading import Timer
from typing import Any, ClassVar, Protocol

__all__ = [
    "CUTOPT",
    "HERE",
    "Ran",
    "Record",
    "as_csv",
    "cell",
    "first_error",
    "last_line",
    "machine",
    "markdown",
    "mean_and_most",
    "median_and_most",
    "results_options",
    "run_apart",
    "store",
    "today",
]

HERE = Path(__file__).parent
CUTOPT = (sys.executable, "-c", "from cutopt.cli.app import main; main()")
_MIB = 1024


class Record(Protocol):
    """Any dataclass: one line of a table."""

    __dataclass_fields__: ClassVar[dict[str, Any]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """How a process ended: its exit status (negative: killed), output, wall time and peak memory."""

    status: int
    out: str
    err: str
    seconds: float
    peak_mib: int


def run_apart(command: Sequence[str], timeout: float) -> Ran:
    """Run a command in a process of its own, killing it after ``timeout`` seconds.

    Peak memory is that of this process alone, but at least what the caller itself holds when it
    starts it (a process begins as an image of its parent): load nothing heavy before.
    """
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        start = time.perf_counter()
        process = subprocess.Popen(command, stdout=out, stderr=err)
        timer = Timer(timeout, process.kill)
        timer.start()
        try:
            # Only wait4 tells what this very child used.
            _, ended, used = os.wait4(process.pid, 0)
        except BaseException:  # Ctrl-C and the like leave nothing running
            process.kill()
            process.wait()
            raise
        finally:
            timer.cancel()
        seconds = time.perf_counter() - start
        process.returncode = os.waitstatus_to_exitcode(ended)
        texts = []
        for file in (out, err):
            file.seek(0)
            texts.append(file.read().decode(errors="replace"))
    peak = used.ru_maxrss // (_MIB * _MIB if sys.platform == "darwin" else _MIB)
    return Ran(status=process.returncode, out=texts[0], err=texts[1], seconds=seconds, peak_mib=peak)


def first_error(text: str) -> str:
    """Return the first error that the program told."""
    return (text.strip().splitlines() or ["no message"])[0].removeprefix("error: ")


def last_line(text: str) -> str:
    """Return the last line of an error's text, which says what it was."""
    return (text.strip().splitlines() or ["no message"])[-1]


def machine() -> str:
    """Return versions, and what kind of machine this is."""
    versions = [f"{name} {version(name)}" for name in ("cutopt", "ortools", "numpy")]
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / _MIB**3
    return (
        f"{', '.join(versions)}, Python {platform.python_version()}; "
        f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores, {memory:.0f} GiB"
    )


def today() -> str:
    """Return the date that tables are stored by."""
    return str(datetime.now(UTC).date())


def as_csv(records: Sequence[Record]) -> str:
    """Return the table for machines, one column a field."""
    text = io.StringIO()
    table = csv.DictWriter(text, [field.name for field in fields(records[0])], lineterminator="\n")
    table.writeheader()
    table.writerows(asdict(record) for record in records)
    return text.getvalue()


def markdown(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Return a table for people; what is ``None`` shows as a dash."""
    lines = [head, ["---"] * len(head), *([cell(value) for value in row] for row in rows)]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def cell(value: object) -> str:
    """Return one cell's text."""
    return "-" if value is None else str(value)


def median_and_most(values: Sequence[float], digits: int = 2) -> list[str | None]:
    """Return the middle and the largest of some figures as cells."""
    return [f"{value:.{digits}f}" for value in (median(values), max(values))] if values else [None, None]


def mean_and_most(values: Sequence[float], digits: int = 2) -> list[str | None]:
    """Return the mean and the largest of some figures as cells."""
    return [f"{value:.{digits}f}" for value in (mean(values), max(values))] if values else [None, None]


def results_options(parser: argparse.ArgumentParser, label: str) -> None:
    """Add the options on where results go."""
    parser.add_argument("--out", type=Path, default=HERE / "results", metavar="FOLDER")
    parser.add_argument("--label", default=label, metavar="NAME", help="files are DATE-NAME.csv and so on")


def store(folder: Path, label: str, *, table: str, text: str) -> Path:
    """Write both tables and return their path without its suffix."""
    folder.mkdir(parents=True, exist_ok=True)
    stem = folder / f"{today()}-{label}"
    for suffix, content in ((".csv", table), (".md", text)):
        stem.with_suffix(suffix).write_text(content, encoding="utf-8")
    return stem
