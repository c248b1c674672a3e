"""What a file holds: bytes, text, a TOML document, or a refusal in words."""

import re
import tomllib
from decimal import Decimal
from difflib import get_close_matches
from pathlib import Path

from cutopt.jobfile._report import Report, shown, visible

__all__ = ["contents", "decoded", "document"]

_JOB_FILE = "job file"
_MAX_BYTES = 10_000_000
_TOML_REMEDY = 'mend the line; inside "..." an inch mark is written \\" and a backslash \\\\'


def contents(path: Path, report: Report, kind: str = _JOB_FILE) -> bytes:
    """Return what a file holds, or refuse it by the report; ``kind`` says what it is, for people."""
    try:
        with path.open("rb") as file:
            data = file.read(_MAX_BYTES + 1)
    except FileNotFoundError:
        report.refuse("there is no such file", "", _similar(path, kind))
    except IsADirectoryError:
        report.refuse("this is a folder", "", f"name the {kind} in it")
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else None
        report.refuse(
            f"the file cannot be read ({(reason or 'bad name').lower()})", "", "check its name and rights"
        )
    if len(data) > _MAX_BYTES:
        report.refuse("the file is over 10 MB", "", f"a {kind} is a short text: check its name")
    return data


def decoded(data: bytes, report: Report) -> str:
    """Return UTF-8 as text, or refuse it by the report."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        report.refuse("the file is not UTF-8 text", f"line {line}", "save it as UTF-8 in the text editor")


def _similar(path: Path, kind: str) -> str:
    """Return a remedy that names the likeliest file of this sort beside the one asked for."""
    suffix = ".csv" if path.suffix.casefold() == ".csv" else ".toml"
    try:
        names = [entry.name for entry in path.parent.glob(f"*{suffix}")]
    except (OSError, ValueError):
        names = []
    close = get_close_matches(path.name, names, n=1)
    if close:
        return f"did you mean {shown(close[0])}?"
    return 'check the name, or write one with "cutopt new"' if kind == _JOB_FILE else "check the name"


def document(text: str | bytes, report: Report) -> dict[str, object]:
    """Return the TOML document of a text (bytes are UTF-8), or refuse it by the report."""
    if isinstance(text, bytes):
        text = decoded(text, report)
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
