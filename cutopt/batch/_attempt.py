"""One task, tried where it is to be planned: in this process or in another."""

from cutopt.batch._digest import versions
from cutopt.batch._memory import keep_memory
from cutopt.batch._settings import UnreadyError, Work
from cutopt.errors import Problem
from cutopt.model.estimate import Failed, Outcome, Task, Why

__all__ = ["attempt", "attempt_alike", "bug", "strange"]


def attempt(work: Work, task: Task) -> Outcome:
    """Return what a task comes to; an exception is a bug of ours, told on one line, and stops nothing else."""
    keep_memory()
    try:
        return work(task)
    except Exception as error:  # noqa: BLE001 - whatever it is, the other tasks go on
        return bug(error)


def bug(error: BaseException) -> Failed:
    """Return an exception as an outcome."""
    words = " ".join(str(error).split())
    return Failed(why=Why.BUG, problems=(f"{type(error).__name__}: {words}".removesuffix(": "),))


def attempt_alike(expected: tuple[tuple[str, str], ...], work: Work, task: Task) -> Outcome:
    """Return what a task comes to on another machine, which must have the versions expected.

    Raises ``UnreadyError`` where it has others.
    """
    if versions() != expected:
        raise UnreadyError(strange(versions(), expected))
    return attempt(work, task)


def strange(
    found: tuple[tuple[str, str], ...], expected: tuple[tuple[str, str], ...], where: str = ""
) -> Problem:
    """Return what is wrong with a worker of other versions, whose plans may be others."""
    theirs, ours = dict(found), dict(expected)
    other = [name for name in ours if theirs.get(name) != ours[name]]
    return Problem(
        what="a worker of the cluster has "
        + ", ".join(f"{name} {theirs.get(name, 'missing')}, not {ours[name]}" for name in other),
        where=where,
        remedy="install the same versions on all machines",
    )
