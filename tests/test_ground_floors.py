"""Floors with things, doorways and strips: where rows end, what runs are called and which of them touch."""

from fractions import Fraction
from math import cos, pi, sin
from time import perf_counter

import pytest
import shapely
from told_jobs import doorway, floor_of, inches, job_of, refusal_of, ring, room, rows, thing

from cutopt.layout import lay_out
from cutopt.model.floor import Floor
from cutopt.units import TICKS_PER_INCH

HALL = room("Hall", [100, 60])
STUDY = room("Study", [80, 60])


def line(floor, number, field=None):
    """Offsets and right ends of the runs of one line, in inches."""
    return [
        (inches(run.offset), inches(run.right))
        for run in floor.runs
        if run.line == number and field in (None, run.field)
    ]


def area(floor: Floor) -> Fraction:
    return Fraction(sum(run.area2 for run in floor.runs), 2 * TICKS_PER_INCH**2)


# Fixed things


def test_a_vent_within_one_row_leaves_the_row_whole():
    floor = floor_of(HALL, thing("vent", [20, 21], [10, 3], kind="vent"), gap="1/2")
    assert all(line(floor, number) == [(Fraction(1, 2), Fraction(199, 2))] for number in range(1, 13))
    assert area(floor) == 99 * 59 - 30  # no gap: the grille covers the cut
    assert floor.ground.things[0].gap == 0


def test_rows_are_split_round_an_island_and_its_gap():
    floor = floor_of(HALL, thing("island", [40, 20], [20, 10]), gap="1/2")
    whole, split = (Fraction(1, 2), Fraction(199, 2)), [(0.5, 39.5), (60.5, 99.5)]
    assert [number for number in range(1, 13) if line(floor, number) == [whole]] == [
        1,
        2,
        3,
        4,
        7,
        8,
        9,
        10,
        11,
        12,
    ]
    assert line(floor, 5) == line(floor, 6) == split
    assert area(floor) == 99 * 59 - 21 * 11


def test_a_hearth_at_the_wall_and_one_before_it_that_overlaps_it():
    floor = floor_of(HALL, thing("hearth", [40, 48], [20, 12]), thing("slab", [50, 45], [20, 10]))
    assert line(floor, 9) == [(0, 100)]
    assert line(floor, 10) == [(0, 50), (70, 100)]  # the hearth is notched into the first of them
    assert line(floor, 11) == [(0, 40), (70, 100)]
    assert line(floor, 12) == [(0, 40), (60, 100)]
    assert area(floor) == 6000 - 240 - 200 + 70


def test_a_thing_from_wall_to_wall_parts_the_room():
    floor = floor_of(HALL, thing("cabinets", [40, 0], [10, 60]))
    assert len(floor.ground.fields[0].areas) == 2
    assert all(line(floor, number) == [(0, 40), (50, 100)] for number in range(1, 13))
    assert {run.touches for run in floor.runs if run.line > 1} == {None}


def test_things_that_begin_in_one_row_leave_it_whole():
    """Once a run was made of the floor between two columns, and there was a crash at 45 degrees."""
    column = [[5, 0], [8, 3], [5, 6], [2, 3]]
    columns = [thing(f"column {n}", outline=[[x + 20 * n, y + 22] for x, y in column]) for n in range(4)]
    floor = floor_of(HALL, *columns)
    assert line(floor, 5) == [(0, 100)]
    assert [run.run for run in floor.runs if run.line == 6] == [1]
    assert area(floor) == 6000 - 4 * 18


@pytest.mark.parametrize("tip", [[0, 12], [100, 12]])
def test_a_thing_that_touches_a_wall_within_a_row(tip):
    """Once a crash: at the left of its tip there is no floor. A tick is cut off there, which tilts its sides by half."""
    outline = [tip, [50, 11], [52, 12], [50, 13]]
    floor = floor_of(HALL, thing("wedge", outline=outline, gap=0))
    assert abs(area(floor) - (6000 - shapely.Polygon(outline).area)) < 2e-3


# Strips and ways out


@pytest.mark.parametrize("gap", [0, "1/2"])
def test_a_strip_takes_its_width_off_and_both_fields_end_at_its_edges(gap):
    arch = doorway(["Hall", "Study"], ["B-C", "D-A"], [20, 20], 20, depth=5, strip=1.5, name="arch")
    floor = floor_of(HALL, STUDY, arch, gap=gap)
    assert [field.name for field in floor.ground.fields] == ["Hall", "Study"]
    edge = 0 if gap == 0 else Fraction(1, 2)
    assert line(floor, 6, "Hall") == [(edge, Fraction(407, 4))]
    assert line(floor, 6, "Study") == [(Fraction(413, 4), 185 - edge)]
    (placed,) = floor.ground.doorways
    assert ring(placed.strip) == [(101.75, 20), (101.75, 40), (103.25, 40), (103.25, 20)]
    assert placed.fields == ("Hall", "Study")


def test_a_strip_across_the_rows_ends_the_last_and_begins_the_first():
    floor = floor_of(
        HALL, STUDY, doorway(["Hall", "Study"], ["C-D", "A-B"], [50, 10], 30, depth=6, strip=2), gap="1/4"
    )
    hall, study = floor.ground.fields
    assert (inches(hall.lines[0]), inches(hall.lines[-1])) == (Fraction(1, 4), 62)
    assert (inches(study.lines[0]), inches(study.lines[-1])) == (64, Fraction(503, 4))


@pytest.mark.parametrize(
    ("keys", "end"),
    [
        ({"depth": 4}, Fraction(207, 2)),  # a gap before the far side
        ({"depth": 4, "strip": 2}, 102),
        ({"strip": 2}, 100),  # once laid over: a way out of no depth
        ({"depth": 1, "strip": 2}, 99),  # once laid over: a strip wider than the doorway is deep
        ({}, Fraction(199, 2)),
    ],
)
def test_a_way_out_ends_at_its_far_side_or_at_its_strip(keys, end):
    floor = floor_of(HALL, doorway(["Hall"], ["B-C"], [20], 20, **keys), gap="1/2")
    assert line(floor, 6) == [(Fraction(1, 2), end)]
    assert line(floor, 2) == [(Fraction(1, 2), Fraction(199, 2))]
    assert floor.ground.doorways[0].fields == ("Hall",)


def test_a_strip_between_rooms_without_a_wall_lies_half_in_each():
    floor = floor_of(
        room("Hall", [100, 60], at=[0, 0]),
        room("Study", [80, 60], at=[100, 0]),
        doorway(["Hall", "Study"], ["B-C", "A-D"], [0, 0], 60, strip=1.5),
    )
    assert line(floor, 1, "Hall") == [(0, Fraction(397, 4))]
    assert line(floor, 1, "Study") == [(Fraction(403, 4), 180)]
    assert area(floor) == 60 * (180 - Fraction(3, 2))


def test_the_floor_goes_under_the_jambs():
    floor = floor_of(
        HALL,
        STUDY,
        doorway(["Hall", "Study"], ["B-C", "A-D"], [20, 20], 20, depth=5, undercut="1/2"),
        gap="1/4",
    )
    (area_,) = floor.ground.fields[0].areas
    inside = shapely.Polygon(area_.outer).intersection(
        shapely.box(*(x * TICKS_PER_INCH for x in (102, 0, 103, 60)))
    )
    assert [inches(int(y)) for y in inside.bounds[1::2]] == [Fraction(79, 4), Fraction(161, 4)]


# Names and neighbours


def test_fields_and_runs_are_named_by_the_rooms_they_lie_in():
    floor = floor_of(
        HALL, STUDY, doorway(["Hall", "Study"], ["C-D", "A-B"], [50, 10], 30, depth=12, name="arch")
    )
    assert [field.name for field in floor.ground.fields] == ["Hall + Study"]
    assert [field.rooms for field in floor.ground.fields] == [("Hall", "Study")]
    called = {run.line: run.room for run in floor.runs}
    assert called == {
        **dict.fromkeys(range(1, 13), "Hall"),
        **dict.fromkeys((13, 14), "arch"),
        15: "Study",  # 70 to 75, the arch up to 72
        **dict.fromkeys(range(16, 28), "Study"),
    }


def test_runs_through_a_doorway_are_named_by_both_rooms():
    floor = floor_of(HALL, STUDY, doorway(["Hall", "Study"], ["B-C", "A-D"], [20, 20], 20, depth=5))
    assert {run.line for run in floor.runs if run.room == "Hall + Study"} == {5, 6, 7, 8}
    assert [run.room for run in floor.runs if run.line == 1] == ["Hall", "Study"]
    assert floor.runs[0].field == "Hall + Study"
    assert {run.touches for run in floor.runs} == {None}


def test_many_rooms_are_named_by_the_first():
    rooms = [room(name, [50, 60]) for name in ("Hall", "Study", "Den", "Loft")]
    joints = [
        doorway([one, other], ["B-C", "A-D"], [20, 20], 20, depth=5)
        for one, other in (("Hall", "Study"), ("Study", "Den"), ("Den", "Loft"))
    ]
    floor = floor_of(*rooms, *joints)
    assert {run.field for run in floor.runs} == {"Hall and 3 rooms"}
    assert next(run.room for run in floor.runs if run.line == 6) == "Hall + Study + Den + Loft"


def test_a_wall_on_a_line_parts_the_runs_on_its_two_sides():
    """A post splits the second row; a partition lies on the line above its left part."""
    floor = floor_of(HALL, thing("post", [40, 5], [10, 5]), thing("screen", [0, 9.5], [45, 1]))
    assert line(floor, 2) == [(0, 40), (50, 100)]
    (third,) = [run for run in floor.runs if run.line == 3]
    assert third.touches == (2,)
    apart = floor_of(HALL, thing("screen", [0, 9.5], [100, 1]))
    assert [run.touches for run in apart.runs if run.line == 3] == [()]


# Tapers, slivers, corners


def test_edge_rows_of_a_room_180_in_wide_at_one_end_and_182_at_the_other():
    """Source: ehow.co.uk, how-to on floors in rooms out of square: offsets W + 12 and W + 13, each edge tapers 1 in."""
    bay = room("Bay", outline=[[0, 1], [120, 0], [120, 182], [0, 181]])
    floor = floor_of(bay, width=7, layout={"first_width": 6})
    first, last = floor.runs[0], floor.runs[-1]
    assert (inches(first.wide), inches(first.narrow)) == (6, 5)
    assert inches(last.wide) - inches(last.narrow) == 1
    assert all(run.wide is None and run.narrow is None for run in floor.runs[1:-1])
    assert 20 in map(inches, floor.ground.fields[0].lines)  # W + 13 from the wall at 120, W + 12 at 0
    assert area(floor) == 120 * 181


def test_rows_down_already_lie_before_the_first_from_the_rooms_origin():
    floor = floor_of(room("Hall", [100, 60], at=[10, 20], down=[[20, 68], [44]]))
    found = [
        (run.line, inches(run.offset), inches(run.length), [inches(j) for j in run.joints])
        for run in floor.down
    ]
    assert found == [(0, 10, 100, [54]), (-1, 10, 100, [30, 78])]


TICK = "0.003125 mm"


def test_slivers_of_one_tick_are_laid_and_told():
    told = [100, "1524.003125 mm"]
    floor = floor_of(room("Hall", told), thing("island", [TICK, 20], [20, 5]), layout={"edges": "full first"})
    assert floor.runs[-1].width == 1
    assert [run.length for run in floor.runs if run.line == 5] == [1, 80 * TICKS_PER_INCH - 1]
    assert any("row 13" in warning and "minimum rip" in warning for warning in floor.warnings)
    assert any("row 5" in warning and "minimum piece" in warning for warning in floor.warnings)


def test_an_outline_that_touches_itself_is_refused():
    told = refusal_of(room("Bay", outline=[[0, 0], [100, 0], [100, 60], [50, 0], [0, 60]]))
    assert told == [
        (
            "wall 1-2 and wall 3-4 cross, touch or double back - loft.toml: room[1].outline - "
            "list the corners in order round the room, each once"
        )
    ]


def test_an_outline_of_10_000_corners_is_laid_soon():
    turns = [2 * pi * nth / 10_000 for nth in range(10_000)]
    corners = [[round(200 + 200 * cos(a), 4), round(200 + 200 * sin(a), 4)] for a in turns]
    job = job_of(room("Rotunda", outline=corners), layout={"edges": "stops"})
    start = perf_counter()
    floor = lay_out(job)
    assert perf_counter() - start < 8  # half a second by itself
    assert len(floor.runs) == 80
    assert float(area(floor)) == pytest.approx(shapely.Polygon(corners).area, rel=1e-7)


def test_rows_at_45_degrees_end_on_the_slant():
    floor = floor_of(room("Tide", [100, 100]), layout={"direction": 45})
    cut = [(run.left_slant, run.right_slant) for run in floor.runs if run.line not in {1, 15, 29}]
    width = 5 * TICKS_PER_INCH
    assert cut == [(-width, width + 1)] * 13 + [(width, -width - 1)] * 13  # rounded up where not a whole tick
    # Seen from the rows no corner is a whole tick: each wall moves by up to half a tick across.
    assert abs(area(floor) - 10_000) < 400 * Fraction(1, 2 * TICKS_PER_INCH)
    assert max(run.length for run in floor.runs) / TICKS_PER_INCH == pytest.approx(100 * 2**0.5, abs=5)


def test_a_room_turned_by_the_direction_is_the_room_told_the_other_way_round():
    along, across = (
        floor_of(room("Hall", [100, 62])),
        floor_of(room("Hall", [62, 100]), layout={"direction": "y"}),
    )
    assert [(n, length) for n, _, length in rows(along)] == [(n, length) for n, _, length in rows(across)]


def test_rooms_cut_by_a_strip_from_wall_to_wall_are_laid_as_if_alone():
    cut = doorway(["Hall", "Study"], ["B-C", "A-D"], [0, 0], 60, depth=5, strip=1)
    floor = floor_of(HALL, STUDY, cut)
    alone = [floor_of(room("Hall", [102, 60])), floor_of(room("Study", [82, 60]))]
    lengths = [[(run.line, run.length, run.area2) for run in one.runs] for one in alone]
    assert [(run.line, run.length, run.area2) for run in floor.runs] == lengths[0] + lengths[1]


def test_rows_down_are_counted_from_the_rooms_own_corner_however_it_is_turned():
    """Once a plan file that could not be read again: the joints of a room turned round lay outside it."""
    floor = floor_of(
        room("Hall", [100, 60]),
        room("Study", [80, 50], down=[[20, 30]]),
        doorway(["Hall", "Study"], ["B-C", "B-C"], [2, 18], depth=5, strip=2),
    )
    (down,) = floor.down
    assert (inches(down.offset), inches(down.length)) == (105, 80)
    assert list(map(inches, down.joints)) == [155, 165]  # 20 and 30 back from 185


@pytest.mark.parametrize("joint", [0, 100, 130])
def test_joints_down_outside_the_room_are_refused(joint):
    told = [
        (
            "a joint of the rows that lie already is not between the ends of the room's rows - "
            'room "Hall" - count the joints in down along the rows, from the room\'s own (0, 0)'
        )
    ]
    assert refusal_of(room("Hall", [100, 60], down=[[20, joint]])) == told
