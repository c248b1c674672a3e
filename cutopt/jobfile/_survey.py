"""Rooms as they were measured: walls with turns, angles and diagonals, or widths along a straight wall."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from cutopt.jobfile._report import shown, step
from cutopt.jobfile._table import Table
from cutopt.model.rooms import OutlineRoom, Survey, SurveyCorner, SurveyRoom, Tape, Turn, corner_names
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks

__all__ = ["stations_room", "survey_room"]

_SURVEY_KEYS = ("accuracy", "angle_accuracy", "walls", "diagonals")
_WALL_KEYS = ("length", "turn", "angle", "corner")
_DIAGONAL_KEYS = ("from", "to", "length")
_EVEN_KEYS = ("every", "length", "widths")
_SURVEY_REMEDY = "write the survey under a [room.survey] line: walls = [...] and diagonals = [...]"
_WALLS_REMEDY = 'write walls = [ { length = 144, turn = "left" }, ... ], in order round the room'
_DIAGONALS_REMEDY = 'write diagonals = [ { from = "A", to = "C", length = 240 } ]'
_CORNER_REMEDY = "give every corner a name of its own, one word without a hyphen"
_STATIONS_REMEDY = (
    'write stations = [[0, 180], [120, 181.25], [240, 182]]: place along the wall, width there; or { every = "2 ft", '
    "length = 240, widths = [...] }"
)

_USUAL_ACCURACY = TICKS_PER_INCH // 8
_USUAL_METRIC_ACCURACY = 3 * TICKS_PER_MM
_USUAL_ANGLE_ACCURACY = Fraction(1, 2)
"""How far a tape and a bevel are usually out: common practice, no source."""

_FEWEST_WALLS = 3
_MOST_WALLS = 100
_MOST_DIAGONALS = 500
_ROUND = 360
_STRAIGHT = 180
_FEWEST_STATIONS = 2
_MOST_STATIONS = 9_998
_PAIR = 2

_Station = tuple[Ticks, Ticks]


@dataclass(frozen=True, slots=True)
class _Wall:
    """A wall and the corner at its end, as far as they could be read."""

    length: Ticks | None
    turn: Turn | None
    angle: Fraction | None


def survey_room(table: Table, name: str) -> SurveyRoom | None:
    """Return the room that a ``survey`` table describes; what is wrong is noted."""
    if not table.has_table("survey"):
        table.wrong("survey", "is not a table", _SURVEY_REMEDY)
        return None
    survey = table.table("survey", _SURVEY_KEYS, _SURVEY_REMEDY)
    survey.require("walls", _WALLS_REMEDY)
    accuracy, angle_accuracy = _accuracy(survey), _angle_accuracy(survey)
    tables = list(survey.tables("walls", _WALL_KEYS, _WALLS_REMEDY))
    names = _corner_names(tables)
    walls = [_wall(entry) for entry in tables]
    _note_odd_turns(tables, walls)
    tapes = survey.tables("diagonals", _DIAGONAL_KEYS, _DIAGONALS_REMEDY)
    diagonals = [_diagonal(entry, names) for entry in tapes]
    if not _right_many(survey) or len(tables) < survey.entries("walls"):
        return None
    return SurveyRoom(
        name=name,
        survey=Survey(
            corners=_corners(walls, names),
            walls=_wall_tapes(walls, names),
            diagonals=tuple(diagonal for diagonal in diagonals if diagonal is not None),
            accuracy=accuracy,
            angle_accuracy=angle_accuracy,
        ),
    )


def _right_many(survey: Table) -> bool:
    found = survey.entries("walls")
    if found and not _FEWEST_WALLS <= found <= _MOST_WALLS:
        place = step(survey.place, "walls")
        survey.report.add(f"found {found} walls", place, f"give {_FEWEST_WALLS} to {_MOST_WALLS} walls")
    diagonals = survey.entries("diagonals")
    if diagonals > _MOST_DIAGONALS:
        place = step(survey.place, "diagonals")
        survey.report.add(f"found {diagonals} diagonals", place, f"give at most {_MOST_DIAGONALS}")
    return _FEWEST_WALLS <= found <= _MOST_WALLS


def _accuracy(survey: Table) -> Ticks:
    told = survey.length("accuracy")
    unit = survey.lengths.unit
    usual = _USUAL_METRIC_ACCURACY if unit is not None and unit.is_metric else _USUAL_ACCURACY
    return usual if told is None else told


def _angle_accuracy(survey: Table) -> Fraction:
    told = survey.degrees("angle_accuracy", {}, below=_STRAIGHT)
    if told == 0:
        survey.wrong("angle_accuracy", "leaves no room for any error", "give degrees above zero, such as 0.5")
    return told or _USUAL_ANGLE_ACCURACY


def _corner_names(walls: Sequence[Table]) -> tuple[str, ...]:
    """Return the corners' names, the first wall's start first; each wall may name the corner at its end."""
    usual = corner_names(len(walls))
    names = [*usual[1:], *usual[:1]]
    taken: dict[str, str] = {}
    for nth, wall in enumerate(walls):
        own = wall.line("corner")
        names[nth] = own or names[nth]
        if own is not None and not {"-", " "}.isdisjoint(own):
            wall.wrong("corner", "is not one word", _CORNER_REMEDY)
        elif names[nth] in taken:
            place = step(wall.place, "corner")
            wall.report.add(
                f"{shown(names[nth])} is the corner at the end of {taken[names[nth]]} too",
                place,
                _CORNER_REMEDY,
            )
        taken.setdefault(names[nth], wall.place)
    return (*names[-1:], *names[:-1])


def _wall(table: Table) -> _Wall:
    table.require("length", "give the length of the wall")
    turn = table.choice("turn", tuple(Turn))
    angle = table.degrees("angle", {}, below=_ROUND)
    if angle == 0:
        table.wrong("angle", "is no corner of a room", "give the angle inside the room, in degrees above 0")
    return _Wall(table.length("length"), None if turn is None else Turn(turn), angle or None)


def _note_odd_turns(tables: Sequence[Table], walls: Sequence[_Wall]) -> None:
    """Note corners whose turn and angle say that the walk goes the other way round than the rest."""
    way = _way_round(walls)
    for table, wall in zip(tables, walls, strict=True):
        if _says(wall) not in (None, way):
            table.wrong(
                "angle",
                f'does not go with turn = "{wall.turn}"',
                f"the other corners go round to the {way}, where an angle under 180 turns {way} "
                f"and one over 180 {_other(way)}: check both",
            )


def _says(wall: _Wall) -> Turn | None:
    """Return which way round the room a corner's turn and angle together say the walk goes."""
    if wall.turn is None or wall.angle is None or wall.angle == _STRAIGHT:
        return None
    return wall.turn if wall.angle < _STRAIGHT else _other(wall.turn)


def _way_round(walls: Sequence[_Wall]) -> Turn:
    """Return the side to which the walk goes round, by corners with turn and angle, else by most turns."""
    said = [_says(wall) for wall in walls]
    told = said if any(said) else [wall.turn for wall in walls]
    return Turn.RIGHT if told.count(Turn.RIGHT) > told.count(Turn.LEFT) else Turn.LEFT


def _turned(angle: Fraction | int, way: Turn) -> Turn:
    return way if angle <= _STRAIGHT else _other(way)


def _other(turn: Turn) -> Turn:
    return Turn.RIGHT if turn is Turn.LEFT else Turn.LEFT


def _corners(walls: Sequence[_Wall], names: Sequence[str]) -> tuple[SurveyCorner, ...]:
    """Return the corners, the first wall's start first; a turn not told is what the angle says, else left."""
    way = _way_round(walls)
    ends = (*walls[-1:], *walls[:-1])
    return tuple(
        SurveyCorner(
            name=name,
            turn=wall.turn or (Turn.LEFT if wall.angle is None else _turned(wall.angle, way)),
            angle=wall.angle,
        )
        for wall, name in zip(ends, names, strict=True)
    )


def _wall_tapes(walls: Sequence[_Wall], names: Sequence[str]) -> tuple[Tape, ...]:
    """Return the walls as tapes; one whose length is wrong (noted already) counts as a tick."""
    ends = (*names[1:], *names[:1])
    return tuple(
        Tape(start=start, end=end, length=wall.length or 1)
        for wall, start, end in zip(walls, names, ends, strict=True)
    )


def _diagonal(table: Table, names: tuple[str, ...]) -> Tape | None:
    for key in _DIAGONAL_KEYS:
        table.require(key, _DIAGONALS_REMEDY)
    start, end, length = table.choice("from", names), table.choice("to", names), table.length("length")
    if start is not None and start == end:
        table.wrong("to", "is where the diagonal starts", "name two corners")
        return None
    return (
        None if start is None or end is None or length is None else Tape(start=start, end=end, length=length)
    )


def stations_room(table: Table, name: str) -> OutlineRoom | None:
    """Return the room between a straight wall A-B along x and the widths taken from it."""
    stations = _even_stations(table) if table.has_table("stations") else _listed_stations(table)
    if stations is None:
        return None
    end = stations[-1][0]
    return OutlineRoom(name=name, corners=((0, 0), (end, 0), *reversed(stations)))


def _listed_stations(table: Table) -> list[_Station] | None:
    items = table.items("stations", _STATIONS_REMEDY)
    if not items or not _enough(table, len(items), step(table.place, "stations")):
        return None
    stations = [_station(table, place, entry) for place, entry in items]
    sound = [station for station in stations if station is not None]
    if len(sound) < len(stations):
        return None
    if sound[0][0] != 0:
        table.report.add(
            f"{shown(items[0][1])} is not at the wall's beginning", items[0][0], "give the first width at 0"
        )
        return None
    for (before, after), (place, _) in zip(pairwise(sound), items[1:], strict=True):
        if after[0] <= before[0]:
            table.report.add(
                "lies no farther along the wall than the station before",
                f"{place}[1]",
                "list the stations in order along the wall, each place once",
            )
            return None
    return sound


def _station(table: Table, place: str, entry: object) -> _Station | None:
    if not isinstance(entry, list) or len(entry) != _PAIR:
        table.report.add(f"{shown(entry)} is not a place and a width", place, _STATIONS_REMEDY)
        return None
    along = table.lengths.read(entry[0], f"{place}[1]", above_zero=False)
    width = table.lengths.read(entry[1], f"{place}[2]", above_zero=True)
    return None if along is None or width is None else (along, width)


def _even_stations(table: Table) -> list[_Station] | None:
    """Return stations at equal steps, of which the last may be shorter."""
    even = table.table("stations", _EVEN_KEYS, _STATIONS_REMEDY)
    for key in _EVEN_KEYS:
        even.require(key, _STATIONS_REMEDY)
    every, length = even.length("every"), even.length("length")
    items = even.items("widths", _STATIONS_REMEDY)
    widths = [even.lengths.read(value, place, above_zero=True) for place, value in items]
    if every is None or length is None or not items or None in widths:
        return None
    wanted = -(-length // every) + 1
    if not _enough(even, wanted, even.place):
        return None
    if wanted != len(widths):
        even.report.add(
            f"found {len(widths)} widths, but {wanted} stations",
            step(even.place, "widths"),
            "give the width at the wall's beginning, at every step and at its end",
        )
        return None
    places = [*range(0, length, every), length]
    return [(along, width) for along, width in zip(places, widths, strict=True) if width is not None]


def _enough(table: Table, stations: int, place: str) -> bool:
    if _FEWEST_STATIONS <= stations <= _MOST_STATIONS:
        return True
    remedy = f"give {_FEWEST_STATIONS} to {_MOST_STATIONS} stations, the last at the wall's end"
    table.report.add(f"found {stations} station{'' if stations == 1 else 's'}", place, remedy)
    return False
