"""Units of going on with a plan: which rows stay, what is left of planks, what the tape says, what is lost."""

from dataclasses import replace

import pytest
from plan_documents import PLANS
from told_jobs import job_of

from cutopt.check import check_plan
from cutopt.errors import JobError
from cutopt.model.hand import Stock
from cutopt.model.job import Ends, Lay
from cutopt.model.plan import End, HandPart, Keeps, Source
from cutopt.model.replan import Changes, RowMeasure
from cutopt.pipeline import look, plan_job, replan
from cutopt.planfile import read_plan
from cutopt.planner import Limits
from cutopt.planner.limits import Unwatched
from cutopt.replan import remaining
from cutopt.replan._waiting import Waiting
from cutopt.units import TICKS_PER_INCH

IN = TICKS_PER_INCH
QUICK = Limits(seconds=3, searches=0)


def inches(length):
    return length * IN


def planned(*tables, length=48, lay="left-to-right", **head):
    """A plan of rows on planks of 48 in."""
    rules = {"stagger": 6, "min_piece": 6, "h_joint": 0, "stair_step": 0, "gap": 0, "lay": lay}
    rules |= head.pop("rules", {})
    plank = {"kind": "click vinyl", "length": length, "width": 7, "kerf": 0, "ends": "handed"}
    plank |= head.pop("plank", {})
    job = job_of(*tables, plank=plank, rules=rules, **head)
    return plan_job(job, QUICK, Unwatched()).plan


def rows_of(count, length=100, name="Loft"):
    return f'[[room]]\nname = "{name}"\nrows = [{{ length = {length}, count = {count} }}]'


def again(plan, **changes):
    return replan(plan, Changes(**changes), QUICK, Unwatched())


def part_of(plan, number):
    """The parts in hand that are what is left of a plank."""

    def parts(**changes):
        left = remaining(plan, Changes(**changes))
        return [part for at, part in zip(left.numbers, left.hand, strict=True) if at == number]

    return parts


@pytest.fixture(scope="module")
def loft():
    return planned(rows_of(6))


def cut_into(plan, count):
    return next(plank for plank in plan.planks if len(plank.pieces) == count)


def piece_of(plan, name):
    return next(piece for row in plan.rows for piece in row.pieces if piece.id == name)


def row_of(name):
    return int(name.partition(".")[0])


@pytest.mark.parametrize("laid", range(7))
def test_rows_laid_stay_and_the_others_are_left(loft, laid):
    left = remaining(loft, Changes(laid_rows=laid))
    assert left.kept == loft.rows[:laid]
    assert left.floor.runs == tuple(row.run for row in loft.rows[laid:])
    assert [run.joints for run in left.down] == [
        tuple(sum(piece.length for piece in row.pieces[:nth]) for nth in range(1, len(row.pieces)))
        for row in loft.rows[:laid]
    ]


def test_a_row_of_which_one_piece_is_laid_stays_with_all_before_it(loft):
    left = remaining(loft, Changes(laid_pieces=frozenset({"3.2"})))
    assert left.kept == loft.rows[:3]
    assert left.notes == (
        "rows not laid whole stay as planned, for a row after them, or part of them, is laid: 1, 2, 3",
    )


def test_rooms_that_do_not_run_through_are_laid_apart():
    plan = planned(rows_of(3, name="Loft"), rows_of(3, 80, name="Store"))
    left = remaining(plan, Changes(laid_pieces=frozenset({"4.1"})))
    assert [row.run.row for row in left.kept] == [4]
    assert [run.row for run in left.floor.runs] == [1, 2, 3, 5, 6]
    assert check_plan(again(plan, laid_pieces=frozenset({"4.1"})).plan) == ()


@pytest.mark.parametrize("kerf", [0, "1/8"])
@pytest.mark.parametrize("lay", Lay)
def test_what_is_left_of_a_plank_is_its_length_less_what_is_cut_and_the_cut(kerf, lay):
    plan = planned(rows_of(6), lay=lay, plank={"kerf": kerf})
    begun = [plank for plank in plan.planks if len({row_of(name) for name in plank.pieces}) > 1]
    assert begun
    for plank in begun:
        first = min(plank.pieces, key=row_of)
        (part,) = part_of(plan, plank.plank)(laid_rows=row_of(first))
        piece = piece_of(plan, first)
        assert part.length == inches(48) - piece.length - plan.plank.kerf
        ends = (piece.left, piece.right)
        assert part.keeps == {(End.CUT, End.FACTORY): Keeps.LEFT, (End.FACTORY, End.CUT): Keeps.RIGHT}[ends]


def test_the_fit_is_lost_beside_a_cut_too():
    plan = planned(rows_of(6), rules={"fit": "1/4"}, plank={"kerf": "1/8"})
    plank = next(plank for plank in plan.planks if len({row_of(name) for name in plank.pieces}) > 1)
    first = min(plank.pieces, key=row_of)
    (part,) = part_of(plan, plank.plank)(laid_rows=row_of(first))
    assert part.length == inches(48) - piece_of(plan, first).length - IN // 8 - IN // 4


def test_a_single_piece_leaves_the_end_it_does_not_lie_at():
    plan = planned(rows_of(4, 20))
    left = remaining(plan, Changes(laid_rows=1))
    assert [(part.length, part.keeps) for part in left.hand] == [(inches(28), Keeps.RIGHT)]


def test_a_piece_spoiled_before_its_plank_is_begun_leaves_the_rest_of_it(loft):
    plank = cut_into(loft, 2)
    name = max(plank.pieces, key=row_of)
    (part,) = part_of(loft, plank.plank)(spoiled=(name,))
    assert part.length == inches(48) - piece_of(loft, name).length
    assert part.keeps in {Keeps.LEFT, Keeps.RIGHT}


def test_a_plank_that_is_lost_leaves_nothing_and_its_pieces_are_cut_anew(loft):
    plank = cut_into(loft, 2)
    last = max(row_of(name) for name in plank.pieces)
    first = min(row_of(name) for name in plank.pieces)
    assert first < last
    assert part_of(loft, plank.plank)(laid_rows=first, spoiled=(f"p{plank.plank}",)) == []
    done = again(loft, laid_rows=first, spoiled=(f"p{plank.plank}",))
    stays = next(found for found in done.plan.planks if found.plank == plank.plank)
    assert stays.lost == inches(48) - stays.length
    assert stays.offcuts == ()
    assert len(stays.pieces) == 1


def test_a_lost_piece_of_a_row_that_stays_comes_from_the_shortest_part_that_will_do(loft):
    row = loft.rows[1]
    end = row.pieces[-1]
    parts = (
        HandPart(length=end.length + IN, keeps=Keeps.LEFT),
        HandPart(length=end.length, keeps=Keeps.LEFT),
        HandPart(length=end.length, keeps=Keeps.RIGHT),
    )
    changes = {
        "laid_pieces": frozenset({row.pieces[0].id}),
        "laid_rows": 1,
        "spoiled": (end.id,),
        "stock": Stock(planks=20, parts=parts),
    }
    left = remaining(loft, Changes(**changes))
    (number,) = left.replaced.values()
    fitting = [part for part in left.stock.values() if part.keeps is Keeps.LEFT and part.length >= end.length]
    assert left.stock[number].length == min(part.length for part in fitting) == end.length
    done = again(loft, **changes)
    laid_anew = piece_of(done.plan, end.id)
    source = next(plank for plank in done.plan.planks if plank.plank == laid_anew.plank)
    assert (source.source, source.length) == (Source.HAND, end.length)
    assert laid_anew.length == end.length
    assert check_plan(done.plan) == ()


def test_a_lost_piece_without_a_part_takes_a_fresh_plank_whose_rest_is_in_hand(loft):
    row = loft.rows[0]
    starter = row.pieces[0]
    left = remaining(loft, Changes(laid_pieces=frozenset({row.pieces[-1].id}), spoiled=(starter.id,)))
    ((name, number),) = left.replaced.items()
    assert name == starter.id
    if number not in {plank.plank for plank in loft.planks}:
        rest = dict(zip(left.numbers, left.hand, strict=True)).get(number)
        assert rest is None or rest.length == inches(48) - starter.length


@pytest.mark.parametrize(
    ("measure", "wanted"),
    [(RowMeasure(longer=IN), 101), (RowMeasure(longer=-IN // 2), 99.5), (RowMeasure(length=98 * IN), 98)],
)
def test_a_row_is_as_long_as_the_tape_says_and_the_rest_as_it_says_of_these(loft, measure, wanted):
    left = remaining(loft, Changes(laid_rows=2, rows={4: measure}, rest=IN // 4))
    lengths = [run.length / IN for run in left.floor.runs]
    assert lengths == [100.25, wanted, 100.25, 100.25]
    assert all(run.area2 <= 2 * run.length * run.width for run in left.floor.runs)


def test_a_length_for_a_row_of_two_runs_is_refused():
    plan = read_plan(PLANS / "two_runs.json")
    row = next(row.run.row for row in plan.rows if row.run.run > 1)
    with pytest.raises(JobError, match=f"row {row} has several runs"):
        remaining(plan, Changes(rows={row: RowMeasure(length=50 * IN)}))


@pytest.mark.parametrize(
    ("left", "widths"),
    [(28, [7, 7, 7, 7]), (27, [7, 7, 7, 6]), (7, [7]), (3, [3]), (30, [7, 7, 7, 7, 2]), (43, [7] * 6 + [1])],
)
def test_rows_left_fill_what_is_left_across(loft, left, widths):
    found = remaining(loft, Changes(laid_rows=2, left_across=left * IN))
    assert [run.width / IN for run in found.floor.runs] == widths
    assert [run.row for run in found.floor.runs] == list(range(3, 3 + len(widths)))
    assert bool(found.notes) == (widths[-1] < 2)


def test_rows_of_other_rooms_are_numbered_on_when_there_are_more_or_fewer():
    plan = planned(rows_of(3, name="Loft"), rows_of(3, 80, name="Store"))
    changes = {"laid_rows": 1, "laid_pieces": frozenset({"4.1"}), "left_across": 28 * IN}
    left = remaining(plan, Changes(**changes))
    assert "rows after row 3 have new numbers: row 4 is now row 6" in left.notes
    assert [(row.run.room, row.run.row) for row in left.kept] == [("Loft", 1), ("Store", 6)]
    assert [run.row for run in left.floor.runs] == [2, 3, 4, 5, 7, 8]
    done = again(plan, **changes)
    assert check_plan(done.plan) == ()
    (moved,) = [row for row in done.plan.rows if row.run.row == 6]
    assert [piece.length for piece in moved.pieces] == [piece.length for piece in plan.rows[3].pieces]


def test_no_more_planks_wait_than_may_when_leftovers_of_laid_rows_are_used():
    plan = planned(rows_of(8, 60), rules={"max_waiting": 1})
    for laid in range(1, 8):
        done = again(plan, laid_rows=laid, spoiled=(f"p{plan.planks[-1].plank}",))
        assert check_plan(done.plan) == ()
        assert done.plan.totals.peak_waiting <= 1


def test_planks_begun_keep_their_numbers_and_fresh_ones_follow(loft):
    done = again(loft, laid_rows=2, spoiled=("p9",))
    begun = {piece.plank for row in loft.rows[:2] for piece in row.pieces}
    for row, before in zip(done.plan.rows[:2], loft.rows[:2], strict=True):
        assert row == before
    fresh = {plank.plank for plank in done.plan.planks} - begun
    assert min(fresh) > max(begun | {9})
    assert done.plan.spoiled == (9,)


def test_what_is_in_hand_is_what_was_bought_less_what_is_opened(loft):
    opened = {piece.plank for row in loft.rows[:2] for piece in row.pieces}
    bought = loft.totals.boxes * loft.plank.per_box
    assert look(loft, Changes(laid_rows=2)).have == bought - len(opened)
    done = again(loft, laid_rows=2, spoiled=("p9",))
    assert (done.have, done.plan.supply) == (bought - len(opened) - 1, bought)
    # A second time from the new plan: the plank spoiled before is still gone, and so is another.
    twice = again(done.plan, laid_rows=2, spoiled=(f"p{done.plan.planks[-1].plank}",))
    assert twice.have == bought - len(opened) - 2
    assert len(twice.plan.spoiled) == 2


def test_rows_laid_once_stay_without_being_told_again(loft):
    done = again(loft, laid_rows=3, spoiled=("p9",))
    assert remaining(done.plan, Changes()).kept == done.plan.rows[:3]


def test_parts_found_before_are_still_in_hand():
    plan = planned(rows_of(6))
    stock = Stock(planks=20, parts=(HandPart(length=40 * IN, keeps=Keeps.BOTH),) * 2)
    done = again(plan, laid_rows=1, stock=stock)
    unused = [plank for plank in done.plan.planks if plank.source is Source.HAND and not plank.done]
    left = remaining(done.plan, Changes())
    assert len([part for part in left.hand if part.plank is None]) == len(unused)


def test_parts_are_no_planks_from_boxes_but_count_as_waste():
    plan = planned(rows_of(6))
    stock = Stock(planks=20, parts=(HandPart(length=47 * IN, keeps=Keeps.BOTH),) * 4)
    done = again(plan, stock=stock).plan
    parts = [plank for plank in done.planks if plank.source is Source.HAND]
    assert parts
    assert done.totals.planks == len(done.planks) - len(parts) < plan.totals.planks
    cut = done.totals.planks * 48 + sum(plank.length / IN for plank in parts)
    assert done.totals.waste_factor_percent == pytest.approx((cut / 600 - 1) * 100)


def test_square_ends_may_be_turned_for_what_is_left():
    plan = planned(rows_of(6), plank={"ends": "square"})
    assert plan.plank.ends is Ends.SQUARE
    for laid in range(6):
        done = again(plan, laid_rows=laid, spoiled=(plan.rows[laid].pieces[0].id,))
        assert check_plan(done.plan) == ()


def test_a_pattern_goes_on_from_the_rows_laid():
    plan = read_plan(PLANS / "third.json")
    for laid in range(1, plan.rows[-1].run.row):
        done = again(plan, laid_rows=laid, spoiled=(plan.rows[-1].pieces[0].id,))
        assert check_plan(done.plan) == ()


def test_what_a_best_effort_broke_in_rows_laid_is_not_held_against_the_rest():
    job = job_of(
        rows_of(3, 50),
        rows_of(2, 100, name="Store"),
        plank={"kind": "click vinyl", "length": 48, "width": 7, "kerf": 0, "ends": "handed"},
        rules={"stagger": 40, "min_piece": 6, "h_joint": 0, "stair_step": 0, "gap": 0},
    )
    bent = plan_job(job, replace(QUICK, best_effort=True), Unwatched())
    assert bent.breaches
    laid = bent.plan.rows[-1].run.row
    done = again(bent.plan, laid_rows=laid)
    assert done.breaches == bent.breaches


def test_parts_of_laid_rows_are_held_while_no_more_planks_wait_than_may(loft):
    def row_of_planks(row, *planks):
        pieces = [replace(row.pieces[0], id=f"{row.run.row}.{plank}", plank=plank) for plank in planks]
        return replace(row, pieces=tuple(pieces))

    # After row 1 plank 2 waits for row 2 already; plank 4 is begun in row 3, the last that is laid.
    kept = [row_of_planks(loft.rows[0], 1, 2), row_of_planks(loft.rows[1], 2), row_of_planks(loft.rows[2], 4)]
    good = {piece.id for row in kept for piece in row.pieces}
    one, two, any_number = (Waiting(kept, good, 4, most) for most in (1, 2, None))
    assert [one.holds(plank) for plank in (1, 2, 4)] == [False, True, False]
    assert [two.holds(plank) for plank in (1, 2, 4)] == [True, True, False]
    assert all(any_number.holds(plank) for plank in (1, 2, 4))
    # A piece of row 3 cut anew from plank 1 makes it wait after row 1, beside plank 2.
    again = Waiting(kept, good, 4, 1)
    assert not again.reaches(1, 3)
    assert again.reaches(2, 3)
