"""Lower bounds stay under every plan, however few runs the prices were made for."""

import sys
from dataclasses import replace

import pytest
from enumerator import fewest_planks
from hypothesis import HealthCheck, given, settings
from layings import rows_of
from planner_jobs import jogged_jobs, row_jobs

from cutopt.planner.bound import price_bound
from cutopt.planner.bound.segments import segments, stretches
from cutopt.planner.problem import build_problem

STEADY = settings(derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
FLOOR = sys.modules["cutopt.planner.bound.floor"]


@settings(STEADY, max_examples=60)
@given(row_jobs() | jogged_jobs())
def test_prices_made_for_one_run_are_valid_for_all(job):
    fewest = fewest_planks(job.floor, job.plank, job.rules)
    problem = build_problem(job.floor, job.plank, job.rules)
    if fewest is None or not all(map(len, problem.choices)):
        return
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(FLOOR, "MOST_KINDS", 1)
        assert price_bound(problem).planks <= fewest


def test_a_sample_of_many_lengths_costs_little_of_the_bound(monkeypatch):
    problem = rows_of([100 + nth for nth in range(40)], plank=48, min_piece=8, stagger=6)
    full = price_bound(problem)
    monkeypatch.setattr(FLOOR, "MOST_KINDS", 8)
    sampled = price_bound(problem)
    assert sampled.prices is not full.prices
    assert full.planks - 2 <= sampled.planks <= full.planks


def test_prices_stopped_at_once_still_prove_something_true():
    problem = rows_of([100] * 10, plank=48, min_piece=8, stagger=6)
    assert 0 <= price_bound(problem, lambda: True).planks <= price_bound(problem).planks


def test_many_rooms_make_a_stretch_each_and_fewer_segments():
    problem = rows_of([100] * 30, plank=48, min_piece=8)
    runs = tuple(replace(run, room=f"Room {run.line}") for run in problem.runs)
    rooms = replace(problem, runs=runs)
    assert stretches(rooms) == tuple(range(30))
    assert len(set(segments(rooms))) <= 11
