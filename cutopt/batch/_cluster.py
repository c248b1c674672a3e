"""The workers of a cluster, by Dask distributed. The only module that loads it."""

import logging
from collections.abc import Iterator
from concurrent.futures import CancelledError, Executor, Future
from contextlib import contextmanager
from warnings import catch_warnings, simplefilter

from distributed import Client
from distributed.comm.addressing import get_address_host
from distributed.scheduler import KilledWorker

from cutopt.batch._attempt import attempt_alike, bug, strange
from cutopt.batch._digest import versions
from cutopt.batch._settings import UnreadyError, Work
from cutopt.errors import Problem
from cutopt.model.estimate import Outcome, Task

__all__ = ["joined"]

_PATIENCE = 10.0
"""Seconds that a scheduler, and then its first worker, may take to answer."""

_ROOM = 1000
"""Tasks at the scheduler at once: enough for several hundred cores, some of which may join later."""


@contextmanager
def joined(work: Work, address: str) -> Iterator["_Cluster"]:
    """Give the workers of a cluster.

    Raises ``UnreadyError`` where nobody answers at the address, there is no worker, or one has other versions.
    """
    with _silent(), _client(address) as client:
        _refuse_strangers(client, address)
        yield _Cluster(client, work, address)


class _Cluster:
    """Plans tasks on workers that have the versions of this process."""

    room = _ROOM

    def __init__(self, client: Client, work: Work, address: str) -> None:
        self._client = client
        self._work = work
        self._address = address
        self._executor = self._hired()

    def _hired(self) -> Executor:
        executor: Executor = self._client.get_executor(pure=False)
        return executor

    def submit(self, task: Task) -> Future[Outcome]:
        """Hand over a task."""
        return self._executor.submit(attempt_alike, versions(), self._work, task)

    def outcome(self, future: Future[Outcome]) -> Outcome | None:
        """Return what a task came to; ``None`` where too many workers died of it."""
        try:
            return future.result()
        except KilledWorker:
            return None
        except CancelledError as error:
            raise UnreadyError(_unreachable(self._address, "the scheduler is gone")) from error
        except UnreadyError:
            raise
        except Exception as error:  # noqa: BLE001 - what could not be sent is told as the task's
            return bug(error)

    def drop(self) -> None:
        """Take back all that is under way; what a worker has begun it ends for nobody."""
        self._executor.shutdown(wait=False)
        self._executor = self._hired()


@contextmanager
def _client(address: str) -> Iterator[Client]:
    try:
        get_address_host(
            address
        )  # a client that finds out itself is left half made, and may block when collected
        with catch_warnings():
            simplefilter("ignore")  # of versions it has a word too; those that matter are refused
            client = Client(address, timeout=_PATIENCE, set_as_default=False)
    except (OSError, ValueError) as error:
        raise UnreadyError(_unreachable(address, "no scheduler answers")) from error
    try:
        yield client
    finally:
        client.close()


def _unreachable(address: str, what: str) -> Problem:
    return Problem(what=what, where=address, remedy="check the address and that it runs: tcp://HOST:PORT")


def _refuse_strangers(client: Client, address: str) -> None:
    try:
        client.wait_for_workers(1, timeout=_PATIENCE)
    except TimeoutError as error:
        raise UnreadyError(
            Problem(
                what="the scheduler has no workers",
                where=address,
                remedy=f"start some: dask worker {address}",
            )
        ) from error
    answers = client.run(versions, on_error="return")
    problems = [
        _refusal(worker, answer) for worker, answer in sorted(answers.items()) if answer != versions()
    ]
    if problems:
        raise UnreadyError(*problems)


def _refusal(worker: str, answer: object) -> Problem:
    if isinstance(answer, tuple):
        return strange(answer, versions(), worker)
    return Problem(
        what=f"a worker of the cluster has no cutopt: {answer}",
        where=worker,
        remedy="install the same versions on all machines",
    )


@contextmanager
def _silent() -> Iterator[None]:
    """Leave the telling to us: its own log goes to stderr from other threads."""
    log = logging.getLogger("distributed")
    before = log.level
    log.setLevel(logging.CRITICAL)
    try:
        yield
    finally:
        log.setLevel(before)
