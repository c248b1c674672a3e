"""What is set out on floors that the layout made of rooms by chance: laws, and shapely as a second opinion."""

import shapely
from hypothesis import HealthCheck, given, reject, settings
from placed_floors import cut
from test_check_layouts import joined_rooms, single_rooms

from cutopt.errors import JobError
from cutopt.layout import lay_out
from cutopt.model.job import LayoutSpec
from cutopt.setout import set_out

STEADY = settings(
    derandomize=True, deadline=None, max_examples=40, suppress_health_check=[HealthCheck.filter_too_much]
)
LIMITS = LayoutSpec(run_limit_along=320_000, run_limit_across=320_000, movement=100)
SPARE = 4  # ticks, for corners set on whole ticks


def set_out_of(job):
    try:
        floor = lay_out(job)
    except JobError:
        reject()
    plan = cut(floor, job)
    return plan, set_out(plan, LIMITS)


def every_law(plan, found):
    runs_are_in_segments(plan, found)
    for lines in found.fields:
        (field,) = [field for field in plan.ground.fields if field.name == lines.field]
        lines_keep_the_laws(plan, field, lines)
    for thing in found.things:
        notches_lie_in_their_pieces(plan, thing)
    for limit in found.limits:
        assert all(part < limit.extent for part in limit.parts)


def runs_are_in_segments(plan, found):
    laid = [key for segment in found.segments for key in segment.runs]
    assert sorted(laid) == sorted((row.run.row, row.run.run) for row in plan.rows)


def lines_keep_the_laws(plan, field, lines):
    floor = shapely.union_all([shapely.Polygon(area.outer, area.holes) for area in field.areas])
    near = shapely.buffer(floor, SPARE)
    rings = {
        room.name: [field.frame.to_rows(corner) for corner in room.corners] for room in plan.ground.rooms
    }
    names = {room.name: room.names for room in plan.ground.rooms}
    for line in lines.lines:
        assert line.y == field.lines[line.line]
        if line.triangle is not None:
            corners = (line.triangle.foot, line.triangle.along, line.triangle.across)
            assert near.covers(shapely.LinearRing(corners))
        for stretch in line.stretches:
            walls = shapely.Polygon(rings[stretch.room])
            assert walls.buffer(SPARE).covers(shapely.LineString([stretch.start, stretch.end]))
            for mark in (*stretch.left, *stretch.right):
                if mark.wall is not None:
                    wall = [rings[stretch.room][names[stretch.room].index(name)] for name in mark.wall]
                    reached = shapely.Point(
                        mark.at[0], mark.at[1] + (-1 if mark.towards_first else 1) * mark.distance
                    )
                    assert shapely.distance(shapely.LineString(wall), reached) <= SPARE
    for check in lines.checks:
        base = lines.lines[0].line
        assert check.distance == abs(field.lines[base + check.rows] - field.lines[base])


def notches_lie_in_their_pieces(plan, thing):
    pieces = {piece.id: (laid.run, piece) for laid in plan.rows for piece in laid.pieces}
    for notch in thing.notches:
        run, piece = pieces[notch.piece]
        assert run.row == notch.row
        assert 0 < notch.along <= piece.length - notch.from_joint
        assert 0 < notch.across + notch.from_edge <= run.width


@STEADY
@given(single_rooms())
def test_single_rooms(job):
    every_law(*set_out_of(job))


@STEADY
@given(joined_rooms())
def test_joined_rooms(job):
    plan, found = set_out_of(job)
    every_law(plan, found)
    if not any(door.undercut for door in plan.ground.doorways):
        walls = sum(shapely.LinearRing(room.corners).length for room in plan.ground.rooms)
        assert (
            found.area.gaps2 >= -2 * walls
        )  # a tick along all of them: rows across slanted walls are rounded
    exits = {way.field: way.exits for way in found.ways_out}
    for door in plan.ground.doorways:
        if door.strip is not None or len(door.rooms) == 1:
            assert all(door.name in exits[field] for field in door.fields)
