"""Working lines: where they lie, how far from which walls, the square to them, and loops."""

from dataclasses import replace
from math import hypot

import pytest
import shapely
from grounds import Door, Drawn, Thing, inches, moved, placed_as, rectangle

from cutopt.model.floor import Area, Field, Frame
from cutopt.model.rooms import ThingKind
from cutopt.setout import set_out
from cutopt.setout._areas import area2
from cutopt.setout._base import choose
from cutopt.setout._lines import _working_line
from cutopt.setout._site import sites
from cutopt.units import Unit


def lines_of(drawn):
    (found,) = set_out(drawn.plan()).fields
    return found


def flat():
    """Return a hall along x with two rooms above it and one below, rows running through three doorways."""
    return Drawn(
        rooms={
            "Hall": rectangle(0, 100, 240, 40),
            "Study": rectangle(0, 145, 118, 120),
            "Bedroom": rectangle(122, 145, 118, 120),
            "Parlour": rectangle(0, 0, 240, 95),
        },
        doors={
            "study door": Door(("Hall", "Study"), ((40, 140), (72, 140), (72, 145), (40, 145))),
            "bedroom door": Door(("Hall", "Bedroom"), ((150, 140), (182, 140), (182, 145), (150, 145))),
            "parlour door": Door(("Hall", "Parlour"), ((100, 100), (136, 100), (136, 95), (100, 95))),
            "front door": Door(("Hall",), ((240, 104), (240, 136), (246, 136), (246, 104))),
        },
        gap="1/4",
    )


def ring_round_core():
    return Drawn(
        rooms={"Loft": rectangle(0, 0, 240, 200)}, things={("Loft", "chimney"): chimney()}, gap="1/4"
    )


def chimney():
    return Thing(rectangle(90, 70, 60, 52), ThingKind.OTHER)


def side_by_side():
    """Return two rooms beside each other, the doorway between them in a wall square to the rows."""
    return Drawn(
        rooms={"Hall": rectangle(0, 0, 150, 60), "Study": rectangle(155, 0, 120, 160)},
        doors={"study door": Door(("Hall", "Study"), ((150, 15), (150, 47), (155, 47), (155, 15)))},
        gap="1/4",
    )


def test_line_parallel_to_a_slanted_wall_is_given_from_both_ends():
    # ehow.co.uk, floors in an out-of-square room: 180 in at one end and 182 at the other; the base line is a board
    # and 12 in off the wall at one end, half the difference more at the other.
    width = 5
    room = ((0, 0), (240, -1), (240, 181), (0, 180))
    drawn = Drawn(rooms={"Hall": room}, width=width)
    plan = drawn.plan()
    (place,) = plan.ground.fields
    y = inches(width + 12)
    lines = tuple(range(y - 3 * inches(width), inches(179), inches(width)))
    field = replace(place, lines=(inches(-1), *lines, inches(181)))
    plan = replace(plan, ground=replace(plan.ground, fields=(field,)))
    from_wall = {}
    for stretch in stretches_at(plan, y):
        from_wall = {
            side: next(mark for mark in marks if mark.towards_first)
            for side, marks in (("left", stretch.left), ("right", stretch.right))
        }
    assert from_wall["left"].wall == from_wall["right"].wall == ("A", "B")
    assert from_wall["left"].distance == inches(width + 12)
    assert from_wall["right"].distance == inches(width + 13)


def stretches_at(plan, y):
    """Return a line's stretches wherever it lies, by asking for the lines of a field that has no other."""
    (site,) = sites(plan)
    line = site.lines.index(y)
    (stretch,) = choose(replace(site, field=replace(site.field, lines=(site.lines[0], y, site.lines[-1]))))
    return _working_line(site, replace(stretch, line=line), Unit.IN).stretches


def test_line_after_four_pairs_of_planks():
    # doityourself.com, planning strip flooring: 3 in and 5 in by turns, 8 rows are 32 in, and with a gap of 1/2 in
    # the line is 32-1/2 in from the wall at both ends.
    drawn = Drawn(rooms={"Hall": rectangle(0, 0, 160, 65)}, gap="1/2")
    plan = drawn.plan()
    (field,) = plan.ground.fields
    steps = [3, 5] * 8
    lines = [inches("1/2")]
    for step in steps:
        lines.append(lines[-1] + inches(step))
    plan = replace(plan, ground=replace(plan.ground, fields=(replace(field, lines=tuple(lines)),)))
    (found,) = set_out(plan).fields
    base = found.lines[0]
    assert base.y == inches("65/2")
    (stretch,) = base.stretches
    for marks in (stretch.left, stretch.right):
        below = next(mark for mark in marks if mark.towards_first)
        assert (below.wall, below.distance) == (("A", "B"), inches("65/2"))


def test_middle_line_halves_a_long_field():
    # fcimag.com, planning a wood floor's layout: 636 in of 3-1/4 in strip is 195.7 rows, 97.8 each way.
    found = lines_of(Drawn(rooms={"House": rectangle(0, 0, 120, 636)}, width="13/4"))
    base = found.lines[0]
    assert base.rows == 98
    assert base.y == 98 * inches("13/4")
    last = found.checks[-1]
    assert last.rows == 98
    assert last.distance == inches(636) - base.y


def test_base_line_runs_through_a_doorway_and_every_other_room_has_its_own():
    found = lines_of(side_by_side())
    (line,) = found.lines
    assert line.rooms == ("Hall", "Study")
    assert inches(15) < line.y < inches(47)
    assert (line.start[0], line.end[0]) == (0, inches(275))
    hall, study = line.stretches
    assert hall.start_on.wall == ("D", "A")
    assert study.end_on.wall == ("B", "C")
    assert hall.left[0].distance == study.right[0].distance == line.y


def test_all_lines_are_whole_rows_from_the_datum():
    drawn = flat()
    plan = drawn.plan()
    (field,) = plan.ground.fields
    found = lines_of(drawn)
    assert {room for line in found.lines for room in line.rooms} == set(drawn.rooms)
    for line in found.lines:
        assert line.y == field.lines[line.line]
        assert line.y - field.lines[0] == line.rows * inches(5)


def test_line_counts_from_the_first_whole_row_where_the_first_is_ripped():
    found = lines_of(replace(side_by_side(), first=3))
    (line,) = found.lines
    assert line.ripped_first
    assert line.y == inches("1/4") + inches(3) + line.rows * inches(5)
    assert line.row == line.rows + 1


def test_line_ends_at_a_thing_and_is_measured_from_it():
    drawn = Drawn(
        rooms={"Hall": rectangle(0, 0, 200, 100)},
        things={("Hall", "stairs"): Thing(rectangle(150, 30, 50, 70), ThingKind.STAIRS)},
        gap="1/4",
    )
    (line, *_) = lines_of(drawn).lines
    (stretch,) = line.stretches
    if line.y > inches(30):
        assert stretch.end == (inches(150), line.y)
        assert stretch.end_on is None
    above = [mark for mark in stretch.right if not mark.towards_first]
    assert all(mark.distance > 0 for mark in above)


@pytest.mark.parametrize(
    ("unit", "leg"),
    # dummies.com, todayshomeowner.com: 3-4-5 ft and its multiples (9-12-15 here); diyadvice.com: 0.9-1.2-1.5 m.
    [(Unit.FT, 12 * 8128), (Unit.IN, 12 * 8128), (Unit.MM, 32000)],
)
def test_largest_triangle(unit, leg):
    # Room for legs of 9 and 12 units on one side of the line, not for 12 and 16.
    across = 2 * 9 * leg / 8128 + 2
    drawn = Drawn(rooms={"Hall": rectangle(0, 0, 40 * leg // 8128, int(across))}, unit=unit, width=1)
    triangle = lines_of(drawn).lines[0].triangle
    assert triangle.unit == 3 * leg
    assert sorted((triangle.leg_along, triangle.leg_across)) == [9 * leg, 12 * leg]
    assert triangle.joining == hypot(triangle.leg_along, triangle.leg_across)


def test_triangle_keeps_clear_of_things():
    for drawn in (flat(), ring_round_core()):
        plan = drawn.plan()
        (field,) = plan.ground.fields
        floor = shapely.union_all([shapely.Polygon(area.outer, area.holes) for area in field.areas])
        for line in lines_of(drawn).lines:
            sides = shapely.LinearRing((line.triangle.foot, line.triangle.along, line.triangle.across))
            assert floor.buffer(2).covers(sides)


def test_small_floors_get_a_small_triangle():
    triangle = lines_of(Drawn(rooms={"Closet": rectangle(0, 0, 30, 24)})).lines[0].triangle
    assert triangle.unit == inches(3)


def test_diagonals_of_a_room_and_its_shear():
    # 12 x 16 ft: 20 ft exactly. With 1/2 in of shear over the 12 ft they differ by 0.80 in (derived).
    square = lines_of(Drawn(rooms={"Hall": rectangle(0, 0, 192, 144)}))
    assert [(d.start, d.end, d.length) for d in square.diagonals] == [
        ("A", "C", inches(240)),
        ("B", "D", inches(240)),
    ]
    half = 0.5
    room = ((0, 0), (192, 0), (192 + half, 144), (half, 144))
    sheared = lines_of(Drawn(rooms={"Hall": room}))
    one, other = (diagonal.length for diagonal in sheared.diagonals)
    assert round((one - other) / inches(1), 2) == 0.80


def test_diagonals_keep_clear_of_things():
    drawn = Drawn(
        rooms={"Hall": rectangle(0, 0, 192, 144)},
        things={("Hall", "column"): Thing(rectangle(90, 68, 12, 8), ThingKind.COLUMN)},
    )
    assert lines_of(drawn).diagonals == ()


def test_rows_are_checked_every_five_with_their_tolerance():
    found = lines_of(Drawn(rooms={"Hall": rectangle(0, 0, 100, 150)}, tolerance=127))
    base = found.lines[0]
    assert base.rows == 15
    assert [(c.rows, c.distance, c.tolerance) for c in found.checks] == [
        (rows, abs(rows) * inches(5), abs(rows) * 127) for rows in (-15, -10, -5, 5, 10, 15)
    ]


def test_many_rows_are_checked_in_a_dozen_lines():
    found = lines_of(Drawn(rooms={"Hall": rectangle(0, 0, 100, 1500)}))
    assert len(found.checks) <= 12


def test_loop_names_its_core_and_closing_row_with_one_distance():
    drawn = ring_round_core()
    plan = drawn.plan()
    (loop,) = set_out(plan).loops
    (field,) = plan.ground.fields
    (base, *_) = lines_of(drawn).lines
    assert loop.name == "chimney"
    # The chimney and its gaps reach from 69-3/4 to 122-1/4 in; rows of 5 in begin at 1/4 in.
    assert (loop.parts_at, loop.closing_row) == (14, 25)
    assert loop.distance == abs(field.lines[24] - base.y)
    whole = {row.run.row for row in plan.rows if row.run.length == inches("479/2")}
    assert {loop.parts_at, loop.closing_row} <= whole
    assert [check.row for check in loop.checks] == [
        line if line > base.line else line + 1 for line in range(15, 25) if line != base.line
    ]


def test_loop_round_walls_is_called_a_core():
    plan = ring_round_core().plan()
    plan = replace(plan, ground=replace(plan.ground, things=()))
    (loop,) = set_out(plan).loops
    assert loop.name == "core"


def rooms_in_a_ring():
    """Return two halls joined by a room at either end, nothing but walls between these."""
    return Drawn(
        rooms={
            "South hall": rectangle(0, 0, 300, 60),
            "West room": rectangle(0, 64, 90, 120),
            "East room": rectangle(210, 64, 90, 120),
            "North hall": rectangle(0, 188, 300, 60),
        },
        doors={
            "south-west": Door(("South hall", "West room"), ((60, 60), (28, 60), (28, 64), (60, 64))),
            "south-east": Door(("South hall", "East room"), ((272, 60), (240, 60), (240, 64), (272, 64))),
            "north-west": Door(("West room", "North hall"), ((60, 184), (28, 184), (28, 188), (60, 188))),
            "north-east": Door(("East room", "North hall"), ((272, 184), (240, 184), (240, 188), (272, 188))),
        },
        gap="1/4",
        width=6,
    )


def test_rooms_in_a_ring_close_in_the_last_hall():
    # hardwoodflooringtalk.com, "wraparound doesn't line up": two arms laid without a common line met 1/2 in askew.
    (loop,) = set_out(rooms_in_a_ring().plan()).loops
    assert (loop.name, loop.left_room, loop.right_room) == ("core", "West room", "East room")
    (field,) = rooms_in_a_ring().plan().ground.fields
    closing = field.lines[loop.closing_row - 1]
    assert inches(184) <= closing <= inches(194)
    base = lines_of(rooms_in_a_ring()).lines[0]
    assert loop.distance == closing - base.y


def test_base_line_lies_in_the_middle_of_its_room_and_clear_of_an_island():
    base = lines_of(rooms_in_a_ring()).lines[0]
    assert base.rooms == ("South hall",)
    assert inches(24) <= base.y <= inches(36)
    drawn = Drawn(
        rooms={"Hall": rectangle(0, 0, 200, 200)},
        things={("Hall", "island"): Thing(rectangle(60, 70, 80, 50), ThingKind.ISLAND)},
    )
    base = lines_of(drawn).lines[0]
    assert abs(base.y - inches(35)) <= inches(5)


@pytest.mark.parametrize("kind", [ThingKind.VENT, ThingKind.COLUMN])
def test_vents_and_what_cuts_one_row_are_no_loops(kind):
    size = 52 if kind is ThingKind.VENT else 8
    thing = Thing(rectangle(90, 70, 60, size), kind, gap=0)
    drawn = replace(ring_round_core(), things={("Loft", "it"): thing})
    assert set_out(drawn.plan()).loops == ()


def distances(found):
    """Return everything measured by the way, without places."""
    return [
        (
            line.rows,
            line.rooms,
            [
                (mark.distance, mark.wall, mark.thing)
                for stretch in line.stretches
                for mark in (*stretch.left, *stretch.right)
            ],
            [(s.start_on, s.end_on) for s in line.stretches],
            line.triangle and (line.triangle.unit, line.triangle.leg_along),
        )
        for field in found.fields
        for line in field.lines
    ] + [[field.checks, field.diagonals] for field in found.fields]


@pytest.mark.parametrize("drawn", [flat(), side_by_side(), ring_round_core()], ids=["flat", "two", "ring"])
def test_moving_the_ground_changes_no_distance(drawn):
    here, there = set_out(drawn.plan()), set_out(moved(drawn, (-1234, 777)).plan())
    assert distances(here) == distances(there)
    for part in ("segments", "ways_out", "limits", "things", "doors", "area", "loops"):
        assert getattr(here, part) == getattr(there, part)


@pytest.mark.parametrize("drawn", [flat(), side_by_side(), ring_round_core()], ids=["flat", "two", "ring"])
def test_mirroring_the_ground_along_the_rows_changes_no_distance(drawn):
    def mirror(ring):
        return None if ring is None else tuple((-x, y) for x, y in ring)

    here, there = set_out(drawn.plan()), set_out(placed_as(drawn, mirror).plan())
    for one, other in zip(here.fields, there.fields, strict=True):
        assert (one.checks, one.diagonals) == (other.checks, other.diagonals)
        mirrored_lines = {frozenset(line.rooms): line for line in other.lines}
        assert len(mirrored_lines) == len(one.lines)
        for line in one.lines:
            mirrored = mirrored_lines[frozenset(line.rooms)]
            assert line.rows == mirrored.rows
            assert line.rooms == mirrored.rooms[::-1]
            for stretch, back in zip(line.stretches, mirrored.stretches[::-1], strict=True):
                assert [m.distance for m in stretch.left] == [m.distance for m in back.right]
                assert [m.distance for m in stretch.right] == [m.distance for m in back.left]
    assert [loop.distance for loop in here.loops] == [loop.distance for loop in there.loops]
    assert here.area == there.area


def test_turned_by_a_right_angle_nothing_is_rounded():
    def turn(ring):
        return None if ring is None else tuple((-y, x) for x, y in ring)

    drawn = flat()
    turned = replace(placed_as(drawn, turn), degrees=90)
    assert distances(set_out(drawn.plan())) == distances(set_out(turned.plan()))


def test_line_across_a_room_at_45_degrees_ends_on_named_walls():
    found = lines_of(Drawn(rooms={"Studio": rectangle(0, 0, 120, 120)}, degrees=45, gap="1/4"))
    (line, *_) = found.lines
    (stretch,) = line.stretches
    for end, point in ((stretch.start_on, stretch.start), (stretch.end_on, stretch.end)):
        x, y = Frame(degrees=45).to_plan(point)
        corners = dict(zip("ABCD", rectangle(0, 0, inches(120), inches(120)), strict=True))
        x0, y0 = corners[end.wall[0]]
        assert abs(hypot(x - x0, y - y0) - end.from_corner) <= 2
    assert all(mark.distance > 0 for mark in (*stretch.left, *stretch.right))


def test_closet_of_one_row_is_measured_at_its_edge():
    (line,) = lines_of(Drawn(rooms={"Closet": rectangle(0, 0, 40, 4)}, gap="1/4")).lines
    assert (line.line, line.row, line.rows) == (0, None, 0)
    (stretch,) = line.stretches
    assert [(mark.wall, mark.distance) for mark in stretch.left] == [
        (("A", "B"), inches("1/4")),
        (("C", "D"), inches("15/4")),
    ]


def test_field_without_floor_has_no_lines():
    plan = Drawn(rooms={"Closet": rectangle(0, 0, 40, 4)}).plan()
    bare = Field(
        name="floor",
        rooms=("Closet",),
        frame=Frame(),
        areas=(Area(outer=((0, 0), (9, 0), (9, 9))),),
        lines=(500, 600),
    )
    assert set_out(replace(plan, rows=(), ground=replace(plan.ground, fields=(bare,)))).fields == ()


def test_surveyors_formula():
    assert area2(((0, 0), (4, 0), (4, 3))) == 12
