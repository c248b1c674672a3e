"""Rooms brought onto one plan: by their places, by their doorways, and what cannot be so."""

from itertools import product

import pytest
import shapely
from told_jobs import doorway, floor_of, inches, refusal_of, ring, room, stop, thing

from cutopt.units import TICKS_PER_INCH

WALLS = ["A-B", "B-C", "C-D", "D-A", "B-A", "D-C"]
HALL = room("Hall", [100, 60], at=[0, 0])
PLACES = "check the walls, the distances from their corners, and where the rooms lie"
LIES = "check its wall, its depth, and where the rooms lie"
AXES = "check at, size and outline of the thing: they are in the room's own axes"


def placed(floor, name):
    return next(one for one in floor.ground.rooms if one.name == name)


def wall_point(one, wall, distance):
    """A place along a wall of a placed room, in ticks."""
    corners = dict(zip(one.names, one.corners, strict=True))
    (x0, y0), (x1, y1) = (corners[name] for name in wall.split("-"))
    share = distance * TICKS_PER_INCH / shapely.Point(x0, y0).distance(shapely.Point(x1, y1))
    return x0 + (x1 - x0) * share, y0 + (y1 - y0) * share


def test_rooms_lie_where_they_are_said_to():
    floor = floor_of(HALL, room("Study", outline=[[0, 0], [30, 0], [0, 40]], at=[120, 7]))
    assert ring(placed(floor, "Hall").corners) == [(0, 0), (100, 0), (100, 60), (0, 60)]
    assert ring(placed(floor, "Study").corners) == [(120, 7), (150, 7), (120, 47)]
    assert [field.name for field in floor.ground.fields] == ["Hall", "Study"]


@pytest.mark.parametrize(("wall", "other"), list(product(WALLS, WALLS)))
def test_a_doorway_sets_any_wall_against_any_other_exactly(wall, other):
    floor = floor_of(
        HALL, room("Study", [40, 30]), doorway(["Hall", "Study"], [wall, other], [15, 4], 20, depth=6)
    )
    hall, study = placed(floor, "Hall"), placed(floor, "Study")
    one, two = shapely.Polygon(hall.corners), shapely.Polygon(study.corners)
    assert two.area == 40 * 30 * TICKS_PER_INCH**2
    assert one.distance(two) == 6 * TICKS_PER_INCH
    jambs, across = floor.ground.doorways[0].opening[:2], floor.ground.doorways[0].opening[2:]
    assert set(jambs) == {wall_point(hall, wall, 15), wall_point(hall, wall, 35)}
    assert set(across) == {wall_point(study, other, 4), wall_point(study, other, 24)}


def test_a_room_set_against_a_slanted_wall_is_turned():
    """A 3-4-5 wall, so that the turned corners are known: along (3, 4) / 5, out (4, -3) / 5."""
    floor = floor_of(
        room("Bay", outline=[[0, 0], [30, 0], [60, 40], [0, 40]]),
        room("Study", [40, 30]),
        doorway(["Bay", "Study"], ["B-C", "D-A"], [10, 5], 20, depth=5),
    )
    # The middle of the opening is 20 in along B-C, (42, 16), and 5 in further out, (46, 13); A is 15 in from it.
    expected = [(37, 1), (69, -23), (87, 1), (55, 25)]
    found = ring(placed(floor, "Study").corners)
    assert all(
        abs(float(a - b)) < 1e-3
        for one, two in zip(found, expected, strict=True)
        for a, b in zip(one, two, strict=True)
    )
    assert {field.name for field in floor.ground.fields} == {"Bay + Study"}


def chain_of_rooms():
    return [
        room("Hall", [100, 60]),
        room("Study", [40, 30]),
        room("Den", [50, 50]),
        room("Loft", [20, 20]),
    ], [
        doorway(["Hall", "Study"], ["B-C", "D-A"], [10, 2], 20, depth=5),
        doorway(["Den", "Study"], ["A-B", "C-D"], [10, 2], 20, depth=4),
        doorway(["Loft", "Den"], ["B-C", "C-D"], [0, 20], 20, depth=3),
    ]


def test_a_chain_of_doorways_places_every_room_whatever_their_order():
    """The Loft is turned: its wall B-C lies along the plan's x."""
    rooms, doorways = chain_of_rooms()
    floor = floor_of(*rooms, *doorways)
    places = {one.name: ring(one.corners) for one in floor.ground.rooms}
    assert places["Study"][0] == (105, 2)
    assert places["Den"][0] == (113, 36)
    assert places["Loft"] == [(123, 109), (123, 89), (143, 89), (143, 109)]
    backwards = floor_of(*rooms, *doorways[::-1])
    assert {one.name: ring(one.corners) for one in backwards.ground.rooms} == places
    assert [(run.line, run.offset, run.length) for run in backwards.runs] == [
        (run.line, run.offset, run.length) for run in floor.runs
    ]


def test_groups_that_nothing_joins_are_drawn_apart_and_laid_as_if_alone():
    rooms, doorways = chain_of_rooms()
    alone = [room("Attic", [90, 70]), room("Eaves", [30, 30])]
    joint = doorway(["Attic", "Eaves"], ["D-A", "B-C"], [5, 5], 20, depth=5)
    floor, by_itself = floor_of(*rooms, *alone, *doorways, joint), floor_of(*alone, joint)
    shapes = {one.name: shapely.Polygon(one.corners) for one in floor.ground.rooms}
    first = shapely.union_all([shapes[name] for name in ("Hall", "Study", "Den", "Loft")])
    second = shapely.union_all([shapes["Attic"], shapes["Eaves"]])
    assert first.bounds[2] + 320_000 == second.bounds[0]
    mine = [
        (run.line, run.offset, run.length, run.area2) for run in floor.runs if run.field == "Attic + Eaves"
    ]
    assert mine == [(run.line, run.offset, run.length, run.area2) for run in by_itself.runs]


def test_a_room_with_a_place_does_not_move_for_a_doorway():
    told = refusal_of(
        HALL,
        room("Study", [40, 30], at=[104, 20]),
        doorway(["Hall", "Study"], ["B-C", "D-A"], [10, 2], 20),
    )
    assert told == [f'its sides in the two rooms do not face each other - doorway "doorway 1" - {PLACES}']


REFUSALS = {
    "sides that look the same way": (
        [
            HALL,
            room("Study", [40, 30], at=[104, 0]),
            doorway(["Hall", "Study"], ["B-C", "B-C"], [0, 0], 20),
        ],
        [f'its sides in the two rooms do not face each other - doorway "doorway 1" - {PLACES}'],
    ),
    "a depth that the places contradict": (
        [
            HALL,
            room("Study", [40, 30], at=[106, 0]),
            doorway(["Hall", "Study"], ["B-C", "A-D"], [2, 2], 20, depth=4, name="arch"),
        ],
        [
            (
                'the rooms lie further apart, or nearer, than the doorway is deep - doorway "arch" - '
                "check depth and where the rooms lie"
            )
        ],
    ),
    "a doorway past the end of its wall": (
        [HALL, doorway(["Hall"], ["B-C"], [35], 30)],
        [
            (
                'the opening reaches past the end of wall B-C of Hall - doorway "doorway 1" - '
                "check its width and its distance from the corner"
            )
        ],
    ),
    "a doorway past both its walls": (
        [HALL, room("Study", [40, 30]), doorway(["Hall", "Study"], ["A-B", "C-D"], [80, 20], 30, depth=4)],
        [
            f'the opening reaches past the end of wall {wall} - doorway "doorway 1" - '
            "check its width and its distance from the corner"
            for wall in ("A-B of Hall", "C-D of Study")
        ],
    ),
    "a doorway that touches nothing": (
        [HALL, room("Study", [40, 30], at=[110, 0]), doorway(["Hall", "Study"], ["B-C"], [2], 20, depth=4)],
        [f'its far side does not lie on a wall of Study - doorway "doorway 1" - {LIES}'],
    ),
    "a doorway half past the other room": (
        [HALL, room("Study", [40, 30], at=[104, 12]), doorway(["Hall", "Study"], ["B-C"], [2], 20, depth=4)],
        [f'its far side does not lie on a wall of Study - doorway "doorway 1" - {LIES}'],
    ),
    "a depth that is needed to place a room": (
        [HALL, room("Study", [40, 30]), doorway(["Hall", "Study"], ["B-C", "D-A"], [2, 2], 20)],
        [
            (
                'how deep the doorway is must be known to place a room by it - doorway "doorway 1" - '
                "give depth, the thickness of the wall"
            )
        ],
    ),
    "a depth that is needed to see how far the floor goes": (
        [HALL, room("Study", [40, 30], at=[104, 0]), doorway(["Hall", "Study"], ["B-C"], [2], 20)],
        [
            (
                'how deep the doorway is cannot be told - doorway "doorway 1" - '
                "give depth, the thickness of the wall, or its wall in both rooms"
            )
        ],
    ),
    "a room that cannot be placed": (
        [HALL, room("Study", [40, 30]), doorway(["Hall", "Study"], ["B-C"], [2], 20, depth=4)],
        [
            (
                'room Study cannot be placed by it - doorway "doorway 1" - '
                "give its wall and its distance from a corner in both rooms, or give the room at = [x, y]"
            )
        ],
    ),
    "rooms that overlap": (
        [HALL, room("Study", [40, 30], at=[99, 10]), room("Den", [40, 30], at=[0, 59])],
        [
            f'it overlaps room Hall on the plan - room "{name}" - check at = [x, y], and the doorways that place it'
            for name in ("Study", "Den")
        ],
    ),
    "a doorway through a third room": (
        [
            HALL,
            room("Den", [10, 60], at=[110, 0]),
            room("Study", [40, 60], at=[130, 0]),
            doorway(["Hall", "Study"], ["B-C", "A-D"], [2, 2], 20),
        ],
        [f'it passes through room Den - doorway "doorway 1" - {LIES}'],
    ),
    "things outside and sticking out": (
        [HALL, thing("island", [120, 10], [20, 20]), thing("hearth", [40, 50], [20, 20])],
        [
            f'island lies outside the room - room "Hall" - {AXES}',
            f'hearth sticks out of the room - room "Hall" - {AXES}',
        ],
    ),
    "a thing that covers the room": (
        [HALL, thing("carpet", [0, 0], [100, 60])],
        [
            'nothing is left of the room inside its gaps - room "Hall" - check its size, or make rules.gap smaller'
        ],
    ),
    "rows down before a room in the middle of a field": (
        [
            room("Hall", [100, 60], at=[0, 40], down=[[20]]),
            room("Study", [40, 36], at=[0, 0]),
            doorway(["Hall", "Study"], ["A-B", "D-C"], [2, 2], 20),
        ],
        [
            (
                'rows lie before its first already, but the first rows of Hall + Study lie elsewhere - room "Hall" - '
                "give the room rows of its own: a strip in each doorway, or no doorway"
            )
        ],
    ),
}


@pytest.mark.parametrize(("tables", "told"), REFUSALS.values(), ids=REFUSALS)
def test_what_does_not_fit_is_refused_word_for_word(tables, told):
    assert refusal_of(*tables) == told


def test_a_thing_may_stick_into_a_wall_that_is_out_of_square_by_a_little():
    """Once refused: a box against a slanted wall can only be told with a corner in the wall."""
    bay = room("Bay", outline=[[0, 0], [100, 0], [100, 60], [0, 61]])
    floor = floor_of(bay, thing("hearth", [40, "40-1/2"], [20, 20]))
    assert min(inches(area.outer[0][1]) for area in floor.ground.fields[0].areas) == 0
    assert "sticks out" in refusal_of(bay, thing("hearth", [40, "41-1/4"], [20, 20]))[0]


def test_rooms_of_one_field_may_be_named_as_another_room():
    """Once a crash: the field of A and B took the place of the room."""
    floor = floor_of(
        room("A", [50, 50]),
        room("B", [50, 50]),
        room("A + B", [60, 60]),
        doorway(["A", "B"], ["B-C", "D-A"], [5, 5], depth=4),
    )
    assert [field.name for field in floor.ground.fields] == ["A + B (2)", "A + B"]


def test_walls_a_little_out_of_line_do_not_narrow_their_doorway():
    """Once the wedge between the opening and a wall half a degree off was floor for nobody, with gaps round it."""
    floor = floor_of(
        room("Hall", [100, 100], at=[0, 0]),
        room("Study", outline=[[0, 0], [100, 0], [100, 100], [0.8, 100]], at=[104, 0]),
        doorway(["Hall", "Study"], ["B-C", "D-A"], [20, 48], 32),
        gap="1/2",
    )
    through = [run for run in floor.runs if run.room == "Hall + Study"]
    assert [run.line for run in through] == [5, 6, 7, 8, 9, 10, 11]
    (area,) = floor.ground.fields[0].areas
    opening = shapely.box(*(TICKS_PER_INCH * value for value in (99, 20.5, 106, 51.5)))
    assert shapely.Polygon(area.outer).intersection(opening).area == pytest.approx(opening.area, rel=1e-6)


def test_a_stop_names_its_room_where_several_share_a_field():
    floor = floor_of(
        room("Hall", [100, 60]),
        room("Study", [40, 36]),
        doorway(["Hall", "Study"], ["B-C", "D-A"], [2, 2], 20, depth=4),
        stop("hall side", "Hall", wall="A-B"),
    )
    ((_, solution),) = floor.stops
    assert {rip.stop.name for rip in solution.best.rips} == {
        "Hall: hall side",
        "Hall: wall C-D",
        "Study: wall A-B",
        "Study: wall C-D",
    }


def test_doorways_that_lie_on_each_other_are_refused():
    """Once a bug in the check's eyes: the floor through one lay on the strip of the other."""
    told = refusal_of(
        HALL,
        room("Study", [40, 60]),
        doorway(["Hall", "Study"], ["B-C", "A-D"], [10, 10], depth=4),
        doorway(["Hall"], ["B-C"], [30], depth=4, strip=2, name="out"),
    )
    assert told == [
        'it overlaps doorway "doorway 1" - doorway "out" - check their walls and their distances from the corners'
    ]


def test_a_doorway_is_as_deep_at_either_jamb_as_the_walls_are_apart():
    """Whether the other room's wall is told or found."""
    study = room("Study", outline=[[0, 0], [100, 0], [100, 100], [1, 100]], at=[104, 0])
    for walls, offsets in ((["B-C", "A-D"], [20, 20]), (["B-C"], [20])):
        floor = floor_of(
            room("Hall", [100, 100], at=[0, 0]),
            study,
            doorway(["Hall", "Study"], walls, offsets, 20, depth=4),
        )
        opening = ring(floor.ground.doorways[0].opening)
        assert opening[:2] == [(100, 20), (100, 40)]
        assert [float(x) for x, _ in opening[2:]] == pytest.approx([104.4, 104.2], abs=1e-3)
        assert {run.room for run in floor.runs if run.line == 6} == {"Hall + Study"}
