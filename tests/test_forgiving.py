"""The most forgiving plan of the fewest planks."""

from pathlib import Path

import pytest
from inside import inside as cutopt
from job_texts import SHORT

from cutopt.check import check_plan
from cutopt.jobfile import parse_job, read_job
from cutopt.model.tolerance import common_tolerance
from cutopt.pipeline import _forgiving, plan_forgiving, plan_job
from cutopt.planner import Limits
from cutopt.planner.limits import Unwatched
from cutopt.tolerance import tolerances

INCH = 8128
EXAMPLES = Path(__file__).parents[1] / "examples"
JOBS = {
    "one room": "rows = [{ length = 100, count = 5 }]",
    "rows of any length": "rows = ["
    + ", ".join(f"{{ length = {along} }}" for along in (71, 83.5, 95, 66.25, 120.5, 88))
    + "]",
    "single pieces": "rows = [{ length = 30, count = 3 }, { length = 14, count = 4 }]",
}


def job_of(rows, min_piece=6, **rules):
    more = "\n".join(f"{key} = {value}" for key, value in rules.items())
    return parse_job(
        f"""unit = "in"
[plank]
length = 48
width = 7
per_box = 8
ends = "handed"
kerf = "1/8"
[rules]
stagger = 6
min_piece = {min_piece}
h_joint = 0
stair_step = 0
gap = 0
{more}
[[room]]
name = "Net loft"
{rows}
""".encode(),
        "job",
    )


@pytest.fixture(autouse=True)
def few_tries(monkeypatch):
    monkeypatch.setattr(_forgiving, "_MOST", 4)


def least(plan):
    return sorted(one.least for one in tolerances(plan))


@pytest.mark.parametrize("rows", JOBS.values(), ids=JOBS)
@pytest.mark.parametrize(
    "rules", [{}, {"lay": '"right-to-left"', "fit": '"1/16"'}], ids=["usual", "mirrored"]
)
def test_as_few_planks_and_no_less_tolerance(rows, rules):
    job, limits = job_of(rows, **rules), Limits(seconds=30, searches=1)
    usual, forgiving = (plan(job, limits, Unwatched()).plan for plan in (plan_job, plan_forgiving))
    assert check_plan(forgiving) == ()
    assert forgiving.totals.planks <= usual.totals.planks
    assert (forgiving.rules, forgiving.plank, forgiving.bound.planks) == (
        usual.rules,
        usual.plank,
        usual.bound.planks,
    )
    assert least(forgiving) >= least(usual)


def test_it_does_find_more():
    job, limits = read_job(EXAMPLES / "landing.toml"), Limits(seconds=30, searches=1)
    usual, forgiving = (plan(job, limits, Unwatched()) for plan in (plan_job, plan_forgiving))
    before, after = (common_tolerance(tolerances(one.plan)) for one in (usual, forgiving))
    assert after > before
    assert after >= INCH // 16
    assert forgiving.plan.totals.planks == usual.plan.totals.planks


@pytest.mark.parametrize("rows", JOBS.values(), ids=JOBS)
@pytest.mark.parametrize("lay", ["left-to-right", "right-to-left"])
def test_a_plan_made_for_longer_walls_allows_them_all_that_much(rows, lay):
    limits = Limits(seconds=30, searches=1)
    found = plan_job(job_of(rows, lay=f'"{lay}"'), limits, Unwatched())
    good = []
    for amount in (1, INCH // 16, INCH // 4, INCH):
        plan = _forgiving._roomier(found, amount, found.plan.totals.planks + 1, limits, Unwatched())
        if plan is not None:
            good.append(amount)
            assert common_tolerance(tolerances(plan)) >= amount
            assert [row.run for row in plan.rows] == [row.run for row in found.plan.rows]
    assert good


def test_without_time_the_plan_is_the_usual_one(monkeypatch):
    monkeypatch.setattr(_forgiving, "_SHORTEST", 1000)
    job, limits = job_of(JOBS["one room"]), Limits(seconds=30, searches=1)
    assert plan_forgiving(job, limits, Unwatched()) == plan_job(job, limits, Unwatched())


def test_a_plan_that_breaks_rules_is_left_as_it_is():
    # Rows of 60 in planks of 48: starters from 30 to 30, all joints in one line.
    job, limits = (
        job_of("rows = [{ length = 60, count = 3 }]", min_piece=30),
        Limits(seconds=30, best_effort=True),
    )
    forgiving = plan_forgiving(job, limits, Unwatched())
    assert forgiving.breaches
    assert forgiving == plan_job(job, limits, Unwatched())


class Hasty(Unwatched):
    """Stops everything once there is a plan."""

    def __init__(self):
        self.satisfied = False

    def report(self, bound, best, seconds):  # noqa: ARG002 - what a watch is told
        self.satisfied = self.satisfied or best is not None

    def stop(self):
        return self.satisfied


def test_someone_who_stops_it_gets_what_there_is():
    job, limits = job_of(JOBS["rows of any length"]), Limits(seconds=30)
    assert plan_forgiving(job, limits, Hasty()) == plan_job(job, limits, Hasty())


def test_from_the_command_line(tmp_path):
    (tmp_path / "job.toml").write_text(SHORT, encoding="utf-8")
    usual, forgiving = (
        cutopt("plan", "job.toml", "--quiet", "--searches", "1", *more, cwd=tmp_path)
        for more in ([], ["--forgiving"])
    )
    assert (forgiving.returncode, forgiving.stderr, forgiving.stdout) == (0, b"", usual.stdout)
