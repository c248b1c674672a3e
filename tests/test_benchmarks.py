"""The benchmarks still run, their stored jobs are the generator's, and the baselines cut honestly."""

import csv
import io
import subprocess
import sys
from pathlib import Path

import baselines
import make_jobs
import pytest
import reach
from baselines import Laid, fixed_third, installers_habit

from cutopt.jobfile import parse_job, read_job
from cutopt.layout import lay_out
from cutopt.planner.bound import price_bound
from cutopt.planner.problem import build_problem

ROOT = Path(__file__).parents[1]
IN = 8128
STORED = sorted(make_jobs.FOLDER.glob("*.toml"))


def test_stored_jobs_are_what_the_generator_writes():
    assert {path.name: path.read_text(encoding="utf-8") for path in STORED} == dict(make_jobs.jobs())


def test_every_stored_job_can_be_laid_out_and_each_family_has_its_dozen():
    assert all(lay_out(read_job(path)).runs for path in STORED)
    assert [sum(reach.family_of(path) == family for path in STORED) for family in reach.FAMILIES] == [12] * 5


def job(rows, ends="handed", **rules):
    given = {"stagger": 8, "min_piece": 8, "h_joint": 0, "stair_step": 0, "gap": 0} | rules
    lines = "\n".join(f"{key} = {value}" for key, value in given.items())
    return parse_job(
        f'title = "t"\nunit = "in"\n[plank]\nlength = 48\nwidth = 7\nper_box = 8\nends = "{ends}"\nkerf = 0\n'
        f'[rules]\n{lines}\n[[room]]\nname = "R"\nrows = [{rows}]\n',
        "test",
    )


def test_rows_of_two_planks_by_thirds_are_worked_by_hand():
    # First joints 48, 16, 32: 2 planks; 16 + 48 + 32 and 32 + 48 + 16, each of 2 planks without waste.
    assert fixed_third(job("{ length = 96, count = 3 }")) == Laid(6, 0)


def test_the_end_of_a_cut_plank_fits_only_the_other_side_unless_square():
    handed, square = (baselines._Heap(job("{ length = 64 }", ends=ends)) for ends in ("handed", "square"))
    for heap in (handed, square):
        heap.cut(heap.open(), 20 * IN, "right")
    assert handed.starters() == []
    assert [plank.room for plank in square.starters()] == [28 * IN]
    handed.end_piece(28 * IN)
    assert handed.opened == 1
    handed.end_piece(1 * IN)
    assert handed.opened == 2


def test_single_pieces_fill_planks_and_no_more_than_fit():
    assert installers_habit(job("{ length = 20, count = 5 }")) == Laid(3, 0)


def test_what_cannot_keep_the_rules_is_counted_as_a_breach():
    # Every joint of the second row is under 30 in from one of the first (planks of 48: 24 at most).
    assert installers_habit(job("{ length = 150, count = 2 }", stagger=30)).breaches == 1
    assert installers_habit(job("{ length = 150, count = 2 }", stagger=20)).breaches == 0


@pytest.mark.parametrize("name", ["rect-10", "jog-07", "taper-03", "flat-01", "short-04"])
def test_laying_by_habit_without_a_breach_never_beats_the_bound(name):
    given = read_job(make_jobs.FOLDER / f"{name}.toml")
    bound = price_bound(build_problem(lay_out(given), given.plank, given.rules)).planks
    for seed in range(3):
        laid = installers_habit(given, range(seed, seed + 1))
        assert laid.breaches or laid.planks >= bound


def run(script, *args):
    return subprocess.run(
        [sys.executable, ROOT / "benchmarks" / script, *map(str, args)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=100,
    )


def test_the_smoke_run_plans_three_jobs():
    done = run("reach.py", "--smoke", "--time-limit", "5")
    assert done.returncode == 0, done.stderr
    assert "| all | 3 |" in done.stdout
    assert all(f"| {name} |" in done.stdout for name in reach.SMOKE)


def test_a_run_stores_its_tables_and_a_broken_job_is_an_error_not_a_hole(tmp_path):
    (tmp_path / "bad-01.toml").write_text("title = 3", encoding="utf-8")
    short = "short-04.toml"
    (tmp_path / short).write_bytes((make_jobs.FOLDER / short).read_bytes())
    done = run("reach.py", "--jobs", tmp_path, "--out", tmp_path / "out", "--label", "try", "--at-once", 2)
    assert done.returncode == 1
    table, text = sorted((tmp_path / "out").iterdir())
    assert [path.name.partition("-try")[2] for path in (table, text)] == [".csv", ".md"]
    rows = list(csv.DictReader(io.StringIO(table.read_text(encoding="utf-8"))))
    assert [(row["job"], row["status"] == "error", bool(row["note"])) for row in rows] == [
        ("bad-01", True, True),
        ("short-04", False, False),
    ]
    assert text.read_text(encoding="utf-8") == done.stdout.removesuffix("\n")


def test_an_empty_folder_is_told(tmp_path):
    done = run("reach.py", "--jobs", tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert "no jobs (*.toml) in" in done.stderr


def test_the_speed_table_names_every_command_and_target():
    done = run("speed.py", "--runs", 1)
    assert done.returncode in {0, 1}, done.stderr
    lines = done.stdout.splitlines()
    assert [line.split("  ")[0] for line in lines[2:6]] == [
        "python, nothing",
        "cutopt --help",
        "cutopt plan, 30 rows",
        "cutopt check, its plan",
    ]
