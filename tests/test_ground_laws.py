"""Laws of floors with things and doorways, checked on generated ones: what changes nothing, and what area is laid."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
import shapely
from hypothesis import HealthCheck, given, reject, settings
from hypothesis import strategies as st
from placed_floors import JOB, MM
from test_check_layouts import joined_rooms, single_rooms
from test_layout_properties import by_row, stepped

from cutopt.errors import JobError
from cutopt.layout import lay_out
from cutopt.model.job import EdgePolicy, Job, LayoutSpec
from cutopt.model.rooms import Doorway, FixedThing, OutlineRoom, SizeRoom, corner_names

CHECKED = settings(
    derandomize=True,
    deadline=None,
    max_examples=40,
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)
UNIT = 10 * MM


def laid(job: Job):
    """Lay a floor out; whatever does not fit is told with its place."""
    told = ()
    try:
        return lay_out(job)
    except JobError as error:
        told = error.problems
    assert all(problem.what and problem.where and problem.remedy for problem in told)
    reject()
    return None


def shapes(field):
    return [shapely.Polygon(area.outer, area.holes) for area in field.areas]


@CHECKED
@given(single_rooms() | joined_rooms())
def test_runs_are_the_parts_of_the_floor_between_two_lines(job):
    """So no two overlap and all of the floor is laid. Areas are rounded to half a square tick a run."""
    floor = laid(job)
    for field in floor.ground.fields:
        whole = shapely.union_all(shapes(field))
        rows = by_row(replace(floor, runs=tuple(run for run in floor.runs if run.field == field.name)))
        left, _, right, _ = whole.bounds
        found = 0
        for line, (low, high) in enumerate(pairwise(field.lines), 1):
            strip = shapely.intersection(whole, shapely.box(left, low, right, high))
            parts = [part for part in shapely.get_parts(strip) if round(2 * part.area) > 2]
            expected = sorted((part.bounds[0], part.bounds[2], part.area) for part in parts)
            runs = [run for run in rows.get(line, []) if run.area2 > 2]
            assert len(runs) == len(expected)
            for run, (start, end, area) in zip(sorted(runs, key=_place), expected, strict=True):
                assert (run.offset, run.right) == (
                    pytest.approx(start, abs=1.01),
                    pytest.approx(end, abs=2.01),
                )
                assert run.area2 == pytest.approx(2 * area, abs=2)
            found += sum(run.area2 for run in rows.get(line, []))
        assert abs(found - sum(_twice(area) for area in field.areas)) <= len(floor.runs) / 2


def _place(run):
    return run.offset, run.right, run.area2


def _twice(area):
    """Twice an area in whole numbers; holes go round clockwise and take theirs off."""
    rings = (area.outer, *area.holes)
    return sum(a[0] * b[1] - a[1] * b[0] for ring in rings for a, b in pairwise((*ring, ring[0])))


@st.composite
def square_things(draw, corners):
    xs, ys = sorted({x for x, _ in corners}), sorted({y for _, y in corners})
    x, y = draw(st.integers(xs[0], xs[-1])), draw(st.integers(ys[0], ys[-1]))
    along, across = draw(st.integers(1, 60)), draw(st.integers(1, 60))
    return (x, y), (x + along, y), (x + along, y + across), (x, y + across)


@st.composite
def square_rooms(draw):
    """Rooms and things with all walls along the axes, on a grid of a centimetre."""
    corners = draw(stepped(80))
    things = draw(st.lists(square_things(corners), max_size=4))
    return corners, things


@CHECKED
@given(square_rooms(), st.sampled_from([0, 5, 8]))
def test_the_net_area_is_that_of_walls_and_things_moved_by_their_gaps(told, gap):
    """By another route: shapely moves whole outlines, mitred; within a square millimetre."""
    corners, things = told
    room = shapely.Polygon(corners)
    things = [ring for ring in things if room.contains(shapely.Polygon(ring))]
    floor = laid(square_job(corners, things, gap=gap * MM))
    left = shapely.buffer(room, -gap / 10, join_style="mitre", mitre_limit=10)
    taken = [
        shapely.buffer(shapely.Polygon(ring), gap / 10, join_style="mitre", mitre_limit=10) for ring in things
    ]
    expected = shapely.difference(left, shapely.union_all(taken)).area * 100
    assert sum(run.area2 for run in floor.runs) / (2 * MM**2) == pytest.approx(expected, abs=1)


def square_job(corners, things, *, gap=5 * MM, **layout):
    fixed = tuple(
        FixedThing(name=f"thing {n}", corners=scaled(ring), gap=None) for n, ring in enumerate(things)
    )
    return replace(
        JOB,
        rules=replace(JOB.rules, gap=gap),
        rooms=(OutlineRoom(name="Loft", corners=scaled(corners), fixed=fixed),),
        layout=LayoutSpec(**layout),
    )


def scaled(ring):
    return tuple((x * UNIT, y * UNIT) for x, y in ring)


def counts(job, *, lines=True):
    """What no turn or move may change: runs by line, with their lengths, widths and areas; or that it is refused."""
    try:
        floor = lay_out(job)
    except JobError:
        return None
    return Counter((run.field, run.line * lines, run.length, run.width, run.area2) for run in floor.runs)


def moved(job, place):
    """The same job with every outline changed by a function of places."""

    def at(ring):
        return tuple(map(place, ring))

    rooms = [
        replace(
            room,
            corners=at(room.corners),
            fixed=tuple(replace(thing, corners=at(thing.corners)) for thing in room.fixed),
        )
        for room in map(outlined, job.rooms)
    ]
    return replace(job, rooms=tuple(rooms))


def outlined(room):
    """A room told by its corners as they lie on the plan."""
    if isinstance(room, SizeRoom):
        corners = (0, 0), (room.along, 0), (room.along, room.across), (0, room.across)
        room = OutlineRoom(name=room.name, corners=corners, at=room.at, fixed=room.fixed)
    x, y = room.at or (0, 0)

    def at(ring):
        return tuple((a + x, b + y) for a, b in ring)

    return replace(
        room,
        at=(0, 0),
        corners=at(room.corners),
        fixed=tuple(replace(thing, corners=at(thing.corners)) for thing in room.fixed),
        corner_names=corner_names(len(room.corners)),
    )


@st.composite
def floors(draw):
    """Two or three rooms along the axes in a row, joined or not, some with things."""
    measures, x = st.integers(60, 300), 0
    rooms, doorways = [], []
    for n in range(draw(st.integers(1, 3))):
        along, across, y = draw(measures), draw(measures), draw(st.integers(0, 20))
        things = draw(
            st.lists(st.tuples(st.integers(0, along - 20), st.integers(0, across - 20)), max_size=2)
        )
        fixed = tuple(
            FixedThing(
                name=f"thing {m}", corners=scaled(((a, b), (a + 20, b), (a + 20, b + 13), (a, b + 13)))
            )
            for m, (a, b) in enumerate(things)
        )
        room = SizeRoom(
            name=f"Room {n}", along=along * UNIT, across=across * UNIT, at=(x * UNIT, y * UNIT), fixed=fixed
        )
        if rooms and draw(st.integers(0, 3)):
            doorways.append(_between(draw, rooms[-1], room))
        rooms.append(room)
        x += along + 12
    layout = LayoutSpec(edges=draw(st.sampled_from([EdgePolicy.AUTO, EdgePolicy.BALANCE, EdgePolicy.STOPS])))
    rules = replace(JOB.rules, gap=5 * MM, min_rip=20 * MM)
    return replace(JOB, rules=rules, rooms=tuple(rooms), doorways=tuple(doorways), layout=layout)


DOORWAY = Doorway(
    name="", rooms=(), walls=(("B", "C"), ("A", "D")), offsets=(), width=40 * UNIT, undercut=3 * MM
)


def _between(draw, one, other):
    low = max(one.at[1], other.at[1])
    return replace(
        DOORWAY,
        name=f"to {other.name}",
        rooms=(one.name, other.name),
        offsets=(low - one.at[1], low - other.at[1]),
        strip=draw(st.sampled_from([None, None, 40 * MM])),
    )


@CHECKED
@given(floors(), st.integers(0, 5000), st.integers(0, 5000))
def test_moving_all_rooms_together_changes_nothing(job, right, up):
    assert counts(moved(job, lambda at: (at[0] + right, at[1] + up))) == counts(job)


@CHECKED
@given(floors())
def test_mirroring_a_floor_changes_nothing(job):
    assert counts(moved(job, lambda at: (10**7 - at[0], at[1]))) == counts(job)


@CHECKED
@given(floors())
def test_turning_a_floor_and_its_rows_by_90_degrees_changes_nothing(job):
    turned = moved(job, lambda at: (10**7 - at[1], at[0]))
    turned = replace(turned, layout=replace(job.layout, direction=Fraction(90)))
    assert counts(turned) == counts(job)


@CHECKED
@given(floors())
def test_turning_a_floor_by_180_degrees_turns_its_first_and_last_rows(job):
    first = replace(job, layout=LayoutSpec(edges=EdgePolicy.FULL_FIRST))
    last = replace(job, layout=LayoutSpec(edges=EdgePolicy.FULL_LAST))
    turned = moved(last, lambda at: (10**7 - at[0], 10**7 - at[1]))
    assert counts(turned, lines=False) == counts(first, lines=False)


@CHECKED
@given(floors(), st.data())
def test_corners_within_a_wall_change_nothing(job, data):
    outlines = moved(job, lambda at: at)
    nth = data.draw(st.integers(0, len(job.rooms) - 1))
    room, share = outlines.rooms[nth], data.draw(st.integers(1, 9))
    a, b, c, d = room.corners  # doorways are in the other two walls
    more = replace(
        room,
        corners=(a, _between_two(a, b, share), b, c, _between_two(c, d, share), d),
        corner_names=("A", "X", "B", "C", "Y", "D"),
    )
    rooms = (*outlines.rooms[:nth], more, *outlines.rooms[nth + 1 :])
    assert counts(replace(outlines, rooms=rooms)) == counts(outlines)


def _between_two(one, other, share):
    return tuple(p + (q - p) // 10 * share for p, q in zip(one, other, strict=True))


@CHECKED
@given(floors(), st.data())
def test_the_order_of_rooms_and_doorways_in_the_file_changes_no_rows(job, data):
    other = replace(
        job,
        rooms=tuple(data.draw(st.permutations(job.rooms))),
        doorways=tuple(data.draw(st.permutations(job.doorways))),
    )
    assert rows_of(other) == rows_of(job)


def rows_of(job):
    try:
        floor = lay_out(job)
    except JobError:
        return None
    fields = {field.name: frozenset(field.rooms) for field in floor.ground.fields}
    return Counter((fields[r.field], r.line, r.offset, r.length, r.width, r.area2) for r in floor.runs)
