"""Rooms turned into rows and runs: published counts, rows given outright, refusals."""

from fractions import Fraction

import pytest
from rooms import inch, job, only_edges, outline, problem, runs, size

from cutopt.layout import lay_out
from cutopt.model.floor import RoomEdges
from cutopt.model.rooms import OutlineRoom, RowSpec, RowsRoom, RunSpec, SizeRoom
from cutopt.units import TICKS_PER_INCH

# Row counts and edges


@pytest.mark.parametrize(
    ("across", "width", "gap", "rows"),
    [
        # Rows counted in a real house, 47.8 rounded up (shallowthoughtsfromiowa.blogspot.com)
        ("113.5", "2.375", "0", 48),
        # Boards across 15 ft (brainkulo.org states the problem, the division is ours)
        ("180", "2.25", "0", 80),
        # 52 ft of 8 in planks: 78 (flooringdoctor.com, "The reason behind T-moldings")
        ("624", "8", "0", 78),
        # 53 ft of 3-1/4 in oak: 195.7 (fcimag.com 84501)
        ("636", "3.25", "0", 196),
        # Derived by hand: both rooms need 21 rows
        ("141", "7", "1/4", 21),
        ("147", "7", "1/4", 21),
    ],
)
def test_row_counts(across, width, gap, rows) -> None:
    floor = lay_out(job(size(120, across), width=width, gap=gap))
    assert only_edges(floor).rows == rows
    assert len(floor.runs) == rows
    assert sum(run.width for run in floor.runs) == only_edges(floor).clear == inch(across) - 2 * inch(gap)


@pytest.mark.parametrize(
    ("room", "settings", "edge", "whole_rows"),
    [
        # Boards of 4 in with 1 in left over (verydays.com)
        (size(120, 41), {"width": "4"}, "2.5", 9),
        # Derived by hand
        (size(120, 141), {"gap": "1/4"}, "3.75", 19),
        # 113.5 in, 2-3/8 in boards and three gaps (shallowthoughtsfromiowa.blogspot.com)
        (size(120, "113.5"), {"width": "2.375"}, "2.125", 46),
        (size(120, "113.5"), {"width": "2.375", "gap": "1/2", "min_rip": "1"}, "1.625", 46),
        (size(120, "113.5"), {"width": "2.375", "gap": "3/4", "min_rip": "1"}, "1.375", 46),
    ],
)
def test_a_sliver_is_shared_by_the_first_and_the_last_row(room, settings, edge, whole_rows) -> None:
    asked = job(room, **settings)
    floor = lay_out(asked)
    edges = only_edges(floor)
    assert edges.balanced
    assert (edges.first_width, edges.last_width) == (inch(edge), inch(edge))
    assert [run.width for run in floor.runs] == [inch(edge), *[asked.plank.width] * whole_rows, inch(edge)]


@pytest.mark.parametrize(
    ("across", "width", "gap", "last"),
    [
        # Derived by hand: 20 full and 6-1/2
        ("147", "7", "1/4", "6.5"),
        # A remainder of 3 passes a minimum rip of 2 as it is
        ("43", "4", "0", "3"),
        # The remainder is the minimum rip exactly
        ("42", "4", "0", "2"),
    ],
)
def test_a_remainder_of_the_minimum_rip_is_laid_as_it_is(across, width, gap, last) -> None:
    edges = only_edges(lay_out(job(size(120, across), width=width, gap=gap)))
    assert not edges.balanced
    assert (edges.first_width, edges.last_width) == (inch(width), inch(last))
    assert edges.remainder == inch(last)


def test_rows_that_remain_mid_job() -> None:
    # 91 in x 216 in of 5 in boards: 18 full rows and 1 in, 136.5 sq ft
    floor = lay_out(job(size(216, 91), width="5", min_rip="0"))
    assert [run.width for run in floor.runs] == [inch(5)] * 18 + [inch(1)]
    assert sum(run.area2 for run in floor.runs) == 2 * 136.5 * 144 * TICKS_PER_INCH**2


def test_whole_rows_leave_no_remainder() -> None:
    edges = only_edges(lay_out(job(size(100, 70))))
    assert edges == RoomEdges(
        room="Studio",
        clear=inch(70),
        rows=10,
        remainder=0,
        first_width=inch(7),
        last_width=inch(7),
        balanced=False,
    )


def test_an_odd_number_of_ticks_is_shared_without_loss() -> None:
    room = SizeRoom(name="Studio", along=inch(100), across=inch(70) + 1)
    edges = only_edges(lay_out(job(room)))
    assert edges.first_width + edges.last_width == inch(7) + 1
    assert edges.first_width - edges.last_width in (0, 1)


def test_a_room_narrower_than_a_plank_is_one_ripped_row() -> None:
    floor = lay_out(job(size(40, 5), gap="1/4"))
    assert [(run.width, run.length) for run in floor.runs] == [(inch("4.5"), inch("39.5"))]
    assert not only_edges(floor).balanced
    assert floor.warnings == ()


def test_a_balanced_row_still_under_the_minimum_rip_is_kept_and_told() -> None:
    floor = lay_out(job(size(100, 71), min_rip="6"))
    assert only_edges(floor).first_width == inch(4)
    assert floor.warnings == (
        'room "Studio", rows 1, 11: the floor is only 4" wide across the row, under the minimum rip of 6"',
    )


# Rows given outright


def test_given_rows() -> None:
    room = RowsRoom(
        name="Closet",
        rows=(
            RowSpec(runs=(RunSpec(offset=0, length=inch("40.375")),), count=2),
            RowSpec(runs=(RunSpec(offset=inch(12), length=inch("97.5")),), width=inch(4)),
            RowSpec(runs=(RunSpec(offset=inch(60), length=inch(50)), RunSpec(offset=0, length=inch(40)))),
        ),
    )
    floor = lay_out(job(room, gap="1/4"))
    assert runs(floor) == [
        (1, 1, 0, Fraction("40.375")),
        (2, 1, 0, Fraction("40.375")),
        (3, 1, 12, Fraction("97.5")),
        (4, 1, 0, 40),
        (4, 2, 60, 50),
    ]
    assert [run.width for run in floor.runs] == [inch(7)] * 2 + [inch(4)] + [inch(7)] * 2
    assert [run.line for run in floor.runs] == [1, 2, 3, 4, 4]
    assert floor.runs[2].area2 == 2 * inch("97.5") * inch(4)
    assert floor.edges == ()


def test_rows_are_numbered_on_through_the_job_and_lines_within_a_room() -> None:
    floor = lay_out(job(size(100, 21), size(60, 14, name="Hall")))
    assert [(run.field, run.line, run.row, run.run) for run in floor.runs] == [
        ("Studio", 1, 1, 1),
        ("Studio", 2, 2, 1),
        ("Studio", 3, 3, 1),
        ("Hall", 1, 4, 1),
        ("Hall", 2, 5, 1),
    ]
    assert [edges.room for edges in floor.edges] == ["Studio", "Hall"]


def test_short_runs_are_told_by_stretches_of_rows() -> None:
    floor = lay_out(job(size(5, 21), size(6, 7, name="Hall"), size(4, 7, name="Niche")))
    exempt = 'under the minimum piece of 6"; laid as a single piece, which is exempt'
    assert floor.warnings == (
        f'room "Studio", rows 1-3: only 5" long, {exempt}',
        f'room "Niche", row 5: only 4" long, {exempt}',
    )


def test_100_000_rows() -> None:
    floor = lay_out(job(size(100, 700_000)))
    assert len(floor.runs) == 100_000
    assert floor.runs[-1].row == 100_000


# Refusals


def test_every_room_that_vanishes_is_told() -> None:
    told = problem(size("0.5", 90), size(90, 80, name="Hall"), outline((0, 0), (9, 0), (9, "0.5")), gap="1/4")
    remedy = "check its size, or make rules.gap smaller"
    what = "nothing is left of the room inside its gaps"
    assert told == f'{what} - room "Studio" - {remedy}\n{what} - room "Bay" - {remedy}'


@pytest.mark.parametrize(
    "corners",
    [
        ((0, 0), (10, 10), (10, 0), (0, 10)),  # crosses itself
        ((0, 0), (10, 0), (20, 0)),  # a line
        ((0, 0), (9, 0)),
        (),
        ((0, 0), (20, 0), (20, 10), (10, 0), (0, 10)),  # touches itself
    ],
)
def test_an_outline_that_is_no_simple_polygon(corners) -> None:
    assert problem(outline(*corners)) == (
        "the outline crosses or touches itself, or encloses nothing"
        ' - room "Bay" - give the corners in order, once round the room'
    )


def test_an_outline_beyond_all_measure() -> None:
    far = 10**400
    room = OutlineRoom(name="Bay", corners=((0, 0), (far, 0), (far, inch(70)), (0, inch(70))))
    assert problem(room) == 'the outline is thousands of km wide - room "Bay" - check its units'


@pytest.mark.parametrize(
    "room",
    [
        size(100, "700000.125"),
        outline((0, 0), (100, 0), (100, "700000.125"), (0, "700000.125"), name="Studio"),
        RowsRoom(name="Studio", rows=(RowSpec(runs=(RunSpec(offset=0, length=9),), count=100_001),)),
    ],
    ids=["size", "outline", "rows"],
)
def test_more_rows_than_any_floor_has(room) -> None:
    assert problem(room, min_rip="0").startswith(
        '100001 rows, more than the 100000 a job may have - room "Studio" - check the units'
    )


def test_more_rows_than_any_floor_has_in_all_rooms_together() -> None:
    told = problem(size(100, 350_000), size(100, 350_007, name="Hall"))
    assert told == (
        "100001 rows, more than the 100000 a job may have - all rooms together"
        " - split the job, or check its units"
    )


def test_given_runs_may_meet() -> None:
    meeting = RowSpec(runs=(RunSpec(offset=0, length=inch(9)), RunSpec(offset=inch(9), length=inch(9))))
    assert runs(lay_out(job(RowsRoom(name="Closet", rows=(meeting,))))) == [(1, 1, 0, 9), (1, 2, 9, 9)]


def test_given_rows_that_overlap_or_are_too_wide() -> None:
    overlap = RowSpec(runs=(RunSpec(offset=0, length=9), RunSpec(offset=8, length=9)))
    assert problem(RowsRoom(name="Closet", rows=(overlap,))) == (
        'two runs of a row overlap - room "Closet", entry 1 of its rows - check their offsets and lengths'
    )
    wide = RowSpec(runs=(RunSpec(offset=0, length=9),), width=inch(7) + 1)
    assert problem(RowsRoom(name="Closet", rows=(wide,))) == (
        'a row is wider than a plank - room "Closet", entry 1 of its rows'
        " - give at most the plank's width, or leave it out"
    )
