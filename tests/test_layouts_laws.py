"""Planned floors written as layouts and read back come out unblamed; a planted breach is found, and no other."""

from collections import Counter
from itertools import pairwise, product

import pytest
from cuttings import cases
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from layout_files import as_csv, as_toml, judged
from perfect_jobs import equal_rows, rows_of_any_length
from planner_jobs import planned

from cutopt.check import Rule, check_plan
from cutopt.jobfile import parse_layout
from cutopt.layouts import as_plan
from cutopt.numbering import number

BOTH = pytest.mark.parametrize("written", [as_csv, as_toml])


def settled(examples):
    return settings(derandomize=True, deadline=None, max_examples=examples)


def told_alike(plan, again):
    """The layout tells all that the counts of a plan rest on."""
    assert again.totals == plan.totals
    assert [[(piece.id, piece.plank, piece.length) for piece in laid.pieces] for laid in again.rows] == [
        [(piece.id, piece.plank, piece.length) for piece in laid.pieces] for laid in plan.rows
    ]
    assert {cut.plank: sum(one.length for one in cut.offcuts) for cut in again.planks} == {
        cut.plank: sum(one.length for one in cut.offcuts) for cut in plan.planks
    }


@BOTH
@settled(60)
@given(case=cases())
def test_any_legal_cutting_read_back_is_unblamed(written, case):
    plan = number(case.floor, case.cutting, case.job, 0)
    again = as_plan(parse_layout(written(plan)))
    assert check_plan(again) == ()
    told_alike(plan, again)


@BOTH
@settled(12)
@given(perfect=st.one_of(equal_rows(), rows_of_any_length()))
def test_a_planned_floor_read_back_is_unblamed(written, perfect):
    plan = planned(perfect.job)
    again = as_plan(parse_layout(written(plan)))
    assert check_plan(again) == ()
    told_alike(plan, again)


P, STAGGER, H_JOINT, STEP, LEAST = 48, 8, 2, 1, 6
RULES = f"unit = in\nlength = {P}, width = 6, ends = square\n" + ", ".join(
    f"{key} = {value}"
    for key, value in (("stagger", STAGGER), ("h_joint", H_JOINT), ("stair_step", STEP), ("min_piece", LEAST))
)


def joints(first, length):
    return range(first, length, P)


def closest(one, other, length):
    return min((abs(a - b) for a, b in product(joints(one, length), joints(other, length))), default=length)


def broken(starts, length):
    """By hand, how often rows of one length break each rule: in pairs, in threes, at either end."""
    found = Counter()
    found[Rule.STAGGER] = sum(closest(one, two, length) < STAGGER for one, two in pairwise(starts))
    threes = list(zip(starts, starts[1:], starts[2:], strict=False))
    found[Rule.H_JOINT] = sum(closest(one, three, length) < H_JOINT for one, _, three in threes)
    turns = [(one - 2 * two + three) % P for one, two, three in threes]
    found[Rule.STAIR_STEP] = sum(min(turn, P - turn) < STEP for turn in turns)
    ends = [(length - start) % P or P for start in starts]
    found[Rule.MIN_PIECE] = sum(piece < LEAST for piece in (*starts, *ends))
    return +found


def as_rows(starts, length, mark=", "):
    lines = []
    for start in starts:
        wholes, end = divmod(length - start, P)
        lines.append(mark.join(map(str, [start, *[P] * wholes, *([end] if end else [])])))
    return "\n".join([RULES.replace(", ", mark), *lines])


@st.composite
def good_floors(draw, rows):
    """First pieces of rows that break nothing, and the rows' length."""
    length = draw(st.integers(2 * P, 4 * P))
    starts = []
    for _ in range(rows):
        sound = [start for start in range(1, P + 1) if not broken([*starts, start][-3:], length)]
        assume(sound)
        starts.append(draw(st.sampled_from(sound)))
    return starts, length


@settled(60)
@given(floor=good_floors(6), mark=st.sampled_from([", ", ";", "\t"]))
def test_a_good_floor_is_unblamed(floor, mark):
    assert broken(*floor) == {}
    assert judged(as_rows(*floor, mark)) == {}


@pytest.mark.parametrize("rule", [Rule.STAGGER, Rule.H_JOINT, Rule.STAIR_STEP, Rule.MIN_PIECE])
@settled(40)
@given(floor=good_floors(5), data=st.data())
def test_a_planted_breach_is_found_and_no_other(rule, floor, data):
    starts, length = floor
    row = data.draw(st.integers(0, len(starts) - 1), label="row")
    changed = [[*starts[:row], start, *starts[row + 1 :]] for start in range(1, P + 1)]
    planted = [rows for rows in changed if broken(rows, length).keys() == {rule}]
    assume(planted)
    rows = data.draw(st.sampled_from(planted), label="rows")
    assert judged(as_rows(rows, length)) == broken(rows, length)
