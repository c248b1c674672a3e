"""The order of laying, the way out and run limits: floors by their runs alone."""

from collections import deque
from dataclasses import replace
from itertools import pairwise

import pytest
from grounds import Drawn, inches, rectangle
from hypothesis import given, settings
from hypothesis import strategies as st
from runs import run_of

from cutopt.model.cutouts import Axis
from cutopt.model.job import LayoutSpec, PlankKind
from cutopt.setout._limits import breaks, movements, over_limits
from cutopt.setout._order import segments
from cutopt.setout._runs import parts_of, touching
from cutopt.setout._way_out import first_shut_in, way_out


@st.composite
def floors(draw):
    """Rows of one to three runs on a floor 12 wide, parted by walls a tick wide."""
    runs = []
    for line in range(1, draw(st.integers(1, 6)) + 1):
        stops = sorted(draw(st.sets(st.integers(0, 12), min_size=2, max_size=4)))
        kept = [(left, right) for left, right in pairwise(stops) if right - left > 1]
        for nth, (left, right) in enumerate(kept, 1):
            runs.append(run_of(line, right - left - 1, offset=left, nth=nth))
    return runs


def numbered(found):
    return {key: segment.number for segment in found for key in segment.runs}


@settings(derandomize=True, max_examples=200)
@given(floors())
def test_every_run_is_in_one_segment_and_follows_what_it_touches(runs):
    before = touching(runs)
    found = segments(runs, before)
    laid = [key for segment in found for key in segment.runs]
    assert sorted(laid) == sorted((run.row, run.run) for run in runs)
    turn = {key: nth for nth, key in enumerate(laid)}
    for run, others in zip(runs, before, strict=True):
        for other in others:
            assert turn[runs[other].row, runs[other].run] < turn[run.row, run.run]
    assert [segment.number for segment in found] == list(range(1, len(found) + 1))
    assert all(need < segment.number for segment in found for need in segment.after)


@settings(derandomize=True, max_examples=200)
@given(floors())
def test_no_two_segments_could_be_one(runs):
    before = touching(runs)
    number = numbered(segments(runs, before))
    of = [number[run.row, run.run] for run in runs]
    after = [[] for _ in runs]
    for place, others in enumerate(before):
        for other in others:
            after[other].append(place)
    for place, others in enumerate(before):
        alone = len(others) == 1 and len(after[others[0]]) == 1
        assert alone == (bool(others) and all(of[other] == of[place] for other in others))


def test_hall_cannot_be_finished_before_the_room_beyond():
    # A row goes only as far as the row before it (a homeowner's diary of laminate through a hall: the hall's
    # fifth row needed the entry first; no sizes given).
    runs = [
        run_of(1, 40, room="Hall"),
        run_of(2, 40, room="Hall"),
        replace(run_of(1, 40, offset=60, nth=2, room="Entry"), field="Hall"),
        replace(run_of(2, 40, offset=60, nth=2, room="Entry"), field="Hall"),
        replace(run_of(3, 100, room="Hall + Entry"), field="Hall"),
    ]
    hall, entry, both = segments(runs, touching(runs))
    assert (hall.rooms, hall.runs, hall.after) == (("Hall",), ((1, 1), (2, 1)), ())
    assert (entry.rooms, entry.runs, entry.after) == (("Entry",), ((1, 2), (2, 2)), ())
    assert (both.rooms, both.after) == (("Hall", "Entry"), (1, 2))


def test_named_touching_counts_more_than_spans():
    runs = [run_of(1, 10), run_of(1, 10, offset=12, nth=2), replace(run_of(2, 22), touches=(2,))]
    assert touching(runs) == ((), (), (1,))


def simulated(places, before, exits):
    """Lay one run after another and look for bare floor that no exit can be reached from, step by step."""
    for laid in range(len(places)):
        bare = set(places[laid:])
        reached = {place for place in bare if exits.get(place)}
        todo = deque(reached)
        while todo:
            place = todo.popleft()
            near = {other for other in bare if other in before[place] or place in before[other]}
            todo.extend(near - reached)
            reached |= near
        if reached != bare:
            return laid
    return None


@settings(derandomize=True, max_examples=300)
@given(floors(), st.data())
def test_way_out_agrees_with_laying_step_by_step(runs, data):
    before = touching(runs)
    doors = data.draw(st.sets(st.integers(0, max(len(runs) - 1, 0)), max_size=3))
    exits = {place: ["door"] for place in doors}
    for order in (range(len(runs)), range(len(runs) - 1, -1, -1)):
        assert first_shut_in(list(order), before, exits) == simulated(list(order), before, exits)


def room_of_rows(rows):
    return [run_of(line, 100, row=line + 10) for line in range(1, rows + 1)]


def test_door_at_the_first_row_shuts_in_and_laying_from_the_other_side_does_not():
    runs = room_of_rows(4)
    found = way_out(range(4), runs, touching(runs), {0: ["front door"]})
    assert (found.shut_in.row, found.shut_in.first_row, found.shut_in.last_row) == (11, 12, 14)
    assert found.mended
    assert found.exits == ("front door",)


def test_door_at_the_last_row_lets_out():
    runs = room_of_rows(4)
    found = way_out(range(4), runs, touching(runs), {3: ["front door"], 0: ["back door"]})
    assert (found.shut_in, found.last, found.mended) == (None, ("front door",), False)


def test_door_in_the_middle_lets_nobody_out_from_either_side():
    runs = room_of_rows(5)
    found = way_out(range(5), runs, touching(runs), {2: ["front door"]})
    assert (found.shut_in.row, found.mended) == (13, False)


def test_no_way_out_is_told_where_no_exit_is_known():
    runs = room_of_rows(2)
    found = way_out(range(2), runs, touching(runs), {})
    assert (found.exits, found.shut_in, found.last) == ((), None, ())


def test_a_part_without_an_exit_is_shut_in_from_the_beginning():
    runs = [run_of(1, 10), run_of(1, 10, offset=20, nth=2)]
    found = way_out(range(2), runs, touching(runs), {0: ["front door"]})
    assert (found.shut_in.row, found.shut_in.first_row) == (0, 1)


def rows_of_inches(rows, width, length):
    return [run_of(line, inches(length), width=inches(width)) for line in range(1, rows + 1)]


def test_run_over_its_limit_needs_a_break():
    # homeownershub.com, laminate over a large area: hall and room 30.5 ft, a break over 27 ft.
    layout = LayoutSpec(run_limit_along=inches(324))
    (found,) = over_limits([rows_of_inches(3, 8, 366)], layout, {})
    assert (found.axis, found.extent, found.breaks) == (Axis.ALONG, inches(366), 1)
    assert breaks(inches(324), inches(324)) == 0


def test_rows_over_their_limit_across():
    # fcimag.com, planning a wood floor's layout: 3-1/4 in strip, 53 ft across in one piece; 195.7 rows.
    runs = [*rows_of_inches(195, "13/4", 100), run_of(196, inches(100), width=inches("9/4"))]
    (found,) = over_limits([runs], LayoutSpec(run_limit_across=inches(480)), {})
    assert (found.axis, found.extent, found.straight, found.breaks) == (
        Axis.ACROSS,
        inches(636),
        inches(636),
        1,
    )
    assert list(over_limits([runs], LayoutSpec(run_limit_across=inches(636)), {})) == []


def test_straight_stretch_across_ends_at_a_jog():
    runs = [run_of(1, 10), run_of(2, 10, offset=5), run_of(3, 10, offset=12)]
    (found,) = over_limits([runs], LayoutSpec(run_limit_across=150), {})
    assert (found.extent, found.straight) == (300, 200)


def floating(kind, gap):
    return Drawn(rooms={"Hall": rectangle(0, 0, 60, 624)}, width=8, gap=gap, kind=kind).plan()


def test_movement_of_78_rows_against_two_gaps():
    # flooringdoctor.com, "the reason behind T-moldings": 78 rows, 1/64 in each, gaps 2 x 1/4 in.
    plan = floating(PlankKind.CLICK_VINYL, "1/4")
    runs = rows_of_inches(78, 8, 60)
    (found,) = movements([runs], plan, LayoutSpec(movement=inches("1/64")))
    assert (found.rows, found.growth, found.excess) == (78, inches("39/32"), inches("23/32"))


@pytest.mark.parametrize("kind", [PlankKind.GLUE_DOWN_VINYL, PlankKind.SOLID_STRIP])
def test_floors_that_are_fixed_have_no_movement_budget(kind):
    runs = rows_of_inches(78, 8, 60)
    assert list(movements([runs], floating(kind, 0), LayoutSpec(movement=127))) == []


def test_parts_that_do_not_touch_are_apart():
    runs = [run_of(1, 10), run_of(1, 10, offset=20, nth=2), run_of(2, 10)]
    assert parts_of(range(3), touching(runs)) == [[0, 2], [1]]
