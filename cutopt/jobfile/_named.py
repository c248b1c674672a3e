"""Which other files a job or a portfolio names: none of them may be written over."""

import tomllib
from collections.abc import Iterator
from pathlib import Path

__all__ = ["files_named"]


def files_named(path: Path) -> tuple[Path, ...]:
    """Return the files that a job or a portfolio names, and those that these name; none where it cannot be read."""
    return tuple(dict.fromkeys(_named(path)))


def _named(path: Path) -> Iterator[Path]:
    try:
        document = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError):
        return
    study = document.get("study")
    if isinstance(study, dict) and isinstance(study.get("planks"), str):
        yield path.parent / study["planks"]
    types = document.get("type")
    for one in types if isinstance(types, list) else ():
        if isinstance(one, dict) and isinstance(one.get("job"), str):
            job = path.parent / one["job"]
            yield job
            yield from _named(job)
