"""Following a search from a terminal: what is known so far, and Ctrl-C to end it with the best plan."""

import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType

__all__ = ["SearchWatch", "watching"]


class SearchWatch:
    """What the planner reports to and asks whether to stop."""

    def __init__(self, show: Callable[[str], object] | None, limit: float) -> None:
        """Show progress by ``show``, if at all; ``limit`` is the time in seconds the search may take."""
        self.interrupted = False
        self._show = show
        self._limit = limit

    def report(self, bound: int, best: int | None, seconds: float) -> None:
        """Take in the lower bound, the fewest planks found so far and the seconds gone."""
        if self._show is not None:
            found = "no plan yet" if best is None else f"{best} planks so far"
            time = f"{seconds:.0f} of {self._limit:g} s"
            self._show(f"{found}, at least {bound} needed; {time} (Ctrl-C ends with the best)")

    def stop(self) -> bool:
        """Say whether the user asked to stop."""
        return self.interrupted


@contextmanager
def watching(limit: float, *, quiet: bool) -> Iterator[SearchWatch]:
    """Give a watch that shows progress on a terminal's stderr and takes the first Ctrl-C as a wish to stop.

    A second Ctrl-C ends the program at once.
    """
    with _progress(quiet=quiet) as show:
        watch = SearchWatch(show, limit)

        def interrupt(_signal: int, _frame: FrameType | None) -> None:
            if watch.interrupted:
                raise KeyboardInterrupt
            watch.interrupted = True

        before = signal.signal(signal.SIGINT, interrupt)
        try:
            yield watch
        finally:
            signal.signal(signal.SIGINT, before)


@contextmanager
def _progress(*, quiet: bool) -> Iterator[Callable[[str], object] | None]:
    if quiet or sys.stderr is None or not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console  # noqa: PLC0415 - only a terminal pays for it

    with Console(stderr=True).status("planning ...") as status:
        yield status.update
