"""Tasks handed out to others as they have room, and outcomes as they come in."""

from collections.abc import Generator, Iterable, Iterator
from concurrent.futures import Future
from itertools import islice
from queue import SimpleQueue
from typing import Protocol

from cutopt.model.estimate import Failed, Outcome, Task, Why

__all__ = ["DIED", "Outcomes", "Team", "finished"]

Outcomes = Generator[tuple[str, Outcome], None, None]
"""Outcomes by the names of their tasks, as they come in; closed, whatever is under way stops."""

DIED = Failed(why=Why.BUG, problems=("the process that planned it died, nothing beside it (out of memory?)",))


class Team(Protocol):
    """Whoever plans tasks apart from this process."""

    @property
    def room(self) -> int:
        """How many tasks they may hold at once: enough that nobody waits, few enough to be sent."""

    def submit(self, task: Task) -> Future[Outcome]:
        """Hand over a task, if need be to new workers in place of dead ones."""

    def outcome(self, future: Future[Outcome]) -> Outcome | None:
        """Return what a task came to, waiting for it; ``None`` where a worker that held it died.

        Raises ``UnreadyError`` where nobody is left to plan.
        """

    def drop(self) -> None:
        """Stop all that is under way, at once."""


def finished(team: Team, tasks: Iterable[tuple[str, Task]]) -> Outcomes:
    """Yield the outcomes of named tasks as they come in.

    When a worker dies, nobody knows which of the tasks it held killed it. So each of them is tried again when all
    others are done, by itself: only what dies again is given up.
    """
    suspects: list[tuple[str, Task]] = []
    for key, task, outcome in _attempted(team, tasks, team.room):
        if outcome is None:
            suspects.append((key, task))
        else:
            yield key, outcome
    for key, _, outcome in _attempted(team, suspects, 1):
        yield key, outcome or DIED


def _attempted(
    team: Team, tasks: Iterable[tuple[str, Task]], room: int
) -> Iterator[tuple[str, Task, Outcome | None]]:
    waiting = iter(tasks)
    ended: SimpleQueue[Future[Outcome]] = SimpleQueue()
    under_way: dict[Future[Outcome], tuple[str, Task]] = {}

    def hand_out(some: Iterable[tuple[str, Task]]) -> None:
        for key, task in some:
            future = team.submit(task)
            under_way[future] = key, task
            future.add_done_callback(ended.put)

    try:
        hand_out(islice(waiting, room))
        while under_way:
            future = ended.get()
            outcome = team.outcome(future)
            key, task = under_way.pop(future)
            hand_out(islice(waiting, 1))
            yield key, task, outcome
    except BaseException as error:
        # Ctrl-C, or nobody wants to know the rest; where nothing is left, the last outcome was all they waited for.
        if under_way or not isinstance(error, GeneratorExit):
            team.drop()
        raise
