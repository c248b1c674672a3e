"""The width across the rows shared out: every edge policy, exactly."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from rooms import inch

from cutopt.errors import JobError
from cutopt.layout._bands import Bands, divide
from cutopt.model.job import EdgePolicy

CHECKED = settings(derandomize=True, deadline=None, max_examples=300)

widths = st.integers(1, 60)
clears = st.integers(1, 400)
policies = st.sampled_from(EdgePolicy)


def bands(clear, width, policy=EdgePolicy.AUTO, *, min_rip="1", first=None) -> Bands:
    return divide(
        base=0,
        clear=inch(clear),
        width=inch(width),
        min_rip=inch(min_rip),
        policy=policy,
        first_width=None if first is None else inch(first),
        where='room "Den"',
    )


def stack(one: Bands) -> list[int]:
    return [one.width(row) for row in range(one.count)]


@pytest.mark.parametrize(
    ("clear", "width", "policy", "edges", "whole"),
    [
        # 4 in boards with 1 in left over: (4 + 1) / 2 in each (verydays.com); 41 in is our choice
        ("41", "4", EdgePolicy.BALANCE, ("2-1/2", "2-1/2"), 9),
        ("41", "4", EdgePolicy.AUTO, ("2-1/2", "2-1/2"), 9),
        # ... 3 in left over may go to both as 1-1/2 in (derived)
        ("43", "4", EdgePolicy.HALVES, ("1-1/2", "1-1/2"), 10),
        ("43", "4", EdgePolicy.BALANCE, ("3-1/2", "3-1/2"), 9),
        ("43", "4", EdgePolicy.AUTO, ("4", "3"), 9),
        # 113-1/2 in of 2-3/8 in strip and gaps of 0, 1/2, 3/4 in (the house: shallowthoughtsfromiowa.blogspot.com;
        # remainders and edges derived from it)
        ("113-1/2", "2-3/8", EdgePolicy.FULL_FIRST, ("2-3/8", "1-7/8"), 46),
        ("112-1/2", "2-3/8", EdgePolicy.FULL_FIRST, ("2-3/8", "7/8"), 46),
        ("112", "2-3/8", EdgePolicy.FULL_FIRST, ("2-3/8", "3/8"), 46),
        ("113-1/2", "2-3/8", EdgePolicy.BALANCE, ("2-1/8", "2-1/8"), 46),
        ("112-1/2", "2-3/8", EdgePolicy.BALANCE, ("1-5/8", "1-5/8"), 46),
        ("112", "2-3/8", EdgePolicy.BALANCE, ("1-3/8", "1-3/8"), 46),
        # 7 ft 7 in left to lay with 5 in boards (a diary of a kitchen floor): 18 rows and 1 in, less a gap 1/2 in
        ("91", "5", EdgePolicy.FULL_FIRST, ("5", "1"), 17),
        ("90-1/2", "5", EdgePolicy.FULL_FIRST, ("5", "1/2"), 17),
        ("90-1/2", "5", EdgePolicy.FULL_LAST, ("1/2", "5"), 17),
        # 33 ft of 5 in boards (same diary): 1 in is left, 3 in at both (derived)
        ("396", "5", EdgePolicy.AUTO, ("3", "3"), 78),
        # A room of 141 in and a gap of 1/4 in, 7 in planks (derived by hand)
        ("140-1/2", "7", EdgePolicy.AUTO, ("3-3/4", "3-3/4"), 19),
        ("146-1/2", "7", EdgePolicy.AUTO, ("7", "6-1/2"), 19),
        # Less than a plank, exactly one, exactly two
        ("3", "7", EdgePolicy.BALANCE, ("3",), 0),
        ("7", "7", EdgePolicy.HALVES, ("7",), 0),
        ("14", "7", EdgePolicy.FULL_LAST, ("7", "7"), 0),
    ],
)
def test_shares(clear, width, policy, edges, whole) -> None:
    min_rip = "2" if width != "2-3/8" else "1"
    first, *last = map(inch, map(fraction, edges))
    assert stack(bands(fraction(clear), fraction(width), policy, min_rip=min_rip)) == (
        [first, *[inch(fraction(width))] * whole, *last]
    )


def fraction(text: str) -> float:
    whole, _, part = text.rpartition("-")
    top, _, below = part.partition("/")
    return int(whole or 0) + int(top) / int(below or 1)


@CHECKED
@given(clear=clears, width=widths, min_rip=st.integers(0, 60), policy=policies, base=st.integers(-9, 9))
def test_rows_fill_the_width_and_all_between_are_whole(clear, width, min_rip, policy, base) -> None:
    one = divide(base=base, clear=clear, width=width, min_rip=min_rip, policy=policy)
    rows = stack(one)
    assert sum(rows) == one.clear == clear
    assert all(0 < row <= width for row in rows)
    assert all(row == width for row in rows[1:-1])
    assert (one.first, one.last, one.remainder) == (rows[0], rows[-1], clear % width)
    assert one.top(one.count - 1) == base + clear
    if clear % width == 0:
        assert rows == [width] * (clear // width)
    if clear < width:
        assert rows == [clear]


@CHECKED
@given(clear=clears, width=widths)
def test_each_policy_does_what_it_says_of_any_remainder(clear, width) -> None:
    whole, over = divmod(clear, width)
    assume(whole and over)
    rows = {
        policy: stack(divide(base=0, clear=clear, width=width, min_rip=width // 3, policy=policy))
        for policy in EdgePolicy
    }
    assert rows[EdgePolicy.FULL_FIRST] == [*[width] * whole, over]
    assert rows[EdgePolicy.FULL_LAST] == [over, *[width] * whole]
    balanced = rows[EdgePolicy.BALANCE]
    assert len(balanced) == whole + 1
    assert balanced[0] - balanced[-1] == (over + width) % 2
    halves = rows[EdgePolicy.HALVES]
    if over > 1:
        assert len(halves) == whole + 2
        assert halves[0] - halves[-1] == over % 2
        assert halves[0] + halves[-1] == over
    auto = EdgePolicy.FULL_FIRST if over >= width // 3 else EdgePolicy.BALANCE
    assert rows[EdgePolicy.AUTO] == rows[EdgePolicy.STOPS] == rows[auto]


@CHECKED
@given(clear=clears, width=widths, kerf=st.integers(0, 5))
def test_halves_never_open_fewer_rows_of_planks_than_balanced_edges(clear, width, kerf) -> None:
    balance, halves = (
        divide(base=0, clear=clear, width=width, min_rip=0, policy=policy).plank_rows(kerf)
        for policy in (EdgePolicy.BALANCE, EdgePolicy.HALVES)
    )
    whole, over = divmod(clear, width)
    assert halves >= balance
    if whole and over > 1:
        assert halves - balance == (over + kerf > width)


def test_strips_share_a_plank_where_both_and_the_cut_fit() -> None:
    # 4 in boards with 1 in over: 2-1/2 in twice is no 4; with 3 in over, 1-1/2 in twice is (derived, verydays.com)
    assert bands(41, 4, EdgePolicy.BALANCE).plank_rows(inch("1/8")) == 11
    assert bands(43, 4, EdgePolicy.HALVES).plank_rows(inch("1/8")) == 11
    assert bands(43, 4, EdgePolicy.HALVES).plank_rows(inch("1")) == 11
    assert bands(43, 4, EdgePolicy.HALVES).plank_rows(inch("9/8")) == 12


@CHECKED
@given(clear=clears, width=widths, first=widths, policy=policies)
def test_a_first_width_goes_before_any_policy(clear, width, first, policy) -> None:
    assume(first <= min(width, clear))
    one = divide(base=0, clear=clear, width=width, min_rip=9, policy=policy, first_width=first)
    rows = stack(one)
    assert rows[0] == first
    assert sum(rows) == clear
    assert all(row == width for row in rows[1:-1])
    assert all(0 < row <= width for row in rows)
    assert not one.balanced


@pytest.mark.parametrize(
    ("clear", "first", "says"),
    [
        (100, "7-1/8", "the first row cannot be as wide as asked"),
        (100, "0", "the first row cannot be as wide as asked"),
        (3, "3-1/2", "the first row as asked is wider than the floor inside its gaps"),
    ],
)
def test_a_first_width_that_cannot_be(clear, first, says) -> None:
    with pytest.raises(JobError) as caught:
        bands(clear, 7, first=fraction(first))
    (problem,) = caught.value.problems
    assert (problem.what, problem.where) == (says, 'room "Den"')
