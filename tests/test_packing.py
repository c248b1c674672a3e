"""Floors of single pieces: packed into the fewest planks, proved, and by the right pieces."""

from collections import Counter
from functools import cache
from itertools import combinations, count, product
from operator import mul
from pathlib import Path
from threading import active_count

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layings import STEADY, rows_of

import cutopt.planner.packing.planks as packing_room
from cutopt.planner.limits import never
from cutopt.planner.packing import can_pack, pack
from cutopt.planner.packing.dive import dive
from cutopt.planner.packing.fill import fill_planks
from cutopt.planner.packing.flow import Answer, fit_by_branching, fit_by_constraints
from cutopt.planner.packing.graph import build_graph
from cutopt.planner.packing.master import Master
from cutopt.planner.packing.pieces import Pieces, pieces_of
from cutopt.planner.packing.prices import price_pieces

# Thirds, quarters and elevenths of a plank of 132: 5/3 + 7/4 + 17/11 planks, 4.96 and so 5; but no 5 hold them.
PARTED = {44: 5, 33: 7, 12: 17}

PUBLISHED = Path(__file__).parent / "data" / "binpacking" / "or-library.txt"


def singles(lengths, *, plank, kerf=0, waiting=None):
    problem = rows_of(lengths, plank=plank, min_piece=plank, max_waiting=waiting)
    return problem if not kerf else type(problem)(problem.runs, plank, kerf, problem.handed, problem.rules)


def published(name):
    words = next(line.split() for line in PUBLISHED.read_text().splitlines() if line.startswith(name))
    plank, optimum, *items = map(int, words[1:])
    return singles(items, plank=plank), optimum


def fewest(sizes, plank):
    """Fill one plank in every way that takes in the longest piece, then the rest: dumb, and right."""
    kinds = sorted(set(sizes), reverse=True)

    @cache
    def of(counts):
        if not any(counts):
            return 0
        longest = next(place for place, number in enumerate(counts) if number)
        return 1 + min(
            of(tuple(number - cut for number, cut in zip(counts, taken, strict=True)))
            for taken in product(
                *(range(min(number, plank // kind) + 1) for kind, number in zip(kinds, counts, strict=True))
            )
            if taken[longest] and sum(map(mul, taken, kinds)) <= plank
        )

    return of(tuple(sizes.count(kind) for kind in kinds))


def planks_of(laid, problem):
    planks = Counter()
    for run, (piece,) in zip(problem.runs, laid, strict=True):
        assert piece.length == run.length
        planks[piece.plank] += piece.length + problem.loss
    assert all(used <= problem.plank + problem.loss for used in planks.values())
    return len(planks)


def is_packing(packing, pieces):
    cut = Counter(size for plank in packing for size in plank)
    return cut == pieces.counts and all(sum(plank) <= pieces.room for plank in packing)


def priced(pieces):
    return price_pieces(pieces, Master(pieces, []), [[size] for size in pieces.each()], 0, never)[0]


few_pieces = st.lists(st.integers(2, 12), min_size=1, max_size=7)


@settings(STEADY, max_examples=40)
@given(few_pieces, st.integers(0, 2))
def test_small_floors_take_as_few_planks_as_trying_everything(lengths, kerf):
    problem = singles(lengths, plank=12, kerf=kerf)
    packed = pack(problem, 1, never)
    expected = fewest([length + kerf for length in lengths], 12 + kerf)
    assert planks_of(packed.laid, problem) == packed.planks == packed.bound == expected


@settings(STEADY, max_examples=40)
@given(few_pieces)
def test_both_solvers_find_the_fewest_planks_and_no_fewer(lengths):
    pieces = pieces_of(singles(lengths, plank=12))
    expected = fewest(lengths, 12)
    for planks in range(priced(pieces).planks, expected + 1):
        graph = build_graph(pieces, priced(pieces), planks)
        if graph.leaves_out_a_piece:
            assert planks < expected
            continue
        by_constraints, one = fit_by_constraints(graph, work=1, presolve=True, stop=never)
        by_branching, other = fit_by_branching(graph, stop=never)
        if planks < expected:
            assert by_constraints is by_branching is Answer.NONE
        else:
            assert by_constraints is by_branching is Answer.FOUND
            assert all(is_packing(found, pieces) and len(found) <= planks for found in (one, other))


@settings(STEADY, max_examples=60)
@given(few_pieces)
def test_no_plank_is_worth_more_than_its_price(lengths):
    pieces = pieces_of(singles(lengths, plank=12))
    prices = priced(pieces)
    sizes = pieces.each()
    assert prices.total == sum(prices.of[size] for size in sizes)
    assert prices.planks <= fewest(lengths, 12)
    assert all(
        sum(prices.of[size] for size in plank) <= prices.plank
        for number in range(len(sizes) + 1)
        for plank in combinations(sizes, number)
        if sum(plank) <= pieces.room
    )


@settings(STEADY, max_examples=60)
@given(st.lists(st.integers(1, 60), min_size=1, max_size=9))
def test_every_plank_is_filled_as_full_as_the_pieces_left_allow(sizes):
    pieces = Pieces(60, dict(sorted(Counter(sizes).items(), reverse=True)), 1)
    left = pieces.each()
    # No packing meets a bound of 0: all tries are made.
    packing = fill_planks(pieces, 0, never)
    assert is_packing(packing, pieces)
    for plank in packing:
        longest = left[0]
        assert longest in plank
        assert sum(plank) == longest + max(
            sum(chosen)
            for number in range(len(left))
            for chosen in combinations(left[1:], number)
            if longest + sum(chosen) <= 60
        )
        for size in plank:
            left.remove(size)


@settings(STEADY, max_examples=60)
@given(st.lists(st.integers(1, 60), min_size=1, max_size=7), st.integers(0, 3))
def test_where_sizes_are_rounded_the_bound_and_the_planks_still_hold(lengths, kerf):
    problem = singles(lengths, plank=60, kerf=kerf)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(packing_room, "can_price", lambda _: False)
        patch.setattr(packing_room, "FINE", 20)
        packed = pack(problem, 1, never)
    expected = fewest([length + kerf for length in lengths], 60 + kerf)
    assert packed.bound <= expected <= packed.planks == planks_of(packed.laid, problem)


def test_the_bound_rises_only_by_proof():
    # Three pieces of more than half a plank: no two share one, though length alone says two planks.
    packed = pack(singles([6, 6, 6], plank=10), 2, never)
    assert (packed.planks, packed.bound) == (3, 3)


def test_what_prices_cannot_prove_is_ruled_out_by_solvers():
    pieces = Pieces(132, PARTED, 1)
    prices = priced(pieces)
    assert prices.total / prices.plank == pytest.approx(655 / 132)
    packed = pack(singles(pieces.each(), plank=132), 1, never)
    assert (packed.priced, packed.bound, packed.planks) == (5, 6, 6)
    assert fewest(pieces.each(), 132) == 6


@pytest.mark.parametrize("liar", ["fit_by_constraints", "fit_by_branching"])
def test_one_solver_alone_cannot_raise_the_bound(monkeypatch, liar):
    problem, optimum = published("t60_00")
    asked = count()
    honest = packing_room.fit_by_constraints

    def late(graph, **how):
        """Know nothing when asked first."""
        return honest(graph, **how) if next(asked) else (Answer.UNDECIDED, [])

    monkeypatch.setattr(packing_room, "dive", lambda *_: None)
    monkeypatch.setattr(packing_room, "fit_by_constraints", late)
    monkeypatch.setattr(packing_room, liar, lambda *_, **__: (Answer.NONE, []))
    packed = pack(problem, 1, never)
    assert planks_of(packed.laid, problem) == packed.planks == packed.bound == optimum


def test_the_linear_program_is_rounded_to_a_packing_or_to_none():
    problem, optimum = published("t60_00")
    pieces = pieces_of(problem)
    master = Master(pieces, [])
    assert dive(pieces, master, optimum - 1, never) is None
    packing = dive(pieces, master, optimum, never)
    assert is_packing(packing, pieces)
    assert len(packing) == optimum


def test_arcs_that_leave_too_much_of_a_plank_are_left_out():
    # 5 + 5, 7 + 3 and 4 + 6 fill three planks of 10: 4 + 3 and 5 + 3 would leave some.
    pieces = Pieces(10, {7: 1, 6: 1, 5: 2, 4: 1, 3: 1}, 1)
    graph = build_graph(pieces, priced(pieces), 3)
    assert set(graph.arcs) == {(0, 7, 7), (7, 10, 3), (0, 6, 6), (6, 10, 4), (0, 5, 5), (5, 10, 5)}
    assert len(build_graph(pieces, priced(pieces), 4).arcs) > len(graph.arcs)
    assert build_graph(pieces, priced(pieces), 2).leaves_out_a_piece


def test_stopped_at_once_it_still_packs_and_leaves_no_thread():
    problem, optimum = published("t60_01")
    pieces = pieces_of(problem)
    threads = active_count()
    packed = pack(problem, 1, lambda: True)
    assert planks_of(packed.laid, problem) == packed.planks >= optimum >= packed.bound
    graph = build_graph(pieces, priced(pieces), optimum + 1)
    for answer, _ in (
        fit_by_constraints(graph, work=60, presolve=True, stop=lambda: True),
        fit_by_branching(graph, stop=lambda: True),
    ):
        assert answer in {Answer.UNDECIDED, Answer.FOUND}
    assert active_count() == threads


def test_packed_twice_the_planks_are_the_same():
    problem, _ = published("t60_00")
    assert pack(problem, 1, never) == pack(problem, 1, never)


def test_only_floors_of_single_pieces_in_any_order_are_packed():
    assert can_pack(singles([4, 7], plank=10))
    assert not can_pack(singles([4, 7], plank=10, waiting=6))
    assert not can_pack(singles([4, 12], plank=10))
    assert not can_pack(rows_of([8], plank=10, min_piece=3, max_waiting=None))
