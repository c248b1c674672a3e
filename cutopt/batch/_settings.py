"""What many jobs are planned with, and the refusal where that is not to be had."""

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from cutopt.errors import CutoptError
from cutopt.model.estimate import Outcome, Task

__all__ = ["BatchSettings", "Progress", "UnreadyError", "Work"]

Work = Callable[[Task], Outcome]
"""Plans one task. A function of a module, so that another process can be told of it by name."""

Progress = Callable[[int, int, int], None]
"""Told how many tasks are done, of how many, and how many of those done failed."""


class UnreadyError(CutoptError):
    """What the jobs are to be planned with is not to be had: a package, a scheduler, processes, a folder."""

    exit_status: ClassVar[int] = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchSettings:
    """Who plans, and where what is done is kept.

    ``workers`` processes of this machine (1: this process itself; ``None``: one for each core that this process may
    use), or, with the address of a ``scheduler``, the workers of its cluster. ``store`` is a folder.
    """

    workers: int | None = None
    store: Path | None = None
    scheduler: str | None = None

    def __post_init__(self) -> None:
        """Refuse a crew of nobody."""
        if self.workers is not None and self.workers < 1:
            raise ValueError(f"workers must be 1 or more, not {self.workers}")

    @property
    def processes(self) -> int:
        """How many processes plan on this machine."""
        return self.workers or _cores()


def _cores() -> int:
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
