"""The way in: a file or a text becomes a Job, or one error with everything that is wrong."""

import re
import tomllib
from decimal import Decimal
from difflib import get_close_matches
from pathlib import Path

from cutopt.jobfile._build import build_job
from cutopt.jobfile._checks import check_values
from cutopt.jobfile._read import read_values
from cutopt.jobfile._report import Report, shown, visible
from cutopt.jobfile._table import LengthReader
from cutopt.model.job import Job

__all__ = ["contents", "document", "parse_job", "read_job"]

_MAX_BYTES = 10_000_000
_TOML_REMEDY = 'mend the line; inside "..." an inch mark is written \\" and a backslash \\\\'


def read_job(path: Path) -> Job:
    """Return the job of a TOML file.

    Raises JobError with every problem found, UnsupportedError when the job asks for what is not built.
    """
    where = visible(str(path))
    return parse_job(contents(path, Report(where)), where)


def parse_job(text: str | bytes, where: str = "job file") -> Job:
    """Return the job of a TOML text (bytes are UTF-8); ``where`` names it in messages.

    Places count from 1: ``room[2].rows[1].length`` is the first row of the second room.
    Raises JobError with every problem found, UnsupportedError when the job asks for what is not built.
    """
    report = Report(where)
    values = read_values(document(text, report), LengthReader(report))
    check_values(values, report)
    report.raise_if_any()
    return build_job(values, where)


def contents(path: Path, report: Report) -> bytes:
    """Return what a file holds, or refuse it by the report."""
    try:
        with path.open("rb") as file:
            data = file.read(_MAX_BYTES + 1)
    except FileNotFoundError:
        report.refuse("there is no such file", "", _similar(path))
    except IsADirectoryError:
        report.refuse("this is a folder", "", "name the job file in it")
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else None
        report.refuse(
            f"the file cannot be read ({(reason or 'bad name').lower()})", "", "check its name and rights"
        )
    if len(data) > _MAX_BYTES:
        report.refuse("the file is over 10 MB", "", "a job file is a short text: check its name")
    return data


def _decoded(data: bytes, report: Report) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        report.refuse("the file is not UTF-8 text", f"line {line}", "save it as UTF-8 in the text editor")


def _similar(path: Path) -> str:
    """Return a remedy that names the likeliest job file beside the one asked for."""
    try:
        names = [entry.name for entry in path.parent.glob("*.toml")]
    except (OSError, ValueError):
        names = []
    close = get_close_matches(path.name, names, n=1)
    return f"did you mean {shown(close[0])}?" if close else 'check the name, or write one with "cutopt new"'


def document(text: str | bytes, report: Report) -> dict[str, object]:
    """Return the TOML document of a text (bytes are UTF-8), or refuse it by the report."""
    if isinstance(text, bytes):
        text = _decoded(text, report)
    try:
        return tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        reason, place = _placed(str(error), text)
        report.refuse(f"this is not TOML: {reason}", place, _TOML_REMEDY)
    except RecursionError:
        report.refuse("lists or tables are nested too deep", "", "a job file needs three levels")
    except ValueError:
        report.refuse("a number has very many digits", "", "check the numbers")


def _placed(message: str, text: str) -> tuple[str, str]:
    """Part the TOML reader's message into its reason and its place."""
    found = re.fullmatch(r"(.*?) \(at (?:line (\d+), column (\d+)|end of document)\)", message, re.DOTALL)
    if found is None:
        return visible(message), ""
    reason = visible(found[1][:1].lower() + found[1][1:])
    line = found[2] or str(text.count("\n") + 1)
    return reason, f"line {line}, column {found[3]}" if found[3] else f"line {line}, the end"
