"""The study of open jobs: what it blames, and that it runs."""

import csv
import subprocess
import sys
from pathlib import Path

import pytest
from blame import VARIANTS, Blamed, plan_variant

ROOT = Path(__file__).parents[1]
JOB = ROOT / "benchmarks" / "jobs" / "reach" / "short-04.toml"


@pytest.mark.parametrize(
    ("longer", "waiting", "joints", "verdict"),
    [
        (10, 10, 10, "search: the bound is met in more time"),
        (12, 10, 10, "bound: met only where more planks may wait"),
        (11, 10, 12, "search in part; bound: met only where more planks may wait"),
        (12, 12, 10, "bound: met only without the rules on joints"),
        (12, 0, 9, "bound: met only without the rules on joints"),
        (12, 11, 11, "undecided: not met with these rules eased either"),
        (0, 0, 0, "undecided: not met with these rules eased either"),
    ],
)
def test_what_met_the_bound_says_what_is_to_blame(longer, waiting, joints, verdict):
    one = Blamed(job="j", bound=10, planks=12, longer=longer, waiting=waiting, joints=joints)
    assert one.verdict == verdict


def test_easing_a_rule_never_costs_planks():
    planks = {variant: plan_variant(JOB, variant, 5.0)["planks"] for variant in VARIANTS}
    assert 0 < planks["joints"] <= planks["longer"]
    assert 0 < planks["waiting"] <= planks["longer"]


def run(*args):
    command = [sys.executable, ROOT / "benchmarks" / "blame.py", *map(str, args)]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=100)


def test_open_jobs_of_a_table_are_studied_and_the_others_left(tmp_path):
    table = tmp_path / "table.csv"
    table.write_text("job,status,bound,planks\nshort-04,open,1,9\nrect-01,proven,5,5\n", encoding="utf-8")
    done = run("--table", table, "--time-limit", 1, "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    (stored,) = (path for path in tmp_path.glob("*blame.csv"))
    lines = list(csv.DictReader(stored.read_text(encoding="utf-8").splitlines()))
    assert [line["job"] for line in lines] == ["short-04"]
    # The table's bound of 1 gives way to what the longer run proves.
    assert int(lines[0]["bound"]) > 1


def test_a_table_without_open_jobs_is_told(tmp_path):
    table = tmp_path / "table.csv"
    table.write_text("job,status,bound,planks\nrect-01,proven,5,5\n", encoding="utf-8")
    done = run("--table", table, "--out", tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert "no open jobs" in done.stderr
