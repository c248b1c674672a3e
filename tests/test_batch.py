"""Many jobs: in order, each once, in one process or several; bad ones told, dead and stopped ones survived."""

import os
import pickle
import signal
import subprocess
import sys
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path

import pytest
from batches import act, done, room_job, tally, titled, tried, unseen, workers_of

from cutopt.batch import BatchSettings, Crew, UnreadyError, run
from cutopt.batch import _pool as pools
from cutopt.batch._effort import effort
from cutopt.batch._team import DIED, finished
from cutopt.model.estimate import Failed, Tally, Task, Why
from cutopt.model.rooms import OutlineRoom, RowSpec, RowsRoom, RunSpec, Survey, SurveyRoom, Tape
from cutopt.pipeline._tally import tally_of
from cutopt.units import TICKS_PER_MM as MM

SCRIPT = Path(__file__).with_name("batches.py")


# In order, each once


TITLES = ("a", "raise an odd\n thing", "ccc", "clash no way", "a", "ee")
OUTCOMES = [
    tally(1),
    Failed(why=Why.BUG, problems=("RuntimeError: an odd thing",)),
    tally(3),
    Failed(why=Why.CLASH, problems=("no way", "and more")),
    tally(1),
    tally(2),
]


@pytest.mark.parametrize("workers", [1, 2])
def test_outcomes_come_in_the_order_of_the_tasks_and_progress_is_told(workers):
    seen = []
    assert done(titled(*TITLES), progress=lambda *told: seen.append(told), workers=workers) == OUTCOMES
    assert seen[0] == (0, 6, 0)
    assert seen[-1] == (6, 6, 2)
    assert seen == sorted(seen)
    assert len(seen) == 6  # the two alike are told at once


@pytest.mark.parametrize("workers", [1, 2])
def test_alike_tasks_are_done_once(workers, tmp_path):
    log = tmp_path / "log"
    done(titled("a", "b", "a", "a", "b", log=log), workers=workers)
    assert Counter(tried(log)) == {"a": 1, "b": 1}


def test_nothing_to_do_is_done():
    seen = []
    assert done([], progress=lambda *told: seen.append(told)) == []
    assert seen == [(0, 0, 0)]


def test_one_worker_is_this_process_and_more_are_others(tmp_path):
    for workers in (1, 2):
        done(titled("a", "b", "c", log=tmp_path / f"log {workers}"), workers=workers)
    assert workers_of(tmp_path / "log 1") == {os.getpid()}
    others = workers_of(tmp_path / "log 2")
    assert os.getpid() not in others
    assert 1 <= len(others) <= 2


def test_a_task_by_itself_needs_no_other_process(tmp_path):
    done(titled("a", "a", log=tmp_path / "log"), workers=2)
    assert workers_of(tmp_path / "log") == {os.getpid()}


def test_a_crew_keeps_its_processes_from_batch_to_batch(tmp_path):
    log = tmp_path / "log"
    with Crew(act, BatchSettings(workers=2)) as crew:
        for titles in (("a", "b"), ("c", "d"), ("e", "f")):
            list(crew.run(titled(*titles, log=log), unseen))
    assert len(tried(log)) == 6
    assert len(workers_of(log)) <= 2


def test_workers_are_as_many_as_told_or_as_cores_we_may_use():
    assert BatchSettings(workers=3).processes == 3
    assert BatchSettings().processes == len(os.sched_getaffinity(0))
    with pytest.raises(ValueError, match="workers must be 1 or more, not 0"):
        BatchSettings(workers=0)


def test_real_jobs_come_to_the_same_in_one_process_and_in_two(tmp_path):
    sizes = [(1500 + 310 * n, 900 + 170 * n) for n in range(4)] + [(10, 10)]
    tasks = [Task(key=f"{size}", job=room_job(*size), searches=0) for size in sizes]
    one, two = tmp_path / "one", tmp_path / "two"
    found = done(tasks, tally_of, workers=1, store=one)
    assert found == done(tasks, tally_of, workers=2, store=two)
    assert [type(outcome) for outcome in found] == [Tally] * 4 + [Failed]
    assert _contents(one) == _contents(two)
    assert len(_contents(one)) == 5


def _contents(folder):
    return {path.relative_to(folder): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


# Large ones first, and never too many at once


def test_large_tasks_are_begun_first():
    sizes = [(3000, 2000), (9000, 8000), (6000, 5000)]
    tasks = [Task(key="", job=room_job(*size)) for size in sizes]
    assert [effort(task) for task in tasks] == [27, 327, 136]  # areas over 1220 x 180, whole ones
    many = Task(key="", job=room_job(3000, 2000), times=3, beside=((room_job(6000, 5000), 2),))
    assert effort(many) == 3 * 27 + 2 * 136


def test_rooms_of_all_kinds_have_an_effort():
    def of(room):
        job = room_job(1, 1)
        return effort(Task(key="", job=type(job)(**{**_fields(job), "rooms": (room,)})))

    square = ((0, 0), (0, 6100 * MM), (6100 * MM, 6100 * MM), (6100 * MM, 0))
    assert of(OutlineRoom(name="R", corners=square)) == of(OutlineRoom(name="R", corners=square[::-1])) == 169
    rows = RowSpec(runs=(RunSpec(offset=0, length=1220 * MM), RunSpec(offset=0, length=2440 * MM)), count=5)
    assert of(RowsRoom(name="R", rows=(rows,))) == 15
    walls = tuple(Tape(start="A", end="B", length=6100 * MM) for _ in range(4))
    survey = Survey(corners=(), walls=walls, diagonals=(), accuracy=1, angle_accuracy=1)
    assert of(SurveyRoom(name="R", survey=survey)) == 169


def _fields(job):
    return {name: getattr(job, name) for name in type(job).__dataclass_fields__}


class Threads:
    """A team of threads, which notes what it holds."""

    def __init__(self, room):
        self.room, self.held, self.most, self.dropped, self.begun = room, 0, 0, False, []
        self._executor = ThreadPoolExecutor(2)

    def submit(self, task):
        self.held += 1
        self.most = max(self.most, self.held)
        self.begun.append(task.job.title)
        return self._executor.submit(act, task)

    def outcome(self, future):
        self.held -= 1
        return None if future.result() == tally(len("lost")) else future.result()

    def drop(self):
        self.dropped = True


def test_tasks_are_handed_out_as_there_is_room_and_what_is_lost_is_tried_again_at_the_end_by_itself():
    team = Threads(room=3)
    titles = ["a", "lost", *("b" * n for n in range(5, 25))]
    tasks = {task.job.title: task for task in titled(*titles)}
    handed = []
    outcomes = dict(finished(team, (handed.append(name) or (name, task) for name, task in tasks.items())))
    assert outcomes == {name: DIED if name == "lost" else tally(len(name)) for name in titles}
    assert team.most <= team.room + 1
    assert team.begun == [*titles, "lost"]
    assert not team.dropped


def test_who_stops_listening_stops_the_team():
    team = Threads(room=3)
    outcomes = finished(team, enumerate(titled(*("b" * n for n in range(5, 25)))))
    next(outcomes)
    outcomes.close()
    assert team.dropped
    assert len(team.begun) < 10


ARRAYS = """
import numpy, resource
from cutopt.batch._memory import keep_memory

def faults():
    before = resource.getrusage(resource.RUSAGE_SELF).ru_minflt
    for _ in range(50):
        arrays = [numpy.ones(2**17) for _ in range(10)]
        del arrays
    return resource.getrusage(resource.RUSAGE_SELF).ru_minflt - before

left = faults()
keep_memory()
faults()
print(left, faults())
"""


def test_memory_given_back_is_kept_for_the_next_arrays():
    out = subprocess.run([sys.executable, "-c", ARRAYS], capture_output=True, check=True, text=True).stdout
    left, kept = map(int, out.split())
    assert left > 100_000  # 500 arrays of 256 pages
    assert kept < 1000


# Workers that die


def test_a_worker_that_dies_takes_only_its_own_task_along(tmp_path):
    log = tmp_path / "log"
    titles = ["a", "die", "ccc", "dddd", "eeeee", "gggggg"]
    outcomes = done(titled(*titles, log=log), workers=2)
    assert outcomes == [DIED if title == "die" else tally(len(title)) for title in titles]
    assert DIED.why is Why.BUG
    assert Counter(tried(log))["die"] == 2


def test_a_task_whose_worker_dies_once_is_done(tmp_path):
    titles = [f"die-once {tmp_path / 'mark'}", "bb"]
    outcomes = done(titled(*titles, log=tmp_path / "log"), workers=2)
    assert outcomes == [tally(len(title)) for title in titles]
    assert Counter(tried(tmp_path / "log"))[titles[0]] == 2


def test_a_task_that_cannot_be_sent_is_told():
    odd = titled("a", "b")
    outcomes = done([*odd, Task(key="x", job=room_job(1, 1, Unsendable("x")))], workers=2)
    assert outcomes[:2] == [tally(1), tally(1)]
    assert outcomes[2] == Failed(why=Why.BUG, problems=("PicklingError: not this one",))


class Unsendable(str):
    """A text that no process can be told."""

    __slots__ = ()

    def __reduce__(self):
        raise pickle.PicklingError("not this one")


@pytest.mark.parametrize("error", [OSError("no semaphores"), NotImplementedError("no semaphores")])
def test_a_system_without_processes_is_told(monkeypatch, error):
    def refuse(*_args, **_named):
        raise error

    monkeypatch.setattr(pools, "ProcessPoolExecutor", refuse)
    with pytest.raises(UnreadyError) as told:
        done(titled("a", "b"), workers=2)
    assert str(told.value) == "processes cannot be started here: no semaphores - use one worker"
    assert told.value.exit_status == 2


# Stopped


def begun(tmp_path, workers, titles):
    return subprocess.Popen(
        [sys.executable, SCRIPT, tmp_path / "store", tmp_path / "log", str(workers), *titles],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )


def until(true, seconds=20.0):
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end
        time.sleep(0.01)


def alive(process):
    """Return whether any process of its session lives, as a terminal would have it."""
    with suppress(ProcessLookupError):
        os.killpg(process.pid, 0)
        return True
    return False


QUICK = ("a", "bb", "ccc")
STOPPED_TITLES = (*QUICK, "sleep 40 a", "sleep 40 b", "sleep 40 c", "sleep 40 d", "e")


@pytest.mark.parametrize("workers", [1, 2])
def test_ctrl_c_stops_all_at_once_and_what_was_done_is_kept(tmp_path, workers):
    process = begun(tmp_path, workers, STOPPED_TITLES)
    until(lambda: sum(title.startswith("sleep") for title in tried(tmp_path / "log")) == workers)
    until(lambda: len(list((tmp_path / "store").rglob("*.json"))) == len(QUICK))
    start = time.monotonic()
    os.killpg(process.pid, signal.SIGINT)
    _, err = process.communicate(timeout=20)
    assert time.monotonic() - start < 10
    assert process.returncode != 0
    assert err.count("Traceback") == 1  # its own, which the command line turns into an exit status
    assert err.splitlines()[-1] == "KeyboardInterrupt"
    until(lambda: not alive(process))
    assert_resumed(tmp_path)


def test_ctrl_c_while_processes_begin_is_quiet(tmp_path):
    moments = (0.0, 0.1, 0.2, 0.3, 0.5, 0.8)
    started = [begun(tmp_path, 2, ("sleep 40 a", "sleep 40 b")) for _ in moments]
    for process in started:
        assert process.stdout.readline() == "0 2 0\n"  # nothing is done, nobody hired
    start = time.monotonic()
    for moment, process in zip(moments, started, strict=True):
        time.sleep(max(0.0, start + moment - time.monotonic()))
        os.killpg(process.pid, signal.SIGINT)
    for process in started:
        _, err = process.communicate(timeout=20)
        assert (err.count("Traceback"), err.splitlines()[-1]) == (1, "KeyboardInterrupt"), err
        until(lambda ended=process: not alive(ended))


@pytest.mark.parametrize("sent", [signal.SIGKILL, signal.SIGTERM])
def test_a_batch_that_is_killed_leaves_no_process_and_is_resumed(tmp_path, sent):
    process = begun(tmp_path, 2, STOPPED_TITLES)
    until(lambda: sum(title.startswith("sleep") for title in tried(tmp_path / "log")) == 2)
    until(lambda: len(list((tmp_path / "store").rglob("*.json"))) == len(QUICK))
    process.send_signal(sent)
    process.wait(10)
    until(lambda: not alive(process))
    process.communicate()
    assert_resumed(tmp_path)


def assert_resumed(tmp_path):
    """What was done is not done again; the script's tasks are known to this process by the same names."""
    seen = []
    log = tmp_path / "log"
    noted = len(tried(log))
    tasks = [task for task in titled(*STOPPED_TITLES, log=log) if not task.job.title.startswith("sleep")]
    done(tasks, progress=lambda *told: seen.append(told), store=tmp_path / "store", workers=1)
    assert seen[0] == (3, 4, 0)
    assert tried(log)[noted:] == ["e"]


def test_two_batches_keep_to_one_store(tmp_path):
    titles = [f"sleep 0.01 {n}" for n in range(25)]
    both = [begun(tmp_path, 1, titles) for _ in range(2)]
    assert [(process.communicate()[1], process.returncode) for process in both] == [("", 0)] * 2
    assert len([path for path in (tmp_path / "store").rglob("*") if path.is_file()]) == 25
    seen = []
    tasks = titled(*titles, log=tmp_path / "log")
    assert done(tasks, progress=lambda *told: seen.append(told), store=tmp_path / "store") == [
        tally(len(title)) for title in titles
    ]
    assert seen == [(25, 25, 0)]


def test_who_stops_listening_stops_the_processes(tmp_path):
    tasks = titled("a", "sleep 40 a", "sleep 40 b", "c", log=tmp_path / "log")
    outcomes = run(tasks, act, settings=BatchSettings(workers=2), progress=unseen)
    next(outcomes)
    start = time.monotonic()
    outcomes.close()
    assert time.monotonic() - start < 10
    assert [pid for pid in workers_of(tmp_path / "log") if _runs(pid)] == []


def _runs(pid):
    with suppress(FileNotFoundError):
        return Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()[0] != "Z"
    return False
