"""The command line: in a process of its own where that matters, otherwise within this one, which is faster."""

import csv
import io
import json
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from command import cutopt as as_process
from inside import inside as cutopt

from cutopt.cli._watch import SearchWatch, watching

ROOT = Path(__file__).parents[1]
GOOD = ROOT / "tests" / "data" / "sheets" / "turned_and_singles" / "plan.json"
JOB = """title = "Slip house"
unit = "in"
[plank]
length = 48
width = 7
per_box = 8
ends = "handed"
kerf = "1/8"
[rules]
stagger = 6
min_piece = 6
h_joint = 0
stair_step = 0
gap = 0
[[room]]
name = "Tool room"
rows = [{ length = 100, count = 4 }]
"""


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    return tmp_path


NO_TIME = (
    "Usage: cutopt plan [OPTIONS] {{JOB}}\nTry 'cutopt plan --help' for help.\n\nError: Invalid value for "
    "'--time-limit': {} is no time to search; give seconds above zero, such as 10.\n"
)
BAD = {
    "no file": (
        ["plan", "nojob.toml"],
        3,
        'error: there is no such file - nojob.toml - did you mean "job.toml"?\n',
    ),
    "a folder": (["plan", "."], 3, "error: this is a folder - . - name the job file in it\n"),
    "not a plan": (
        ["check", "missing.json"],
        3,
        "error: there is no such plan file - missing.json - check the name and the folder\n",
    ),
    "no such folder": (
        ["plan", "job.toml", "--json", "no/plan.json"],
        2,
        "error: there is no such folder - --json no/plan.json - make it first, or choose another\n",
    ),
    "target is a folder": (
        ["plan", "job.toml", "--csv", "."],
        2,
        "error: this is a folder - --csv . - name a file in it\n",
    ),
    "one place for two": (
        ["plan", "job.toml", "--json", "out", "--csv", "./out"],
        2,
        "error: the same place as --json - --csv ./out - name another file\n",
    ),
    "both to stdout": (
        ["plan", "job.toml", "--json", "-", "--csv", "-"],
        2,
        "error: the same place as --json - --csv - - name another file\n",
    ),
    "over the job": (
        ["plan", "job.toml", "--json", "./job.toml"],
        2,
        "error: the same place as the file read - --json ./job.toml - name another file\n",
    ),
    "no time": (["plan", "job.toml", "--time-limit", "0"], 2, NO_TIME.format("0")),
    "endless time": (["plan", "job.toml", "--time-limit", "inf"], 2, NO_TIME.format("inf")),
    "new over a file": (
        ["new", "job.toml", "--yes"],
        2,
        "error: there is such a file already - job.toml - choose another name, or add --force\n",
    ),
}


@pytest.mark.parametrize(("args", "status", "stderr"), BAD.values(), ids=BAD)
def test_wrong_use_is_told_with_place_and_remedy_and_leaves_nothing(folder, args, status, stderr):
    before = sorted(folder.iterdir())
    done = cutopt(*args, cwd=folder)
    assert done.stderr.decode() == stderr
    assert (done.returncode, done.stdout) == (status, b"")
    assert sorted(folder.iterdir()) == before
    assert (folder / "job.toml").read_text(encoding="utf-8") == JOB


BAD_JOBS = {
    "not TOML": ("title = ", "this is not TOML"),
    "unknown key": (JOB + "colour = 3\n", "colour"),
    "not UTF-8": (b"title = '\xff'", "the file is not UTF-8 text"),
    "escapes": ('title = "\\u001b[31m"\n' + JOB.partition("\n")[2], "title"),
}


@pytest.mark.parametrize(("text", "says"), BAD_JOBS.values(), ids=BAD_JOBS)
def test_a_wrong_job_is_refused_without_a_traceback_or_a_raw_escape(folder, text, says):
    (folder / "job.toml").write_bytes(text if isinstance(text, bytes) else text.encode())
    done = cutopt("plan", "job.toml", "--json", "out.json", cwd=folder)
    lines = done.stderr.decode().splitlines()
    assert done.returncode == 3
    assert all(line.startswith("error: ") and line.count(" - ") >= 2 for line in lines)
    assert says in lines[0]
    assert "job.toml" in lines[0]
    assert b"\x1b" not in done.stderr
    assert not (folder / "out.json").exists()


def test_plan_writes_sheet_json_and_csv_that_agree_and_check_accepts(folder):
    done = cutopt("plan", "job.toml", "--json", "out.json", "--csv", "out.csv", cwd=folder)
    assert (done.returncode, done.stderr) == (0, b"")
    sheet = done.stdout.decode("ascii")
    plan = json.loads((folder / "out.json").read_text(encoding="utf-8"))
    table = list(csv.DictReader(io.StringIO((folder / "out.csv").read_text(encoding="utf-8"))))
    assert sheet.startswith("Slip house\n=")
    assert f"{plan['totals']['planks']} planks to open" in sheet
    assert [row["piece"] for row in table] == [piece["id"] for row in plan["rows"] for piece in row["pieces"]]
    assert sorted(path.name for path in folder.iterdir()) == ["job.toml", "out.csv", "out.json"]
    checked = cutopt("check", "out.json", cwd=folder)
    assert (checked.returncode, checked.stderr) == (0, b"")
    assert checked.stdout.decode().startswith("out.json: good - every rule is kept")


def test_json_to_stdout_is_the_file_and_nothing_else(folder):
    assert cutopt("plan", "job.toml", "--quiet", "--json", "out.json", cwd=folder).returncode == 0
    done = as_process("plan", "-", "--json", "-", cwd=folder, stdin=JOB)
    assert done.stdout == (folder / "out.json").read_bytes()


def test_a_job_from_stdin_that_is_not_utf_8_is_refused_by_its_line(folder):
    done = cutopt("plan", "-", cwd=folder, stdin=b'title = "Slip"\nunit = "\xff"\n')
    assert (done.returncode, done.stdout) == (3, b"")
    assert done.stderr.decode() == (
        "error: the file is not UTF-8 text - standard input: line 2 - save it as UTF-8 in the text editor\n"
    )


def test_quiet_is_one_line(folder):
    done = cutopt("plan", "job.toml", "--quiet", cwd=folder)
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.count(b"\n") == 1
    assert b"to order" in done.stdout


def test_a_plain_terminal_encoding_and_colour_wishes_change_nothing(folder):
    text = JOB.replace("Slip house", "Bootshaus Süd \N{SLIGHTLY SMILING FACE}")
    (folder / "job.toml").write_text(text, encoding="utf-8")
    plain = as_process("plan", "job.toml", cwd=folder, env={"PYTHONIOENCODING": "ascii", "FORCE_COLOR": "1"})
    assert (plain.returncode, plain.stderr) == (0, b"")
    assert plain.stdout.decode("ascii").startswith("Bootshaus S?d ?\n")
    assert b"\x1b" not in plain.stdout
    assert max(map(len, plain.stdout.decode("ascii").splitlines())) <= 80


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full here")
def test_a_full_disk_is_told_and_the_plan_still_printed(folder):
    done = cutopt("plan", "job.toml", "--json", "/dev/full", cwd=folder)
    assert done.returncode == 2
    assert done.stdout.startswith(b"Slip house\n")
    assert done.stderr == (
        b"error: cannot be written: No space left on device - --json /dev/full - choose another place\n"
    )


def test_a_file_written_over_keeps_its_rights_and_its_links(folder):
    (folder / "old.json").write_text("old", encoding="utf-8")
    (folder / "old.json").chmod(0o640)
    (folder / "link.json").symlink_to("old.json")
    assert cutopt("plan", "job.toml", "--quiet", "--json", "link.json", cwd=folder).returncode == 0
    assert (folder / "link.json").is_symlink()
    assert (folder / "old.json").stat().st_mode & 0o777 == 0o640
    assert json.loads((folder / "old.json").read_text(encoding="utf-8"))["format"] == "cutopt-plan"


def test_a_reader_who_stops_reading_is_no_error(folder):
    with subprocess.Popen(
        [sys.executable, "-c", "from cutopt.cli.app import main; main()", "check", GOOD],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        process.stdout.close()
        assert process.stderr.read() == b""
    assert process.returncode == 0


def test_check_finds_breaches_and_exits_1(folder):
    plan = json.loads(GOOD.read_text(encoding="utf-8"))
    plan["totals"]["planks"] += 1
    done = as_process("check", "-", cwd=folder, stdin=json.dumps(plan))
    assert (done.returncode, done.stderr) == (1, b"")
    assert done.stdout.decode().splitlines() == [
        "standard input: refused - 1 finding (8 runs, 8 planks, 2 boxes)",
        "  totals: the count of planks is wrong - found 8, wanted 7",
    ]


@pytest.mark.parametrize("text", ["", "{", "[]", '{"format": "cutopt-plan"}', "\ud800"])
def test_check_refuses_what_is_no_plan(folder, text):
    (folder / "x.json").write_bytes(text.encode("utf-8", "surrogatepass"))
    done = cutopt("check", "x.json", cwd=folder)
    assert (done.returncode, done.stdout) == (3, b"")
    assert all(line.startswith("error: ") for line in done.stderr.decode().splitlines())
    assert b"x.json" in done.stderr


def test_new_asks_again_after_a_bad_answer_and_plan_reads_the_file(folder):
    answers = "Slip house\n9\n2\nin\n-4\n48\n7\nmany\n8\nTool room\n100 in\n30 in\nn\n"
    done = cutopt("new", "made.toml", cwd=folder, stdin=answers)
    assert done.returncode == 0
    asked = done.stderr.decode()
    assert asked.count("How long is a plank?") == 2
    assert asked.count("How many planks are in a box?") == 2
    assert asked.count("What kind of plank is it?") == 2
    text = (folder / "made.toml").read_text(encoding="utf-8")
    assert 'kind = "click vinyl"' in text
    assert 'size = ["100 in", "30 in"]' in text
    assert cutopt("plan", "made.toml", "--quiet", cwd=folder).returncode == 0


def test_new_without_answers_writes_nothing(folder):
    done = as_process("new", "made.toml", cwd=folder, stdin="Slip house\n")
    assert done.returncode == 2
    assert done.stderr.decode().splitlines()[-1] == (
        "error: the answers ended before the last question - standard input - "
        "answer every question, or use --yes for the plain template"
    )
    assert not (folder / "made.toml").exists()


def test_new_with_yes_prints_or_writes_the_template(folder):
    printed = cutopt("new", "-", "--yes", cwd=folder)
    assert cutopt("new", "made.toml", "--yes", cwd=folder).returncode == 0
    assert printed.stdout == (folder / "made.toml").read_bytes()
    assert cutopt("new", "made.toml", "--yes", "--force", cwd=folder).returncode == 0


LOADED = "import sys, atexit; atexit.register(lambda: print(sorted(sys.modules), file=sys.stderr));"


@pytest.mark.parametrize(
    "args", [["--help"], ["--version"], ["check", str(GOOD)], ["new", "-", "--yes"]], ids=" ".join
)
def test_what_needs_no_solver_does_not_load_it(folder, args):
    code = f"{LOADED} from cutopt.cli.app import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", code, *args], cwd=folder, capture_output=True, check=True, timeout=60
    )
    loaded = {name.strip("'[]") for name in done.stderr.decode().split(", ")}
    assert "cutopt.cli.app" in loaded
    assert not loaded & {"ortools", "numpy", "shapely", "pandas", "rich.console", "cutopt.planner"}


def test_a_bug_of_ours_is_one_line_and_70(folder):
    code = "from cutopt.cli._errors import guarded; guarded(lambda: [][1])"
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=folder, capture_output=True, check=False, timeout=60
    )
    assert done.returncode == 70
    assert done.stderr.decode() == (
        "error: a bug of cutopt itself: IndexError: list index out of range - <string>:1 - "
        "please report this line together with the file you gave\n"
    )


def test_first_ctrl_c_is_a_wish_and_the_second_an_end():
    before = signal.getsignal(signal.SIGINT)
    with watching(10, quiet=True) as watch:
        assert not watch.stop()
        signal.raise_signal(signal.SIGINT)
        assert watch.stop()
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is before


def test_progress_tells_bound_best_and_time():
    shown = []
    watch = SearchWatch(shown.append, 10)
    watch.report(104, None, 0.4)
    watch.report(104, 106, 3.2)
    assert shown == [
        "no plan yet, at least 104 needed; 0 of 10 s (Ctrl-C ends with the best)",
        "106 planks so far, at least 104 needed; 3 of 10 s (Ctrl-C ends with the best)",
    ]
