"""Plans of as few planks made better, and rooms planned in another order."""

from dataclasses import replace

from layings import rows_of

from cutopt.model.plan import Part, PieceCut
from cutopt.planner.construct.order import as_laid, shuffled
from cutopt.planner.improve import in_one_piece, peak_waiting, with_less_waiting


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
