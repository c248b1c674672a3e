"""Many tasks, each done once; what is done is kept as it comes in, and told in the order of the tasks."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, ExitStack, closing
from types import TracebackType
from typing import Self

from cutopt.batch._attempt import attempt
from cutopt.batch._digest import digest
from cutopt.batch._effort import effort
from cutopt.batch._pool import Pool
from cutopt.batch._settings import BatchSettings, Progress, UnreadyError, Work
from cutopt.batch._store import Store
from cutopt.batch._team import Outcomes, Team, finished
from cutopt.errors import Problem
from cutopt.model.estimate import Failed, Outcome, Task

__all__ = ["Crew", "run"]


def run(
    tasks: Sequence[Task], work: Work, *, settings: BatchSettings, progress: Progress
) -> Iterator[tuple[Task, Outcome]]:
    """Yield every task with its outcome, in the order of the tasks.

    Whoever has many batches keeps a :class:`Crew` for all of them. Raises ``UnreadyError`` where there is nobody to plan, or
    no place to keep what is done.
    """
    with Crew(work, settings) as crew:
        yield from crew.run(tasks, progress)


class Crew:
    """Whoever plans, hired when first needed and kept until the end (``with Crew(...) as crew:``)."""

    def __init__(self, work: Work, settings: BatchSettings) -> None:
        """Take note of what is to be done, and how."""
        self._work = work
        self._settings = settings
        self._store = None if settings.store is None else Store(settings.store)
        self._team: Team | None = None
        self._hired = ExitStack()

    def __enter__(self) -> Self:
        """Begin; nobody is hired yet."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Let everybody go."""
        self._team = None
        self._hired.close()

    def run(self, tasks: Sequence[Task], progress: Progress) -> Iterator[tuple[Task, Outcome]]:
        """Yield every task with its outcome, in the order of the tasks.

        Tasks that differ in nothing but their key are done once. ``progress`` is told at the start, of what was kept from before,
        and whenever something is done.
        """
        keys = [digest(task, self._work) for task in tasks]
        known = {key: found for key in dict.fromkeys(keys) if (found := self._kept(key)) is not None}
        todo = {key: task for key, task in zip(keys, tasks, strict=True) if key not in known}
        tell = _Teller(Counter(keys), progress)
        tell(known)
        with closing(self._outcomes(todo)) as outcomes:
            for key, task in zip(keys, tasks, strict=True):
                while key not in known:
                    done, outcome = next(outcomes)
                    known[done] = outcome
                    tell({done: outcome})
                yield task, known[key]

    def _kept(self, key: str) -> Outcome | None:
        return None if self._store is None else self._store.find(key)

    def _outcomes(self, todo: dict[str, Task]) -> Outcomes:
        """Yield outcomes as they come in, kept before they are told."""
        with closing(self._planned(todo)) as planned:
            for key, outcome in planned:
                if self._store is not None:
                    self._store.keep(key, outcome)
                yield key, outcome

    def _planned(self, todo: dict[str, Task]) -> Outcomes:
        team = self._hire(len(todo))
        if team is None:
            return ((key, attempt(self._work, task)) for key, task in todo.items())
        return finished(team, sorted(todo.items(), key=lambda one: effort(one[1]), reverse=True))

    def _hire(self, tasks: int) -> Team | None:
        """Return who plans so many tasks; ``None``: this process does."""
        scheduler, processes = self._settings.scheduler, self._settings.processes
        if not tasks or (scheduler is None and min(tasks, processes) == 1):
            return None
        if self._team is None and scheduler is not None:
            self._team = self._hired.enter_context(_cluster(self._work, scheduler))
        elif self._team is None:
            self._team = self._hired.enter_context(closing(Pool(self._work, processes)))
        return self._team


def _cluster(work: Work, address: str) -> AbstractContextManager[Team]:
    try:
        from cutopt.batch._cluster import joined  # noqa: PLC0415 - an extra, and slow to load
    except ModuleNotFoundError as error:
        raise UnreadyError(
            Problem(
                what="a cluster needs a package that is not installed",
                where=error.name or "",
                remedy="pip install 'cutopt[cluster]'",
            )
        ) from error
    return joined(work, address)


class _Teller:
    """Tells how many tasks are done; alike ones are done together."""

    def __init__(self, alike: Counter[str], progress: Progress) -> None:
        self._alike = alike
        self._progress = progress
        self._done = self._failed = 0

    def __call__(self, outcomes: Mapping[str, Outcome]) -> None:
        for key, outcome in outcomes.items():
            self._done += self._alike[key]
            self._failed += self._alike[key] * isinstance(outcome, Failed)
        self._progress(self._done, self._alike.total(), self._failed)
