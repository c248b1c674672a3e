"""Lower bounds stay under every plan, however few runs the prices were made for."""

import sys
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from enumerator import fewest_planks
from hypothesis import HealthCheck, given, settings
from layings import rows_of
from planner_jobs import jogged_jobs, row_jobs

from cutopt.planner.bound import price_bound
from cutopt.planner.bound.prices import PriceList, worth_of_plank
from cutopt.planner.bound.segments import follows_itself, segments, stretches
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


def tower(storeys, rooms=((150, 4), (110, 3), (178, 2))):
    lengths = [
        (length, f"{storey} {length}") for storey in range(storeys) for length, n in rooms for _ in range(n)
    ]
    problem = rows_of([length for length, _ in lengths], plank=48, min_piece=12, stagger=10, max_waiting=1)
    named = [replace(run, room=room) for run, (_, room) in zip(problem.runs, lengths, strict=True)]
    return replace(problem, runs=tuple(named))


def test_rooms_that_come_again_and_again_share_their_segments():
    storey = (0,) * 4 + (1,) * 3 + (2,) * 2
    assert segments(tower(6)) == storey * 6
    assert follows_itself(storey * 6)
    # Three storeys have nine borders at the most: each room is a segment of its own.
    assert not follows_itself(segments(tower(3)))
    assert segments(tower(3))[-1] == 8


def test_prices_by_room_lift_the_bound_of_a_tower_and_stay_under_its_storeys_one_by_one():
    rooms = (140, 16), (100, 20), (119, 10)
    floor = tower(6, rooms)
    bound = price_bound(floor)
    assert follows_itself(bound.segment_of)
    anywhere = price_bound(replace(floor, rules=replace(floor.rules, max_waiting=None)))
    assert bound.planks > anywhere.planks
    # Storeys laid one by one are a way to lay the tower: here without the rules on joints, which only cost.
    assert bound.planks <= 6 * sum(fewest_by_room(length, count) for length, count in rooms)


def fewest_by_room(length, count):
    """Return planks that will do for a room of equal rows: each row from a starter and end piece of its own."""
    return count * (length // 48 + 1)


@pytest.mark.parametrize("seed", range(40))
def test_prices_that_come_again_are_worth_what_the_same_prices_written_out_are(seed):
    random = np.random.default_rng(seed)
    lengths, rounds, segs = np.array([3, 5, 8, 13]), 4, 3
    start, end = (np.sort(random.integers(0, 60, (segs, 4)), axis=1) for _ in range(2))
    border = random.integers(0, 30, segs)
    single = tuple({4: int(random.integers(0, 30))} for _ in range(segs))

    def worth(times: int, borders: Sequence[int]) -> int:
        prices = PriceList(
            plank=100,
            lengths=lengths,
            start=np.tile(start, (times, 1)),
            end=np.tile(end, (times, 1)),
            single=single * times,
            border=np.array(borders),
        )
        return worth_of_plank(prices, plank=20, loss=1)

    assert worth(1, border) == worth(rounds, np.tile(border, rounds)[:-1])
