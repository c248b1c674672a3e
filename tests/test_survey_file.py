"""Surveyed rooms from the job file to the sheet: what is read, what is refused, and how it is told."""

from fractions import Fraction
from pathlib import Path

import pytest
from job_texts import SHORT, SIZE
from surveys import all_diagonals, measured, misread, report_of

from cutopt.errors import JobError
from cutopt.jobfile import parse_job, read_job
from cutopt.model.rooms import OutlineRoom, Survey, SurveyRoom, Tape, Turn
from cutopt.model.survey import SurveyReport
from cutopt.sheet._survey import survey as section
from cutopt.sheet._text import printed
from cutopt.survey import solve_surveys
from cutopt.units import TICKS_PER_INCH, Unit

EXAMPLE = Path(__file__).parents[1] / "examples" / "chart-room.toml"
RECTANGLE = [(0, 0), (192, 0), (192, 144), (0, 144)]
BAY = [(0, 0), (160, 0), (160, 60), (120, 100), (40, 100), (0, 60)]

WALLS = """
walls = [
    { length = 192, turn = "left" },
    { length = "12 ft", turn = "left" },
    { length = 192, turn = "left" },
    { length = 144, turn = "left" },
]"""
DIAGONAL = 'diagonals = [ { from = "A", to = "C", length = "20 ft" } ]'


def surveyed(body: str, text: str = SHORT) -> str:
    return text.replace(SIZE, f"[room.survey]\n{body}")


def only_survey(text: str) -> Survey:
    (room,) = parse_job(text, "loft.toml").rooms
    assert isinstance(room, SurveyRoom)
    return room.survey


def stations(value: str, text: str = SHORT) -> tuple[tuple[Fraction, Fraction], ...]:
    (room,) = parse_job(text.replace(SIZE, f"stations = {value}"), "loft.toml").rooms
    assert isinstance(room, OutlineRoom)
    return tuple((Fraction(x, TICKS_PER_INCH), Fraction(y, TICKS_PER_INCH)) for x, y in room.corners)


def refusal(text: str) -> str:
    with pytest.raises(JobError) as caught:
        parse_job(text, "loft.toml")
    return str(caught.value)


def test_a_survey_is_read_as_it_was_taped():
    survey = only_survey(surveyed(f"{WALLS}\n{DIAGONAL}"))
    assert [corner.name for corner in survey.corners] == ["A", "B", "C", "D"]
    assert {corner.turn for corner in survey.corners} == {Turn.LEFT}
    assert survey.walls[1] == Tape(start="B", end="C", length=144 * TICKS_PER_INCH)
    assert survey.walls[3] == Tape(start="D", end="A", length=144 * TICKS_PER_INCH)
    assert survey.diagonals == (Tape(start="A", end="C", length=240 * TICKS_PER_INCH),)


@pytest.mark.parametrize(
    ("unit", "ticks"), [("in", TICKS_PER_INCH // 8), ("mm", 3 * 320)], ids=["eighth of an inch", "3 mm"]
)
def test_the_usual_accuracy_goes_by_the_unit(unit, ticks):
    """1/8 in or 3 mm, and half a degree: common practice, no source."""
    survey = only_survey(surveyed(WALLS, SHORT.replace('"in"', f'"{unit}"')))
    assert (survey.accuracy, survey.angle_accuracy) == (ticks, Fraction(1, 2))


def test_the_accuracy_can_be_given():
    survey = only_survey(surveyed(f'accuracy = "1/16"\nangle_accuracy = 0.25{WALLS}'))
    assert (survey.accuracy, survey.angle_accuracy) == (TICKS_PER_INCH // 16, Fraction(1, 4))


def test_a_turn_stands_at_the_end_of_its_wall_and_follows_the_angle():
    walls = """walls = [
        { length = 192 }, { length = 84, angle = 90 }, { length = 92, angle = 270.5 },
        { length = 66, corner = "nook" }, { length = 100, angle = 90 }, { length = 150, corner = "door" },
    ]"""
    survey = only_survey(surveyed(walls))
    assert [(corner.name, corner.turn, corner.angle) for corner in survey.corners] == [
        ("door", Turn.LEFT, None),
        ("B", Turn.LEFT, None),
        ("C", Turn.LEFT, 90),
        ("D", Turn.RIGHT, Fraction("270.5")),
        ("nook", Turn.LEFT, None),
        ("F", Turn.LEFT, 90),
    ]
    assert survey.walls[0].start == survey.walls[-1].end == "door"


def test_in_a_clockwise_walk_an_angle_turns_right():
    walls = """walls = [
        { length = 192, turn = "right", angle = 90 }, { length = 144, angle = 90 },
        { length = 192, angle = 90 }, { length = 144, turn = "right" } ]"""
    assert {corner.turn for corner in only_survey(surveyed(walls)).corners} == {Turn.RIGHT}


WALLS_REMEDY = 'write walls = [ { length = 144, turn = "left" }, ... ], in order round the room'
DIAGONALS_REMEDY = 'write diagonals = [ { from = "A", to = "C", length = 240 } ]'
NAME_REMEDY = "give every corner a name of its own, one word without a hyphen"
REFUSED = {
    "no table": (
        SHORT.replace(SIZE, "survey = 4"),
        (
            "4 is not a table - loft.toml: room[1].survey - write the survey under a [room.survey] line: "
            "walls = [...] and diagonals = [...]"
        ),
    ),
    "no walls": (
        surveyed(""),
        f'"walls" is missing - loft.toml: room[1].survey.walls - {WALLS_REMEDY}',
    ),
    "two walls": (
        surveyed("walls = [ { length = 1 }, { length = 2 } ]"),
        "found 2 walls - loft.toml: room[1].survey.walls - give 3 to 100 walls",
    ),
    "more diagonals than anybody tapes": (
        surveyed(WALLS + "\ndiagonals = [" + '{ from = "A", to = "C", length = 240 },' * 501 + "]"),
        "found 501 diagonals - loft.toml: room[1].survey.diagonals - give at most 500",
    ),
    "a wall that is a number": (
        surveyed(WALLS.replace('{ length = "12 ft", turn = "left" }', "144")),
        f"144 is not a table - loft.toml: room[1].survey.walls[2] - {WALLS_REMEDY}",
    ),
    "a wall without a length": (
        surveyed(WALLS.replace('length = "12 ft", ', "")),
        '"length" is missing - loft.toml: room[1].survey.walls[2].length - give the length of the wall',
    ),
    "a turn that is none": (
        surveyed(WALLS.replace('"12 ft", turn = "left"', '"12 ft", turn = "lefft"')),
        (
            '"lefft" is not known here - loft.toml: room[1].survey.walls[2].turn - did you mean "left"? '
            'use one of "left", "right"'
        ),
    ),
    "a full angle": (
        surveyed(WALLS.replace('"12 ft"', '"12 ft", angle = 360')),
        "360 is no angle - loft.toml: room[1].survey.walls[2].angle - give degrees from 0 to under 360",
    ),
    "no angle at all": (
        surveyed(WALLS.replace('"12 ft"', '"12 ft", angle = 0')),
        (
            "0 is no corner of a room - loft.toml: room[1].survey.walls[2].angle - "
            "give the angle inside the room, in degrees above 0"
        ),
    ),
    "an angle against its turn": (
        surveyed(
            WALLS.replace('192, turn = "left"', '192, turn = "left", angle = 90').replace(
                '"12 ft"', '"12 ft", angle = 270'
            )
        ),
        (
            '270 does not go with turn = "left" - loft.toml: room[1].survey.walls[2].angle - the other corners go '
            "round to the left, where an angle under 180 turns left and one over 180 right: check both"
        ),
    ),
    "the same corner twice": (
        surveyed(WALLS.replace('"12 ft"', '"12 ft", corner = "B"')),
        (
            '"B" is the corner at the end of room[1].survey.walls[1] too - '
            f"loft.toml: room[1].survey.walls[2].corner - {NAME_REMEDY}"
        ),
    ),
    "a corner with a hyphen": (
        surveyed(WALLS.replace('"12 ft"', '"12 ft", corner = "by-door"')),
        f'"by-door" is not one word - loft.toml: room[1].survey.walls[2].corner - {NAME_REMEDY}',
    ),
    "a diagonal to nowhere": (
        surveyed(WALLS + "\n" + DIAGONAL.replace('"C"', '"E"')),
        '"E" is not known here - loft.toml: room[1].survey.diagonals[1].to - use one of "A", "B", "C", "D"',
    ),
    "a diagonal to itself": (
        surveyed(WALLS + "\n" + DIAGONAL.replace('"C"', '"A"')),
        '"A" is where the diagonal starts - loft.toml: room[1].survey.diagonals[1].to - name two corners',
    ),
    "a diagonal without a length": (
        surveyed(WALLS + "\n" + DIAGONAL.replace(', length = "20 ft"', "")),
        f'"length" is missing - loft.toml: room[1].survey.diagonals[1].length - {DIAGONALS_REMEDY}',
    ),
    "perfect angles": (
        surveyed(f"angle_accuracy = 0{WALLS}"),
        (
            "0 leaves no room for any error - loft.toml: room[1].survey.angle_accuracy - "
            "give degrees above zero, such as 0.5"
        ),
    ),
    "a perfect tape": (
        surveyed(f"accuracy = 0{WALLS}"),
        "0 is no length - loft.toml: room[1].survey.accuracy - give a length above zero",
    ),
}


@pytest.mark.parametrize(("text", "said"), REFUSED.values(), ids=REFUSED.keys())
def test_a_wrong_survey_is_refused_word_for_word(text, said):
    assert refusal(text) == said


def test_widths_at_both_ends_make_a_tapered_room():
    """15 ft 0 in at one end, 15 ft 2 in at the other (ehow.co.uk, "Lay floors in an out-of-square room")."""
    assert stations('[[0, "15 ft"], [240, "15 ft 2 in"]]') == ((0, 0), (240, 0), (240, 182), (0, 180))


def test_widths_along_a_wall_make_a_bowed_room():
    assert stations("[[0, 180], ['10 ft', 181.25], [240, 182]]") == (
        (0, 0),
        (240, 0),
        (240, 182),
        (120, Fraction("181.25")),
        (0, 180),
    )


def test_widths_at_even_steps_may_end_on_a_shorter_one():
    assert stations('{ every = "2 ft", length = 60, widths = [40, 41, 40, 39] }') == (
        (0, 0),
        (60, 0),
        (60, 39),
        (48, 40),
        (24, 41),
        (0, 40),
    )
    assert len(stations('{ every = "2 ft", length = 48, widths = [40, 41, 40] }')) == 5


STATIONS_REMEDY = (
    "write stations = [[0, 180], [120, 181.25], [240, 182]]: place along the wall, width there; "
    'or { every = "2 ft", length = 240, widths = [...] }'
)
WRONG_STATIONS = {
    "a word": ('"wide"', f'"wide" is not a list - loft.toml: room[1].stations - {STATIONS_REMEDY}'),
    "one": (
        "[[0, 180]]",
        "found 1 station - loft.toml: room[1].stations - give 2 to 9998 stations, the last at the wall's end",
    ),
    "a bare width": (
        "[[0, 180], 182]",
        f"182 is not a place and a width - loft.toml: room[1].stations[2] - {STATIONS_REMEDY}",
    ),
    "no width": (
        "[[0, 180], [240, 0]]",
        "0 is no length - loft.toml: room[1].stations[2][2] - give a length above zero",
    ),
    "a late start": (
        "[[12, 180], [240, 182]]",
        "a list of 2 is not at the wall's beginning - loft.toml: room[1].stations[1] - give the first width at 0",
    ),
    "a step back": (
        "[[0, 180], [240, 182], [240, 183]]",
        (
            "lies no farther along the wall than the station before - loft.toml: room[1].stations[3][1] - "
            "list the stations in order along the wall, each place once"
        ),
    ),
    "a width too few": (
        "{ every = 24, length = 60, widths = [40, 41, 40] }",
        (
            "found 3 widths, but 4 stations - loft.toml: room[1].stations.widths - "
            "give the width at the wall's beginning, at every step and at its end"
        ),
    ),
    "no step": (
        "{ length = 60, widths = [40, 41] }",
        f'"every" is missing - loft.toml: room[1].stations.every - {STATIONS_REMEDY}',
    ),
    "a slipped step": (
        "{ every = '1/64', length = '1 km', widths = [40, 41] }",
        '"1 km" names no unit known here - loft.toml: room[1].stations.length - use in, ft, mm, cm or m',
    ),
    "far too many": (
        "{ every = '1/64', length = 6000, widths = [40, 41] }",
        (
            "found 384001 stations - loft.toml: room[1].stations - "
            "give 2 to 9998 stations, the last at the wall's end"
        ),
    ),
}


@pytest.mark.parametrize(("value", "said"), WRONG_STATIONS.values(), ids=WRONG_STATIONS.keys())
def test_wrong_stations_are_refused_word_for_word(value, said):
    assert refusal(SHORT.replace(SIZE, f"stations = {value}")) == said


def test_the_example_is_a_room_out_of_square():
    job, (report,) = solve_surveys(read_job(EXAMPLE))
    (room,) = job.rooms
    assert isinstance(room, OutlineRoom)
    assert report.redundancy == 2
    assert report.suspects == report.unlike == report.elsewhere == ()
    assert all(abs(measure.residual) < TICKS_PER_INCH / 8 for measure in report.measures[:-1])
    for found, near in zip(room.corners, [(0, 0), (149.5, 0), (151, 122), (-1.25, 119.5)], strict=True):
        assert found == pytest.approx([TICKS_PER_INCH * value for value in near], abs=TICKS_PER_INCH / 4)


def told(report: SurveyReport, unit: Unit = Unit.IN) -> list[str]:
    lines = printed(section([report], unit))
    assert all(line.isascii() and len(line) <= 80 and line == line.rstrip() for line in lines)
    return lines


def test_no_survey_no_section():
    assert section([], Unit.IN) == []


def test_the_section_of_a_room_that_nothing_checks():
    """C is sure along to 1/8 in x sqrt(1 + 0.6^2) / 0.8 = 0.182 in, D to one more tape than C: 0.221 in."""
    assert told(report_of(measured(RECTANGLE, ["AC"]))) == [
        "",
        "SURVEY",
        "------",
        "  Parlour: 5 measures, as few as fix the shape.",
        "    measure       taped  adjusted  out by",
        '    wall A-B       192"      192"      0"',
        '    wall B-C       144"      144"      0"',
        '    wall C-D       192"      192"      0"',
        '    wall D-A       144"      144"      0"',
        '    diagonal A-C   240"      240"      0"',
        "    corner  along  across  sure to",
        '    A          0"      0"       0"',
        '    B        192"      0"     1/8"',
        '    C        192"    144"    3/16"',
        '    D          0"    144"    7/32"',
        "  - Nothing checks these measures: a misread one would not show. Take one more",
        "    diagonal.",
    ]


def test_the_misread_measure_stands_in_plain_words():
    lines = told(report_of(misread(measured(BAY, all_diagonals(6)), 6, 1.5)))
    text = " ".join(" ".join(lines).split())
    assert 'Diagonal A-C reads 1-1/2" more than the other measures allow: measure it again (170-' in text
    assert sum("!!" in line for line in lines) == 1
    assert next(line for line in lines if "!!" in line).startswith("    diagonal A-C !!  ")


def test_a_misread_measure_that_reads_too_little():
    text = " ".join(told(report_of(misread(measured(BAY, all_diagonals(6)), 6, -2)), Unit.MM))
    assert "Diagonal A-C reads 50.8 mm less than the other" in text


def test_when_nothing_tells_which_measure_is_out_all_are_named():
    text = " ".join(" ".join(told(report_of(misread(measured(RECTANGLE, ["AC", "BD"]), 4, 3)))).split())
    assert "any measure may be misread, and nothing tells which" in text


def test_closing_error_angles_and_what_is_unchecked_are_told():
    text = " ".join(" ".join(told(report_of(misread(measured(RECTANGLE, angles="BCD"), 0, 0.125)))).split())
    assert 'the walls miss their start by 1/8"' in text
    assert "angle at B 90.0 deg" in text
    assert "The measures agree to 0." in text
