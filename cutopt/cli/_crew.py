"""Planning many jobs at once for a command, with progress on a terminal."""

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

from cutopt.batch import BatchSettings, Crew
from cutopt.model.estimate import Outcome, Tally, Task
from cutopt.pipeline import tally_of

__all__ = ["Planning", "planning"]


class Planning:
    """Plans many tasks at once, and counts how many of them the clock ended."""

    def __init__(self, crew: Crew, show: Callable[[int, int, int], None]) -> None:
        """Take those who plan, and what shows progress."""
        self.timed = 0
        self._crew = crew
        self._show = show

    def __call__(self, tasks: Sequence[Task]) -> list[Outcome]:
        """Return what the tasks come to, in their order."""
        outcomes = [outcome for _, outcome in self._crew.run(tasks, self._show)]
        self.timed += sum(isinstance(one, Tally) and one.timed for one in outcomes)
        return outcomes


@contextmanager
def planning(settings: BatchSettings, *, quiet: bool) -> Iterator[Planning]:
    """Give what plans many tasks at once, with a bar of progress on a terminal's stderr."""
    with _bar(quiet=quiet) as show, Crew(tally_of, settings) as crew:
        yield Planning(crew, show)


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
