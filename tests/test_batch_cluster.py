"""Many jobs on a cluster: the same to the byte as on one machine, and a word where there is no cluster to plan on."""

import os
import socket
import subprocess
import sys
import time
import warnings
from contextlib import contextmanager
from pathlib import Path

import pytest
from batches import act, done, room_job, tally, titled, tried, unseen, workers_of

from cutopt.batch import BatchSettings, UnreadyError, _cluster, run
from cutopt.batch import _digest as digests
from cutopt.batch._team import DIED
from cutopt.model.estimate import Failed, Tally, Task, Why
from cutopt.pipeline._tally import tally_of

pytestmark = pytest.mark.filterwarnings(
    "ignore::ResourceWarning",  # the library's own loops and sockets, closed when they are collected
    "ignore::DeprecationWarning:distributed",
    "ignore::DeprecationWarning:tornado",
)


@contextmanager
def cluster(workers, **settings):
    """Give a cluster of this machine, as small as may be."""
    import dask  # noqa: PLC0415 - slow to load
    from distributed import LocalCluster  # noqa: PLC0415

    quiet = {
        "distributed.scheduler.allowed-failures": 0,
        "distributed.admin.system-monitor.gil.enabled": False,
    }
    with (
        dask.config.set(quiet),
        LocalCluster(
            n_workers=workers,
            threads_per_worker=1,
            dashboard_address="127.0.0.1:0",
            silence_logs=50,
            memory_limit=0,
            **settings,
        ) as started,
    ):
        yield started


@pytest.fixture(scope="module")
def address():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with cluster(2) as started:
            yield started.scheduler_address


def test_real_jobs_come_to_the_same_bytes_as_on_this_machine(address, tmp_path):
    sizes = [(1500 + 310 * n, 900 + 170 * n) for n in range(4)] + [(10, 10)]
    tasks = [Task(key=f"{size}", job=room_job(*size), searches=0) for size in sizes]
    here, there = tmp_path / "here", tmp_path / "there"
    seen = []
    found = done(tasks, tally_of, workers=1, store=here)
    assert found == done(
        tasks, tally_of, scheduler=address, store=there, progress=lambda *told: seen.append(told)
    )
    assert [type(outcome) for outcome in found] == [Tally] * 4 + [Failed]
    assert seen[-1] == (5, 5, 1)
    assert _contents(here) == _contents(there)


def _contents(folder):
    return {path.relative_to(folder): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_what_is_done_on_a_cluster_is_not_done_again_and_bad_ones_stop_nothing(address, tmp_path):
    log = tmp_path / "log"
    tasks = titled("a", "raise an odd thing", "ccc", "a", log=log)
    odd = Failed(why=Why.BUG, problems=("RuntimeError: an odd thing",))
    for _ in range(2):
        outcomes = done(tasks, scheduler=address, store=tmp_path / "store")
        assert outcomes == [tally(1), odd, tally(3), tally(1)]
    assert sorted(tried(log)) == ["a", "ccc", "raise an odd thing", "raise an odd thing"]
    assert os.getpid() not in workers_of(log)


def test_a_worker_of_the_cluster_that_dies_takes_only_its_own_task_along(address, tmp_path):
    log = tmp_path / "log"
    titles = ["a", "die", "ccc", "dddd"]
    outcomes = done(titled(*titles, log=log), scheduler=address)
    assert outcomes == [DIED if title == "die" else tally(len(title)) for title in titles]
    assert tried(log).count("die") == 2


def test_who_stops_listening_is_free_at_once(address, tmp_path):
    tasks = titled("a", "sleep 2 a", "sleep 2 b", "c", log=tmp_path / "log")
    outcomes = run(tasks, act, settings=BatchSettings(scheduler=address), progress=unseen)
    next(outcomes)
    start = time.monotonic()
    outcomes.close()
    assert time.monotonic() - start < 1.5


def refusal(address):
    with pytest.raises(UnreadyError) as told:
        done(titled("a"), scheduler=address)
    assert told.value.exit_status == 2
    return [str(problem) for problem in told.value.problems]


@pytest.fixture
def newer(monkeypatch):
    """This process is of another version than the workers."""
    monkeypatch.setattr(digests, "__version__", "9.0")
    digests.versions.cache_clear()
    yield
    digests.versions.cache_clear()


@pytest.mark.usefixtures("newer")
def test_workers_of_another_version_are_refused(address):
    words = refusal(address)
    assert len(words) >= 1  # a dead one may not be replaced yet
    for word in words:
        what, where, remedy = word.split(" - ")
        assert what == "a worker of the cluster has cutopt 0.1.0, not 9.0"
        assert where.startswith("tcp://127.0.0.1:")
        assert remedy == "install the same versions on all machines"


def test_a_worker_without_cutopt_is_refused():
    problem = _cluster._refusal("tcp://worker", ModuleNotFoundError("No module named 'cutopt'"))
    assert str(problem).startswith(
        "a worker of the cluster has no cutopt: No module named 'cutopt' - tcp://worker - "
    )


@pytest.mark.usefixtures("newer")
def test_a_worker_of_another_version_that_joins_later_is_refused(address, monkeypatch):
    monkeypatch.setattr(_cluster, "_refuse_strangers", lambda _client, _address: None)
    (word,) = refusal(address)
    assert word.startswith("a worker of the cluster has cutopt 0.1.0, not 9.0 - install")


def test_nobody_at_the_address_is_told_soon(monkeypatch):
    monkeypatch.setattr(_cluster, "_PATIENCE", 0.5)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        nobody = f"tcp://127.0.0.1:{taken.getsockname()[1]}"
        assert refusal(nobody) == [
            f"no scheduler answers - {nobody} - check the address and that it runs: tcp://HOST:PORT"
        ]


@pytest.mark.parametrize("odd", ["", "nowhere at all", "tcp://", "http://127.0.0.1:99999", "127.0.0.1:port"])
def test_an_address_that_is_none_is_told(monkeypatch, odd):
    monkeypatch.setattr(_cluster, "_PATIENCE", 0.5)
    assert refusal(odd)[0].startswith("no scheduler answers")


def test_a_scheduler_without_workers_is_told(monkeypatch):
    monkeypatch.setattr(_cluster, "_PATIENCE", 0.5)
    with cluster(0) as started:
        (word,) = refusal(started.scheduler_address)
    assert word.startswith("the scheduler has no workers - tcp://127.0.0.1:")


def test_without_the_extra_its_remedy_is_told(monkeypatch):
    monkeypatch.delitem(sys.modules, "cutopt.batch._cluster")
    monkeypatch.delattr("cutopt.batch._cluster")
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(UnreadyError) as told:
        done(titled("a"), scheduler="tcp://127.0.0.1:1")
    assert str(told.value) == (
        "a cluster needs a package that is not installed - distributed - pip install 'cutopt[cluster]'"
    )


def test_the_library_is_loaded_for_a_cluster_alone():
    script = (
        "import sys; from batches import act, done, titled\n"
        "done(titled('a', 'b'), workers=1)\n"
        "print([name for name in ('dask', 'distributed', 'tornado') if name in sys.modules])"
    )
    tests = Path(__file__).parent
    command = [sys.executable, "-c", script]
    assert subprocess.run(command, cwd=tests, capture_output=True, check=True, text=True).stdout == "[]\n"
