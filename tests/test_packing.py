"""Floors of single pieces: packed into the fewest planks, proved, and by the right pieces."""

from collections import Counter
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layings import STEADY, rows_of

import cutopt.planner.packing.planks as packing_room
from cutopt.planner.limits import never
from cutopt.planner.packing import can_pack, pack
from cutopt.planner.packing.flow import Answer, fit_by_branching, fit_by_constraints
from cutopt.planner.packing.graph import build_graph


def singles(lengths, *, plank, kerf=0, waiting=None):
    problem = rows_of(lengths, plank=plank, min_piece=plank, max_waiting=waiting)
    return problem if not kerf else type(problem)(problem.runs, plank, kerf, problem.handed, problem.rules)


def fewest(sizes, capacity):
    """Fill the first plank in every way, then the rest: dumb, and right."""
    if not sizes:
        return 0
    first, rest = sizes[0], sizes[1:]
    return 1 + min(
        fewest([size for place, size in enumerate(rest) if place not in chosen], capacity)
        for count in range(len(rest) + 1)
        for chosen in combinations(range(len(rest)), count)
        if first + sum(rest[place] for place in chosen) <= capacity
    )


def planks_of(laid, problem):
    planks = Counter()
    for run, (piece,) in zip(problem.runs, laid, strict=True):
        assert piece.length == run.length
        planks[piece.plank] += piece.length + problem.loss
    assert all(used <= problem.plank + problem.loss for used in planks.values())
    return len(planks)


@settings(STEADY, max_examples=40)
@given(st.lists(st.integers(2, 12), min_size=1, max_size=7), st.integers(0, 2))
def test_small_floors_take_as_few_planks_as_trying_everything(lengths, kerf):
    problem = singles(lengths, plank=12, kerf=kerf)
    packed = pack(problem, 1, never)
    expected = fewest([length + kerf for length in lengths], 12 + kerf)
    assert planks_of(packed.laid, problem) == packed.planks == packed.bound == expected


def test_the_bound_rises_only_by_proof():
    # Three pieces of more than half a plank: no two share one, though length alone says two planks.
    packed = pack(singles([6, 6, 6], plank=10), 2, never)
    assert (packed.planks, packed.bound) == (3, 3)


def test_one_solver_alone_cannot_raise_the_bound(monkeypatch):
    monkeypatch.setattr(packing_room, "fit_by_constraints", lambda *_, **__: (Answer.NONE, []))
    packed = pack(singles([5, 5], plank=10), 1, never)
    assert (packed.planks, packed.bound) == (1, 1)


@pytest.mark.parametrize("planks", [2, 3])
def test_both_solvers_say_the_same(planks):
    graph = build_graph(Counter([6, 6, 6]), 10, planks)
    by_constraints, _ = fit_by_constraints(graph, work=1, presolve=True, stop=never)
    by_branching, paths = fit_by_branching(graph, stop=never)
    # Lengths there are in the largest unit that divides all pieces.
    assert by_constraints is by_branching is (Answer.FOUND if planks == 3 else Answer.NONE)
    assert sorted(paths) == ([[1], [1], [1]] if planks == 3 else [])


def test_only_floors_of_single_pieces_in_any_order_are_packed():
    assert can_pack(singles([4, 7], plank=10))
    assert not can_pack(singles([4, 7], plank=10, waiting=6))
    assert not can_pack(singles([4, 12], plank=10))
    assert not can_pack(rows_of([8], plank=10, min_piece=3, max_waiting=None))
