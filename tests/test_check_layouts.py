"""What the layout makes of rooms by chance, held against the check: no findings, whatever the room."""

from dataclasses import replace
from fractions import Fraction
from itertools import combinations

import shapely
from hypothesis import HealthCheck, given, reject, settings
from hypothesis import strategies as st
from placed_floors import JOB, MM, WIDTH, cut
from test_layout_properties import rooms

from cutopt.check import Fault, check_plan
from cutopt.errors import JobError
from cutopt.layout import lay_out
from cutopt.model.job import EdgePolicy, LayoutSpec
from cutopt.model.rooms import Doorway, FixedThing, OutlineRoom, SizeRoom, ThingKind

STEADY = settings(
    derandomize=True, deadline=None, max_examples=40, suppress_health_check=[HealthCheck.filter_too_much]
)
LEFT_TO_THE_PLANNER = {Fault.STARTER_SHORT, Fault.END_PIECE_SHORT}
GAPS = st.sampled_from([0, 5 * MM, 12_345])
DIRECTIONS = st.sampled_from([0, 0, 90, 45, 30, 1]).map(Fraction)


@st.composite
def things(draw, corners):
    """Boxes and slanted triangles somewhere about the room, some of them thin."""
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    x, y = draw(st.integers(min(xs), max(xs))), draw(st.integers(min(ys), max(ys)))
    along = draw(st.integers(10 * MM, max(10 * MM, (max(xs) - min(xs)) // 3)))
    across = draw(st.integers(10 * MM, max(10 * MM, (max(ys) - min(ys)) // 3)))
    outline = draw(
        st.sampled_from(
            [
                ((x, y), (x + along, y), (x + along, y + across), (x, y + across)),
                ((x, y), (x + along, y + across // 3), (x + along // 5, y + across)),
            ]
        )
    )
    return FixedThing(
        name=f"thing at {x}, {y}",
        corners=outline,
        kind=draw(st.sampled_from([ThingKind.VENT, ThingKind.ISLAND])),
        gap=draw(st.none() | GAPS),
    )


@st.composite
def single_rooms(draw):
    scale = draw(st.sampled_from([MM, 1000, 2999]))
    corners = tuple((x * scale, y * scale) for x, y in draw(rooms()))
    fixed = draw(st.lists(things(corners), max_size=3))
    return job_of(draw, OutlineRoom(name="Loft", corners=corners, fixed=tuple(fixed)))


@st.composite
def joined_rooms(draw):
    """Two rooms side by side, a doorway between them, with or without a strip."""
    measures = st.integers(1200 * MM, 4000 * MM)
    depth, width = draw(st.integers(80 * MM, 300 * MM)), draw(st.integers(600 * MM, 1000 * MM))
    one = SizeRoom(name="Hall", along=draw(measures), across=draw(measures), at=(0, 0))
    other = SizeRoom(name="Study", along=draw(measures), across=draw(measures))
    wall, far = draw(st.sampled_from([(("B", "C"), ("D", "A")), (("C", "D"), ("A", "B"))]))
    doorway = Doorway(
        name="study door",
        rooms=("Hall", "Study"),
        walls=(wall, far),
        offsets=(draw(st.integers(0, 200 * MM)), draw(st.integers(0, 200 * MM))),
        width=width,
        depth=depth,
        undercut=draw(st.sampled_from([0, 10 * MM])),
        strip=draw(st.none() | st.just(40 * MM)),
    )
    out = Doorway(
        name="way out", rooms=("Hall",), walls=(("D", "A"),), offsets=(100 * MM,), width=width, depth=depth
    )
    doorways = (doorway, *draw(st.sampled_from([(), (out,)])))
    return replace(job_of(draw, one, other), doorways=doorways)


def job_of(draw, *its_rooms):
    return replace(
        JOB,
        plank=replace(JOB.plank, width=draw(st.just(WIDTH) | st.integers(20 * MM, 200 * MM))),
        rules=replace(JOB.rules, gap=draw(GAPS), min_rip=draw(st.sampled_from([0, 20 * MM]))),
        layout=LayoutSpec(
            direction=draw(DIRECTIONS), edges=draw(st.sampled_from([EdgePolicy.AUTO, EdgePolicy.HALVES]))
        ),
        rooms=its_rooms,
    )


def pinched(field):
    """Whether floor hangs together in a point somewhere: two rings of an area touch."""
    return any(
        shapely.LinearRing(one).intersects(shapely.LinearRing(other))
        for area in field.areas
        for one, other in combinations((area.outer, *area.holes), 2)
    )


def findings_of(job):
    try:
        floor = lay_out(job)
    except JobError:
        reject()
    assert floor.ground.fields
    assert not any(map(pinched, floor.ground.fields))
    return [finding for finding in check_plan(cut(floor, job)) if finding.fault not in LEFT_TO_THE_PLANNER]


@STEADY
@given(single_rooms())
def test_rooms_with_things_pass(job):
    assert findings_of(job) == []


def test_floor_pinched_to_a_point_passes():
    """The thing's corner meets the wall in the third row."""
    corners = ((0, 0), (32_000, 0), (32_000, 105_000), (0, 105_000))
    thing = FixedThing(name="wedge", corners=((0, 66_401), (3200, 77_614), (640, 100_040)), gap=0)
    floor = lay_out(replace(JOB, rooms=(OutlineRoom(name="Loft", corners=corners, fixed=(thing,)),)))
    assert check_plan(cut(floor)) == ()


@STEADY
@given(joined_rooms())
def test_rooms_with_doorways_pass(job):
    assert findings_of(job) == []
