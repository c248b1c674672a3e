"""From a plan file to its document: the file opened, the JSON understood."""

import json
import math
from collections import Counter
from pathlib import Path
from typing import Any

from cutopt.errors import PlanFileError, Problem
from cutopt.model.plan import Plan
from cutopt.planfile._build import build_plan
from cutopt.planfile._fields import Report, shown

__all__ = ["contents_of", "parsed", "read_plan"]

_LONGEST_WHOLE = 40


def read_plan(text_or_path: str | Path) -> Plan:
    """Return the plan of a JSON text (``str``) or of a file (``Path``).

    Reads format ``cutopt-plan``, version 1 (see :func:`write_plan`); keys it does not know are passed
    over, and those a later writer added have a meaning when absent: no fit, no slant, an area of length
    times width, offcuts shared within the job, nothing ordered on top, millimetres.
    Whether the plan is any good is not judged here but by the check.

    Raises ``PlanFileError`` with every problem found and its place.
    """
    if isinstance(text_or_path, Path):
        report = Report(str(text_or_path).encode("utf-8", "replace").decode())
        text = contents_of(text_or_path, report.where)
    else:
        report, text = Report("plan file"), text_or_path
    return build_plan(_document(text, report), report)


def contents_of(path: Path, where: str) -> str:
    """Return the text of a file, or raise ``PlanFileError`` with what keeps it from being read."""
    try:
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        at = f"{where}: byte {error.start + 1}"
        raise _refusal("the plan file is not UTF-8 text", at, "save it as UTF-8") from None
    except FileNotFoundError:
        raise _refusal("there is no such plan file", where, "check the name and the folder") from None
    except IsADirectoryError:
        raise _refusal("this is a folder, not a plan file", where, "name a file in it") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise _refusal("the plan file cannot be read", where, reason) from None


def _refusal(what: str, where: str, remedy: str) -> PlanFileError:
    return PlanFileError(Problem(what=what, where=where, remedy=remedy))


def _document(text: str, report: Report) -> dict[str, Any]:
    """Return the document of a JSON text; numbers and keys that JSON does not allow are noted."""
    found = parsed(text, report)
    if not isinstance(found, dict):
        what = f"a plan file holds one table, not {shown(found)}"
        raise _refusal(what, report.where, "give a file that cutopt plan --json wrote")
    return found


def parsed(text: str, report: Report) -> object:
    """Return what a JSON text holds; numbers and keys that JSON does not allow are noted."""

    def table(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        found = dict(pairs)
        if len(found) < len(pairs):
            _note_twice([key for key, _ in pairs], report)
        return found

    def constant(word: str) -> float:
        report.add(f"{word} is no number that a plan file may hold", "", "write finite numbers only")
        return math.nan

    try:
        return json.loads(
            text.removeprefix("\ufeff"), object_pairs_hook=table, parse_constant=constant, parse_int=_whole
        )
    except json.JSONDecodeError as error:
        at = f"{report.where}: line {error.lineno}, column {error.colno}"
        raise _refusal(f"not JSON: {error.msg}", at, "mend the text there, or write the file anew") from None
    except RecursionError:
        remedy = "give a file that cutopt plan --json wrote"
        raise _refusal("lists within lists without end", report.where, remedy) from None


def _whole(text: str) -> float:
    """Return a whole number; one of very many digits as infinity, which no getter takes."""
    return int(text) if len(text) <= _LONGEST_WHOLE else math.inf


def _note_twice(keys: list[str], report: Report) -> None:
    for key, times in Counter(keys).items():
        if times > 1:
            report.add(f"the key {shown(key)} stands twice in one table", "", "keep one of the two")
