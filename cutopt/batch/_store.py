"""A folder of what is done, one small file for each task: what survives a stop is not done again.

A file is put in place whole under the name of all that its outcome depends on. So nothing is torn when a process is
killed, several processes and machines may keep to one folder (network folders too, where lines appended to one file
may mix), and what is asked for is found without reading the rest. 256 folders within keep each of them short.
"""

import json
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from secrets import token_hex

from cutopt.batch._digest import seal
from cutopt.batch._settings import UnreadyError
from cutopt.errors import Problem
from cutopt.model.estimate import Failed, Outcome, Tally, Why

__all__ = ["Store"]

_KEPT = {Why.CLASH, Why.FILE}
"""Failures that are as sure as a plan: asked again, they would be the same."""


@dataclass(frozen=True, slots=True)
class Store:
    """Outcomes by the digest of their task."""

    folder: Path

    def find(self, key: str) -> Outcome | None:
        """Return the outcome kept; ``None`` where there is none, or it is damaged, or the file is not ours."""
        try:
            entry = json.loads(self._path(key).read_bytes())
            told = entry["outcome"]
            return _outcome(told) if entry["seal"] == seal([key, told]) else None
        except (OSError, ValueError, TypeError, LookupError, RecursionError):
            return None

    def keep(self, key: str, outcome: Outcome) -> None:
        """Keep an outcome, unless the clock or a bug decided it.

        Raises ``UnreadyError`` where the folder cannot be written to.
        """
        if outcome.timed if isinstance(outcome, Tally) else outcome.why not in _KEPT:
            return
        told = {type(outcome).__name__: asdict(outcome)}
        text = json.dumps({"outcome": told, "seal": seal([key, told])}, indent=1)
        try:
            _put(self._path(key), f"{text}\n")
        except OSError as error:
            raise UnreadyError(
                Problem(
                    what=f"what is done cannot be kept: {error.strerror or error}",
                    where=str(self.folder),
                    remedy="name another folder, or make room; what is in it already is not done again",
                )
            ) from error

    def _path(self, key: str) -> Path:
        return self.folder / key[:2] / f"{key[2:]}.json"


def _put(path: Path, text: str) -> None:
    """Write a file whole, or not at all."""
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_suffix(f".{token_hex(8)}")
    try:
        beside.write_text(text, encoding="utf-8")
        beside.replace(path)
    except BaseException:  # Ctrl-C too leaves nothing half done
        with suppress(OSError):
            beside.unlink()
        raise


def _outcome(told: dict[str, dict[str, object]]) -> Outcome:
    ((kind, values),) = told.items()
    if kind == Tally.__name__:
        return Tally(**values)  # type: ignore[arg-type] # sealed as they were kept
    return Failed(why=Why(values["why"]), problems=tuple(values["problems"]))  # type: ignore[arg-type]
