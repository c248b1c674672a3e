"""Plans judged so that one learns from it: planted breaches told, mended, drawn; good plans free of any."""

import json
from dataclasses import replace
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from inside import inside

from cutopt.check import check_plan
from cutopt.pipeline import against_best, judge
from cutopt.planfile import read_plan, write_plan
from cutopt.planner import Limits, Unwatched
from cutopt.units import TICKS_PER_INCH

ROOT = Path(__file__).parents[1]
PLANS = sorted((ROOT / "tests" / "data" / "sheets").glob("*/plan.json"))
JOINTS = {"stagger", "H-joint", "stair-step", "minimum piece"}


def cutopt(*arguments, stdin=""):
    done = inside(*arguments, cwd=ROOT, stdin=stdin)
    return CompletedProcess(done.args, done.returncode, done.stdout.decode(), done.stderr.decode())


def spoiled(plan, nth, shift):
    """Return a plan with one row's joints moved; its pieces still fill it."""
    laid = plan.rows[nth]
    first, *middle, last = laid.pieces
    pieces = (replace(first, length=first.length + shift), *middle, replace(last, length=last.length - shift))
    return replace(plan, rows=(*plan.rows[:nth], replace(laid, pieces=pieces), *plan.rows[nth + 1 :]))


def joint_findings(plan):
    return [one for one in check_plan(plan) if one.rule in JOINTS]


def movable(plan):
    """Return the first row that can be moved by so much that only rules on joints and short pieces tell of it."""
    step = plan.rules.cut_step or TICKS_PER_INCH // 16
    for nth, laid in enumerate(plan.rows):
        if len(laid.pieces) > 2:
            for shift in (step * k for k in range(16, 400, 8)):
                if shift < laid.pieces[-1].length and joint_findings(spoiled(plan, nth, shift)):
                    return spoiled(plan, nth, shift)
    return None


@pytest.mark.parametrize("file", PLANS, ids=[file.parent.name for file in PLANS])
def test_a_stored_plan_is_judged_as_the_check_does(file):
    plan = read_plan(file)
    judged = judge(plan)
    must = [one for one in judged.breaches if one.must]
    assert len(must) == len(check_plan(plan))
    assert judged.kept == (not check_plan(plan))
    assert [one.number for one in judged.breaches] == list(range(1, len(judged.breaches) + 1))


def test_a_planted_breach_is_told_with_a_mend_that_passes():
    tried = 0
    for file in PLANS:
        bad = movable(read_plan(file)) if not check_plan(read_plan(file)) else None
        if bad is None:
            continue
        tried += 1
        judged = judge(bad)
        before = joint_findings(bad)
        assert {one.rule for one in judged.breaches if one.must} >= {one.rule.value for one in before}
        for one in judged.breaches:
            if one.rule in JOINTS and one.mend is not None:
                after = joint_findings(one.mend.plan)
                assert len(after) < len(before)
                assert {(each.fault, each.rows) for each in after} <= {
                    (each.fault, each.rows) for each in before
                }
        assert any(one.mend for one in judged.breaches)
    assert tried > 2


def test_what_is_untold_is_not_judged():
    bad = next(filter(None, (movable(read_plan(file)) for file in PLANS)))
    rule = joint_findings(bad)[0].rule.value
    judged = judge(bad, {rule: "the plank's length"})
    assert rule not in {one.rule for one in judged.breaches}
    assert next(one for one in judged.verdicts if one.rule == rule).untold == "the plank's length"


def test_beside_a_plan_proven_fewest_the_best_is_as_many():
    proven = [plan for plan in map(read_plan, PLANS) if plan.bound.proven and not check_plan(plan)]
    plan = min(proven, key=lambda plan: len(plan.rows))
    best = against_best(plan, Limits(seconds=5, searches=1), Unwatched())
    assert best is not None
    assert best.planks == best.best == best.bound == plan.totals.planks
    assert best.waste == best.best_waste
    assert float(best.waste) * 100 == pytest.approx(plan.totals.waste_factor_percent)
    assert best.first_saved is None


def test_check_explains_draws_and_writes(tmp_path):
    bad = next(filter(None, (movable(read_plan(file)) for file in PLANS)))
    file = tmp_path / "bad.json"
    file.write_text(write_plan(bad), "utf-8")
    plain = cutopt("check", file)
    assert plain.returncode == 1
    assert "refused" in plain.stdout
    told = cutopt("check", file, "--explain", "--svg", tmp_path / "b.svg", "--json", tmp_path / "b.json")
    assert (told.returncode, told.stderr) == (1, "")
    assert "WHAT IS BROKEN" in told.stdout
    assert "Mend: start row" in told.stdout
    assert max(map(len, told.stdout.splitlines())) <= 80
    assert "<svg" in (tmp_path / "b.svg").read_text(encoding="utf-8")
    data = json.loads((tmp_path / "b.json").read_text(encoding="utf-8"))
    assert data["format"] == "cutopt-judgement"


def test_check_of_a_good_plan_ends_well_also_when_explained():
    good = next(file for file in PLANS if not check_plan(read_plan(file)))
    assert cutopt("check", good, "--explain").returncode == 0


def test_the_examples_of_layouts_are_found_out():
    # trade arithmetic: R = 130 in, P = 48 in, shift 14 in: the end piece of row 3 is 6 in
    chain = cutopt("check", "examples/layouts/offcut-chain.csv", "--json", "-")
    assert chain.returncode == 1
    found = {(one["rule"], tuple(one["rows"])) for one in json.loads(chain.stdout)["breaches"]}
    assert found == {("minimum piece", (3,)), ("stair-step", (1, 2, 3)), ("stair-step", (2, 3, 4))}
    store = cutopt("check", "examples/layouts/boat-store.toml")
    assert store.returncode == 1
    assert "Row 4 is the first that opened a plank though one waiting would have done" in " ".join(
        store.stdout.split()
    )
