"""From the planner's answer to numbered pieces and planks."""

from dataclasses import replace
from fractions import Fraction

from cuttings import P, case_of, cases, job_of
from hypothesis import given, settings

from cutopt.check import check_plan
from cutopt.model.job import Ends, Lay, Order
from cutopt.model.plan import Cutting, End, Keeps, Part
from cutopt.numbering import number

S, W, E, X = Part.STARTER, Part.WHOLE, Part.END, Part.SINGLE
FACTORY, CUT = End.FACTORY, End.CUT


def numbered(rows, **job):
    case = case_of(rows, job_of(**job))
    return number(case.floor, case.cutting, case.job, 3)


def pieces_of(plan, row):
    return [(piece.id, piece.length, piece.left, piece.right) for piece in plan.rows[row].pieces]


def planks_of(plan):
    return [(plank.pieces, [(cut.length, cut.keeps) for cut in plank.offcuts]) for plank in plan.planks]


@settings(derandomize=True, deadline=None, max_examples=300)
@given(cases())
def test_a_right_cutting_becomes_a_plan_the_independent_check_accepts(case):
    plan = number(case.floor, case.cutting, case.job, 0)
    assert check_plan(plan) == ()
    assert sum(piece.length for row in plan.rows for piece in row.pieces) == sum(
        cut.length for run in case.cutting.runs for cut in run
    )
    kerf = case.job.plank.kerf
    for plank in plan.planks:
        lengths = [p.length for row in plan.rows for p in row.pieces if p.plank == plank.plank]
        left = P - sum(lengths) - len(lengths) * kerf
        assert [offcut.length for offcut in plank.offcuts] == ([left] if left > 0 else [])


def test_pieces_are_listed_from_the_left_and_planks_counted_by_first_use():
    plan = numbered([[(S, 300, 9), (W, P, 4), (E, 250, 2)], [(S, 700, 2), (E, 600, 9)]])
    assert pieces_of(plan, 0) == [
        ("1.1", 300, CUT, FACTORY),
        ("1.2", P, FACTORY, FACTORY),
        ("1.3", 250, FACTORY, CUT),
    ]
    assert pieces_of(plan, 1) == [("2.1", 700, CUT, FACTORY), ("2.2", 600, FACTORY, CUT)]
    assert planks_of(plan) == [
        (("2.2", "1.1"), [(100, Keeps.NONE)]),
        (("1.2",), []),
        (("1.3", "2.1"), [(50, Keeps.NONE)]),
    ]
    assert plan.seed == 3


def test_laid_from_the_right_the_hands_are_mirrored_but_the_list_still_runs_from_the_left():
    plan = numbered([[(S, 300, 1), (W, P, 2), (E, 250, 3)]], lay=Lay.RIGHT_TO_LEFT)
    assert pieces_of(plan, 0) == [
        ("1.3", 250, CUT, FACTORY),
        ("1.2", P, FACTORY, FACTORY),
        ("1.1", 300, FACTORY, CUT),
    ]
    assert planks_of(plan)[0] == (("1.1",), [(700, Keeps.RIGHT)])
    assert planks_of(plan)[2] == (("1.3",), [(750, Keeps.LEFT)])


def test_single_pieces_lie_between_and_the_leftover_keeps_a_factory_end():
    plan = numbered([[(X, 100, 1)], [(X, 200, 1)], [(S, 300, 2), (E, 400, 3)], [(X, 150, 2)], [(X, 160, 3)]])
    assert planks_of(plan) == [
        (("1.1", "2.1"), [(700, Keeps.RIGHT)]),
        (("4.1", "3.1"), [(550, Keeps.LEFT)]),
        (("3.2", "5.1"), [(440, Keeps.RIGHT)]),
    ]
    assert pieces_of(plan, 0) == [("1.1", 100, FACTORY, CUT)]
    assert pieces_of(plan, 1) == [("2.1", 200, CUT, CUT)]


def test_of_two_starters_on_one_square_plank_the_later_is_turned():
    plan = numbered([[(S, 300, 1), (W, P, 2)], [(S, 400, 1), (W, P, 3)]], ends=Ends.SQUARE)
    assert planks_of(plan)[0] == (("2.1", "1.1"), [(300, Keeps.NONE)])
    assert pieces_of(plan, 1)[0] == ("2.1", 400, CUT, FACTORY)


def test_the_last_trim_may_eat_less_than_a_kerf_and_then_leaves_nothing():
    plan = numbered([[(S, 300, 1), (E, 698, 1)]], kerf=1)
    assert planks_of(plan) == [(("1.2", "1.1"), [])]
    assert plan.totals.cuts == 2
    exact = numbered([[(S, 301, 1), (E, 698, 1)]], kerf=1)
    assert exact.totals.cuts == 1


def test_slants_go_to_the_pieces_at_the_walls():
    case = case_of([[(S, 300, 1), (W, P, 2)]])
    run = replace(case.floor.runs[0], left_slant=40, right_slant=-30)
    plan = number(replace(case.floor, runs=(run,)), case.cutting, case.job, 0)
    first, last = plan.rows[0].pieces
    assert (first.left_slant, first.right_slant) == (40, 0)
    assert (last.left_slant, last.right_slant, last.right) == (0, -30, CUT)


def test_second_run_of_a_row_gets_a_letter():
    case = case_of([[(X, 100, 1)], [(X, 200, 1)], [(X, 300, 1)]])
    first, *others = case.floor.runs
    runs = (
        first,
        *(
            replace(run, row=1, line=1, run=nth, offset=2000 * nth)
            for nth, run in ((2, others[0]), (28, others[1]))
        ),
    )
    plan = number(replace(case.floor, runs=runs), case.cutting, case.job, 0)
    assert [row.pieces[0].id for row in plan.rows] == ["1.1", "1b.1", "1ab.1"]


def test_totals_by_hand():
    # Two planks wait after row 1 (9 and 2), none after row 2; 3 planks, 2 + 0 + 2 cuts.
    plan = numbered(
        [[(S, 300, 9), (W, P, 4), (E, 250, 2)], [(S, 700, 2), (E, 600, 9)]],
        order=Order(culls=Fraction(1, 4), spare=5),
    )
    totals = plan.totals
    assert (totals.planks, totals.cuts, totals.peak_waiting) == (3, 4, 2)
    assert totals.boxes == 2  # 3 / 0.75 + 5 = 9 planks, 8 a box
    assert totals.net_area_mm2 == 2850 * 100 / 320**2
    assert totals.waste_factor_percent == float(Fraction(3000, 2850) * 100 - 100)


def test_boxes_are_rounded_once():
    # 50 / (1 - 0.02) + 0 = 51.02...; 49 / 0.98 = 50 exactly fills five boxes of ten.
    rows = [[(W, P, n)] for n in range(49)]
    order = Order(culls=Fraction(1, 50))
    assert numbered(rows, per_box=10, order=order).totals.boxes == 5
    assert numbered([*rows, [(W, P, 49)]], per_box=10, order=order).totals.boxes == 6


def test_proven_is_the_bound_met_and_nothing_else():
    case = case_of([[(W, P, 1)], [(W, P, 2)]])
    for bound, proven in ((1, False), (2, True)):
        cutting: Cutting = replace(
            case.cutting, bound=replace(case.cutting.bound, planks=bound, proven=not proven)
        )
        assert number(case.floor, cutting, case.job, 0).bound.proven is proven
