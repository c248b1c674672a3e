"""Plans of as few planks made better, and rooms planned in another order."""

from dataclasses import replace

import pytest
from layings import rows_of

from cutopt.model.plan import Part, PieceCut
from cutopt.planner.construct.order import as_laid, shuffled
from cutopt.planner.improve import in_one_piece, peak_waiting, with_less_waiting, with_whole_planks


def piece(part, length, plank):
    return PieceCut(part=part, length=length, plank=plank)


def split(starter, end, planks):
    return piece(Part.STARTER, starter, planks[0]), piece(Part.END, end, planks[1])


def test_a_short_run_cut_in_two_from_one_plank_becomes_one_piece():
    problem = rows_of([8], plank=10, min_piece=2)
    assert in_one_piece(problem, (split(5, 3, (1, 1)),)) == ((piece(Part.SINGLE, 8, 1),),)


def test_a_run_as_long_as_the_plank_becomes_a_whole_one():
    problem = rows_of([10], plank=10, min_piece=2)
    assert in_one_piece(problem, (split(5, 5, (1, 1)),)) == ((piece(Part.WHOLE, 10, 1),),)


def test_runs_from_two_planks_and_long_runs_stay_as_they_are():
    problem = rows_of([8, 12], plank=10, min_piece=2)
    laid = (split(5, 3, (1, 2)), split(6, 6, (3, 4)))
    assert in_one_piece(problem, laid) == laid


def waits(*rows):
    """One single piece a row, from the planks named."""
    return tuple((piece(Part.SINGLE, 1, plank),) for plank in rows)


def test_the_peak_counts_planks_cut_again_later():
    problem = rows_of([1, 1, 1, 1], plank=10)
    assert peak_waiting(problem, waits(1, 2, 3, 4)) == 0
    assert peak_waiting(problem, waits(1, 2, 1, 2)) == 2
    assert peak_waiting(problem, waits(1, 1, 2, 2)) == 1


def test_waiting_falls_until_no_better_plan_is_found():
    problem = rows_of([1, 1, 1, 1], plank=10)
    plans = {1: waits(1, 1, 2, 2)}
    asked = []

    def search(capped):
        asked.append(capped.rules.max_waiting)
        return plans.get(capped.rules.max_waiting)

    assert with_less_waiting(problem, waits(1, 2, 1, 2), search) == plans[1]
    assert asked == [1, 0]


def rooms(waiting):
    problem = rows_of([1, 2, 3, 4], plank=10, max_waiting=waiting)
    runs = [replace(run, field=f"Room {run.line}", room=f"Room {run.line}") for run in problem.runs]
    return replace(problem, runs=tuple(runs))


def test_rooms_are_shuffled_and_put_back():
    problem = rooms(None)
    orders = [shuffled(problem, seed) for seed in range(8)]
    assert len({order.runs for order in orders}) > 1
    for order in orders:
        laid = tuple((piece(Part.SINGLE, run.length, 1),) for run in order.problem.runs)
        assert [pieces[0].length for pieces in order.restore(laid)] == [1, 2, 3, 4]


def test_rooms_keep_their_order_where_waiting_planks_are_counted():
    problem = rooms(6)
    assert shuffled(problem, 3) == as_laid(problem)


def cut_run(starter, first, end, last):
    """A run of 25 from a starter and end piece of these lengths and planks, and what whole plank lies between."""
    middle = piece(Part.WHOLE, 10, 100 + first)
    return (piece(Part.STARTER, starter, first), middle, piece(Part.END, end, last))


def lengths(pieces):
    return [(one.part.value, one.length, one.plank) for one in pieces]


def test_an_end_piece_with_a_plank_of_its_own_is_left_whole_where_the_joints_can_move():
    # 25 = 7 + 10 + 8: the joints move by 2, and the starter comes out at 5.
    problem = rows_of([25], plank=10, min_piece=3)
    (moved,) = with_whole_planks(problem, (cut_run(7, 1, 8, 2),))
    assert lengths(moved) == [("starter", 5, 1), ("whole", 10, 101), ("whole", 10, 2)]


def test_a_starter_is_left_whole_where_the_end_piece_shares_its_plank():
    problem = rows_of([25, 24], plank=10, min_piece=3)
    above = (piece(Part.STARTER, 4, 2), piece(Part.WHOLE, 10, 3), piece(Part.WHOLE, 10, 4))
    moved, same = with_whole_planks(problem, (cut_run(9, 1, 6, 2), above))
    assert lengths(moved) == [("whole", 10, 1), ("whole", 10, 101), ("end piece", 5, 2)]
    assert same == above


def test_planks_cut_for_two_pieces_stay_cut():
    problem = rows_of([25, 25], plank=10, min_piece=3)
    laid = (cut_run(9, 1, 6, 2), cut_run(4, 2, 1, 1))
    assert with_whole_planks(problem, laid) == laid


@pytest.mark.parametrize(
    ("rules", "second", "third"),
    [({"min_piece": 6}, 9, 8), ({"stagger": 2}, 4, 9), ({"h_joint": 2}, 9, 4), ({"stair_step": 2}, 9, 3)],
)
def test_joints_stay_where_a_rule_forbids_the_move(rules, second, third):
    # At 5 the first row's joint breaks the rule: too near the wall, the next row's, the one's after it, or as
    # far from the next (4) as that is from the one after. At 7 it keeps it.
    problem = rows_of([25, 25, 25], plank=10, **{"min_piece": 3, "stagger": 0} | rules)
    laid = (cut_run(7, 1, 8, 2), cut_run(second, 1, 15 - second, 3), cut_run(third, 3, 15 - third, 4))
    assert with_whole_planks(problem, laid)[0] == laid[0]
    eased = replace(problem, rules=replace(problem.rules, min_piece=3, stagger=0, h_joint=0, stair_step=0))
    assert with_whole_planks(eased, laid)[0] != laid[0]
