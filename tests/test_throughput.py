"""The benchmark of many jobs: rooms that are always the same, ways that are compared on the same ones."""

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
import throughput
from throughput import Measured, as_text, parse, rooms

from cutopt.model.estimate import Failed, Why
from cutopt.pipeline import tally_of

SCRIPT = Path(throughput.__file__)


def test_rooms_are_all_different_and_always_the_same():
    tasks = rooms(40, 7)
    assert tasks == rooms(40, 7)
    assert tasks[:10] == rooms(10, 7)
    assert len({replace(task.job, title="") for task in tasks}) == 40
    assert len({(task.job.plank.length, task.job.unit) for task in tasks}) == len(throughput.SHOPS)


TIMES = {"1 worker": (4.0, 2.0), "2 workers": (2.0, 1.0), "1 worker, counting": (3.0, 3.0)}
TIMES["2 workers, counting"] = (1.5, 2.0)
RESULTS = [
    Measured(round=nth + 1, way=way, jobs=10, failed=0, seconds=times[nth])
    for nth in range(2)
    for way, times in TIMES.items()
]


def test_the_table_compares_each_way_with_one_worker_at_the_same_work():
    text = as_text(RESULTS, parse(["--seed", "3", "--label", "try"]), 0.25)
    rows = [line.strip("| ").split(" | ") for line in text.splitlines() if line.startswith("|")][2:]
    assert rows == [
        ["1 worker", "20", "0", "6.0", "3.33", "1.00", "1.00"],
        ["2 workers", "20", "0", "3.0", "6.67", "2.00", "2.00"],
        ["1 worker, counting", "20", "0", "6.0", "3.33", "1.00", "1.00"],
        ["2 workers, counting", "20", "0", "3.5", "5.71", "1.71", "1.75"],
    ]
    assert text.startswith("# try, ")
    assert "Seed 3, 10 rounds." in text
    assert "others took 0.2 cores" in text


def test_ways_that_differ_and_bugs_are_seen():
    outcome = tally_of(rooms(1, 7)[0])
    assert not throughput._wrong([outcome] * 3)
    assert throughput._wrong([outcome, outcome, replace(outcome, planks=outcome.planks + 1)])
    clash, bug = (Failed(why=why, problems=("so",)) for why in (Why.CLASH, Why.BUG))
    assert not throughput._wrong([clash] * 3)
    assert throughput._wrong([bug] * 3)


@pytest.mark.parametrize("odd", [["--rounds", "0"], ["--jobs", "3", "--rounds", "4"], ["--workers", "0"]])
def test_odd_options_are_refused(odd, capsys):
    with pytest.raises(SystemExit, match="2"):
        parse(odd)
    assert "must be" in capsys.readouterr().err


def test_the_smoke_run_plans_three_rooms_in_every_way(tmp_path):
    done = subprocess.run(
        [sys.executable, SCRIPT, "--smoke", "--out", tmp_path],
        capture_output=True,
        check=False,
        text=True,
        timeout=100,
    )
    assert done.returncode == 0, done.stderr
    ways = ("1 worker", "2 workers", "cluster of 2", "1 worker, counting", "2 workers, counting")
    assert [way for way in ways if f"| {way} | 3 | 0 |" in done.stdout] == list(ways)
    assert list(tmp_path.iterdir()) == []
    assert "Traceback" not in done.stderr
