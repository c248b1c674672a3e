"""``cutopt estimate`` as a person uses it: figures, several jobs, studies, tables, portfolios, and every file."""

import csv
import io
from pathlib import Path
from subprocess import CompletedProcess

import openpyxl
import pypdfium2
import pytest
from inside import inside

from cutopt.jobfile import read_job

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "examples"
LANDING = str(EXAMPLES / "landing.toml")
LAKE_BAY = str(EXAMPLES / "lake-bay.toml")
PORTFOLIO = """title = "Row"
boxes = "building"
[[type]]
name = "A/1"
job = "a.toml"
[[type]]
name = "=B"
job = "missing.toml"
[[building]]
name = "North"
[[building.floor]]
name = "1"
units = { "A/1" = 3, "=B" = 1 }
"""


def cutopt(*arguments):
    done = inside(*arguments, cwd=ROOT)
    return CompletedProcess(done.args, done.returncode, done.stdout.decode(), done.stderr.decode())


def estimate(*arguments, expect=0):
    done = cutopt("estimate", "--workers", "1", *map(str, arguments))
    assert done.returncode == expect, done.stderr
    assert all(len(line) <= 80 for line in done.stdout.splitlines()), max(done.stdout.splitlines(), key=len)
    assert done.stdout.isascii()
    return done


@pytest.fixture
def priced(tmp_path):
    text = Path(LANDING).read_text(encoding="utf-8").replace("per_box = 8", "per_box = 8\nbox_price = 50")
    file = tmp_path / "a.toml"
    file.write_text(
        text + '[price]\ntax = "10%"\nreturn_fee = 5\ntrip = 40\n[risk]\ndamage = "4%"\n', "utf-8"
    )
    return file


def test_one_job_is_told_whole(priced):
    told = estimate(priced, "--searches", "0").stdout
    assert "2 boxes to order; waste factor 18.9 % as bought, 4.0 % as laid" in told
    assert "2 x 50.00 = 100.00" in told
    assert "10 % = 10.00" in told
    for heading in ("FIGURE", "BESIDE THE HABIT", "WHERE IT GOES", "BEFORE ANOTHER BOX", "HOW SURE"):
        assert f"\n{heading}\n" in told
    assert "good up to" in told
    assert "Exact: culls and damage strike each plank by itself" in told


def test_the_same_again_gives_the_same(priced, tmp_path):
    files = [tmp_path / name for name in ("1.csv", "2.csv")]
    first, second = (
        estimate(priced, "--searches", "0", "--no-margins", "--vary", "stagger=4,8", "--csv", file).stdout
        for file in files
    )
    assert first == second
    assert files[0].read_bytes() == files[1].read_bytes()


def test_processes_and_a_store_change_nothing(priced, tmp_path):
    arguments = (priced, "--searches", "0", "--no-margins", "--vary", "stagger=4,6,8,10")
    alone = estimate(*arguments).stdout
    kept = ("--store", str(tmp_path / "store"))
    for _ in range(2):
        done = cutopt("estimate", "--workers", "2", *map(str, arguments), *kept)
        assert done.stdout == alone
    assert any((tmp_path / "store").iterdir())


def test_several_jobs_are_a_table_and_what_is_ordered_together():
    told = estimate(LANDING, LAKE_BAY, LANDING, "--searches", "0").stdout
    assert told.startswith("JOBS\n")
    # 14 + 14 planks and 2 + 2 spare: 4 boxes of 8, as two boxes each are
    told = " ".join(told.split())
    assert "4 boxes for 2 jobs (28 planks to lay, 4 spare)" in told
    assert "3 boxes for 1 job (48 planks to lay, 1 cull expected at 2 %, 5 spare)" in told


def test_what_is_ordered_together_is_a_table_of_its_own(tmp_path):
    estimate(LANDING, LAKE_BAY, LANDING, "--searches", "0", "--csv", tmp_path / "o.csv")
    apart, together = (
        list(csv.DictReader(io.StringIO((tmp_path / name).read_text(encoding="utf-8"))))
        for name in ("o.csv", "o-ordered-together.csv")
    )
    assert [row["boxes"] for row in apart] == ["2", "3", "2"]
    assert [(row["jobs"], row["boxes"]) for row in together] == [("2", "4"), ("1", "3")]


def test_one_bad_job_stops_no_other(tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text('title = "bad"\nunit = "in"\n', "utf-8")
    done = cutopt("estimate", str(bad), LANDING, str(tmp_path / "none.toml"), "--quiet")
    assert done.returncode == 3
    assert "Larkmere boathouse: landing: 2 boxes" in done.stdout
    errors = done.stderr.splitlines()
    assert any("bad.toml" in line for line in errors)
    assert any("none.toml" in line for line in errors)
    assert all(line.startswith("error: ") for line in errors)


def test_a_job_whose_rules_clash_is_told_with_its_status(tmp_path):
    text = Path(LANDING).read_text(encoding="utf-8").replace("stagger = 8", "stagger = 30")
    job = tmp_path / "clash.toml"
    job.write_text(text, "utf-8")
    done = cutopt("estimate", str(job), "--no-margins")
    assert done.returncode == 1
    assert 'stagger 30" cannot be kept' in done.stderr


def test_a_study_marks_the_best_and_tells_what_cannot_be_planned(priced):
    told = estimate(
        priced, "--no-margins", "--vary", "stagger=4,30", "--vary", "kerf=1/8", "--searches", "0"
    ).stdout
    told_row = next(line for line in told.splitlines() if line.startswith("  as told "))
    assert "*" in told_row
    assert "1 choice could not be planned:" in told
    assert '- stagger 30": the rules cannot all be met' in " ".join(told.split())


def test_all_files_are_written_and_hold_the_same_figures(priced, tmp_path):
    names = {kind: tmp_path / f"out.{kind}" for kind in ("csv", "xlsx", "svg", "pdf")}
    options = [part for kind, file in names.items() for part in (f"--{kind}", file)]
    estimate(priced, "--searches", "0", "--no-margins", "--vary", "stagger=4,8", *options)
    order = next(csv.DictReader(io.StringIO(names["csv"].read_text(encoding="utf-8"))))
    assert (order["planks"], order["boxes"], order["total"]) == ("14", "2", "110.00")
    losses = list(csv.DictReader(io.StringIO((tmp_path / "out-losses.csv").read_text(encoding="utf-8"))))
    parts = [float(row["area"]) for row in losses if row["part"] != "bought"]
    assert sum(parts) == pytest.approx(float(losses[-1]["area"]), abs=1e-5)
    book = openpyxl.load_workbook(names["xlsx"])
    assert book.sheetnames == ["order", "losses", "risk", "study"]
    sheet = book["order"]
    cells = dict(zip((cell.value for cell in sheet[1]), (cell.value for cell in sheet[2]), strict=True))
    assert (cells["planks"], cells["boxes"], cells["total"]) == (14, 2, 110)
    assert "<svg" in names["svg"].read_text(encoding="utf-8")
    page = pypdfium2.PdfDocument(names["pdf"])
    assert len(page) == 1
    assert "2 boxes for 31.41 sq ft of floor - 110.00 with tax" in page[0].get_textpage().get_text_range()


def test_a_table_of_rooms(priced):
    text = priced.read_text(encoding="utf-8")
    priced.write_text(
        text + '[waste_table]\nalong = ["6 ft", "8 ft", "1 ft"]\nacross = ["4 ft", "6 ft", "2 ft"]\n', "utf-8"
    )
    told = estimate(priced, "--table", "--no-margins", "--searches", "0").stdout
    head = next(line for line in told.splitlines() if line.startswith("  rectangle"))
    assert head.split() == ["rectangle", '72"', '84"', '96"']
    assert "10 % on top: short in" in told


def test_a_portfolio_is_summed_and_its_sheets_are_written(priced, tmp_path):
    assert priced.name == "a.toml", "as the portfolio calls it"
    file = tmp_path / "row.toml"
    file.write_text(PORTFOLIO, "utf-8")
    sheets = tmp_path / "sheets"
    done = cutopt(
        "estimate", "--portfolio", str(file), "--sheets", str(sheets), "--csv", str(tmp_path / "p.csv")
    )
    assert done.returncode == 3
    assert "missing.toml" in done.stderr
    # 3 x 14 planks and 3 x 2 spare: 6 boxes of 8
    assert "6 boxes to order for 4 units, 330.00" in done.stdout
    assert "Left out of all sums, for it could not be planned: =B." in done.stdout
    assert [one.name for one in sheets.iterdir()] == ["A-1.txt"]
    assert "CUT SHEET" in (sheets / "A-1.txt").read_text(encoding="utf-8")
    rows = list(csv.reader(io.StringIO((tmp_path / "p-types.csv").read_text(encoding="utf-8"))))
    assert rows[2][0] == "'=B"


REFUSED = {
    "nothing": ((), "error: nothing to estimate - name a job file, several, or a --portfolio\n"),
    "both": (
        (LANDING, "--portfolio", "p.toml"),
        "error: a portfolio names its jobs itself - --portfolio with JOB - leave one of the two out\n",
    ),
    "page of two": (
        (LANDING, LAKE_BAY, "--pdf", "-"),
        "error: the client's page is for one job - --pdf - name one job file, and write a page for each\n",
    ),
    "sheets of none": (
        (LANDING, "--sheets", "x"),
        "error: sheets of all types are written for a portfolio - --sheets - use cutopt plan JOB for one job\n",
    ),
    "over the job": (
        (LANDING, "--csv", LANDING),
        f"error: the same place as the file read - --csv {LANDING} - name another file\n",
    ),
}


@pytest.mark.parametrize("case", REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_is_refused_at_once(case):
    arguments, error = case
    done = cutopt("estimate", *arguments)
    assert (done.returncode, done.stderr, done.stdout) == (2, error, "")


def test_an_unknown_thing_to_vary_is_told(priced):
    done = cutopt("estimate", str(priced), "--vary", "stager=4")
    assert done.returncode == 3
    assert 'did you mean "stagger"?' in done.stderr


def test_the_example_of_a_portfolio_is_worked_out():
    told = estimate("--portfolio", EXAMPLES / "estimate" / "quay-row.toml", "--searches", "0").stdout
    assert "boxes to order for 9 units" in told
    assert "spring (lot 1)" in told


def test_the_example_of_an_estimate_can_be_read_with_its_catalogue():
    job = read_job(EXAMPLES / "estimate" / "studio.toml")
    assert [one.name for one in job.catalogue] == [
        "Slate grey 7 x 48",
        "Slate grey 9 x 60",
        "Driftwood 6 x 36",
    ]


def test_nothing_that_is_read_is_written_over(priced, tmp_path):
    catalogue = tmp_path / "planks.csv"
    catalogue.write_text("name,length,width,per_box\nother,36,6,10\n", "utf-8")
    priced.write_text(priced.read_text("utf-8") + '[study]\nplanks = "planks.csv"\n', "utf-8")
    row = tmp_path / "row.toml"
    row.write_text(PORTFOLIO, "utf-8")
    before = {file: file.read_bytes() for file in (catalogue, priced, row)}
    for arguments in (
        (priced, "--study", "--csv", catalogue),
        ("--portfolio", row, "--csv", priced),
        (priced, "--planks", catalogue, "--svg", tmp_path / "planks.csv"),
    ):
        done = cutopt("estimate", "--no-margins", "--searches", "0", *map(str, arguments))
        assert done.returncode == 2
        assert "the same place as the file read" in done.stderr
    derived = tmp_path / "y-study.csv"
    derived.write_bytes(catalogue.read_bytes())
    done = cutopt(
        "estimate", str(priced), "--planks", str(derived), "--csv", str(tmp_path / "y.csv"), "--no-margins"
    )
    assert done.returncode == 2
    assert derived.read_bytes() == before[catalogue]
    assert {file: file.read_bytes() for file in before} == before


def test_a_job_that_fails_leaves_older_files_alone(tmp_path):
    job, table = tmp_path / "bad.toml", tmp_path / "a.csv"
    job.write_text('title = "bad"\nunit = "in"\n', "utf-8")
    table.write_text("good\n", "utf-8")
    done = cutopt("estimate", str(job), "--csv", str(table), "--quiet")
    assert (done.returncode, done.stdout, table.read_text("utf-8")) == (3, "", "good\n")


def test_an_order_that_is_hardly_enough_is_told(priced):
    text = priced.read_text("utf-8").replace('damage = "4%"', 'damage = "20%"')
    priced.write_text(text, "utf-8")
    told = " ".join(estimate(priced, "--no-margins", "--searches", "0").stdout.split())
    assert (
        "!! 2 boxes are enough with a chance of only 35.18 %: order 3 to be sure in 95 of 100 cases." in told
    )


def test_a_plan_that_the_clock_ends_is_told_and_not_kept(tmp_path):
    job, store = EXAMPLES / "reading-room.toml", tmp_path / "store"
    arguments = ("--no-margins", "--searches", "1000", "--time-limit", "0.6", "--quiet", "--store", store)
    told = cutopt("estimate", "--workers", "1", str(job), *map(str, arguments)).stdout
    assert "!! 1 plan was ended by the clock" in told
    assert not [file for file in store.rglob("*") if file.is_file()]


def test_another_price_plans_nothing_anew(priced, tmp_path):
    store = tmp_path / "store"
    arguments = (priced, "--no-margins", "--searches", "0", "--quiet", "--store", store)
    assert "110.00" in cutopt("estimate", *map(str, arguments)).stdout
    kept = sorted(store.rglob("*"))
    priced.write_text(priced.read_text("utf-8").replace('tax = "10%"', 'tax = "20%"'), "utf-8")
    assert "120.00" in cutopt("estimate", *map(str, arguments)).stdout
    assert sorted(store.rglob("*")) == kept
