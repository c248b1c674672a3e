"""What is laid, as the phone page exports it."""

from dataclasses import dataclass
from pathlib import Path

from cutopt.planfile._fields import Report, shown
from cutopt.planfile._read import contents_of, parsed

__all__ = ["LaidFile", "read_laid"]

FORMAT = "cutopt-laid"
VERSION = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidFile:
    """The pieces laid, by their numbers; ``plan`` is the SHA-256 of the plan file's text, where it is told."""

    plan: str
    pieces: frozenset[str]


def read_laid(path: Path) -> LaidFile:
    """Return what a file of format ``cutopt-laid``, version 1, says is laid.

    Raises ``PlanFileError`` with every problem found and its place.
    """
    report = Report(str(path).encode("utf-8", "replace").decode())
    found = parsed(contents_of(path, report.where), report)
    document = found if isinstance(found, dict) else {}
    if document.get("format") != FORMAT or document.get("version") != VERSION:
        what = f"this is no list of what is laid: format {shown(document.get('format'))}"
        report.add(
            what, "format", f'give a file of format "{FORMAT}", version {VERSION}, as the phone page saves it'
        )
    pieces = document.get("pieces", [])
    if not isinstance(pieces, list) or not all(isinstance(piece, str) for piece in pieces):
        report.add("the pieces laid are no list of texts", "pieces", 'write them like ["1.1", "1.2"]')
    report.raise_if_any()
    return LaidFile(plan=str(document.get("plan", "")), pieces=frozenset(pieces))
