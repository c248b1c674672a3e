"""Rooms of every shape turned into runs, worked out by hand (inches)."""

from dataclasses import replace
from fractions import Fraction

import pytest
from rooms import but_for_corners, inch, job, only_edges, outline, runs, size

from cutopt.layout import lay_out
from cutopt.model.job import Lay
from cutopt.model.rooms import OutlineRoom
from cutopt.units import TICKS_PER_INCH


def test_a_size_starts_one_gap_from_the_corner() -> None:
    (first, *_) = lay_out(job(size(100, 70), gap="1/4")).runs
    assert (first.offset, first.length) == (inch("1/4"), inch("99.5"))
    assert first.area2 == 2 * first.length * first.width


def test_a_size_is_the_outline_of_its_corners() -> None:
    walls = outline((0, 0), (100, 0), (100, 71), (0, 71), name="Studio")
    assert lay_out(job(walls, gap="1/4")) == lay_out(job(size(100, 71), gap="1/4"))


L_SHAPE = ((0, 0), (100, 0), (100, 35), (60, 35), (60, 70), (0, 70))


def test_l_shape_without_gap() -> None:
    floor = lay_out(job(outline(*L_SHAPE)))
    assert runs(floor) == [(row, 1, 0, 100) for row in range(1, 6)] + [
        (row, 1, 0, 60) for row in range(6, 11)
    ]
    assert sum(run.area2 for run in floor.runs) == 2 * (100 * 35 + 60 * 35) * TICKS_PER_INCH**2


def test_l_shape_with_the_jog_inside_a_row() -> None:
    # Gap 1/2: rows from y = 1/2; row 5 (28-1/2 to 35-1/2) meets the jog at y = 34-1/2.
    floor = lay_out(job(outline(*L_SHAPE), gap="1/2"))
    assert [(run.offset, run.length) for run in floor.runs] == [(inch("1/2"), inch(99))] * 5 + [
        (inch("1/2"), inch(59))
    ] * 5
    jog = floor.runs[4]
    assert jog.area2 == 2 * (59 * 7 + 40 * 6) * TICKS_PER_INCH**2
    assert (jog.left_slant, jog.right_slant) == (0, 0)  # a piece of 6 fits beside the jog of 40
    assert only_edges(floor).last_width == inch(6)


def test_a_jog_longer_than_a_plank_takes_nothing_off_an_end() -> None:
    floor = lay_out(job(outline((0, 0), (150, 0), (150, 10), (60, 10), (60, 70), (0, 70))))
    assert (floor.runs[1].length, floor.runs[1].right_slant) == (inch(150), 0)
    (told,) = floor.warnings
    assert told == (
        'room "Bay", row 2: a wall runs along part of the row; rip or notch the planks to it there, '
        "and mind that the minimum piece holds for their longer edge only"
    )


def test_a_jog_shorter_than_the_minimum_piece_is_held_by_the_piece_at_it() -> None:
    floor = lay_out(job(outline((0, 0), (100, 0), (100, 10), (95, 10), (95, 70), (0, 70))))
    assert floor.runs[1].right_slant == -inch(5)
    assert floor.warnings == ()


def test_a_jog_of_the_minimum_piece_has_a_piece_beside_it() -> None:
    floor = lay_out(job(outline((0, 0), (100, 0), (100, 10), (94, 10), (94, 70), (0, 70))))
    assert floor.runs[1].right_slant == 0


def test_a_steep_wall_that_ends_within_the_row_is_an_end() -> None:
    floor = lay_out(job(outline((0, 0), (100, 0), (94, "6.5"), (94, 70), (0, 70))))
    assert floor.runs[0].right_slant == -inch(6)
    (told,) = floor.warnings
    assert told == (
        'room "Bay", row 1: a slanted wall takes up to 6" off one edge of the piece at it; '
        "the minimum piece holds for its shorter edge"
    )


def test_nothing_is_told_of_square_ends_without_a_minimum_piece() -> None:
    assert lay_out(job(size(100, 70), min_piece="0")).warnings == ()


def test_an_out_of_square_wall_that_leaves_the_row_on_the_way_takes_nothing_off() -> None:
    # Row 1 (0 to 7) is left by the lower wall 20 in from the left: no end wall takes 20 in off.
    floor = lay_out(job(outline((0, 0), (20, 7), (150, 9), (150, 49), (0, 49))))
    assert floor.runs[0].right_slant == 0
    assert floor.runs[1].left_slant == 0


def test_t_shape() -> None:
    t_shape = ((0, 0), (30, 0), (30, 21), (60, 21), (60, 42), (-30, 42), (-30, 21), (0, 21))
    floor = lay_out(job(outline(*t_shape)))
    assert runs(floor) == [(row, 1, 0, 30) for row in (1, 2, 3)] + [(row, 1, -30, 90) for row in (4, 5, 6)]


def test_u_shape_has_two_runs_in_a_row() -> None:
    u_shape = ((0, 0), (90, 0), (90, 42), (60, 42), (60, 21), (30, 21), (30, 42), (0, 42))
    floor = lay_out(job(outline(*u_shape)))
    assert runs(floor) == [
        *[(row, 1, 0, 90) for row in (1, 2, 3)],
        *[found for row in (4, 5, 6) for found in ((row, 1, 0, 30), (row, 2, 60, 30))],
    ]
    assert [run.line for run in floor.runs] == [run.row for run in floor.runs]


def test_a_bay_with_a_slanted_wall() -> None:
    # The slanted wall falls back 39 in over 36 in of width, that is 13/12 in per inch.
    floor = lay_out(job(outline((0, 0), (149, 0), (149, 60), (110, 96), (0, 96))))
    found = runs(floor)
    assert found[:9] == [(row, 1, 0, 149) for row in range(1, 10)]  # row 9 (56 to 63) still touches x = 149
    assert floor.runs[8].right_slant == -3 * inch(13) // 12
    row_10 = floor.runs[9]  # 63 to 70: from 149 - 3 * 13/12 = 145-3/4 at its lower edge
    assert row_10.length == inch("145.75")
    assert row_10.right_slant == -61_638  # 7 * 13/12 in = 61637 1/3 ticks, rounded up in size
    assert row_10.area2 == round((2 * Fraction("145.75") - Fraction(91, 12)) * 7 * TICKS_PER_INCH**2)
    assert 'room "Bay", rows 10-13: a slanted wall takes up to ~7-9/16" off one edge' in floor.warnings[0]


def test_trapezoid_with_both_ends_at_45_degrees() -> None:
    floor = lay_out(job(outline((0, 0), (100, 0), (86, 14), (14, 14))))
    assert runs(floor) == [(1, 1, 0, 100), (2, 1, 7, 86)]
    assert {(run.left_slant, run.right_slant) for run in floor.runs} == {(inch(7), -inch(7))}


def test_gap_on_a_45_degree_wall_is_measured_square_to_it() -> None:
    # The wall y = x + ... moves by gap * sqrt(2) along the row; 1/4 in = 2032 ticks, 2873.68 of them.
    floor = lay_out(job(outline((0, 0), (100, 0), (100, 70), (70, 70), (0, 0)), gap="1/4"))
    corner = floor.runs[0]
    low_x = 2032 + Fraction("2873.682")
    assert abs(corner.offset - low_x) <= 1
    assert corner.right == inch("99.75")


def test_parallel_slanted_walls_give_the_true_span_not_one_tick_more() -> None:
    # Each wall leans half a tick a row: row 2 spans from 1/2 to W - 1/2, and W - 1 is long enough.
    wide, high = inch(48) + 1, inch(14)
    room = OutlineRoom(name="Bay", corners=((0, 0), (wide, 0), (wide - 1, high), (1, high)))
    second = lay_out(job(room)).runs[1]
    assert (second.offset, second.length) == (0, inch(48))


def test_out_of_square_wall_along_the_rows_takes_nothing_off_the_ends() -> None:
    floor = lay_out(job(outline((0, 0), (150, 0), (150, 100), (0, 99))))
    last = floor.runs[-1]
    assert (last.length, last.left_slant, last.right_slant) == (inch(150), 0, 0)
    assert last.area2 == (1 + 2) * 150 * TICKS_PER_INCH**2  # the last row is 1 in wide left, 2 in right
    (told,) = floor.warnings
    assert 'row 15: the floor is only 1" wide across the row, under the minimum rip of 2"' in told


@pytest.mark.parametrize(
    ("corners", "slants"),
    [
        (
            ((10, 0), (60, 0), (70, "3.5"), (60, 7), (10, 7), (0, "3.5")),
            (10, -10),
        ),  # comes out between the lines
        (((0, 0), (70, 0), (60, 7), (10, 7)), (10, -10)),
        (((10, 0), (60, 0), (70, 7), (0, 7)), (-10, 10)),
        (((10, 0), (80, 0), (70, 7), (0, 7)), (-10, -10)),
        (((0, 0), (70, 0), (70, 3), (66, 3), (66, 7), (4, 7), (4, 3), (0, 3)), (4, -4)),  # jogs
        (((0, 0), (70, 0), (35, 7)), (0, 0)),  # a tip, no upper edge
        (((0, "3.5"), (35, 0), (70, "3.5"), (35, 7)), (0, 0)),  # tips only
        (((5, 0), (35, 0), (70, 5), (5, 7), (0, 3)), (-5, 35)),  # lower edge only
        (((5, 7), (0, 3), (5, 0), (70, 2), (35, 7)), (5, -35)),  # upper edge only
    ],
)
def test_slants_of_a_single_row(corners, slants) -> None:
    (run,) = lay_out(job(outline(*corners))).runs
    assert (run.left_slant, run.right_slant) == tuple(map(inch, slants))


def test_a_slant_no_plank_can_hold_is_left_to_ripping() -> None:
    # 42 in of run-out and a minimum piece of 6 are a plank of 48; a hair more is not.
    holds = lay_out(job(outline((0, 0), (100, 0), (100, 7), (42, 7))))
    too_long = lay_out(job(outline((0, 0), (100, 0), (100, 7), ("42.125", 7))))
    assert holds.runs[0].left_slant == inch(42)
    assert too_long.runs[0].left_slant == 0
    assert "runs along part of the row" in too_long.warnings[0]


def test_a_slant_of_a_run_within_one_plank_stays() -> None:
    (run,) = lay_out(job(outline((0, 0), (48, 0), (48, 7), (46, 7)))).runs
    assert run.left_slant == inch(46)


def test_walls_that_only_touch_a_line_from_above() -> None:
    # A spike of wall comes down to y = 7 exactly: row 2 falls in two, row 1 does not.
    floor = lay_out(job(outline((0, 0), (80, 0), (80, 14), (50, 14), (40, 7), (30, 14), (0, 14))))
    assert runs(floor) == [(1, 1, 0, 80), (2, 1, 0, 40), (2, 2, 40, 40)]


def test_walls_that_only_touch_a_line_from_below() -> None:
    # A spike of wall comes up to y = 7 exactly: row 1 falls in two, row 2 does not.
    floor = lay_out(job(outline((0, 0), (30, 0), (40, 7), (50, 0), (80, 0), (80, 14), (0, 14))))
    assert runs(floor) == [(1, 1, 0, 40), (1, 2, 40, 40), (2, 1, 0, 80)]


def test_a_bay_that_comes_to_a_tip_on_a_line_is_one_run() -> None:
    floor = lay_out(job(outline((0, 7), (40, 0), (80, 7), (80, 14), (0, 14))))
    assert runs(floor) == [(1, 1, 0, 80), (2, 1, 0, 80)]


def test_a_slanted_wall_through_a_row_makes_runs_whose_spans_overlap() -> None:
    wall = ((0, 0), (100, 0), (100, 21), (70, 21), (40, 7), (39, 7), (69, 21), (0, 21))
    floor = lay_out(job(outline(*wall)))
    row_2 = [run for run in floor.runs if run.row == 2]
    assert [(run.offset, run.right) for run in row_2] == [(0, inch(54)), (inch(40), inch(100))]


def test_a_neck_lost_to_the_gaps_parts_the_room_along_the_rows() -> None:
    neck = ((0, 0), (40, 0), (40, 10), (60, 10), (60, 0), (100, 0), (100, 21), (60, 21), (60, 11), (40, 11))
    floor = lay_out(job(outline(*neck, (40, 21), (0, 21)), gap="1/2"))
    assert runs(floor) == [
        found
        for row in (1, 2, 3)
        for found in ((row, 1, Fraction("1/2"), 39), (row, 2, Fraction("60.5"), 39))
    ]


def test_lines_without_floor_are_passed_over_so_that_the_parts_are_no_neighbours() -> None:
    neck = ((0, 0), (40, 0), (40, 15), (21, 15), (21, 36), (40, 36), (40, 51), (0, 51))
    floor = lay_out(job(outline(*neck, (0, 36), (20, 36), (20, 15), (0, 15)), gap="1/2", min_rip="0"))
    assert [(run.row, run.line) for run in floor.runs] == [(1, 1), (2, 2), (3, 6), (4, 7), (5, 8)]
    assert only_edges(floor).rows == 5


def test_where_an_outline_begins_and_which_way_it_goes_changes_nothing() -> None:
    corners = ((0, 0), (149, 0), (149, 60), (110, 96), (0, 96))
    plain = but_for_corners(lay_out(job(outline(*corners), gap="1/4")))
    for told in ((*reversed(corners),), (*corners[3:], *corners[:3]), (*corners, corners[0])):
        assert but_for_corners(lay_out(job(outline(*told), gap="1/4"))) == plain


def test_the_direction_of_laying_changes_nothing() -> None:
    plain = job(outline(*L_SHAPE), gap="1/2")
    mirrored = replace(plain, rules=replace(plain.rules, lay=Lay.RIGHT_TO_LEFT))
    assert lay_out(mirrored) == lay_out(plain)
