"""Processes of this machine."""

import multiprocessing
import os
import signal
import sys
from collections.abc import Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing import forkserver, resource_tracker
from multiprocessing.connection import Connection
from multiprocessing.context import BaseContext
from threading import Thread, current_thread, main_thread

from cutopt.batch._attempt import attempt, bug
from cutopt.batch._settings import UnreadyError, Work
from cutopt.errors import Problem
from cutopt.model.estimate import Outcome, Task

__all__ = ["Pool"]


class Pool:
    """Processes that plan tasks; they end with this one, whatever ends it.

    Raises ``UnreadyError`` where the system lets us start none.
    """

    def __init__(self, work: Work, workers: int) -> None:
        """Start the first of them."""
        self._work = work
        self._workers = workers
        self._context = _context(work.__module__)
        self._processes = self._started()
        self.room = 2 * workers

    def _started(self) -> "_Processes":
        try:
            processes = _Processes.start(self._workers, self._context)
            processes.try_out()
        except (BrokenProcessPool, OSError, ImportError, NotImplementedError) as error:
            raise UnreadyError(
                Problem(what=f"processes cannot be started here: {error}", remedy="use one worker")
            ) from error
        return processes

    def submit(self, task: Task) -> Future[Outcome]:
        """Hand over a task."""
        try:
            return self._processes.submit(self._work, task)
        except BrokenProcessPool:
            self.drop()
            return self._processes.submit(self._work, task)

    def outcome(self, future: Future[Outcome]) -> Outcome | None:
        """Return what a task came to; ``None`` where the process died."""
        try:
            return future.result()
        except BrokenProcessPool:
            return None
        except Exception as error:  # noqa: BLE001 - what could not be sent is told as the task's
            return bug(error)

    def drop(self) -> None:
        """Stop all processes at once; new ones are started when they are needed."""
        self._processes.end(at_once=True)
        self._processes = _Processes.start(self._workers, self._context)

    def close(self) -> None:
        """Let all processes go."""
        self._processes.end(at_once=False)


@dataclass(frozen=True, slots=True)
class _Processes:
    """A pool and its leash: processes end at once when the leash is closed, or this process is gone."""

    executor: ProcessPoolExecutor
    leash: Connection
    held: Connection

    @classmethod
    def start(cls, workers: int, context: BaseContext) -> "_Processes":
        held, leash = multiprocessing.Pipe(duplex=False)
        executor = ProcessPoolExecutor(workers, context, initializer=_begin, initargs=(held,))
        return cls(executor, leash, held)

    def try_out(self) -> None:
        """Start a process and wait until it has done something."""
        try:
            with _deaf():
                first = self.executor.submit(os.getpid)
            first.result()
        except BaseException:
            self.end(at_once=True)
            raise

    def submit(self, work: Work, task: Task) -> Future[Outcome]:
        with _deaf():
            return self.executor.submit(attempt, work, task)

    def end(self, *, at_once: bool) -> None:
        with _deaf():  # or a process that has just begun finds nothing of what it was sent
            if at_once:
                self.leash.close()
            self.executor.shutdown(cancel_futures=at_once)
            self.leash.close()
            self.held.close()


def _begin(held: Connection) -> None:
    """Begin a process: leave Ctrl-C to the one that started it, and end with that."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_with, args=(held,), daemon=True).start()


def _end_with(held: Connection) -> None:
    held.poll(None)
    os._exit(0)


def _context(module: str) -> BaseContext:
    """Return how processes begin.

    Not as a fork of this one: the solver, and others in this process, may have threads, of which a fork has none
    but every lock that they held. On Linux they are forks of a server that has done nothing but load the module of
    the work, which starts no thread of ours (and numpy ends its own before a fork): a new pool is there in 20 ms.
    Elsewhere, where system libraries may have started threads by then, each begins anew.
    """
    if sys.platform != "linux":
        return multiprocessing.get_context("spawn")
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload([module])
    resource_tracker.ensure_running()  # which the server needs; starting it lets Ctrl-C through again
    with _deaf():
        forkserver.ensure_running()
    return context


@contextmanager
def _deaf() -> Iterator[None]:
    """Put Ctrl-C off while other processes begin or end.

    It goes to all processes of a terminal. One that begins deaf stays so, and none is left half begun.
    """
    heard: list[int] = []
    ours = current_thread() is main_thread()  # where alone it is heard
    before = signal.signal(signal.SIGINT, lambda number, _: heard.append(number)) if ours else None
    blocked = set() if sys.platform == "win32" else signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        if sys.platform != "win32":
            signal.pthread_sigmask(signal.SIG_SETMASK, blocked)
        if before is not None:
            signal.signal(signal.SIGINT, before)
        if heard:
            signal.raise_signal(signal.SIGINT)
