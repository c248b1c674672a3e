"""Tasks for the tests of many jobs, and a work that does as the title of a job says.

Run as a script it is a batch of its own, to be stopped: ``batches.py STORE LOG WORKERS TITLE...``.
"""

import os
import signal
import sys
import time
from dataclasses import replace
from pathlib import Path

from cutopt.batch import BatchSettings, run
from cutopt.batch._digest import digest
from cutopt.jobfile import read_job
from cutopt.model.estimate import Failed, Tally, Task, Why
from cutopt.model.job import Ends, Job, Order, PlankSpec, Rules
from cutopt.model.rooms import SizeRoom
from cutopt.units import TICKS_PER_MM as MM
from cutopt.units import Unit

__all__ = ["act", "done", "names", "room_job", "tally", "titled", "tried", "unseen", "workers_of"]

JOBS = Path(__file__).parents[1] / "benchmarks" / "jobs" / "reach"


def room_job(along, across, title="Room"):
    """Return a small real job, in millimetres."""
    return Job(
        title=title,
        unit=Unit.MM,
        plank=PlankSpec(length=1220 * MM, width=180 * MM, per_box=10, ends=Ends.HANDED),
        rules=Rules(
            stagger=200 * MM,
            min_piece=200 * MM,
            h_joint=0,
            stair_step=0,
            cut_step=MM,
            min_rip=40 * MM,
            gap=8 * MM,
        ),
        order=Order(),
        rooms=(SizeRoom(name="Room", along=along * MM, across=across * MM),),
    )


def titled(*titles, log=None, **settings):
    """Return a task for each title, all of rooms of one size; what is tried is noted in ``log``."""
    notes = () if log is None else (str(log),)
    jobs = [replace(room_job(3000, 2000, title), warnings=notes) for title in titles]
    return [Task(key=f"task {n}", job=job, **settings) for n, job in enumerate(jobs)]


def tried(log):
    """Return the titles noted in a log, in the order they were begun."""
    return [title for title, _ in _notes(log)]


def workers_of(log):
    """Return the processes that noted anything in a log."""
    return {int(pid) for _, pid in _notes(log)}


def _notes(log):
    lines = log.read_text(encoding="utf-8").splitlines() if log.exists() else []
    return [line.rsplit(" @", 1) for line in lines]


def tally(planks):
    """Return a tally that can be told from others."""
    return Tally(
        planks=planks,
        bound=planks,
        cuts=1,
        pieces=2,
        peak_waiting=0,
        net2=4,
        slants2=0,
        rips2=0,
        kerf2=0,
        ends2=0,
    )


def act(task):
    """Do what the title says: a verb, and words after it."""
    verb, _, words = task.job.title.partition(" ")
    for log in task.job.warnings:
        with Path(log).open("a", encoding="utf-8") as file:
            file.write(f"{task.job.title} @{os.getpid()}\n")
    match verb:
        case "raise":
            raise RuntimeError(words)
        case "die":
            os.kill(os.getpid(), signal.SIGKILL)
        case "die-once":
            if not Path(words).exists():
                Path(words).touch()
                os.kill(os.getpid(), signal.SIGKILL)
        case "sleep":
            time.sleep(float(words.split()[0]))
        case "clash" | "time" | "file":
            return Failed(why=Why[verb.upper()], problems=(words, "and more"))
        case "pid":
            return tally(os.getpid())
    return tally(len(task.job.title))


def unseen(done, of, failed):
    """Take no note of progress."""


def done(tasks, work=act, progress=unseen, **settings):
    """Return the outcomes of a batch."""
    told = list(run(tasks, work, settings=BatchSettings(**settings), progress=progress))
    assert [task for task, _ in told] == list(tasks)
    return [outcome for _, outcome in told]


def names():
    """Return the names that jobs of all kinds are kept under."""
    jobs = [read_job(path) for path in sorted(JOBS.glob("*-01.toml"))]
    return [digest(Task(key="", job=job), act) for job in (room_job(3000, 2000), *jobs)]


def main():
    """Run a batch, telling when anything is done."""
    store, log, workers, *titles = sys.argv[1:]
    settings = BatchSettings(workers=int(workers), store=Path(store))
    work = __import__("batches").act  # as others know it, not as a part of this script

    def progress(done, of, failed):
        print(done, of, failed, flush=True)

    for _task, outcome in run(titled(*titles, log=log), work, settings=settings, progress=progress):
        assert outcome


if __name__ == "__main__":
    main()
