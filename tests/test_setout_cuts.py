"""What is cut round things and at doorways, exits found from places, breaks proposed, areas."""

from dataclasses import replace
from time import perf_counter

import pytest
import shapely
from grounds import Door, Drawn, Thing, inches, rectangle
from test_setout_lines import flat, ring_round_core, side_by_side

from cutopt.model.cutouts import Axis, CutEdge, Notch, Passage, RowEnd, Side, Sliver
from cutopt.model.floor import NOWHERE
from cutopt.model.job import LayoutSpec, PlankKind
from cutopt.model.plan import End
from cutopt.model.rooms import ThingKind
from cutopt.model.setout import Caution
from cutopt.setout import set_out
from cutopt.setout._exits import exits_of
from cutopt.units import TICKS_PER_INCH


def work_on(thing, **changed):
    """Return what is cut round a thing in a room of 200 by 100 in, rows of 5 in from its lower wall."""
    drawn = Drawn(rooms={"Hall": rectangle(0, 0, 200, 100)}, things={("Hall", "it"): thing}, **changed)
    (found,) = set_out(drawn.plan()).things
    return found


def test_vent_within_a_row_is_a_cut_out_measured_from_edge_and_joint():
    found = work_on(Thing(rectangle(100, 21, 10, 3), ThingKind.VENT))
    # Row 5 lies from 20 to 25 in; its planks of 48 in meet at 48, 96 and 144 in.
    assert found.notches == (
        Notch(
            row=5,
            piece="5.3",
            edge=CutEdge.INSIDE,
            along=inches(10),
            across=inches(3),
            from_edge=inches(1),
            joint=Side.LEFT,
            from_joint=inches(4),
            made=End.FACTORY,
        ),
    )
    assert (found.rows, found.ends, found.slivers) == ((5,), (), ())


def test_vent_over_a_joint_is_cut_out_of_both_pieces():
    found = work_on(Thing(rectangle(90, 22, 12, 2), ThingKind.VENT))
    assert [(n.piece, n.along, n.joint, n.from_joint) for n in found.notches] == [
        ("5.2", inches(6), Side.RIGHT, 0),
        ("5.3", inches(6), Side.LEFT, 0),
    ]


def test_vent_over_a_row_line_is_notched_out_of_both_rows():
    found = work_on(Thing(rectangle(100, 23, 10, 4), ThingKind.VENT))
    assert [(n.row, n.edge, n.across, n.from_edge) for n in found.notches] == [
        (5, CutEdge.FAR, inches(2), 0),
        (6, CutEdge.NEAR, inches(2), 0),
    ]


def test_thing_takes_its_gap_with_it_and_ends_rows_on_both_sides():
    found = work_on(Thing(rectangle(100, 20, 30, 10), ThingKind.ISLAND, gap="1/2"))
    assert found.rows == (4, 5, 6, 7)
    assert found.ends == tuple(
        RowEnd(row=row, piece=piece, side=side)
        for row, piece, side in (
            (5, "5.3", Side.LEFT),
            (5, "5b.1", Side.RIGHT),
            (6, "6.3", Side.LEFT),
            (6, "6b.1", Side.RIGHT),
        )
    )
    assert [(n.row, n.edge, n.along, n.across) for n in found.notches if n.piece in {"4.3", "7.3"}] == [
        (4, CutEdge.FAR, inches(31), inches("1/2")),
        (7, CutEdge.NEAR, inches(31), inches("1/2")),
    ]


def test_hearth_at_the_end_wall_is_a_corner_notch_and_no_row_end():
    found = work_on(Thing(rectangle(194, 42, 6, 6), ThingKind.HEARTH), gap="1/4")
    # Rows lie from 1/4 in on: row 9 from 40-1/4 to 45-1/4, row 10 from there to 50-1/4; the hearth takes 41-3/4
    # to 48-1/4 with its gap.
    assert found.ends == ()
    assert [(n.row, n.edge, n.along, n.across, n.joint, n.from_joint) for n in found.notches] == [
        (9, CutEdge.FAR, inches(6), inches("7/2"), Side.RIGHT, 0),
        (10, CutEdge.NEAR, inches(6), inches(3), Side.RIGHT, 0),
    ]


def test_strip_beside_a_thing_under_the_minimum_rip_is_a_sliver():
    found = work_on(Thing(rectangle(100, 21, 30, 14), ThingKind.ISLAND))
    assert found.slivers == (Sliver(row=5, axis=Axis.ACROSS, size=inches(1), least=inches(2)),)


def test_strip_between_thing_and_wall_is_a_sliver_both_ways():
    at_side = work_on(Thing(rectangle(4, 20, 30, 10), ThingKind.ISLAND))
    assert at_side.slivers == tuple(
        Sliver(row=row, axis=Axis.ALONG, size=inches(4), least=inches(8)) for row in (5, 6)
    )
    at_top = work_on(Thing(rectangle(60, 80, 30, 19), ThingKind.ISLAND))
    assert at_top.slivers == (Sliver(row=20, axis=Axis.ACROSS, size=inches(1), least=inches(2)),)


def test_round_column_is_notched_by_the_box_round_it():
    circle = shapely.Point(100, 22.5).buffer(1.5)
    corners = tuple((round(x * 8128) / 8128, round(y * 8128) / 8128) for x, y in circle.exterior.coords[:-1])
    (notch,) = work_on(Thing(corners, ThingKind.COLUMN)).notches
    assert (notch.edge, notch.along, notch.across) == (CutEdge.INSIDE, inches(3), inches(3))


def test_cut_outs_take_out_just_what_the_floor_lacks():
    drawn = Drawn(
        rooms={"Hall": rectangle(0, 0, 200, 100)},
        things={
            ("Hall", "island"): Thing(rectangle(53, 31, 61, 22), ThingKind.ISLAND),
            ("Hall", "vent"): Thing(rectangle(140, 68, 12, 9), ThingKind.VENT),
        },
        gap="1/4",
    )
    plan = drawn.plan()
    boxes = sum(
        laid.run.length * laid.run.width - sum(n.along * n.across for n in _notches_of(plan, laid))
        for laid in plan.rows
    )
    assert 2 * boxes == sum(laid.run.area2 for laid in plan.rows)


def _notches_of(plan, laid):
    ids = {piece.id for piece in laid.pieces}
    return [n for thing in set_out(plan).things for n in thing.notches if n.piece in ids]


def test_exits_are_found_at_the_doorways():
    plan = side_by_side().plan()
    doors = {"out": Door(("Study",), ((275, 100), (275, 132), (281, 132), (281, 100)))}
    plan = replace(side_by_side(), doors=doors, fields={"Hall": "hall"}).plan()
    runs = [laid.run for laid in plan.rows]
    rows = {runs[place].row for place in exits_of(plan.ground, runs, plan.rules.gap)}
    study = [run for run in runs if run.field == "floor"]
    lines = {field.name: field.lines for field in plan.ground.fields}["floor"]
    at_door = {
        run.row for run in study if lines[run.line] > inches(100) and lines[run.line - 1] < inches(132)
    }
    assert rows == at_door


def test_strip_is_an_exit_of_both_its_fields_and_a_through_doorway_of_none():
    strip = rectangle(152, 15, 1, 32)
    (door,) = side_by_side().doors.values()
    parted = replace(
        side_by_side(),
        doors={"study door": replace(door, strip=strip)},
        fields={"Hall": "hall", "Study": "study"},
    )
    ways = set_out(parted.plan()).ways_out
    assert [(way.field, way.exits) for way in ways] == [
        ("hall", ("study door",)),
        ("study", ("study door",)),
    ]
    (through,) = set_out(side_by_side().plan()).ways_out
    assert through.exits == ()


def test_doorway_is_proposed_that_parts_the_floor_best():
    # 0.25 to 274.75 in along; the doorway between the rooms is at 150 to 155 in.
    layout = LayoutSpec(run_limit_along=inches(200), run_limit_across=inches(200))
    (limit,) = set_out(side_by_side().plan(), layout).limits
    assert (limit.axis, limit.extent, limit.breaks) == (Axis.ALONG, inches("549/2"), 1)
    assert limit.doorway == "study door"
    assert limit.parts == (inches("599/4"), inches("479/4"))


def test_no_doorway_is_proposed_where_none_is_on_the_way():
    layout = LayoutSpec(run_limit_across=inches(150))
    (limit,) = set_out(side_by_side().plan(), layout).limits
    assert (limit.axis, limit.doorway, limit.parts) == (Axis.ACROSS, None, ())


def test_best_doorway_leaves_the_smallest_largest_part():
    (limit,) = set_out(flat().plan(), LayoutSpec(run_limit_across=inches(200))).limits
    assert limit.extent == inches("529/2")
    assert limit.doorway == "parlour door"
    # Hall with its bedrooms from the wall between, 100 in, to 264-3/4; the parlour from 1/4 in up to 95.
    assert limit.parts == (inches("659/4"), inches("379/4"))


@pytest.mark.parametrize(
    ("kind", "clearance"),
    # A rigid-core vinyl maker's manual: thickness + 1/64 in; an engineered-wood maker's guideline: + 1/16 in.
    [
        (PlankKind.CLICK_VINYL, TICKS_PER_INCH // 64),
        (PlankKind.GLUE_DOWN_VINYL, TICKS_PER_INCH // 64),
        (PlankKind.ENGINEERED_WOOD, TICKS_PER_INCH // 16),
        (PlankKind.LAMINATE, 0),
        (None, 0),
    ],
)
def test_jambs_are_undercut_by_the_thickness_and_a_clearance(kind, clearance):
    found = set_out(replace(flat(), kind=kind, thickness=5 * 320).plan()).doors
    assert [door.height for door in found] == [5 * 320 + clearance] * 4
    assert [(door.name, door.legs, door.passage) for door in found] == [
        ("study door", 4, Passage.THROUGH),
        ("bedroom door", 4, Passage.THROUGH),
        ("parlour door", 4, Passage.THROUGH),
        ("front door", 2, Passage.OUT),
    ]
    assert [door.height for door in set_out(flat().plan()).doors] == [None] * 4


def test_last_row_in_a_doorway_is_told():
    # everyyeargetsbetter.blogspot.com and others, laminate at doorways: the last board at a door has to slide in
    # under the jambs.
    door = Door(("Hall",), ((60, 100), (92, 100), (92, 104), (60, 104)))
    (found,) = set_out(Drawn(rooms={"Hall": rectangle(0, 0, 200, 100)}, doors={"out": door}).plan()).doors
    assert found.last_row == 21
    assert {door.last_row for door in set_out(side_by_side().plan()).doors} == {None}


def test_areas_add_up_from_wall_to_wall_to_what_is_laid():
    drawn = Drawn(
        rooms={"Hall": rectangle(0, 0, 200, 100)},
        things={
            ("Hall", "island"): Thing(rectangle(50, 30, 60, 20), ThingKind.ISLAND),
            ("Hall", "vent"): Thing(rectangle(140, 68, 12, 9), ThingKind.VENT),
        },
        gap="1/2",
    )
    area = set_out(drawn.plan()).area
    square = 2 * inches(1) ** 2
    assert area.gross2 == 200 * 100 * square
    assert [(thing.name, thing.area2) for thing in area.things] == [
        ("island", 60 * 20 * square),
        ("vent", 12 * 9 * square),
    ]
    assert area.net2 == (199 * 99 - 61 * 21 - 12 * 9) * square
    assert area.gaps2 == ((200 * 100 - 199 * 99) + (61 * 21 - 60 * 20)) * square


def test_doorways_and_strips_have_their_area():
    (door,) = side_by_side().doors.values()
    strip = rectangle(152, 15, 1, 32)
    parted = replace(
        side_by_side(),
        doors={"study door": replace(door, strip=strip)},
        fields={"Hall": "hall", "Study": "study"},
    )
    through, ended = set_out(side_by_side().plan()).area, set_out(parted.plan()).area
    square = 2 * inches(1) ** 2
    assert [part.area2 for part in through.doorways] == [5 * 32 * square]
    assert through.strips == ()
    assert ended.gross2 - through.gross2 in {0, -5 * 32 * square}


@pytest.mark.parametrize(
    ("kind", "pinned"),
    [(PlankKind.CLICK_VINYL, True), (PlankKind.LAMINATE, True), (PlankKind.SOLID_STRIP, False)],
)
def test_heavy_things_on_floating_floors_and_heaters_are_told(kind, pinned):
    # fcimag.com, what sank the floating floor: fixtures in the middle pinned it. thespruce.com: a raised floor
    # can choke a baseboard heater.
    drawn = Drawn(
        rooms={"Hall": rectangle(0, 0, 200, 100)},
        things={
            ("Hall", "island"): Thing(rectangle(50, 30, 60, 20), ThingKind.ISLAND),
            ("Hall", "stove"): Thing(rectangle(140, 60, 12, 9), ThingKind.HEATER),
        },
        kind=kind,
    )
    told = dict(set_out(drawn.plan()).cautions)
    assert told.get(Caution.PINNED) == (("island", "stove") if pinned else None)
    assert told[Caution.HEATER] == ("stove",)


def test_rows_given_outright_get_their_order_only():
    plan = replace(ring_round_core().plan(), ground=NOWHERE)
    found = set_out(plan)
    assert len(found.segments) == 4
    assert (found.fields, found.ways_out, found.things, found.doors, found.area) == ((), (), (), (), None)


def test_twelve_rooms_with_sixty_things_are_set_out_soon():
    rooms = {f"Room {n}": rectangle(n % 4 * 205, n // 4 * 165, 200, 160) for n in range(12)}
    things = {
        (room, f"{room} thing {n}"): Thing(
            rectangle(ring[0][0] + 20 + 35 * n, ring[0][1] + 20 + 17 * n, 21, 13), ThingKind.COLUMN
        )
        for room, ring in rooms.items()
        for n in range(5)
    }
    doors = {
        f"door {n}": Door(
            (f"Room {n}", f"Room {n + 1}"),
            tuple((x, n // 4 * 165 + y) for x, y in _between(n % 4 * 205 + 200)),
        )
        for n in range(12)
        if n % 4 < 3
    }
    plan = Drawn(rooms=rooms, things=things, doors=doors, gap="1/4").plan()
    start = perf_counter()
    found = set_out(plan, LayoutSpec(run_limit_along=inches(300), run_limit_across=inches(300)))
    assert perf_counter() - start < 5
    assert len(found.things) == 60


def _between(x):
    return ((x, 100), (x, 132), (x + 5, 132), (x + 5, 100))
