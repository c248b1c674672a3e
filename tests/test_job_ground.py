"""Job files with rooms in places, things and layouts: every key read, refusals word for word."""

from fractions import Fraction

import pytest
from ground_texts import ANGLE, AT, DOWN, GROUND, KNOWN_WALLS, NEGATIVE, PITCH, PLACES, WHERE, ZERO
from rooms import inch
from test_job_refusals import problems

from cutopt.jobfile import parse_job
from cutopt.model.job import EdgePolicy, LayoutSpec
from cutopt.model.rooms import Doorway, FixedThing, OutlineRoom, RowsRoom, SizeRoom, Stop, StopSide, ThingKind

ONE_PROBLEM = {
    "at of one length": (
        "at = [12, 200]",
        "at = [12]",
        [f"a list of 1 is not two lengths - loft.toml: room[1].at - {AT}"],
    ),
    "at that is no list": ("at = [12, 200]", "at = 12", [f"12 is not a list - loft.toml: room[1].at - {AT}"]),
    "at below zero": (
        "at = [12, 200]",
        "at = [-12, 200]",
        [f"-12 is negative - loft.toml: room[1].at[1] - {NEGATIVE}"],
    ),
    "down that is no list": (
        "down = [[20, 68, 116], [92, 44]]",
        "down = 20",
        [f"20 is not a list - loft.toml: room[1].down - {DOWN}"],
    ),
    "down of joints without rows": (
        "down = [[20, 68, 116], [92, 44]]",
        "down = [20, 68]",
        [
            f"20 is not a list of joints - loft.toml: room[1].down[1] - {DOWN}",
            f"68 is not a list of joints - loft.toml: room[1].down[2] - {DOWN}",
        ],
    ),
    "down with a joint that is none": (
        "down = [[20, 68, 116], [92, 44]]",
        'down = [[20, "x"]]',
        [
            '"x" is not a length - loft.toml: room[1].down[1][2] - write it like 12\' 5-1/2", 12 ft 5 1/2 in, 149.5 in, 3.79 m or 3790 mm'
        ],
    ),
    "rows given outright with a place": (
        "rows = [{ length = 40, count = 7 }]",
        "at = [0, 0]\nrows = [{ length = 40, count = 7 }]",
        [
            "a list of 2 needs a room with walls - loft.toml: room[3].at - give the room by size, outline or survey"
        ],
    ),
    "thing without size or outline": (
        "size = [10, 3]\n",
        "",
        [f"found neither size nor outline - loft.toml: room[1].fixed[1] - {PLACES}"],
    ),
    "thing with size and outline": (
        "size = [10, 3]",
        "size = [10, 3]\noutline = [[0, 0], [1, 0], [1, 1]]",
        [f"found size and outline - loft.toml: room[1].fixed[1] - {PLACES}"],
    ),
    "thing without a place": (
        "at = [20, 20]\n",
        "",
        [
            '"at" is missing - loft.toml: room[1].fixed[1].at - write at = [x, y]: the corner of the thing that is nearest to the room\'s (0, 0)'
        ],
    ),
    "thing of no size": (
        "size = [10, 3]",
        "size = [10, 0]",
        [f"0 is no length - loft.toml: room[1].fixed[1].size[2] - {ZERO}"],
    ),
    "thing of a kind not known": (
        'kind = "column"',
        'kind = "colum"',
        [
            '"colum" is not known here - loft.toml: room[2].fixed[1].kind - did you mean "column"? use one of "hearth", "island", "cabinets", "column", "vent", "heater", "stairs", "other"'
        ],
    ),
    "thing with a key not known": (
        'gap = "1/4"',
        'gaps = "1/4"',
        [
            '"gaps" is not known here - loft.toml: room[2].fixed[1].gaps - did you mean "gap"? use one of "name", "kind", "at", "size", "outline", "gap"'
        ],
    ),
    "thing whose gap is negative": (
        'gap = "1/4"',
        "gap = -1",
        [f"-1 is negative - loft.toml: room[2].fixed[1].gap - {NEGATIVE}"],
    ),
    "thing that crosses itself": (
        "[50, 44]]",
        "[50, 44], [54, 40]]",
        [
            "wall 1-2 and wall 3-4 cross, touch or double back - loft.toml: room[2].fixed[1].outline - list the corners in order round the room, each once"
        ],
    ),
    "two things of one name": (
        "size = [10, 3]",
        'size = [10, 3]\n[[room.fixed]]\nname = "vent"\nat = [1, 1]\nsize = [2, 2]',
        [
            '"vent" is the name of another thing in this room - loft.toml: room[1].fixed[2].name - give each a name of its own'
        ],
    ),
    "first row wider than a plank": (
        'first_width = "3-1/2"',
        "first_width = 7.5",
        [
            'the first row, 7-1/2", is over the plank\'s width, 7" - loft.toml: layout.first_width - a row is one plank wide at most'
        ],
    ),
    "first row of no width": (
        'first_width = "3-1/2"',
        "first_width = 0",
        [f"0 is no length - loft.toml: layout.first_width - {ZERO}"],
    ),
    "direction of a letter": (
        'direction = "y"',
        'direction = "z"',
        [f'"z" is no angle - loft.toml: layout.direction - {ANGLE}'],
    ),
    "direction of half a turn": (
        'direction = "y"',
        "direction = 180",
        [f"180 is no angle - loft.toml: layout.direction - {ANGLE}"],
    ),
    "direction below zero": (
        'direction = "y"',
        "direction = -45",
        [f"-45 is no angle - loft.toml: layout.direction - {ANGLE}"],
    ),
    "direction beyond all measure": (
        'direction = "y"',
        "direction = 1e-9",
        [f"1e-9 is no angle - loft.toml: layout.direction - {ANGLE}"],
    ),
    "edges not known": (
        'edges = "full last"',
        'edges = "full"',
        [
            '"full" is not known here - loft.toml: layout.edges - did you mean "full last"? use one of "auto", "balance", "full first", "full last", "halves", "stops"'
        ],
    ),
    "limit of no length": (
        'run_limit_along = "40 ft"',
        "run_limit_along = 0",
        [f"0 is no length - loft.toml: layout.run_limit_along - {ZERO}"],
    ),
    "negative movement": (
        'movement = "1/64"',
        'movement = "-1/64"',
        [f'"-1/64" is negative - loft.toml: layout.movement - {NEGATIVE}'],
    ),
    "layout that is no table": (
        "[layout]\n",
        "[[layout]]\n",
        ["a list of 1 is not a table - loft.toml: layout - write a [layout] table"],
    ),
    "rows measured that cannot be": (
        'measure = "140-3/8"',
        'measure = "160"',
        [
            '20 rows of 7" cannot measure 160" - loft.toml: plank.pitch - check the count of rows, the measure and the plank\'s width'
        ],
    ),
    "no rows measured": (
        "rows = 20",
        "rows = 0",
        [
            "0 is not a whole number of 1 or more - loft.toml: plank.pitch.rows - give a whole number from 1 up"
        ],
    ),
    "rows measured without measure": (
        'pitch = { rows = 20, measure = "140-3/8" }',
        "pitch = { rows = 20 }",
        [f'"measure" is missing - loft.toml: plank.pitch.measure - {PITCH}'],
    ),
    "measured rows that are no table": (
        'pitch = { rows = 20, measure = "140-3/8" }',
        "pitch = 7",
        [f"7 is not a table - loft.toml: plank.pitch - {PITCH}"],
    ),
    "tolerance of half the width": (
        'width_tolerance = "1/64"',
        "width_tolerance = 3.5",
        [
            "the tolerance, 3-1/2\", is half the plank's width or more - loft.toml: plank.width_tolerance - give how far a plank's width may be out, such as 1/64 in or 0.3 mm"
        ],
    ),
    "plank of no thickness": (
        'thickness = "5 mm"',
        "thickness = 0",
        [f"0 is no length - loft.toml: plank.thickness - {ZERO}"],
    ),
}


@pytest.mark.parametrize(("found", "instead", "told"), ONE_PROBLEM.values(), ids=ONE_PROBLEM)
def test_a_wrong_file_is_refused_word_for_word(found, instead, told):
    assert found in GROUND
    assert problems(GROUND.replace(found, instead, 1)) == told


def test_every_key_is_read():
    job = parse_job(GROUND, "loft.toml")
    assert (job.plank.nominal_width, job.plank.width) == (inch(7), round(Fraction(inch("140.375"), 20)))
    assert (job.plank.width_tolerance, job.plank.thickness) == (inch("1/64"), 5 * 320)
    assert job.layout == LayoutSpec(
        direction=Fraction(90),
        edges=EdgePolicy.FULL_LAST,
        first_width=inch("7/2"),
        run_limit_along=inch(480),
        run_limit_across=inch(360),
        movement=inch("1/64"),
    )
    hall, study, closet = job.rooms
    assert hall == SizeRoom(
        name="Hall",
        along=inch(150),
        across=inch(48),
        at=(inch(12), inch(200)),
        fixed=(FixedThing(name="vent", kind=ThingKind.VENT, corners=box(20, 20, 30, 23)),),
        down=((inch(20), inch(68), inch(116)), (inch(44), inch(92))),
    )
    column = FixedThing(
        name="column 1",
        kind=ThingKind.COLUMN,
        corners=tuple((inch(x), inch(y)) for x, y in ((50, 40), (54, 42), (50, 44))),
        gap=inch("1/4"),
    )
    assert study == OutlineRoom(name="Study", corners=box(0, 0, 100, 90), fixed=(column,))
    assert isinstance(closet, RowsRoom)
    assert closet.down == ((inch(12),),)
    assert job.doorways == (
        Doorway(
            name="study door",
            rooms=("Hall", "Study"),
            walls=(("B", "C"), ("D", "A")),
            offsets=(inch(8), inch(12)),
            width=inch(30),
            depth=inch("9/2"),
            undercut=inch("1/2"),
            strip=inch("3/2"),
        ),
        Doorway(name="doorway 2", rooms=("Hall",), walls=(("A", "D"),), offsets=(0,), width=inch(36)),
    )
    assert job.stops == (
        Stop(name="vent side", room="Hall", thing="vent", side=StopSide.BEFORE, full=True),
        Stop(name="stop 2", room="Study", wall=("D", "C"), min_rip=inch(3)),
        Stop(name="stop 3", room="Study", doorway="study door", side=StopSide.AFTER),
        Stop(name="stop 4", room="Hall", at=inch(24)),
    )


def box(left, low, right, high):
    return tuple((inch(x), inch(y)) for x, y in ((left, low), (right, low), (right, high), (left, high)))


@pytest.mark.parametrize(
    ("written", "degrees"),
    [('"x"', 0), ('"y"', 90), ('"best"', None), ("45", 45), ("22.5", Fraction(45, 2)), ("0", 0)],
)
def test_directions(written, degrees):
    job = parse_job(GROUND.replace('direction = "y"', f"direction = {written}"), "loft.toml")
    assert job.layout.direction == degrees


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ([], "layout.first_width"),
        ([('first_width = "3-1/2"\n', "")], 'layout.edges = "full last"'),
        ([('first_width = "3-1/2"\n', ""), ('"full last"', '"stops"')], None),
        ([('first_width = "3-1/2"\n', ""), ('edges = "full last"\n', "")], None),
    ],
)
def test_stops_that_decide_nothing_are_told(changes, told):
    """Once they were passed over in silence."""
    text = GROUND
    for found, instead in changes:
        text = text.replace(found, instead)
    warnings = parse_job(text, "loft.toml").warnings
    assert warnings == (() if told is None else (f"stop: not used, for {told} says where the rows begin",))


def test_all_problems_come_in_one_go_and_none_follows_from_another():
    """A thing that cannot be read is told once, and not by the stop that names it."""
    text = GROUND
    for found, instead in (
        ('direction = "y"', 'direction = "z"'),
        ("size = [10, 3]", "size = [10]"),
        ("strip = 1.5", "strip = -1"),
        ('wall = "D-C"', 'wall = "D-B"'),
        ('at = "2 ft"', 'at = "2 ft"\nthing = "vent"'),
    ):
        text = text.replace(found, instead)
    assert problems(text) == [
        f'"z" is no angle - loft.toml: layout.direction - {ANGLE}',
        (
            "a list of 1 is not two lengths - loft.toml: room[1].fixed[1].size - "
            "write size = [along x, along y], or give the thing an outline"
        ),
        f"-1 is negative - loft.toml: doorway[1].strip - {NEGATIVE}",
        f'"D-B" is not a wall of "Study" - loft.toml: stop[2].wall - {KNOWN_WALLS}',
        f"found at and thing - loft.toml: stop[4] - {WHERE}",
    ]
