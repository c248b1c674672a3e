"""Planning many jobs at once for a command, with progress on a terminal."""

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

from cutopt.batch import BatchSettings, Crew
from cutopt.model.estimate import Outcome, Task
from cutopt.pipeline import PlanAll, tally_of

__all__ = ["planning"]


@contextmanager
def planning(settings: BatchSettings, *, quiet: bool) -> Iterator[PlanAll]:
    """Give what plans many tasks at once, with a bar of progress on a terminal's stderr."""
    with _bar(quiet=quiet) as show, Crew(tally_of, settings) as crew:

        def plan_all(tasks: Sequence[Task]) -> list[Outcome]:
            return [outcome for _, outcome in crew.run(tasks, show)]

        yield plan_all


@contextmanager
def _bar(*, quiet: bool) -> Iterator[Callable[[int, int, int], None]]:
    if quiet or sys.stderr is None or not sys.stderr.isatty():
        yield lambda _done, _of, _failed: None
        return
    from rich.console import Console  # noqa: PLC0415 - only a terminal pays for it
    from rich.progress import Progress  # noqa: PLC0415

    with Progress(console=Console(stderr=True), transient=True) as progress:
        bar = progress.add_task("planning")

        def show(done: int, of: int, failed: int) -> None:
            words = f"planning, {failed} could not be" if failed else "planning"
            progress.update(bar, completed=done, total=of, description=words)

        yield show
