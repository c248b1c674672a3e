"""Whether a floor can be laid at all: each rule alone, brute force, and two ways of deciding."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layings import (
    INCH,
    SIXTEENTH,
    STEADY,
    attic,
    brute_force,
    chains,
    jogged,
    keeps_all,
    problem_of,
    rows_of,
    run,
)

from cutopt.model.job import Ends
from cutopt.planner.clash import Answer, can_be_laid
from cutopt.planner.clash.chain import decide_chain
from cutopt.planner.clash.parts import group_runs, is_chain, only
from cutopt.planner.clash.solver import decide_by_solver
from cutopt.planner.clash.tries import fitting_ways
from cutopt.planner.limits import never


@STEADY
@given(chains())
def test_pairs_of_ways_row_by_row_agree_with_trying_every_laying(problem):
    if not all(map(len, problem.choices)):
        assert can_be_laid(problem).answer is Answer.IMPOSSIBLE
        return
    for group in group_runs(problem):
        part = only(problem, group)
        assert is_chain(part)
        verdict = decide_chain(part, never)
        assert verdict.answer is (Answer.POSSIBLE if brute_force(part) else Answer.IMPOSSIBLE)
        if verdict.ways:
            assert keeps_all(part, verdict.ways)


@settings(STEADY, max_examples=60)
@given(st.one_of(chains(most_rows=3), jogged()))
def test_the_solver_agrees_with_trying_every_laying(problem):
    if not all(map(len, problem.choices)):
        return
    size = 1
    for choices in problem.choices:
        size *= len(choices)
    if size > 20_000:
        return
    expected = Answer.POSSIBLE if brute_force(problem) else Answer.IMPOSSIBLE
    found = decide_by_solver(problem, never)
    assert found.answer is expected
    assert can_be_laid(problem).answer is expected
    if found.ways:
        assert keeps_all(problem, found.ways)


@settings(STEADY, max_examples=40)
@given(chains(most_rows=9, plank=24))
def test_pairs_of_ways_agree_with_the_solver_on_more_rows(problem):
    if not all(map(len, problem.choices)):
        return
    for group in group_runs(problem):
        part = only(problem, group)
        verdict = decide_chain(part, never)
        assert verdict.answer is decide_by_solver(part, never).answer
        if verdict.ways:
            assert keeps_all(part, verdict.ways)
            assert all(fitting_ways(part, list(verdict.ways[:n]))[way] for n, way in enumerate(verdict.ways))


TIGHT = {
    # plank 10, rows of 12: starters of 5 to 7 where the min piece is 5
    "min piece": ([12], {"min_piece": 6}, {"min_piece": 7}),
    "stagger": ([12, 12], {"min_piece": 5, "stagger": 2}, {"min_piece": 5, "stagger": 3}),
    "H-joint": (
        [12, 12, 12],
        {"min_piece": 5, "stagger": 1, "h_joint": 2},
        {"min_piece": 5, "stagger": 1, "h_joint": 3},
    ),
    "stair-step": (
        [12, 12, 12],
        {"min_piece": 5, "stagger": 1, "h_joint": 2},
        {"min_piece": 5, "stagger": 1, "h_joint": 2, "stair_step": 1},
    ),
}


@pytest.mark.parametrize(("rows", "possible", "impossible"), TIGHT.values(), ids=TIGHT)
def test_each_rule_by_its_smallest_possible_and_impossible_floor(rows, possible, impossible):
    assert can_be_laid(rows_of(rows, plank=10, **possible)).answer is Answer.POSSIBLE
    assert can_be_laid(rows_of(rows, plank=10, **impossible)).answer is Answer.IMPOSSIBLE


def test_a_run_within_a_plank_is_laid_whatever_the_min_piece():
    assert can_be_laid(rows_of([9, 10], plank=10, min_piece=10)).answer is Answer.POSSIBLE


@pytest.mark.parametrize("ends", Ends)
def test_the_worked_example_is_impossible_until_the_min_piece_is_10_3_8(ends):
    least = 10 * INCH + 6 * SIXTEENTH
    verdict = can_be_laid(attic(ends=ends))
    assert verdict.answer is Answer.IMPOSSIBLE
    assert not verdict.at_cut_step
    assert can_be_laid(attic(ends=ends, min_piece=least + SIXTEENTH)).answer is Answer.IMPOSSIBLE
    problem = attic(ends=ends, min_piece=least, max_waiting=0)
    assert keeps_all(problem, can_be_laid(problem).ways)


def test_an_impossible_floor_with_an_odd_length_is_proved_at_the_cut_step_only():
    assert can_be_laid(rows_of([13], plank=10, min_piece=7, cut_step=2)).at_cut_step


def test_stopped_at_once_nothing_is_decided():
    assert can_be_laid(attic(), lambda: True).answer is Answer.UNDECIDED


@settings(STEADY, max_examples=150)
@given(st.data())
def test_what_is_impossible_off_the_cut_step_too_is_so_for_every_tick(data):
    rows = data.draw(st.lists(st.integers(2, 12).map(lambda half: 2 * half), min_size=1, max_size=3))
    right = data.draw(st.sampled_from([0, 24]))
    runs = [run(line, length, offset=right and right - length) for line, length in enumerate(rows, 1)]
    rules = {rule: 2 * data.draw(st.integers(0, 3)) for rule in ("stagger", "h_joint", "min_piece")}
    rules["min_piece"] = max(1, rules["min_piece"])
    verdict = can_be_laid(problem_of(runs, plank=8, cut_step=2, **rules))
    if verdict.answer is Answer.IMPOSSIBLE and not verdict.at_cut_step:
        assert can_be_laid(problem_of(runs, plank=8, cut_step=1, **rules)).answer is Answer.IMPOSSIBLE
