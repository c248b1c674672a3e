"""``cutopt replan`` and ``cutopt plan --stock``, run as a user runs them."""

import json
import os
import signal
import subprocess
import sys
import time
from hashlib import sha256
from pathlib import Path

import pytest
from inside import inside as cutopt
from plan_documents import PLANS

JOB = """title = "Slip house"
unit = "in"
[plank]
length = 48
width = 7
per_box = 8
ends = "handed"
kerf = 0
[rules]
stagger = 6
min_piece = 6
h_joint = 0
stair_step = 0
gap = 0
[[room]]
name = "Tool room"
rows = [{ length = 100, count = 6 }]
"""


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("made")
    (folder / "job.toml").write_text(JOB, encoding="utf-8")
    done = cutopt("plan", "job.toml", "--json", "plan.json", "--quiet", cwd=folder)
    assert done.returncode == 0, done.stderr
    return folder / "plan.json"


@pytest.fixture
def folder(tmp_path, made):
    (tmp_path / "plan.json").write_bytes(made.read_bytes())
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    return tmp_path


def replan(folder, *args, stdin=""):
    return cutopt("replan", "plan.json", "--time-limit", "0.5", *args, cwd=folder, stdin=stdin)


def plan_job(folder, *args):
    return cutopt("plan", "job.toml", "--time-limit", "0.5", *args, cwd=folder)


def stored(folder, name="new.json"):
    return json.loads((folder / name).read_text(encoding="utf-8"))


MEASURE = """is not a length - write it like 12' 5-1/2", 12 ft 5 1/2 in, 149.5 in, 3.79 m or 3790 mm\n"""
BAD = {
    "no plan": (
        ["replan", "none.json"],
        3,
        "error: there is no such plan file - none.json - check the name and the folder\n",
    ),
    "rows there are not": (
        ["replan", "plan.json", "--laid", "9"],
        3,
        "error: the plan has rows 1 to 6, not 9 - rows laid - give the number of the last row laid\n",
    ),
    "a piece there is not": (
        ["replan", "plan.json", "--spoiled", "12.3"],
        3,
        (
            "error: the plan has no piece or plank 12.3 - what was spoiled - "
            "name a piece like 12.3, or a plank like p7\n"
        ),
    ),
    "a laid piece spoiled": (
        ["replan", "plan.json", "--laid", "2", "--spoiled", "1.1"],
        3,
        (
            "error: piece 1.1 is laid - what was spoiled - "
            "name only pieces that do not lie in place, or take its row from those that are laid\n"
        ),
    ),
    "a laid row measured": (
        ["replan", "plan.json", "--laid", "2", "--row", "2=+1"],
        3,
        (
            "error: row 2 is laid already, or lies before one that is - rows measured anew - "
            "measure rows that are still to be laid\n"
        ),
    ),
    "a row there is not": (
        ["replan", "plan.json", "--row", "7=+1"],
        3,
        "error: the plan has no row 7 - rows measured anew - check its number\n",
    ),
    "no measure of a row": (
        ["replan", "plan.json", "--row", "fourteen"],
        2,
        "error: fourteen is no measure - --row - write a row and its measure, like 14=+1/2 or 14=98-1/2\n",
    ),
    "no length": (
        ["replan", "plan.json", "--rest", "+long"],
        2,
        f"error: long is no measure - --rest - {MEASURE}",
    ),
    "nothing left of a row": (
        ["replan", "plan.json", "--rest=-200"],
        3,
        "error: nothing is left of row 1 - rows measured anew - measure again\n",
    ),
    "no row left across": (
        ["replan", "plan.json", "--laid", "6", "--left-across", "5"],
        3,
        "error: no row is left to lay - left across - leave it out\n",
    ),
    "more rows than any floor has": (
        ["replan", "plan.json", "--left-across", "9000 ft"],
        3,
        "error: no floor has 15429 rows left - left across - measure again\n",
    ),
    "a look and a change": (
        ["replan", "plan.json", "--show", "--spoiled", "3.1"],
        2,
        "error: this only looks at the plan as it is - --show with --spoiled - leave one of the two out\n",
    ),
    "over the plan": (
        ["replan", "plan.json", "--json", "./plan.json"],
        2,
        "error: the same place as the file read - --json ./plan.json - name another file\n",
    ),
    "over the stock": (
        ["replan", "plan.json", "--stock", "have.toml", "--csv", "have.toml"],
        2,
        "error: the same place as the file read - --csv have.toml - name another file\n",
    ),
    "no stock": (
        ["plan", "job.toml", "--stock", "absent"],
        3,
        "error: there is no such file - absent - check the name\n",
    ),
    "stock without sense": (
        ["plan", "job.toml", "--stock", "wrong.toml"],
        3,
        (
            'error: "keeps" is missing - wrong.toml: offcut[1].keeps - '
            "say which factory end it keeps: left, right, both or none\n"
            "error: 49 is longer than a plank - wrong.toml: offcut[2].length - check the offcut, and its unit\n"
        ),
    ),
    "lots and planks of none": (
        ["plan", "job.toml", "--stock", "lots.toml"],
        3,
        (
            'error: "A" names a lot told already - lots.toml: lot[2].name - count each lot once\n'
            'error: "C" is none of the lots told - lots.toml: offcut[1].lot - name one of them\n'
            'error: "lot" is missing - lots.toml: offcut[2].lot - name its lot, as the planks are told by lots\n'
            "error: planks or boxes of no lot stand beside lots - lots.toml: lot - "
            "count all of them under their lots\n"
        ),
    ),
    "stock and forgiving": (
        ["plan", "job.toml", "--stock", "have.toml", "--forgiving"],
        2,
        (
            "error: what is in hand leaves no choice of plans - --stock with --forgiving - "
            "leave one of the two out\n"
        ),
    ),
}
STOCKS = {
    "have.toml": "planks = 20\n",
    "wrong.toml": '[[offcut]]\nlength = 9\n[[offcut]]\nlength = 49\nkeeps = "left"\n',
    "lots.toml": 'planks = 3\n[[lot]]\nname = "A"\n[[lot]]\nname = "A"\n'
    '[[offcut]]\nlength = 9\nkeeps = "left"\nlot = "C"\n[[offcut]]\nlength = 9\nkeeps = "left"\n',
}


@pytest.mark.parametrize(("args", "status", "stderr"), BAD.values(), ids=BAD)
def test_what_cannot_be_is_told_with_place_and_remedy(folder, args, status, stderr):
    for name, text in STOCKS.items():
        (folder / name).write_text(text, encoding="utf-8")
    before = {path: path.read_bytes() for path in folder.iterdir()}
    done = cutopt(*args, cwd=folder)
    assert done.stderr.decode() == stderr
    assert (done.returncode, done.stdout) == (status, b"")
    assert {path: path.read_bytes() for path in folder.iterdir()} == before


def test_a_look_plans_nothing_and_says_what_waits_and_what_comes_next(folder):
    began = time.monotonic()
    done = replan(folder, "--laid", "2", "--show", "--time-limit", "600")
    assert time.monotonic() - began < 10
    assert (done.returncode, done.stderr) == (0, b"")
    text = done.stdout.decode("ascii")
    plan = stored(folder, "plan.json")
    assert text.startswith("Slip house\n")
    assert "2 laid or begun, 4 left" in text
    assert "goes on as it was" in text
    assert "NEXT: ROW 3\n" in text
    assert "CUT SHEET" not in text
    for piece in next(row for row in plan["rows"] if row["row"] == 3)["pieces"]:
        assert f"\n  {piece['id']} " in text
    laid = {piece["id"] for row in plan["rows"] if row["row"] <= 2 for piece in row["pieces"]}
    waiting = [
        plank for plank in plan["planks"] if 0 < len(laid & set(plank["pieces"])) < len(plank["pieces"])
    ]
    assert [line.split("  ")[1] for line in text.splitlines() if line.startswith("  plank ")] == [
        f"plank {plank['plank']}" for plank in waiting
    ]


def test_a_look_at_a_floor_that_is_laid(folder):
    done = replan(folder, "--laid", "6", "--show")
    assert done.returncode == 0
    assert "Every row is laid." in done.stdout.decode()


def test_quiet_is_one_line_and_the_status_tells_enough_from_short(folder):
    (folder / "have.toml").write_text("planks = 20\n", encoding="utf-8")
    done = replan(folder, "--laid", "2", "--stock", "have.toml", "--quiet")
    assert (done.returncode, done.stdout.count(b"\n")) == (0, 1)
    assert done.stdout.startswith(b"Enough: ")
    (folder / "have.toml").write_text("planks = 1\n", encoding="utf-8")
    done = replan(folder, "--laid", "2", "--stock", "have.toml", "--quiet")
    assert (done.returncode, done.stdout.count(b"\n")) == (1, 1)
    assert done.stdout.startswith(b"SHORT by ")
    assert b", 1 box: " in done.stdout


def test_the_new_plan_is_stored_checked_and_gone_on_with_again(folder):
    done = replan(
        folder, "--laid", "2", "--spoiled", "3.1", "--row", "4=+1/2", "--json", "new.json", "--csv", "new.csv"
    )
    assert done.returncode in {0, 1}
    assert "CUT SHEET" in done.stdout.decode()
    old, new = stored(folder, "plan.json"), stored(folder)
    assert new["rows"][:2] == old["rows"][:2]
    assert new["rows"][3]["length"] == old["rows"][3]["length"] + 8128 // 2
    checked = cutopt("check", "new.json", cwd=folder)
    assert (checked.returncode, checked.stderr) == (0, b"")
    ids = [piece["id"] for row in new["rows"] for piece in row["pieces"]]
    table = (folder / "new.csv").read_text(encoding="utf-8").splitlines()
    assert len(table) == len(ids) + 1
    again = cutopt("replan", "new.json", "--show", cwd=folder)
    assert "2 laid or begun, 4 left" in again.stdout.decode()


def test_what_is_opened_and_fresh_comes_to_all_planks(folder):
    replan(folder, "--laid", "2", "--spoiled", "p9", "--spoiled", "p10", "--json", "new.json")
    new = stored(folder)
    assert new["spoiled"] == [9, 10]
    assert new["supply"] == stored(folder, "plan.json")["totals"]["boxes"] * 8
    assert new["totals"]["planks"] == len({plank["plank"] for plank in new["planks"]}) + 2


def test_a_plan_from_stdin_and_to_stdout(folder):
    text = (folder / "plan.json").read_text(encoding="utf-8")
    done = cutopt("replan", "-", "--laid", "3", "--json", "-", cwd=folder, stdin=text)
    assert (done.returncode, done.stderr) == (0, b"")
    assert cutopt("check", "-", cwd=folder, stdin=done.stdout).returncode == 0


def test_what_the_phone_page_saved_is_laid(folder):
    plan = (folder / "plan.json").read_text(encoding="utf-8")
    pieces = [piece["id"] for row in json.loads(plan)["rows"][:2] for piece in row["pieces"]]
    laid = {
        "format": "cutopt-laid",
        "version": 1,
        "title": "Slip house",
        "plan": sha256(plan.encode()).hexdigest(),
        "pieces": pieces[:-1],
    }
    (folder / "laid.json").write_text(json.dumps(laid), encoding="utf-8")
    done = replan(folder, "--done", "laid.json", "--show")
    assert (done.returncode, done.stderr) == (0, b"")
    text = done.stdout.decode()
    assert "2 laid or begun, 4 left" in text
    assert "rows not laid whole stay as planned" in text


@pytest.mark.parametrize(
    "text", ["", "{", '{"format": "cutopt-plan"}', '{"format": "cutopt-laid", "version": 1, "pieces": 3}']
)
def test_what_is_no_list_of_pieces_laid_is_refused(folder, text):
    (folder / "laid.json").write_text(text, encoding="utf-8")
    done = replan(folder, "--done", "laid.json", "--show")
    assert (done.returncode, done.stdout) == (3, b"")
    assert all(
        line.startswith("error: ") and "laid.json" in line for line in done.stderr.decode().splitlines()
    )


def test_a_plan_that_does_not_hold_is_not_gone_on_with(folder):
    plan = stored(folder, "plan.json")
    plan["totals"]["planks"] += 1
    (folder / "plan.json").write_text(json.dumps(plan), encoding="utf-8")
    done = replan(folder, "--show")
    assert (done.returncode, done.stdout) == (3, b"")
    assert done.stderr.decode().startswith("error: the plan does not hold: ")
    assert "cutopt check" in done.stderr.decode()


def test_left_across_lays_more_rows_and_says_so_where_numbers_change(folder):
    done = replan(folder, "--laid", "4", "--left-across", "24", "--json", "new.json")
    assert done.returncode in {0, 1}
    widths = [row["width"] for row in stored(folder)["rows"]]
    assert [width / 8128 for width in widths] == [7, 7, 7, 7, 7, 7, 7, 3]


KILLED = """
import os, signal, sys
from pathlib import Path
steps = int(sys.argv.pop(1))
def die(*args, real=None, count=[0]):
    count[0] += 1
    if count[0] > steps:
        os.kill(os.getpid(), signal.SIGKILL)
    return real(*args)
from cutopt.cli import _output
real_beside, real_replace = _output._write_beside, Path.replace
_output._write_beside = lambda path, data: die(path, data, real=real_beside)
Path.replace = lambda self, target: die(self, target, real=real_replace)
from cutopt.cli.app import main
main()
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no way to kill here")
@pytest.mark.parametrize("steps", range(5))
def test_killed_at_any_step_of_writing_it_leaves_old_files_whole(folder, steps):
    (folder / "new.json").write_text("old plan", encoding="utf-8")
    (folder / "new.csv").write_text("old table", encoding="utf-8")
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            KILLED,
            str(steps),
            "replan",
            "plan.json",
            "--laid",
            "5",
            "--quiet",
            "--json",
            "new.json",
            "--csv",
            "new.csv",
        ],
        cwd=folder,
        capture_output=True,
        check=False,
        timeout=60,
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )
    assert done.returncode == (-signal.SIGKILL if steps < 4 else 0), done.stderr
    plan, table = ((folder / name).read_text(encoding="utf-8") for name in ("new.json", "new.csv"))
    assert plan == "old plan" or json.loads(plan)["format"] == "cutopt-plan"
    assert table == "old table" or table.startswith("row,") or "piece" in table.splitlines()[0]
    assert (plan == "old plan") == (steps < 3)


def test_stored_plans_of_every_kind_can_be_looked_at(tmp_path):
    for path in sorted(Path(PLANS).glob("*.json")):
        done = cutopt("replan", path, "--laid", "1", "--show", cwd=tmp_path)
        assert (done.returncode, done.stderr) == (0, b""), path
