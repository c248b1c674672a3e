"""How far a room or the plank may grow, and rooms that the tape got wrong."""

import statistics
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rooms import inch, job, outline, size
from studies import all_boxes, closet, real_boxes, small

from cutopt.layout import lay_out
from cutopt.model.pricing import RiskSpec
from cutopt.model.rooms import Doorway, RowSpec, RowsRoom, RunSpec, Survey, SurveyRoom
from cutopt.study import growing, margins, mismeasured
from cutopt.units import TICKS_PER_MM, Unit

STEADY = settings(derandomize=True, deadline=None, max_examples=60)
EIGHTH = inch("1/8")

INCHES = st.integers(40, 800).map(lambda eighths: eighths * EIGHTH)
MORE = st.integers(1, 30 * 8128)


def net2(one):
    return sum(run.area2 for run in lay_out(one).runs)


def named(one):
    return {of.what: (of, make) for of, make in growing(one)}


# What may grow


@st.composite
def rooms(draw):
    """A rectangle, or an outline with a corner taken out."""
    x, y = draw(INCHES), draw(INCHES)
    if draw(st.booleans()):
        return replace(size(1, 1), along=x, across=y)
    dx, dy = draw(st.integers(EIGHTH, x - EIGHTH)), draw(st.integers(EIGHTH, y - EIGHTH))
    corners = [(0, 0), (x, 0), (x, y - dy), (x - dx, y - dy), (x - dx, y), (0, y)]
    if draw(st.booleans()):
        corners = [(x - a, b) for a, b in reversed(corners)]
    if draw(st.booleans()):
        corners = [(a, y - b) for a, b in reversed(corners)]
    return replace(outline((0, 0), (1, 0), (0, 1)), corners=tuple(corners))


@given(rooms(), MORE, st.sampled_from(["0", "1/4", "2"]))
@STEADY
def test_the_net_area_never_falls_when_a_room_grows(room, more, gap):
    one = job(room, gap=gap)
    for of, make in growing(one)[:2]:
        assert make(of.now) == one
        assert net2(make(of.now + more)) >= net2(one)


@given(st.lists(st.integers(1, 200), min_size=1, max_size=4), MORE)
@STEADY
def test_nor_when_rows_grow(lengths, more):
    one = job(closet(*map(str, lengths)))
    (of, make), *_ = growing(one)
    assert of.now == inch(max(lengths))
    assert net2(make(of.now + more)) == net2(one) + 2 * more * len(lengths) * one.plank.width


def test_what_may_grow_is_named():
    one = job(size(100, 50), outline((0, 0), (90, 0), (90, 60), (0, 40)), closet("40", "42"))
    found = growing(one)
    assert [(of.what, of.now) for of, _ in found] == [
        ("Studio, along the rows", inch(100)),
        ("Studio, across the rows", inch(50)),
        ("Bay, along the rows", inch(90)),
        ("Bay, across the rows", inch(60)),
        ("Closet, longest row and all others with it", inch(42)),
        ("plank length, longer", inch(48)),
        ("plank length, shorter", inch(48)),
    ]
    for of, make in found:
        assert make(of.now) == one
        assert make(of.now - 1) != one != make(of.now + 1)
    turned = replace(one, layout=replace(one.layout, direction=Fraction(90)))
    assert [of.what for of, _ in growing(turned)][:2] == ["Studio, across the rows", "Studio, along the rows"]
    aslant = replace(one, layout=replace(one.layout, direction=Fraction(45)))
    names = ["Studio, wall A-B", "Studio, wall B-C", "Bay, along its x", "Bay, along its y"]
    assert [of.what for of, _ in growing(aslant)][:4] == names


def test_the_far_walls_of_an_outline_move_and_nothing_else():
    one = job(outline((0, 0), (90, 0), (90, 30), (60, 30), (60, 40), (90, 40), (90, 60), (0, 60)))
    make = named(one)["Bay, along the rows"][1]
    assert make(inch(95)).rooms == (
        outline((0, 0), (95, 0), (95, 30), (60, 30), (60, 40), (95, 40), (95, 60), (0, 60)),
    )


def test_every_row_grows_at_its_right_end():
    def rows(*lengths):
        runs = (RunSpec(offset=inch(60), length=inch(lengths[0])), RunSpec(offset=0, length=inch(lengths[1])))
        single = RowSpec(runs=(RunSpec(offset=0, length=inch(lengths[2])),), count=3)
        return RowsRoom(name="Closet", rows=(RowSpec(runs=runs), single))

    of, make = growing(job(rows(50, 40, 30)))[0]
    (grown,) = make(of.now + inch(2)).rooms
    assert [sorted((run.offset, run.length) for run in row.runs) for row in grown.rows] == [
        [(0, inch(40)), (inch(60), inch(52))],
        [(0, inch(32))],
    ]


def test_rooms_beyond_the_wall_on_the_plan_move_with_it():
    hall = replace(size(100, 40, name="Hall"), at=(0, 0))
    study, bath = (
        replace(size(45, 60, name=name), at=(inch(x), inch(40))) for name, x in (("Study", 0), ("Bath", 50))
    )
    one = job(hall, study, bath)
    deeper = named(one)["Hall, across the rows"][1](inch(42))
    assert [room.at for room in deeper.rooms] == [(0, 0), (0, inch(42)), (inch(50), inch(42))]
    wider = named(one)["Study, along the rows"][1](inch(46))
    assert [room.at for room in wider.rooms] == [(0, 0), (0, inch(40)), (inch(51), inch(40))]
    lay_out(deeper)
    lay_out(wider)


def test_a_room_that_a_doorway_places_is_told_by_its_walls():
    one = replace(
        job(replace(size(100, 40, name="Hall"), at=(0, 0)), size(60, 45, name="Study")),
        doorways=(
            Doorway(
                name="door",
                rooms=("Hall", "Study"),
                walls=(("C", "D"), ("B", "C")),
                offsets=(inch(10), inch(5)),
                width=inch(30),
                depth=inch(5),
            ),
        ),
    )
    assert [of.what for of, _ in growing(one)][:4] == [
        "Hall, along the rows",
        "Hall, across the rows",
        "Study, wall A-B",
        "Study, wall B-C",
    ]
    for of, make in growing(one)[:4]:
        assert net2(make(of.now + inch(3))) > net2(one)


def test_a_survey_has_no_dimensions_before_it_is_solved():
    survey = Survey(corners=(), walls=(), diagonals=(), accuracy=1, angle_accuracy=Fraction(1))
    assert len(growing(job(SurveyRoom(name="Bay", survey=survey)))) == 2


# How far


def along(one):
    return one.rooms[0].along


def margin_of(one, of, what="Studio, along the rows"):
    boxes_of, _ = all_boxes(of)
    return next(margin for margin in margins(one, boxes_of) if margin.of.what == what)


@given(
    st.lists(st.integers(-200, 400), max_size=8),
    st.lists(st.sampled_from([None, 1, 2, 3]), min_size=9, max_size=9),
)
@STEADY
def test_a_margin_claims_nothing_that_was_not_tried(edges, levels):
    """Boxes by length as they please: each stretch between two edges (in eighths) needs what it needs."""
    one, tried = small(), {}

    def needs(other):
        at = along(other)
        if other.rooms[0].across == one.rooms[0].across and other.plank == one.plank:
            level = sum(at - along(one) > edge * EIGHTH for edge in edges)
            tried[at] = 2 if at == along(one) else levels[level]
            return tried[at]
        return 2

    margin = margin_of(one, needs)
    now = margin.of.now
    assert all(tried[at] is not None and tried[at] <= 2 for at in range(now, margin.good + 1, margin.grain))
    assert margin.good in tried
    after = min((at for at in tried if at > margin.good), default=None)
    if margin.next_boxes is not None:
        assert not margin.open_end
        assert after == margin.good + EIGHTH
        assert margin.next_boxes == tried[after] > 2
    else:
        assert margin.open_end
        assert after is None or (tried[after] is None and "no plan at" in margin.note)
    for length, boxes in margin.cheaper:
        assert tried[length] == boxes < 2
    for length, boxes in margin.dearer:
        assert length < now
        assert tried[length] == boxes > 2
    assert bool(margin.cheaper) == any(boxes is not None and boxes < 2 for boxes in tried.values())
    assert bool(margin.dearer) == any(tried[at] is not None and tried[at] > 2 for at in tried if at < now)


def test_the_first_length_that_needs_another_box_is_found_to_the_eighth():
    margin = margin_of(small("100"), lambda one: 2 + (along(one) > inch("106.4375")))
    assert (margin.good, margin.next_boxes, margin.open_end) == (inch("106.375"), 3, False)
    assert margin.grain == inch("4")
    assert margin.note == 'from 104" on every 1/8"'


def test_a_length_that_needs_another_box_at_once():
    margin = margin_of(small("100"), lambda one: 2 + (along(one) > inch(100)))
    assert (margin.good, margin.grain, margin.next_boxes) == (inch(100), EIGHTH, 3)
    assert margin.note == ""


def test_metric_rooms_are_tried_in_two_millimetres():
    one = replace(small("100"), unit=Unit.MM)
    margin = margin_of(one, lambda other: 2 + (along(other) > inch(100) + 31 * TICKS_PER_MM))
    assert margin.good == inch(100) + 30 * TICKS_PER_MM


def test_a_room_is_tried_as_far_as_its_area_takes_a_box_or_two_rows_across():
    tried = []

    def needs(other):
        tried.append((along(other), other.rooms[0].across))
        return 2

    margin_of(small("1000", "210"), needs)
    assert max(tried)[0] - inch(1000) == inch(
        "16.5"
    )  # 5/4 of 8 planks of 48 x 7 over 210 in is 16, in eighths
    assert max(y for _, y in tried) - inch(210) == inch(
        "4.5"
    )  # 5/4 of a box over 1000 in is 3.36, in eighths
    tried.clear()
    margin_of(small("100", "210"), needs)
    assert max(y for _, y in tried) - inch(210) == inch("15")  # two rows are 14, in 12 steps of eighths


def test_everything_is_asked_for_a_few_times_and_at_once():
    boxes_of, asked = all_boxes(lambda one: 2 + (along(one) > inch(110)))
    margins(job(size(100, 35), size(80, 40, name="Den")), boxes_of)
    # now; 4 behind and 4 ahead of 4 dimensions, 4 ahead of the plank either way; ...; the last step in eighths
    assert asked == [1, 40, 20, 12, 31]
    boxes_of, asked = all_boxes(lambda _: 2)
    margins(job(size(100, 35)), boxes_of)
    assert asked == [1, 24, 16, 8]


def test_the_plank_is_tried_in_sixty_fourths_both_ways():
    def needs(one):
        return {True: 3, False: 2}[one.plank.length < inch("47.90625")]

    longer, shorter = (margin_of(small(), needs, f"plank length, {word}") for word in ("longer", "shorter"))
    assert (longer.good, longer.open_end, longer.note) == (inch("48.5"), True, "")
    assert shorter.good == inch("47.90625")
    assert (shorter.grain, shorter.next_boxes) == (inch("1/16"), 3)
    assert shorter.note == 'from 47-15/16" on every 1/64"'
    fewer = margin_of(small(), lambda one: 2 - (one.plank.length > inch("48.1875")), "plank length, longer")
    assert fewer.cheaper == ((inch("48.25"), 1),)


def test_a_length_without_a_plan_ends_the_margin():
    margin = margin_of(small("100"), lambda one: None if along(one) > inch("107") else 2)
    assert (margin.good, margin.next_boxes, margin.open_end) == (inch("107"), None, True)
    assert margin.note == 'from 104" on every 1/8"; no plan at 107-1/8"'


def test_a_job_without_a_plan_has_no_margins_to_tell():
    boxes_of, asked = all_boxes(lambda _: None)
    found = margins(small(), boxes_of)
    assert [(one.good, one.next_boxes, one.open_end) for one in found] == [
        (one.of.now, None, True) for one in found
    ]
    assert {one.note for one in found} == {"no plan for the job as told"}
    assert asked == [1]


def test_only_the_first_dozen_dimensions_are_tried():
    one = job(*(size(100, 35, name=f"Room {nth}") for nth in range(7)))
    boxes_of, _ = all_boxes(lambda _: 2)
    found = margins(one, boxes_of)
    assert [margin.of.what for margin in found][11:] == [
        "Room 5, across the rows",
        "plank length, longer",
        "plank length, shorter",
    ]
    assert [margin.note for margin in found if margin.note] == [
        "only the first 12 of 14 dimensions are tried"
    ]


@pytest.mark.parametrize(("length", "boxes"), [(79, 10), (80, 9)])
def test_a_shorter_room_can_cost_more(length, boxes):
    """Three rows of 80 in take five planks: 48 + 32, 48 + 32 and 16 + 48 + 16, a 32 and a 16 sharing a plank.

    Rows of 79 in have no room for two least pieces, 16 in, beside a whole plank: both pieces of each are 31 in
    or longer, and no two of those come from one plank. Every plank is a box here.
    """
    one = small(length, "35", min_piece="16")
    one = replace(
        one,
        plank=replace(one.plank, per_box=1),
        rules=replace(one.rules, stagger=inch(12), h_joint=inch(2)),
    )
    found = {
        margin.of.what: margin
        for margin in margins(
            one, all_boxes(lambda other: real_boxes(other) if other.plank == one.plank else boxes)[0]
        )
    }
    margin = found["Studio, along the rows"]
    assert real_boxes(one) == boxes
    if length == 79:
        assert (inch(80), 9) in margin.cheaper
    else:
        assert (inch(79), 10) in margin.dearer


# Rooms mismeasured


def risky(one, spread, trials=200):
    return replace(one, risk=RiskSpec(mismeasure=inch(spread), trials=trials))


def test_rooms_are_out_by_chance_that_can_be_had_again():
    one = risky(job(size(100, 35), closet("40", "42")), "1/8")
    assert mismeasured(one, 7) == mismeasured(one, 7)
    assert mismeasured(one, 7) != mismeasured(one, 8)
    assert len(mismeasured(one, 7)) == 200


def test_every_dimension_is_out_by_itself_and_as_far_as_told():
    one = risky(job(size(100, 35), closet("40", "42")), "1/4", trials=2000)
    found = mismeasured(one, 1)
    out = [
        [other.rooms[0].along - inch(100) for other in found],
        [other.rooms[0].across - inch(35) for other in found],
        [other.rooms[1].rows[0].runs[0].length - inch(40) for other in found],
    ]
    for errors in out:
        assert all(error % inch("1/16") == 0 and abs(error) <= inch("3/4") for error in errors)
        # with 2000 trials the mean is within 4 standard errors (0.09 deviations), the deviation within 7 %
        assert abs(statistics.mean(errors)) < 0.09 * inch("1/4")
        assert abs(statistics.pstdev(errors) / inch("1/4") - 1) < 0.07
    for errors, others in ((out[0], out[1]), (out[1], out[2])):
        assert abs(statistics.correlation(errors, others)) < 0.09
    assert all(
        other.rooms[1].rows[1].runs[0].length - other.rooms[1].rows[0].runs[0].length == inch(2)
        for other in found
    )


def test_alike_rooms_repeat():
    found = mismeasured(risky(job(size(100, 35)), "1/8"), 0)
    assert len(set(found)) < len(found) * 3 // 4


def test_without_a_spread_nothing_is_out():
    one = risky(small(), 0, trials=3)
    assert mismeasured(one, 0) == (one, one, one)


def test_a_fine_spread_is_not_rounded_away():
    one = replace(small(), risk=RiskSpec(mismeasure=3, trials=50))
    assert {other.rooms[0].along - inch(100) for other in mismeasured(one, 0)} > {0, -3, 3}
