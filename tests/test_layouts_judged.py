"""Known bad layouts come to exactly their findings, by hand and by source; hands of offcuts; what is not judged."""

from itertools import chain

import pytest
from layout_files import judged

from cutopt.check import Fault, Rule, check_plan
from cutopt.jobfile import parse_layout
from cutopt.layouts import as_plan, untold_rules
from cutopt.model.plan import End

VINYL = "unit = in\nkind = glue-down vinyl, length = {plank}, width = 6\n"


def rows_of(starters, room, plank):
    """Rows of a room by their first pieces: whole planks after them, and what is left."""
    rows = []
    for first in starters:
        wholes, end = divmod(room - first, plank)
        rows.append([first, *[plank] * int(wholes), *([end] if end else [])])
    return rows


def typed(rows, planks=None):
    """Rows as lines of CSV; ``planks`` tells, by row and place from 0, the plank of a piece."""
    told = planks or {}
    return "\n".join(
        ", ".join(
            f"{piece}" + (f" @ {told[row, nth]}" if (row, nth) in told else "")
            for nth, piece in enumerate(pieces)
        )
        for row, pieces in enumerate(rows)
    )


def chained(rows, plank, ahead):
    """The end piece of a row and the starter so many rows on come from one plank, where that is long enough."""
    fresh = iter(range(1, 10_000))
    told = {}
    for row, pieces in enumerate(rows):
        told.setdefault((row, 0), next(fresh))
        if pieces[-1] != plank:
            told[row, len(pieces) - 1] = number = next(fresh)
            if row + ahead < len(rows) and pieces[-1] + rows[row + ahead][0] <= plank:
                told[row + ahead, 0] = number
    return told


def test_step_of_13_and_a_half_in_a_room_of_134_in():
    # A diary's floor: boards of 36 in, joints 13-1/2 in on from row to row, the end piece and the starter two rows
    # on from one board with an inch of scrap. The step comes again every 8 rows; its shortest pieces are then 4 in.
    starters = [4 + 13.5 * -row % 36 for row in range(8)]
    assert sorted(starters) == [4 + 4.5 * nth for nth in range(8)]
    rows = rows_of(starters, 134, 36)
    # But for the row that ends in 35-1/2 in, as the one two rows on begins.
    assert [rows[row][-1] + rows[row + 2][0] for row in range(6)].count(35) == 5
    text = VINYL.format(plank=36) + typed(rows, chained(rows, 36, 2))
    assert judged(text) == {Rule.STAIR_STEP: 6, Rule.MIN_PIECE: 2}
    faults = [finding.fault for finding in check_plan(as_plan(parse_layout(text)))]
    assert faults.count(Fault.STARTER_SHORT) == faults.count(Fault.END_PIECE_SHORT) == 1


def test_step_of_13_and_a_half_with_its_own_minimum():
    starters = [4 + 13.5 * -row % 36 for row in range(8)]
    rows = rows_of(starters, 134, 36)
    text = VINYL.format(plank=36) + "min_piece = 4, stair_step = 0\n" + typed(rows, chained(rows, 36, 2))
    assert judged(text) == {}


def test_offcut_chain_in_a_room_of_144_in():
    # 144 in less two gaps of 1/4 in, planks of 48 in, kerf 1/8 in: every starter is 3/8 in on from the one before.
    starters = [20 + 0.375 * row for row in range(6)]
    rows = rows_of(starters, 143.5, 48)
    planks = chained(rows, 48, 1)
    assert all(rows[row][-1] + 0.125 + rows[row + 1][0] == 48 for row in range(5))
    text = VINYL.format(plank=48) + "kerf = 1/8 in\n" + typed(rows, planks)
    assert judged(text) == {Rule.STAGGER: 5, Rule.H_JOINT: 4, Rule.STAIR_STEP: 4}
    assert as_plan(parse_layout(text)).totals.planks == 2 * 6 + 7
    within_rows = {
        (row, nth): row + 1 for row, pieces in enumerate(rows) for nth in (0, len(pieces) - 1)
    }  # starter and end piece of every row from one plank, 3/8 in of scrap after the kerf
    one_plank = VINYL.format(plank=48) + "kerf = 1/8 in, stagger = 0, h_joint = 0, stair_step = 0\n"
    plan = as_plan(parse_layout(one_plank + typed(rows, within_rows)))
    assert not check_plan(plan)
    shared = [cut for cut in plan.planks if len(cut.pieces) > 1]
    assert len(shared) == 6
    assert {offcut.length for cut in shared for offcut in cut.offcuts} == {8128 * 3 // 8 - 8128 // 8}


def test_half_offset_has_h_joints():
    rows = rows_of([24, 48] * 3, 168, 48)
    text = VINYL.format(plank=48)
    # A half on and a half back are the same shift round the plank length, so by that definition it steps too.
    assert judged(text + typed(rows)) == {Rule.H_JOINT: 4, Rule.STAIR_STEP: 4}
    assert judged(text + "stair_step = 0\n" + typed(rows)) == {Rule.H_JOINT: 4}
    assert judged(text + "pattern = half\n" + typed(rows)) == {}


def test_third_offset_is_a_stair_step():
    rows = rows_of([16, 32, 48] * 2, 160, 48)
    assert judged(VINYL.format(plank=48) + typed(rows)) == {Rule.STAIR_STEP: 4}
    assert judged(VINYL.format(plank=48) + "pattern = third\n" + typed(rows)) == {}


def test_offcut_chain_in_a_room_of_130_in_ends_in_six_inches():
    # First pieces 48, 14, 28, 42 and end pieces 34, 20, 6, 40: arithmetic of the chain.
    rows = rows_of([48, 14, 28, 42], 130, 48)
    assert [pieces[-1] for pieces in rows] == [34, 20, 6, 40]
    click = "unit = in\nkind = click vinyl\nlength = 48\nwidth = 7\n"
    text = click + typed(rows, chained(rows, 48, 1))
    assert judged(text) == {Rule.MIN_PIECE: 1, Rule.STAIR_STEP: 2}
    (short,) = [f for f in check_plan(as_plan(parse_layout(text))) if f.rule is Rule.MIN_PIECE]
    assert short.fault is Fault.END_PIECE_SHORT
    assert short.rows == (3,)
    assert short.place == 124 * 8128
    assert short.found == 6 * 8128


HANDS = "unit = in\nlength = 48, width = 7, ends = {ends}, lay = {lay}, stagger = 0, min_piece = 0, h_joint = 0, stair_step = 0\n"
TWO_STARTERS = "20 @ 1, 48, 30 @ 2\n28 @ 1, 48, 20 @ 3"
TWO_END_PIECES = "20 @ 2, 48, 30 @ 1\n28 @ 3, 48, 18 @ 1"
LAYS = ("left-to-right", "right-to-left")


@pytest.mark.parametrize("lay", LAYS)
@pytest.mark.parametrize("rows", [TWO_STARTERS, TWO_END_PIECES])
def test_two_pieces_for_one_end_of_a_handed_plank(rows, lay):
    text = HANDS.format(ends="handed", lay=lay) + rows
    assert judged(text) == {Rule.FACTORY_ENDS: 1}
    (wrong,) = check_plan(as_plan(parse_layout(text)))
    assert wrong.rows == (2,)
    assert wrong.planks == (1,)
    assert judged(HANDS.format(ends="square", lay=lay) + rows) == {}


@pytest.mark.parametrize("lay", LAYS)
@pytest.mark.parametrize("ends", ["handed", "square"])
def test_a_starter_and_an_end_piece_share_a_plank(ends, lay):
    plan = as_plan(parse_layout(HANDS.format(ends=ends, lay=lay) + "20 @ 1, 48, 28 @ 1\n15 @ 2, 48, 33 @ 3"))
    assert check_plan(plan) == ()
    first, _, last = plan.rows[0].pieces
    assert (first.left, first.right) == (End.CUT, End.FACTORY)
    assert (last.left, last.right) == (End.FACTORY, End.CUT)
    (shared,) = [cut for cut in plan.planks if len(cut.pieces) > 1]
    assert shared.pieces == (last.id, first.id)


@pytest.mark.parametrize("ends", ["handed", "square"])
def test_three_pieces_that_keep_an_end(ends):
    text = HANDS.format(ends=ends, lay=LAYS[0]) + "10 @ 1, 48, 30\n11 @ 1, 48, 20\n12 @ 1, 48, 20"
    assert judged(text)[Rule.FACTORY_ENDS] == 0  # not every plank is told
    text = text.replace("30\n", "30 @ 2\n").replace("20\n", "20 @ 3\n") + " @ 4"
    assert judged(text) == {Rule.FACTORY_ENDS: 2 if ends == "handed" else 1}


def test_more_from_a_plank_than_it_has():
    text = HANDS.format(ends="handed", lay=LAYS[0]) + "kerf = 1/8\n20 @ 1, 48, 28 @ 1"
    assert judged(text) == {Rule.PLANK_LENGTH: 1}
    (full,) = check_plan(as_plan(parse_layout(text)))
    assert (full.found, full.wanted) == (48 * 8128 + 1016, 48 * 8128)


def test_planks_that_wait():
    rows = "\n".join(f"20 @ {row}, 48, 20 @ {row + 20}" for row in range(1, 9))
    later = "\n".join(f"28 @ {row + 20}, 48, 12 @ {row + 40}" for row in range(1, 9))
    text = HANDS.format(ends="square", lay=LAYS[0]) + rows + "\n" + later
    assert judged(text) == {Rule.MAX_WAITING: 1}
    assert judged("max_waiting = any\n" + text) == {}
    assert as_plan(parse_layout(text)).totals.peak_waiting == 8


def test_a_piece_inside_a_row_that_is_no_whole_plank():
    text = HANDS.format(ends="handed", lay=LAYS[0]) + "20, 30, 48, 20\n20, 50, 20"
    assert judged(text) == {Rule.CUT_ENDS: 1, Rule.PIECE_LENGTH: 1}


def test_planks_of_a_length_that_is_not_told():
    text = "unit = in\nkind = solid strip, width = 2-1/4\n17, 36, 48, 21\n30, 30, 30, 32"
    layout = parse_layout(text)
    assert layout.plank.length == 48 * 8128
    untold = untold_rules(layout)
    assert {"stair-step", "pattern", "cut ends at walls", "factory ends", "plank length"} <= untold.keys()
    assert "stagger" not in untold
    assert check_plan(as_plan(layout)) == ()
    assert judged(text.replace("30, 30, 30", "19, 42, 30")) == {Rule.STAGGER: 1}
    # and where they are of several lengths, a length told is no more than one of them
    assert judged(text.replace("width", "single_length = false, length = 36, width")) == {}


def test_nothing_told_but_lengths():
    text = "17 in, 48 in, 21 in\n2 in, 48 in, 36 in"
    untold = untold_rules(parse_layout(text))
    assert set(untold) <= {rule.value for rule in Rule}
    assert {"stagger", "minimum piece", "H-joint", "stair-step", "factory ends"} <= untold.keys()
    assert judged(text) == {}
    judged_now = untold_rules(parse_layout("stagger = 6 in\n" + text))
    assert "stagger" not in judged_now
    assert judged("stagger = 16 in\n" + text) == {Rule.STAGGER: 1}


def test_every_rule_that_is_filled_in_is_named_by_its_name():
    told = parse_layout("unit = in\nkind = laminate, length = 48, width = 7\nwidth = 7, 20 @ 1, 48, 28 @ 1")
    assert set(untold_rules(told)) == {
        Rule.NUMBERING,
        Rule.RUN_LENGTH,
        Rule.AREA,
        Rule.PLANK_LIST,
        Rule.OFFCUTS,
        Rule.GROUND,
        Rule.TOUCHING,
        Rule.SHARE_RIPS,
        Rule.LOTS,
        Rule.TOTALS,
        Rule.BOUND,
    }


def test_widths():
    wood = "unit = in\nkind = engineered wood\n"
    rows = "20, 48, 28\n12, 48, 36"
    assert "stagger" in untold_rules(parse_layout(wood + rows))  # wood is staggered by its width
    assert "stagger" not in untold_rules(parse_layout(wood + "width = 5\n" + rows))
    assert (
        judged(wood + "length = 48, width = 5\n" + rows.replace("12,", "width = 6, 12,"))[Rule.ROW_WIDTH] == 1
    )


def test_starts_set_rows_off():
    rules = HANDS.format(ends="square", lay=LAYS[0]).replace("stagger = 0", "stagger = 6")
    assert judged(rules + "20, 48, 28\n20, 48, 28") == {Rule.STAGGER: 1}
    assert judged(rules + "20, 48, 28\nstart = 10, 20, 48, 28") == {}
    (close,) = check_plan(as_plan(parse_layout(rules + "20, 48, 28\nstart = 10, 12, 48, 28")))
    assert (close.place, close.found) == (12 * 8128, 2 * 8128)


def test_every_fault_names_pieces_that_are_there():
    plan = as_plan(parse_layout(HANDS.format(ends="handed", lay=LAYS[0]) + TWO_STARTERS))
    ids = set(chain.from_iterable((piece.id for piece in laid.pieces) for laid in plan.rows))
    assert all(set(finding.pieces) <= ids for finding in check_plan(plan))
