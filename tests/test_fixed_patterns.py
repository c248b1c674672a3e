"""Fixed patterns: plans held to an exhaustive search, each rule alone, rounding, several rooms, the command."""

import json
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, assume, given, settings
from inside import inside as cutopt
from pattern_floors import fewest_planks, job_of, layings, pattern_jobs
from runs import run_of

from cutopt.check import check_plan
from cutopt.errors import RulesClashError
from cutopt.model.job import Ends, Lay, Pattern, ShareOffcuts
from cutopt.numbering import number
from cutopt.planner import Limits, plan_cuts

STEADY = settings(
    derandomize=True,
    deadline=None,
    max_examples=120,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
MM = 320
INCH = 8128
SIXTEENTH = 508


def cutting_of(job, *, seed=0):
    return plan_cuts(job.floor, job.plank, job.rules, Limits(seconds=60, seed=seed))


def planned(job):
    """A plan that the independent check finds nothing wrong with."""
    plan = number(job.floor, cutting_of(job), job.job(), 0)
    assert check_plan(plan) == ()
    return plan


def clash_of(job):
    with pytest.raises(RulesClashError) as clash:
        cutting_of(job)
    return str(clash.value)


def rows_of(length, count, pattern, **rules):
    return job_of([run_of(line, length) for line in range(1, count + 1)], pattern, **rules)


def first_joints(plan):
    return [laid.run.offset + (laid.pieces[0].length if len(laid.pieces) > 1 else 0) for laid in plan.rows]


# Against an exhaustive search


@STEADY
@given(pattern_jobs())
def test_plans_and_bounds_agree_with_trying_everything(job):
    assume(layings(job) <= 2500)
    fewest, rounded_alike = fewest_planks(job)
    if fewest is None:
        assert clash_of(job)
        return
    plan = planned(job)
    assert plan.bound.planks <= fewest <= plan.totals.planks
    assert rounded_alike is None or plan.totals.planks <= rounded_alike


# Each rule alone: the tightest floor that can be laid, and the same with one tick more asked


def test_min_piece_at_its_limit():
    # Starters a and a + 6 leave 8 - a and 2 - a of rows of 20, round the plank of 12: 4 is the best of the least.
    plan = planned(rows_of(20 * MM, 4, Pattern.HALF, plank=12 * MM, min_piece=4 * MM))
    assert {laid.pieces[0].length for laid in plan.rows} == {4 * MM, 10 * MM}


def test_min_piece_a_tick_over_its_limit_tells_what_can_be_kept():
    job = rows_of(20 * MM, 4, Pattern.HALF, plank=12 * MM, min_piece=4 * MM + 1, cut_step=MM)
    assert clash_of(job) == (
        "wherever the half pattern starts, a starter or end piece is under the min piece, ~4 mm - "
        'room "Loft": rules.min_piece - lower it to 4 mm, or use pattern = "random"'
    )
    assert planned(replace(job, rules=replace(job.rules, min_piece=4 * MM)))


@pytest.mark.parametrize("pattern", [Pattern.HALF, Pattern.THIRD])
def test_stagger_up_to_the_offset_can_be_kept(pattern):
    parts = {Pattern.HALF: 2, Pattern.THIRD: 3}[pattern]
    assert planned(rows_of(100, 5, pattern, plank=24, stagger=24 // parts))


def test_stagger_that_rounding_to_the_cut_step_spoils():
    # A third of 1000 mm is 333-1/3 mm: of three rows that follow, two are at most 333 mm apart.
    job = rows_of(2750 * MM, 6, Pattern.THIRD, plank=1000 * MM, stagger=333 * MM, cut_step=MM)
    assert planned(job)
    job = replace(job, rules=replace(job.rules, stagger=333 * MM + 1))
    assert clash_of(job) == (
        "the third pattern sets rows off by ~333 mm, and with joints rounded to the cut step no start keeps "
        'the stagger, ~333 mm - room "Loft": rules.stagger - lower it to 333 mm'
    )


def test_stagger_over_the_offset_is_a_clash():
    assert "rules.stagger" in clash_of(rows_of(100, 3, Pattern.HALF, plank=24, stagger=13))


def test_every_room_that_cannot_be_laid_is_told():
    runs = [run_of(line, 20, room=room, row=row) for row, (room, line) in enumerate(ROOMS_OF_TWO, 1)]
    assert clash_of(job_of(runs, Pattern.HALF, plank=12, min_piece=5)).count("rules.min_piece") == 2


ROOMS_OF_TWO = [("Loft", 1), ("Loft", 2), ("Bay", 1), ("Bay", 2)]


def test_a_slant_takes_from_the_piece_at_it():
    # Starters 4 and 10, end pieces 10 and 4 as above; a slant of one on the left leaves 3 of the shorter.
    runs = [run_of(line, 20, slants=(1, 0)) for line in (1, 2, 3, 4)]
    assert planned(job_of(runs, Pattern.HALF, plank=12, min_piece=3))
    assert clash_of(job_of(runs, Pattern.HALF, plank=12, min_piece=4))


def test_the_min_piece_told_is_measured_on_the_shorter_long_edge():
    # The best start is 4-1/2 and 10-1/2: its starter, less the slant, and its end piece are 3-1/2.
    runs = [run_of(line, 20 * MM, slants=(MM, 0)) for line in (1, 2, 3, 4)]
    job = job_of(runs, Pattern.HALF, plank=12 * MM, min_piece=4 * MM, cut_step=MM // 4)
    assert "lower it to 3.5 mm" in clash_of(job)
    assert planned(replace(job, rules=replace(job.rules, min_piece=7 * MM // 2)))


@pytest.mark.parametrize(
    ("lengths", "planks"),
    [((25, 18, 22), 7), ((14, 22, 18), 6)],  # the first only to the right, the second only to the left
)
def test_thirds_may_be_set_off_either_way(lengths, planks):
    runs = [run_of(line, length) for line, length in enumerate(lengths, 1)]
    assert planned(job_of(runs, Pattern.THIRD, plank=12, min_piece=4)).totals.planks == planks


def test_runs_within_a_plank_need_no_joint():
    plan = planned(rows_of(11, 4, Pattern.THIRD, plank=12, min_piece=12))
    assert [len(laid.pieces) for laid in plan.rows] == [1, 1, 1, 1]


def test_a_run_within_a_plank_is_split_on_the_pattern_where_that_saves_a_plank():
    # Whole, rows of 8 and planks of 12 take a plank each; split at 4 and 4 two of them share one.
    plan = planned(rows_of(8, 3, Pattern.HALF, plank=12, min_piece=2, max_waiting=None))
    assert plan.totals.planks == fewest_planks(rows_of(8, 3, Pattern.HALF, plank=12, min_piece=2))[1] == 2


# Rounding: balanced, and one for the whole field


@pytest.mark.parametrize(
    ("pattern", "plank", "step"),
    [
        (Pattern.THIRD, 1000 * MM, MM),  # a third is 333-1/3 steps
        (Pattern.THIRD, 1220 * MM, MM),  # 406-2/3
        (Pattern.HALF, 1285 * MM, MM),  # half is 642-1/2
        (Pattern.THIRD, 48 * INCH + 25 * SIXTEENTH // 2, SIXTEENTH),  # the plank itself is off the step
    ],
)
def test_rows_stay_within_a_step_of_their_share(pattern, plank, step):
    parts = {Pattern.HALF: 2, Pattern.THIRD: 3}[pattern]
    plan = planned(
        rows_of(3 * plank + 77 * step, 12, pattern, plank=plank, min_piece=50 * step, cut_step=step)
    )
    joints = first_joints(plan)
    shifts = {(after - before) % plank for before, after in pairwise(joints)}
    wanted = {plank // parts, plank - plank // parts}
    assert any(all(abs(shift - share) <= step for shift in shifts) for share in wanted)
    # No drift: as many rows on as there are parts, a row starts as before.
    assert all(joints[nth] == joints[nth + parts] for nth in range(len(joints) - parts))


def test_runs_of_one_row_lie_on_one_phase():
    runs = [
        run_of(line, length, offset=offset, nth=nth)
        for line in range(1, 5)
        for nth, offset, length in ((1, 0, 2000), (2, 2500, 3100))
    ]
    plan = planned(job_of(runs, Pattern.HALF, plank=1200))
    by_line = {}
    for laid, joint in zip(plan.rows, first_joints(plan), strict=True):
        by_line.setdefault(laid.run.line, set()).add(joint % 1200)
    assert [len(phases) for phases in by_line.values()] == [1, 1, 1, 1]
    assert by_line[1] == by_line[3] != by_line[2] == by_line[4]


# Rooms, waiting, seeds


@pytest.mark.parametrize("waiting", [1, None])
def test_rooms_share_planks_unless_offcuts_stay_in_their_room(waiting):
    # A row of 17 is a plank and 5, and the other 7 of that plank are a row of their own next door.
    runs = [run_of(1, 17), run_of(1, 7, room="Bay", row=2)]
    job = job_of(runs, Pattern.HALF, plank=12, min_piece=5, max_waiting=waiting)
    assert planned(job).totals.planks == 2 == fewest_planks(job)[1]
    apart = replace(job, rules=replace(job.rules, share_offcuts=ShareOffcuts.ROOM))
    assert planned(apart).totals.planks == 3


@pytest.mark.parametrize("waiting", [0, 1, 2, None])
def test_no_more_planks_wait_than_may(waiting):
    runs = [run_of(line, 40 + 7 * (line % 5)) for line in range(1, 16)]
    plan = planned(job_of(runs, Pattern.THIRD, plank=24, kerf=1, max_waiting=waiting))
    assert waiting is None or plan.totals.peak_waiting <= waiting


def test_as_few_planks_wait_as_another_search_finds():
    assert planned(rows_of(57, 12, Pattern.THIRD, plank=24, kerf=1)).totals.peak_waiting == 1


@pytest.mark.parametrize("ends", list(Ends))
def test_the_floor_in_a_mirror_takes_as_many_planks(ends):
    runs = [run_of(line, 30 + 3 * (line % 3), offset=line % 2, slants=(0, line % 2)) for line in range(1, 9)]
    there = job_of(runs, Pattern.THIRD, plank=12, ends=ends, kerf=1)
    mirrored = [
        replace(run, offset=-run.right, left_slant=run.right_slant, right_slant=run.left_slant)
        for run in runs
    ]
    back = job_of(mirrored, Pattern.THIRD, plank=12, ends=ends, kerf=1, lay=Lay.RIGHT_TO_LEFT)
    assert planned(there).totals.planks == planned(back).totals.planks


def test_the_same_seed_gives_the_same_plan():
    runs = [run_of(line, 40 + 7 * (line % 5)) for line in range(1, 9)]
    job = job_of(runs, Pattern.HALF, plank=24, kerf=1)
    assert cutting_of(job, seed=3) == cutting_of(job, seed=3)


def test_a_thousand_rows():
    job = rows_of(
        4321 * MM, 1000, Pattern.THIRD, plank=1220 * MM, min_piece=200 * MM, kerf=3 * MM, cut_step=MM
    )
    plan = planned(job)
    assert plan.bound.proven


# The command


JOBS = {
    "inch, half, click": """
unit = "in"
[plank]
kind = "click vinyl"
length = 48
width = 7
per_box = 10
[rules]
pattern = "half"
[[room]]
name = "Net store"
size = ["11' 8\\"", "13' 4\\""]
""",
    "mm, third, square, kerf": """
unit = "mm"
[plank]
kind = "glue-down vinyl"
length = 1219
width = 180
per_box = 12
kerf = 2
[rules]
pattern = "third"
fit = 1
[[room]]
name = "Net store"
size = [4310, 3075]
""",
    "jogs, from the right": """
unit = "in"
[plank]
kind = "laminate"
length = 54
width = 8
per_box = 8
kerf = "1/8"
[rules]
pattern = "third"
lay = "right-to-left"
min_piece = 6
[[room]]
name = "Chart room"
rows = [
  { length = 160, count = 5 },
  { length = 132.25, offset = 27.75, count = 4 },
  { runs = [ { offset = 0, length = 51 }, { offset = 70, length = 90 } ], count = 3 },
]
""",
    "two rooms and a slant": """
unit = "in"
[plank]
kind = "click vinyl"
length = 47.84
width = 7
per_box = 10
[rules]
pattern = "half"
min_piece = 3
stagger = 8
[[room]]
name = "Bay"
outline = [[0, 0], [149, 0], [149, 60], [140, 96], [0, 96]]
[[room]]
name = "Hall"
size = ["3' 9\\"", "14' 1\\""]
""",
}


@pytest.mark.parametrize("name", JOBS)
def test_plan_and_check_from_the_command_line(name, tmp_path):
    (tmp_path / "job.toml").write_text(f'title = "Slip house"{JOBS[name]}', encoding="utf-8")
    done = cutopt("plan", "job.toml", "--json", "plan.json", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, b"")
    checked = cutopt("check", "plan.json", cwd=tmp_path)
    assert (checked.returncode, checked.stderr) == (0, b"")
    plan = json.loads((tmp_path / "plan.json").read_text(encoding="utf-8"))
    assert plan["rules"]["pattern"] in {"half", "third"}
    open_planks = plan["totals"]["planks"] - plan["bound"]["planks"]
    assert open_planks <= {"jogs, from the right": 1, "two rooms and a slant": 6}.get(name, 0)


def test_the_command_line_says_what_would_help(tmp_path):
    text = JOBS["inch, half, click"].replace('pattern = "half"', 'pattern = "half"\nmin_piece = 22')
    (tmp_path / "job.toml").write_text(f'title = "Slip house"{text}', encoding="utf-8")
    done = cutopt("plan", "job.toml", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (1, b"")
    assert done.stderr.decode() == (
        'error: wherever the half pattern starts, a starter or end piece is under the min piece, 22" - '
        'room "Net store": rules.min_piece - lower it to 21-3/4", or use pattern = "random"\n'
        "error: no plan keeps these rules - change one that may be changed, or add --best-effort for a plan "
        "that breaks them least\n"
    )
