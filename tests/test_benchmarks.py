"""The benchmarks still run, their stored jobs are the generator's, and other ways of laying cut honestly.

No plan and no bound of today contradicts a stored table.
"""

import csv
import io
import math
import platform
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import baselines
import make_jobs
import packing
import packing_peers
import plots
import pytest
import reach
import scale
from baselines import Laid, fixed_third, installers_habit
from packing_peers import Instance, best_fit, first_fit, solve
from plain_model import findings, plain_model
from reach_tables import FAMILIES, Outcome, as_text, draw_pictures, family_of, read_table, wrong
from tables import as_csv, run_apart

from cutopt.check import Fault
from cutopt.jobfile import parse_job, read_job
from cutopt.layout import lay_out
from cutopt.pipeline import plan_job
from cutopt.planner import Limits
from cutopt.planner.bound import price_bound
from cutopt.planner.problem import build_problem

ROOT = Path(__file__).parents[1]
IN = 8128
STORED = sorted(make_jobs.FOLDER.glob("*.toml"))


def test_stored_jobs_are_what_the_generator_writes():
    assert {path.name: path.read_text(encoding="utf-8") for path in STORED} == dict(make_jobs.jobs())


def test_every_stored_job_can_be_laid_out_and_each_family_has_its_dozen():
    assert all(lay_out(read_job(path)).runs for path in STORED)
    assert [sum(family_of(path.stem) == family for path in STORED) for family in FAMILIES] == [12] * 5


def job(rows, ends="handed", kerf=0, **rules):
    given = {"stagger": 8, "min_piece": 8, "h_joint": 0, "stair_step": 0, "gap": 0} | rules
    lines = "\n".join(f"{key} = {value!r}" for key, value in given.items())
    return parse_job(
        f'title = "t"\nunit = "in"\n[plank]\nlength = 48\nwidth = 7\nper_box = 8\nends = "{ends}"\nkerf = {kerf}\n'
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


@pytest.mark.parametrize("name", ["rect-10", "jog-02", "taper-03", "flat-01", "short-04"])
def test_laying_by_habit_without_a_breach_never_beats_the_bound(name):
    given = read_job(make_jobs.FOLDER / f"{name}.toml")
    bound = price_bound(build_problem(lay_out(given), given.plank, given.rules)).planks
    for seed in range(3):
        laid = installers_habit(given, range(seed, seed + 1))
        assert laid.breaches or laid.planks >= bound


# The plain model


@pytest.mark.parametrize(
    "given",
    [
        job("{ length = 130, count = 6 }", h_joint=2, stair_step=1),
        job("{ length = 140, count = 6 }", h_joint=14),
        job("{ length = 130, count = 5 }", ends="square", kerf=0.125, max_waiting=1),
        job("{ length = 15.95, count = 3 }", kerf=0.125),
        job(
            "{ length = 20, count = 5 }, { length = 110, count = 3 }, { length = 30, count = 2 }", kerf=0.125
        ),
        job("{ length = 150, count = 3 }, { offset = 7, length = 101, count = 3 }", stair_step=2, fit=0.25),
        job("{ runs = [{ offset = 0, length = 60 }, { offset = 70, length = 99 }], count = 3 }", stagger=6),
        job("{ length = 97, count = 4 }, { length = 98.03125, count = 3 }", min_piece=10.1),
    ],
)
def test_plans_of_the_plain_model_pass_the_check_and_its_count_is_theirs(given):
    answer = plain_model(given, 10)
    assert findings(given, answer.laid) == ()
    assert len({piece.plank for run in answer.laid for piece in run}) == answer.planks == answer.bound
    assert answer.planks >= price_bound(build_problem(lay_out(given), given.plank, given.rules)).planks


def test_the_check_is_asked_about_a_plan_of_the_plain_model():
    given = job("{ length = 130, count = 2 }")
    same = plain_model(job("{ length = 130 }"), 5).laid[0]
    assert {finding.fault for finding in findings(given, (same, same))} >= {Fault.JOINTS_CLOSE}


def test_the_plain_model_uses_offcuts_as_far_as_they_may_wait():
    # Three runs of 20, 24 and 20: two pieces of 20 share a plank of 48, or one of each, never three.
    rows = "{ length = 20 }, { length = 24 }, { length = 20 }"
    assert plain_model(job(rows), 5).planks == 2
    assert plain_model(job(rows, max_waiting=0), 5).planks == 3
    far = f"{{ length = 40 }}, {', '.join(['{ length = 48 }'] * 6)}, {{ length = 8 }}"
    near = f"{{ length = 40 }}, {', '.join(['{ length = 48 }'] * 5)}, {{ length = 8 }}"
    assert (plain_model(job(near), 5).planks, plain_model(job(far), 5).planks) == (6, 8)


def test_the_plain_model_says_where_it_has_no_plan_and_of_which_jobs_it_does_not_speak():
    assert plain_model(job("{ length = 150, count = 2 }", stagger=20), 5).planks
    assert plain_model(job("{ length = 150, count = 2 }", stagger=30), 5).planks is None
    for rule in ({"pattern": "half"}, {"lay": "right-to-left"}, {"share_offcuts": "room"}):
        assert plain_model(job("{ length = 150, count = 2 }", **rule), 5) is None


# The study of reach


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
    done = run("reach.py", "--smoke", "--time-limit", "5", "--peer-seconds", 1, "--at-once", 2)
    assert done.returncode == 0, done.stderr
    assert "| all | 3 |" in done.stdout
    assert all(f"| {name} |" in done.stdout for name in reach.SMOKE)


def test_a_run_stores_its_tables_and_a_broken_job_is_an_error_not_a_hole(tmp_path):
    (tmp_path / "bad-01.toml").write_text("title = 3", encoding="utf-8")
    for name in ("short-04.toml", "rect-02.toml"):
        (tmp_path / name).write_bytes((make_jobs.FOLDER / name).read_bytes())
    options = ("--subset", "bad-*", "short-*", "--out", tmp_path / "out", "--label", "try", "--at-once", 2)
    done = run("reach.py", "--jobs", tmp_path, *options)
    assert done.returncode == 1
    files = sorted((tmp_path / "out").iterdir())
    assert [path.name.partition("-try")[2] for path in files] == ["-above.svg", "-rows.svg", ".csv", ".md"]
    rows = list(csv.DictReader(io.StringIO(files[2].read_text(encoding="utf-8"))))
    assert [(row["job"], row["status"] == "error", row["note"][:15]) for row in rows] == [
        ("bad-01", True, "3 is not a text"),
        ("short-04", False, ""),
    ]
    assert files[3].read_text(encoding="utf-8") == done.stdout
    assert str(tmp_path) not in done.stdout + files[2].read_text(encoding="utf-8")


def test_an_empty_folder_is_told(tmp_path):
    done = run("reach.py", "--jobs", tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert "no jobs (*: *.toml) in" in done.stderr


OUTCOMES = [
    Outcome(
        job="rect-01", family="rect", rows=10, per_box=8, status="open", bound=40, planks=41, waste_percent=2.5,
        peak_waiting=3, seconds=10.5, bound_seconds=0.1, habit=44, habit_breaches=0, habit_seconds=0.02,
        third=46, third_breaches=3, third_seconds=0.01, model=42, model_bound=39, model_seconds=10.0,
    ),
    Outcome(
        job="flat-01", family="flat", rows=40, per_box=8, status="proven", bound=80, planks=80, waste_percent=0.0,
        peak_waiting=3, seconds=1.5, bound_seconds=0.1, habit=80, habit_breaches=2, habit_seconds=0.02,
    ),
    Outcome(job="flat-02", family="flat", status="impossible", seconds=0.5, note="why"),
]  # fmt: skip


def test_a_table_is_read_back_as_it_was_written(tmp_path):
    (tmp_path / "table.csv").write_text(as_csv(OUTCOMES), encoding="utf-8")
    assert read_table(tmp_path / "table.csv") == OUTCOMES


def test_the_summary_counts_what_its_head_says():
    lines = [line.strip("| ").split(" | ") for line in as_text(OUTCOMES, "about").splitlines()]
    summary, bought = (line for line in lines if line[0] == "all")
    assert summary[:9] == ["all", "3", "1", "1", "67 %", "1", "0", "0", "1 (1; 2)"]
    # 41 and 80 planks are 6 and 10 boxes of 8, as 44 and 80 by habit; 44 for 41 lift a waste of 2.5 % to 10 %.
    assert bought == ["all", "2", "121", "124", "16", "16", "0", "0", "1.2", "5.0"]


def test_a_plan_under_the_bound_is_told_whoever_found_it():
    sound = OUTCOMES[0]
    assert not wrong(sound)
    assert not wrong(replace(sound, third=39))
    assert wrong(replace(sound, model=39))
    assert wrong(replace(sound, habit=39))
    assert not wrong(replace(sound, habit=39, habit_breaches=1))
    assert wrong(Outcome(job="x", family="other", status="error"))


def test_pictures_are_the_same_each_time_and_name_every_way(tmp_path):
    table = tmp_path / "table.csv"
    table.write_text(as_csv(OUTCOMES), encoding="utf-8")
    files = list(draw_pictures(OUTCOMES, tmp_path / "table"))
    first = [file.read_bytes() for file in files]
    assert run("reach.py", "--redraw", table).returncode == 0
    assert [file.read_bytes() for file in files] == first
    above, rows = (text.decode() for text in first)
    names = ["cutopt", "plain CP-SAT model", "installer's habit", "fixed third"]
    assert all(f">{name}</text>" in above for name in names)
    assert ">cutopt, the whole command</text>" in rows
    assert "<dc:date>" not in above + rows
    assert len({marker for marker, _ in plots.LOOKS}) == len(plots.LOOKS)


# Stored tables

TABLES = sorted((ROOT / "benchmarks" / "results").glob("*reach*.csv"))
QUICK = 4


def stored():
    """The jobs of the newest table that are kept here and were soon planned, soonest first."""
    kept = [one for one in read_table(TABLES[-1]) if (make_jobs.FOLDER / f"{one.job}.toml").exists()]
    return sorted((one for one in kept if one.planks), key=lambda one: (one.seconds, one.job))[:QUICK]


def test_there_is_a_stored_table_of_jobs_kept_here():
    assert len(stored()) == QUICK


def contradictions(then, planks, bound):
    """What a plan and a bound found today say against a stored outcome."""
    return [
        f"{then.job}: {text}"
        for text, against in (
            (f"{planks} planks, under the bound {then.bound} of then", planks < then.bound),
            (f"bound {bound}, over the {then.planks} planks of then", bound > then.planks),
        )
        if against
    ]


class Glance:
    """A watch that ends a search a moment after it has a plan."""

    until = math.inf

    def report(self, bound, best, seconds):  # noqa: ARG002 - what a watch is told
        if best is not None:
            self.until = min(self.until, time.monotonic() + 0.3)

    def stop(self):
        return time.monotonic() > self.until


def test_no_plan_beats_an_old_bound_and_no_bound_an_old_plan():
    found = []
    for then in stored():
        plan = plan_job(read_job(make_jobs.FOLDER / f"{then.job}.toml"), Limits(seconds=60), Glance()).plan
        found += contradictions(then, plan.totals.planks, plan.bound.planks)
    assert found == []


def test_contradictions_are_seen():
    assert contradictions(OUTCOMES[0], 40, 41) == []
    assert len(contradictions(OUTCOMES[0], 39, 42)) == 2


def test_stored_results_name_no_machine_and_no_place_on_it():
    texts = [path.read_text(encoding="utf-8") for path in (ROOT / "benchmarks" / "results").iterdir()]
    names = {str(ROOT), str(Path.home()), sys.prefix, "/tmp/", "/home/", platform.node()}  # noqa: S108 - a name
    assert [name for name in names for text in texts if len(name) > 3 and name in text] == []


# Scale


@pytest.mark.parametrize("shape", scale.SHAPES)
def test_floors_of_every_shape_have_the_rows_they_are_asked_for(shape):
    runs = lay_out(parse_job(scale.job_text(shape, 200), "test")).runs
    assert runs[-1].row == len(runs) == 200
    lengths = len({run.length for run in runs})
    assert lengths == {"equal": 1, "different": 200, "tower": 5}[shape]


def test_scale_stores_time_and_memory(tmp_path):
    done = run(
        "scale.py", "--rows", 12, "--time-limit", 5, "--shapes", "equal", "--out", tmp_path, "--label", "try"
    )
    assert done.returncode == 0, done.stderr
    picture, table, text = sorted(tmp_path.iterdir())
    ((row),) = csv.DictReader(io.StringIO(table.read_text(encoding="utf-8")))
    assert (row["shape"], row["rows"], row["status"]) == ("equal", "12", "proven")
    assert float(row["seconds"]) > 0.1
    assert int(row["peak_mib"]) > 20
    assert text.read_text(encoding="utf-8") == done.stdout
    assert ">equal</text>" in picture.read_text(encoding="utf-8")


def test_a_process_that_does_not_end_is_killed():
    ran = run_apart((sys.executable, "-c", "import time; print('here', flush=True); time.sleep(60)"), 0.5)
    assert (ran.status < 0, ran.out) == (True, "here\n")
    assert 0.4 < ran.seconds < 20


# Bin packing


def test_first_and_best_fit_by_hand():
    # In bins of 20 the last item fits into both: first fit takes the first, best fit the fuller one.
    instance = Instance(name="", capacity=20, optimum=2, items=(1, 9, 10, 12))
    assert first_fit(instance) == [[12, 1], [10, 9]]
    assert best_fit(instance) == [[12], [10, 9, 1]]


@pytest.mark.parametrize(
    ("capacity", "items", "bins", "greedy"),
    [
        (10, (6, 6, 6, 6), 4, 4),
        (10, (5, 5, 4, 3, 3, 4, 2, 2, 2), 3, 4),
        (12, (4, 4, 4, 6, 6, 3, 3, 3, 3), 3, 3),
    ],
)
def test_every_way_packs_small_bins_as_few_as_can_be(capacity, items, bins, greedy):
    # Worked by hand; the second: 5 + 5, 4 + 4 + 2, 3 + 3 + 2 + 2 fill three bins.
    instance = Instance(name="small", capacity=capacity, optimum=bins, items=items)
    for method in packing_peers.METHODS:
        answer, _ = solve(method, instance, 10)
        if method.endswith("fit"):
            assert answer.bins <= greedy
        else:
            assert (method, answer.bins, answer.proved) == (method, bins, True)


def test_packing_runs_published_instances_and_stores_what_each_way_needed(tmp_path):
    assert tuple(packing_peers.METHODS) == packing.METHODS
    options = ("--subset", "t60_00", "--methods", "cutopt", "first fit", "--out", tmp_path, "--label", "try")
    done = run("packing.py", *options)
    assert done.returncode == 0, done.stderr
    table, text = sorted(tmp_path.iterdir())
    rows = list(csv.DictReader(io.StringIO(table.read_text(encoding="utf-8"))))
    assert [(row["method"], row["bins"], row["proved"]) for row in rows] == [
        ("cutopt", "20", "True"),
        ("first fit", "23", "False"),
    ]
    assert text.read_text(encoding="utf-8") == done.stdout
    assert "| t60 | cutopt | 1 | 1 | 1 | 0 |" in done.stdout


def test_claims_against_a_published_optimum_are_wrong():
    sound = packing.Packed(instance="t60_00", optimum=20, method="m", bins=20, proved=True, seconds=1.0)
    assert not sound.wrong
    assert not replace(sound, bins=None, proved=False).wrong
    assert not replace(sound, bins=21, proved=False).wrong
    assert replace(sound, bins=19).wrong
    assert replace(sound, bins=21).wrong
    assert replace(sound, bins=None, note="it broke").wrong


# Speed


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
