"""The floor on the plan: good plans pass whatever the room, and no damage to them survives."""

import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import accumulate, pairwise

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from placed_floors import MM, WIDTH, box, cut, field_of, plan_of, ring, run_on, with_field, with_run

from cutopt.check import Fault, check_plan, describe
from cutopt.model.floor import Area, Field, Floor, Frame, Ground, PlacedDoorway, PlacedRoom, PlacedThing, Run
from cutopt.model.rooms import ThingKind

STEADY = settings(derandomize=True, deadline=None, max_examples=60)
FOUR = (0, 100, 200, 300, 400)


def rectangle():
    field = field_of(Area(outer=box(0, 0, 2500, 250)), lines=(0, 100, 200, 250))
    return plan_of(field, run_on(1, 0, 2500), run_on(2, 0, 2500, touches=(1,)), run_on(3, 0, 2500, height=50))


def far_away():
    """Negative places, kilometres off."""
    field = field_of(Area(outer=box(-9_000_000, -250, -8_997_500, 0)), lines=(-250, -150, -50, 0))
    left, right = -9_000_000, -8_997_500
    return plan_of(field, run_on(1, left, right), run_on(2, left, right), run_on(3, left, right, height=50))


def island():
    """Two rows are parted by it, and the fourth is notched."""
    hole = box(1000, 100, 1800, 320)[::-1]
    return plan_of(
        field_of(Area(outer=box(0, 0, 3000, 400), holes=(hole,)), lines=FOUR),
        run_on(1, 0, 3000),
        run_on(2, 0, 1000, touches=(1,)),
        run_on(2, 1800, 3000, nth=2, touches=(1,)),
        run_on(3, 0, 1000, touches=(1,)),
        run_on(3, 1800, 3000, nth=2, touches=(2,)),
        run_on(4, 0, 3000, area=300_000 - 16_000, touches=(1, 2)),
    )


def ring_round_a_core():
    core = box(100, 100, 2900, 300)[::-1]
    return plan_of(
        field_of(Area(outer=box(0, 0, 3000, 400), holes=(core,)), lines=FOUR),
        run_on(1, 0, 3000),
        run_on(2, 0, 100),
        run_on(2, 2900, 3000, nth=2),
        run_on(3, 0, 100),
        run_on(3, 2900, 3000, nth=2),
        run_on(4, 0, 3000),
    )


def wall_on_a_slant():
    """It lies across the second row, whose runs overlap as seen along it."""
    wall = ring((1000, 50), (1600, 250), (1650, 250), (1050, 50))
    return plan_of(
        field_of(Area(outer=box(0, 0, 3000, 300), holes=(wall,)), lines=(0, 100, 200, 300)),
        run_on(1, 0, 3000, area=300_000 - 2500),
        run_on(2, 0, 1450, area=130_000, slants=(0, 300), touches=(1,)),
        run_on(2, 1200, 3000, nth=2, area=165_000, slants=(300, 0), touches=(1,)),
        run_on(3, 0, 3000, area=300_000 - 2500, touches=(1, 2)),
    )


def wedges():
    """Two runs of a line with one and the same span."""
    low, high = ring((0, 0), (3000, 0), (3000, 60)), ring((0, 20), (3000, 100), (0, 100))
    return plan_of(
        field_of(Area(outer=low), Area(outer=high), lines=(0, 100)),
        run_on(1, 0, 3000, area=120_000),
        run_on(1, 0, 3000, nth=2, area=90_000),
    )


def vent():
    hole = box(500, 20, 600, 60)[::-1]
    return plan_of(
        field_of(Area(outer=box(0, 0, 1500, 200), holes=(hole,)), lines=(0, 100, 200)),
        run_on(1, 0, 1500, area=150_000 - 4000),
        run_on(2, 0, 1500),
    )


def tapered():
    """The right wall leans in; the row at the top is ripped to a wall that runs along it."""
    at_200 = Fraction(2260 * 50, 70)
    return plan_of(
        field_of(Area(outer=ring((0, 0), (2500, 0), (2260, 180), (0, 250))), lines=(0, 100, 200, 250)),
        run_on(1, 0, 2500, area=250_000 - Fraction(100 * 400, 6), slants=(0, -Fraction(400, 3))),
        run_on(2, 0, 2500 - Fraction(400, 3), area=_tapered_area() - 50 * at_200 / 2, slants=(0, 0)),
        run_on(3, 0, at_200, area=50 * at_200 / 2, height=50),
    )


def _tapered_area():
    """The area above 100 mm: of the trapezium below 180 and of the triangle above."""
    slope = Fraction(4, 3)
    at_100 = 2500 - slope * 100
    return (at_100 + 2260) / 2 * 80 + Fraction(2260 * 70, 2)


PLANS = {
    made.__name__: cache(made)
    for made in (rectangle, far_away, island, ring_round_a_core, wall_on_a_slant, wedges, vent, tapered)
}
GOOD = pytest.mark.parametrize("made", PLANS.values(), ids=PLANS)


def faults(plan):
    return {finding.fault for finding in check_plan(plan)}


@GOOD
def test_a_good_plan_passes(made):
    assert check_plan(made()) == ()


def shift(ring, dx, dy):
    return tuple((x + dx, y + dy) for x, y in ring)


SPAN = {Fault.RUN_LEFT, Fault.RUN_RIGHT}


@GOOD
@pytest.mark.parametrize("by", [1, -1])
def test_a_run_moved_or_stretched_is_found(made, by):
    plan = made()
    for at, laid in enumerate(plan.rows):
        run = laid.run
        moved = with_run(plan, at, offset=run.offset + 2 * by)
        assert faults(moved) & SPAN, (at, "moved")
        # A wall on a slant leaves a choice of a tick.
        assert faults(with_run(plan, at, length=run.length + 2 * by)) & SPAN, (at, "stretched")


@pytest.mark.parametrize("by", [1, -1])
def test_between_whole_ticks_a_single_one_is_found(by):
    for made in (rectangle, far_away, island, vent):
        plan = made()
        for at, laid in enumerate(plan.rows):
            assert faults(with_run(plan, at, offset=laid.run.offset + by)) & SPAN
            assert faults(with_run(plan, at, length=laid.run.length + by)) & SPAN


@GOOD
def test_a_run_dropped_or_laid_twice_is_found(made):
    plan = made()
    for at in range(len(plan.rows)):
        dropped = replace(plan, rows=plan.rows[:at] + plan.rows[at + 1 :])
        assert Fault.FLOOR_BARE in faults(dropped), at
        twice = replace(plan, rows=plan.rows[: at + 1] + plan.rows[at:])
        assert Fault.NO_FLOOR in faults(twice), at


@GOOD
def test_a_wrong_measure_of_a_run_is_found(made):
    plan = made()
    for at, laid in enumerate(plan.rows):
        run = laid.run
        for by in (2, -2):
            assert Fault.RUN_AREA in faults(with_run(plan, at, area2=run.area2 + by))
        assert Fault.OFF_BAND in faults(with_run(plan, at, width=run.width - 1))
        for line in (0, -1, len(plan.ground.fields[0].lines)):
            assert Fault.OFF_LINES in faults(with_run(plan, at, line=line))
        assert Fault.RIP_WIDE in faults(with_run(plan, at, wide=run.width + 1, narrow=0))
        assert Fault.RIP_NARROW in faults(with_run(plan, at, wide=run.width - 2, narrow=run.width - 1))


@GOOD
def test_a_slant_that_is_not_the_walls_is_found(made):
    plan = made()
    for at, laid in enumerate(plan.rows):
        for end in ("left_slant", "right_slant"):
            slant = getattr(laid.run, end)
            for other in {slant + 1, slant - 1, -slant} - {0, slant}:
                assert Fault.SLANT_WALL in faults(with_run(plan, at, **{end: other})), (at, end, other)


@GOOD
@pytest.mark.parametrize("by", [1, -1, 320])
def test_lines_moved_are_found(made, by):
    plan = made()
    (field,) = plan.ground.fields
    moved = {Fault.RUN_AREA, Fault.OFF_BAND, *SPAN, Fault.FLOOR_BARE, Fault.EDGE_WIDTH, Fault.LINE_WIDTH}
    shifted = tuple(line + by for line in field.lines)
    assert faults(with_field(plan, lines=shifted)) & moved
    for at in range(len(field.lines)):
        lines = (*field.lines[:at], field.lines[at] + by, *field.lines[at + 1 :])
        assert faults(with_field(plan, lines=lines)) & moved, at


@GOOD
def test_a_floor_moved_or_cut_otherwise_is_found(made):
    plan = made()
    (field,) = plan.ground.fields
    first, *others = field.areas
    for dx, dy in ((1, 0), (0, 1), (-1, 0), (0, -1)):
        outer, holes = shift(first.outer, dx, dy), tuple(shift(hole, dx, dy) for hole in first.holes)
        moved = Area(outer=outer, holes=holes)
        # Of a floor that only comes to a tip at one of its lines nothing changes.
        same = made is PLANS["wedges"] and dy > 0
        assert bool(faults(with_field(plan, areas=(moved, *others)))) is not same, (dx, dy)
    for nth in range(len(first.holes)):
        holes = first.holes[:nth] + first.holes[nth + 1 :]
        filled = with_field(plan, areas=(Area(outer=first.outer, holes=holes), *others))
        assert faults(filled) & {Fault.RUN_AREA, *SPAN, Fault.NO_FLOOR}
    for nth in range(len(first.outer)):
        corners = first.outer[:nth] + first.outer[nth + 1 :]
        if len(corners) >= 3:
            assert faults(with_field(plan, areas=(Area(outer=corners, holes=first.holes), *others)))
    assert Fault.UNSOUND in faults(with_field(plan, areas=()))


@GOOD
def test_touches_that_are_wrong_are_found(made):
    plan = made()
    for at, laid in enumerate(plan.rows):
        named = laid.run.touches or ()
        assert Fault.TOUCH_WRONG in faults(with_run(plan, at, touches=(*named, 7)))
        for nth in range(len(named)):
            fewer = named[:nth] + named[nth + 1 :]
            assert Fault.TOUCH_MISSED in faults(with_run(plan, at, touches=fewer))


def test_a_run_that_only_meets_another_at_a_corner_does_not_touch_it():
    lower, upper = box(0, 0, 500, 100), box(500, 100, 900, 200)
    field = field_of(Area(outer=lower), Area(outer=upper), lines=(0, 100, 200))
    plan = plan_of(field, run_on(1, 0, 500), run_on(2, 500, 900, touches=()))
    assert check_plan(plan) == ()
    assert faults(with_run(plan, 1, touches=(1,))) == {Fault.TOUCH_WRONG}
    assert check_plan(with_run(plan, 1, touches=None)) == ()


def test_runs_on_two_sides_of_a_wall_along_the_line_do_not_touch():
    """Their spans overlap, but something solid lies between."""
    wall = box(500, 90, 2500, 210)[::-1]
    field = field_of(Area(outer=box(0, 0, 3000, 300), holes=(wall,)), lines=(0, 100, 200, 300))
    runs = [
        run_on(1, 0, 3000, area=300_000 - 20_000),
        run_on(2, 0, 500, touches=(1,)),
        run_on(2, 2500, 3000, nth=2, touches=(1,)),
        run_on(3, 0, 3000, area=300_000 - 20_000, touches=(1, 2)),
    ]
    assert check_plan(plan_of(field, *runs)) == ()


def two_of_a_line(touches):
    """An L over a gap: the run above spans over both below, and lies on one only."""
    first = ring((0, 0), (1000, 0), (1000, 200), (0, 200))
    second = ring((1200, 0), (2000, 0), (2000, 90), (1200, 90))
    third = box(1200, 110, 2000, 200)
    field = field_of(*(Area(outer=outer) for outer in (first, second, third)), lines=(0, 100, 200))
    return plan_of(
        field,
        run_on(1, 0, 1000),
        run_on(1, 1200, 2000, nth=2, area=800 * 90),
        run_on(2, 0, 1000, touches=(1,)),
        run_on(2, 1200, 2000, nth=2, area=800 * 90, touches=touches),
    )


def test_floor_that_ends_before_the_line_does_not_touch():
    assert check_plan(two_of_a_line(())) == ()
    assert faults(two_of_a_line((2,))) == {Fault.TOUCH_WRONG}


def test_pieces_that_do_not_cover_their_floor_are_found():
    plan = rectangle()
    row = plan.rows[0]
    for pieces in (row.pieces[1:], row.pieces + row.pieces[-1:]):
        broken = replace(plan, rows=(replace(row, pieces=pieces), *plan.rows[1:]))
        if len(pieces) < len(row.pieces):
            assert Fault.PIECES_AREA in faults(broken)
        else:
            assert Fault.JOINT_OUTSIDE in faults(broken)


@pytest.mark.parametrize(
    ("areas", "reason"),
    [
        ((Area(outer=ring((0, 0), (100, 100), (100, 0), (0, 100))),), "self-intersection"),
        ((Area(outer=box(0, 0, 100, 100)), Area(outer=box(50, 0, 150, 100))), "self-intersection"),
        ((Area(outer=box(0, 0, 100, 100)), Area(outer=box(100, 0, 200, 100))), "self-intersection"),
        ((Area(outer=box(0, 0, 100, 100), holes=(box(200, 0, 300, 100),)),), "hole lies outside shell"),
        ((Area(outer=ring((0, 0), (1, 1))),), "rings of fewer than three corners"),
        ((Area(outer=ring((0, 0), (0, 0), (0, 0))),), "too few points in geometry component"),
        ((), "no areas"),
    ],
)
def test_areas_that_cross_or_overlap_are_told(areas, reason):
    plan = with_field(rectangle(), areas=areas)
    assert next(finding.found for finding in check_plan(plan) if finding.fault is Fault.UNSOUND) == reason


@pytest.mark.parametrize(
    ("lines", "fault"),
    [
        ((), Fault.LINES_FALL),
        ((0,), Fault.LINES_FALL),
        ((0, 100, 100, 200, 250), Fault.LINES_FALL),
        ((0, 90, 180, 250), Fault.LINE_WIDTH),
        ((0, 150, 250), Fault.EDGE_WIDTH),
    ],
)
def test_lines_that_make_no_rows_are_told(lines, fault):
    assert fault in faults(with_field(rectangle(), lines=tuple(MM * line for line in lines)))


def test_names_that_do_not_fit_are_told():
    plan = rectangle()
    (field,) = plan.ground.fields
    assert Fault.ROOM_STRANGE in faults(with_field(plan, rooms=("Attic",)))
    assert Fault.ROOM_ELSEWHERE in faults(with_run(plan, 0, field="Attic"))
    assert Fault.FIELD_TWICE in faults(replace(plan, ground=Ground(fields=(field, field))))
    room = PlacedRoom(name="Attic", field="Attic", corners=box(0, 0, 1, 1), names=("A", "B", "C", "D"))
    assert Fault.FIELD_UNKNOWN in faults(replace(plan, ground=Ground(fields=(field,), rooms=(room,))))


def test_the_net_area_is_that_of_the_fields():
    plan = rectangle()
    for by in (2, -2):
        net = plan.totals.net_area_mm2 + by
        wrong = replace(plan, totals=replace(plan.totals, net_area_mm2=net))
        assert faults(wrong) >= {Fault.FIELDS_AREA, Fault.NET_AREA}


def test_rooms_without_a_place_are_passed_over():
    placed = rectangle()
    given_outright = run_on(1, 0, 800, name="Closet")
    runs = [*(laid.run for laid in placed.rows), replace(given_outright, row=4)]
    assert check_plan(cut(Floor(runs=tuple(runs), ground=placed.ground))) == ()


ISLAND = box(1000, 100, 1800, 320)


def thing(*, gap=0, corners=ISLAND):
    return PlacedThing(
        name="stove", kind=ThingKind.OTHER, room="Loft", field="Loft", corners=corners, gap=gap * MM
    )


def test_floor_on_a_thing_or_too_close_to_one_is_found():
    plan = island()
    (field,) = plan.ground.fields

    def with_thing(**changed):
        return replace(plan, ground=Ground(fields=(field,), things=(thing(**changed),)))

    assert check_plan(with_thing()) == ()
    assert check_plan(with_thing(corners=box(1010, 110, 1790, 310), gap=10)) == ()
    assert faults(with_thing(corners=box(1010, 110, 1790, 310), gap=11)) == {Fault.THING_CLOSE}
    assert faults(with_thing(corners=box(990, 100, 1800, 320))) == {Fault.THING_COVERED}
    assert faults(with_thing(corners=ring((0, 0), (9, 9), (9, 0), (0, 9)))) == {Fault.UNSOUND}


def test_floor_outside_the_rooms_and_doorways_is_found():
    plan = rectangle()
    (field,) = plan.ground.fields

    def within(room, **changed):
        placed = PlacedRoom(name="Loft", field="Loft", corners=room, names=("A", "B", "C", "D"))
        return replace(plan, ground=Ground(fields=(field,), rooms=(placed,), **changed))

    assert check_plan(within(box(-10, -10, 2510, 260))) == ()
    short = box(-10, -10, 2400, 260)
    assert faults(within(short)) == {Fault.FLOOR_OUTSIDE}
    door = PlacedDoorway(
        name="way out", rooms=("Loft",), fields=("Loft",), opening=box(2400, 0, 2510, 250), undercut=0
    )
    assert check_plan(within(short, doorways=(door,))) == ()
    on_strip = replace(door, strip=box(2450, 0, 2510, 250))
    assert faults(within(short, doorways=(on_strip,))) == {Fault.THING_COVERED}
    beside = replace(door, strip=box(2500, 0, 2510, 250))
    assert check_plan(within(short, doorways=(beside,))) == ()


def test_rows_at_an_angle_are_held_against_the_plan():
    """The frame turns things onto the rows: 90 degrees, so that x on the plan is y across the rows, downwards."""
    plan = with_field(vent(), frame=Frame(degrees=Fraction(90)))
    (field,) = plan.ground.fields
    hole = shapely.Polygon(field.areas[0].holes[0])
    corners = tuple((round(x), round(y)) for x, y in map(field.frame.to_plan, hole.exterior.coords[:-1]))
    assert corners[0][0] < 0
    here, elsewhere = thing(corners=corners), thing(corners=box(500, 20, 600, 60))
    assert check_plan(replace(plan, ground=Ground(fields=(field,), things=(here,)))) == ()
    turned_back = replace(plan, ground=Ground(fields=(replace(field, frame=Frame()),), things=(elsewhere,)))
    assert check_plan(turned_back) == ()
    assert (
        faults(replace(plan, ground=Ground(fields=(replace(field, frame=Frame()),), things=(here,)))) == set()
    )
    on_floor = thing(corners=shift(corners, 0, 30 * MM))
    assert faults(replace(plan, ground=Ground(fields=(field,), things=(on_floor,)))) == {Fault.THING_COVERED}


def test_findings_tell_where_they_are():
    plan = rectangle()
    told = [
        describe(finding, lambda ticks: f"{ticks / MM:g} mm")
        for finding in check_plan(with_run(plan, 0, line=9))
    ]
    assert (
        "the floor on the plan: a run lies on no line of its field - row 1 - found 9, wanted at most 3"
    ) in told
    assert (
        'area: floor lies bare - field "Loft" line 1 - found 250000.00 mm2, wanted at most 1.00 mm2' in told
    )


# Floors from cells: which cells have floor is drawn, and runs, touches and outlines follow.


@st.composite
def cells(draw):
    rows = draw(st.integers(1, 5))
    columns = draw(st.lists(st.integers(40 * MM, 900 * MM), min_size=1, max_size=6))
    return columns, [
        draw(st.lists(st.booleans(), min_size=len(columns), max_size=len(columns))) for _ in range(rows)
    ]


def plan_of_cells(columns, rows):
    edges = list(accumulate(columns, initial=0))
    squares = [
        shapely.box(edges[at], line * WIDTH, edges[at + 1], (line + 1) * WIDTH)
        for line, row in enumerate(rows)
        for at, there in enumerate(row)
        if there
    ]
    field = Field(
        name="Loft",
        rooms=("Loft",),
        frame=Frame(),
        areas=tuple(map(area_of, shapely.get_parts(shapely.union_all(squares)))),
        lines=tuple(WIDTH * line for line in range(len(rows) + 1)),
    )
    runs, before, laid = [], [], 0
    for line, row in enumerate(rows, 1):
        stretches = list(stretches_of(row))
        laid += bool(stretches)
        for nth, (first, last) in enumerate(stretches, 1):
            touches = tuple(
                at for at, (low, high) in enumerate(before, 1) if min(last, high) > max(first, low)
            )
            offset, length = edges[first], edges[last] - edges[first]
            runs.append(
                Run(
                    room="Loft",
                    field="Loft",
                    line=line,
                    row=laid,
                    run=nth,
                    offset=offset,
                    length=length,
                    width=WIDTH,
                    area2=2 * length * WIDTH,
                    touches=touches,
                )
            )
        before = stretches
    return cut(Floor(runs=tuple(runs), ground=Ground(fields=(field,))))


def stretches_of(row):
    changes = [at for at, (one, other) in enumerate(pairwise([False, *row, False])) if one != other]
    return zip(changes[::2], changes[1::2], strict=True)


def area_of(polygon):
    rings = [
        tuple((round(x), round(y)) for x, y in ring.coords[:-1])
        for ring in (polygon.exterior, *polygon.interiors)
    ]
    return Area(outer=rings[0], holes=tuple(rings[1:]))


drawn = cells().filter(lambda drawn: any(map(any, drawn[1])))


@STEADY
@given(drawn)
def test_floors_from_cells_pass(drawn):
    assert check_plan(plan_of_cells(*drawn)) == ()


@STEADY
@given(drawn, st.data())
def test_a_cell_more_or_less_is_found(drawn, data):
    columns, rows = drawn
    line = data.draw(st.integers(0, len(rows) - 1))
    at = data.draw(st.integers(0, len(columns) - 1))
    other = [list(row) for row in rows]
    other[line][at] = not other[line][at]
    if any(map(any, other)):
        plan, floor = plan_of_cells(columns, rows), plan_of_cells(columns, other)
        assert faults(replace(plan, ground=floor.ground))


def test_plans_without_a_place_do_not_load_shapes():
    code = (
        "import sys; from cutopt.check import check_plan; from cutopt.planfile import read_plan; "
        "from pathlib import Path; check_plan(read_plan(Path(sys.argv[1]))); print('shapely' in sys.modules)"
    )
    from plan_documents import PLANS as STORED  # noqa: PLC0415

    done = subprocess.run(
        [sys.executable, "-c", code, str(STORED / "two_runs.json")],
        capture_output=True,
        check=True,
        text=True,
    )
    assert done.stdout == "False\n"
