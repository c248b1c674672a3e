"""Why a floor cannot be laid, as it is told: rows, rules and values that would do."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from inside import inside as cutopt
from job_texts import ATTIC
from layings import INCH, SIXTEENTH, STEADY, attic, brute_force, chains, problem_of, rows_of, run

from cutopt.planner.clash import Answer, Verdict, can_be_laid, explain
from cutopt.planner.clash.parts import group_runs, only, rule_value, with_only, with_rule
from cutopt.planner.clash.reason import find_clashes
from cutopt.planner.limits import never
from cutopt.units import Unit

IMPOSSIBLE = Verdict(answer=Answer.IMPOSSIBLE)


def possible(problem):
    return all(map(len, problem.choices)) and brute_force(problem)


def told(problem):
    (trouble,) = explain(replace(problem, unit=Unit.IN), can_be_laid(problem), never).problems
    return trouble


@settings(STEADY, max_examples=200)
@given(chains(plank=6))
def test_reasons_are_smallest_and_values_nearest_by_trying_every_laying(problem):
    clashes = list(find_clashes(problem, never))
    assert bool(clashes) is not possible(problem)
    for clash in clashes:
        window = only(problem, clash.runs)
        assert not possible(window)
        for fewer in (clash.runs[1:], clash.runs[:-1]):
            assert possible(only(problem, fewer))
        kept = with_only(window, clash.rules)
        assert not possible(kept)
        for rule in clash.rules:
            assert possible(with_rule(kept, rule, 0))
        check_ways_out(problem, clash)


def check_ways_out(problem, clash):
    whole = next(only(problem, group) for group in group_runs(problem) if set(clash.runs) <= set(group))
    found = {out.rule: out.value for out in clash.ways_out}
    for rule in clash.rules:
        step, value = problem.rules.cut_step, rule_value(problem, rule)
        below = [steps * step for steps in range(-(-value // step))]
        works = [value for value in below if possible(with_rule(whole, rule, value))]
        assert found.get(rule) == max(works, default=None)


def test_the_worked_example_is_told_in_the_users_terms():
    assert str(told(attic())) == (
        'min piece 12", stagger 12" and H-joint 2" cannot be kept together - '
        'room "Loft", rows 1 to 3 (108-3/4" long) - '
        'any one of these would do: min piece 10-3/8", stagger 8-3/4" or H-joint 3/8"'
    )


TOLD = {
    "one row, no starter with its end piece": (
        rows_of([100 * INCH, 37 * INCH], plank=36 * INCH, min_piece=19 * INCH, cut_step=SIXTEENTH),
        ('min piece 19" cannot be kept', 'row 2 (37" long)', 'min piece 18-1/2" would do'),
    ),
    "a stagger over half a plank": (
        rows_of([100 * INCH, 90 * INCH], plank=36 * INCH, stagger=19 * INCH, cut_step=SIXTEENTH),
        (
            'stagger 19" cannot be kept in all rows',
            'rows 1 and 2 (90" to 100" long)',
            'stagger 18" would do',
        ),
    ),
    "a rule that can only go": (
        rows_of(
            [42 * INCH] * 3,
            plank=36 * INCH,
            min_piece=20 * INCH,
            stagger=2 * INCH,
            h_joint=INCH,
            cut_step=INCH,
        ),
        (
            'min piece 20", stagger 2" and H-joint 1" cannot be kept together',
            'rows 1 to 3 (42" long)',
            'any one of these would do: min piece 19", stagger 1" or no H-joint rule',
        ),
    ),
    "a proof at the cut step only": (
        rows_of([37 * INCH], plank=36 * INCH, min_piece=19 * INCH, cut_step=2 * INCH),
        (
            'min piece 19" cannot be kept with cuts in steps of 2"',
            'row 1 (37" long)',
            'min piece 18" would do',
        ),
    ),
    "walls too slant for the plank": (
        problem_of([run(1, 40 * INCH, slants=(20 * INCH, -20 * INCH))], plank=36 * INCH, cut_step=SIXTEENTH),
        (
            'even without rules nothing can be laid here with cuts in steps of 1/16"',
            'row 1 (40" long)',
            "check the slants of the walls and the cut step against the plank's length",
        ),
    ),
    "no one rule to blame": (
        rows_of(
            [37 * INCH, 37 * INCH], plank=36 * INCH, min_piece=19 * INCH, stagger=40 * INCH, cut_step=INCH
        ),
        ('min piece 19" cannot be kept', 'row 1 (37" long)', "no change of one rule would do: relax several"),
    ),
}


@pytest.mark.parametrize(("problem", "parts"), TOLD.values(), ids=TOLD)
def test_reasons_in_words(problem, parts):
    trouble = told(problem)
    what, where, remedy = parts
    assert (trouble.what, trouble.where, trouble.remedy) == (what, f'room "Loft", {where}', remedy)


def test_every_room_that_clashes_is_told_and_rooms_alike_once():
    rooms = {"Loft": [37], "Hall": [100, 100], "Shed": [37], "Den": [38, 37], "Porch": [30]}
    runs = [
        replace(run(line, length * INCH), field=room, room=room)
        for room, rows in rooms.items()
        for line, length in enumerate(rows, 1)
    ]
    rules = {"min_piece": 19 * INCH, "stagger": 2 * INCH, "cut_step": INCH}
    problem = replace(problem_of(runs, plank=36 * INCH, **rules), unit=Unit.IN)
    assert [trouble.where for trouble in explain(problem, IMPOSSIBLE, never).problems] == [
        'room "Loft", row 1 (37" long), and 1 more like this',
        'room "Den", row 2 (37" long)',
    ]


def test_without_time_for_reasons_the_clash_is_told_all_the_same():
    (trouble,) = explain(attic(), IMPOSSIBLE, lambda: True).problems
    assert (
        str(trouble) == "the rules cannot all be kept - give more time to learn where and why, or relax them"
    )


@pytest.mark.parametrize("patience", range(0, 130, 10))
def test_stopped_at_any_time_what_is_told_is_true(patience):
    rows = [12, 12, 12, 30, 12, 12, 30]
    problem = rows_of(rows, plank=10, min_piece=5, stagger=2, h_joint=1, cut_step=1)
    asked = iter(range(10**6))
    for clash in find_clashes(problem, lambda: next(asked) >= patience):
        window = only(problem, clash.runs)
        assert not possible(with_only(window, clash.rules))
        for out in clash.ways_out:
            assert possible(with_rule(problem if out.everywhere else window, out.rule, out.value))


@pytest.mark.parametrize("ends", ["handed", "square"])
def test_plan_says_why_there_is_none_and_exits_1(tmp_path, ends):
    (tmp_path / "job.toml").write_text(ATTIC.replace("handed", ends), encoding="utf-8")
    done = cutopt("plan", "job.toml", "--json", "plan.json", cwd=tmp_path)
    assert done.returncode == 1
    assert done.stdout == b""
    assert done.stderr.decode() == (
        'error: min piece 12", stagger 12" and H-joint 2" cannot be kept together - '
        'room "Attic", rows 1 to 3 (108-3/4" long) - '
        'any one of these would do: min piece 10-3/8", stagger 8-3/4" or H-joint 3/8"\n'
        "error: no plan keeps these rules - "
        "change one that may be changed, or add --best-effort for a plan that breaks them least\n"
    )
    assert not (tmp_path / "plan.json").exists()


@pytest.mark.parametrize(
    "rule",
    ["min_piece = 12|min_piece = 10.375", "stagger = 12|stagger = 8.75", "h_joint = 2|h_joint = 0.375"],
)
def test_each_value_named_gives_a_plan(tmp_path, rule):
    (tmp_path / "job.toml").write_text(ATTIC.replace(*rule.split("|")), encoding="utf-8")
    done = cutopt("plan", "job.toml", "--quiet", "--time-limit", "0.5", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, b"")


def test_a_search_that_ends_undecided_exits_4(tmp_path):
    (tmp_path / "job.toml").write_text(ATTIC, encoding="utf-8")
    done = cutopt("plan", "job.toml", "--time-limit", "0.0001", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (4, b"")
    assert done.stderr == b"error: no plan found in the time given - give more time\n"
