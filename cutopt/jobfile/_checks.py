"""Checks between values that are each sound alone. A check whose values are missing or wrong stays silent."""

from collections.abc import Iterable

from cutopt.jobfile._estimator_checks import check_estimator
from cutopt.jobfile._report import Report
from cutopt.jobfile._values import JobValues, PlankValues, only_rows
from cutopt.model.job import Pattern
from cutopt.model.rooms import OutlineRoom, Room, RowsRoom, SizeRoom, SurveyRoom
from cutopt.rulebook import rule, usual_rules
from cutopt.units import Ticks, Unit, format_length

__all__ = ["MAX_ROWS", "check_plank", "check_values", "row_count"]

MAX_ROWS = 100_000
_FROM_KIND = (
    "plank.ends",
    "plank.kerf",
    "rules.stagger",
    "rules.min_piece",
    "rules.h_joint",
    "rules.stair_step",
)
_PITCH_OUT = 10
"""Rows measured in place may differ from the plank's cover width by a tenth (limit of our own choice)."""
_FIXED = (Pattern.HALF, Pattern.THIRD)


def check_values(values: JobValues, report: Report) -> None:
    """Note every contradiction between the values of a job file."""
    unit = values.unit or Unit.MM
    _check_kind(values, report)
    check_plank(values, report)
    gap = _gap(values, unit)
    for place, room in values.rooms:
        _check_gap(gap, place, room, report)
        _check_row_widths(values.plank, place, room, unit, report)
    _check_row_count(values, report)
    check_estimator(values, unit, report)


def check_plank(values: JobValues, report: Report) -> None:
    """Note what the plank's measures and the rules say against each other."""
    unit = values.unit or Unit.MM
    _check_layout(values, unit, report)
    if values.plank.length is not None:
        _check_within_plank(values, values.plank.length, unit, report)
        _check_fixed_pattern(values, values.plank.length, unit, report)


def _check_kind(values: JobValues, report: Report) -> None:
    """Note a missing kind where its usual rules are needed: it may be left out only when all of them are set."""
    if values.plank.names_kind or not values.describes_plank:
        return
    needed = _FROM_KIND + (() if only_rows(values) else ("rules.gap",))
    missing = [key for key in needed if key not in values.keys]
    if missing:
        report.add(
            '"kind" is missing, and so are ' + ", ".join(missing),
            "plank.kind",
            'give the kind of plank, such as "click vinyl", whose usual rules then hold, or set all of these',
        )


def _check_layout(values: JobValues, unit: Unit, report: Report) -> None:
    """Note a first row, tolerance or measured row that the plank's width cannot be."""
    width, pitch = values.plank.width, values.plank.pitch
    if width is None:
        return
    if values.layout.first_width is not None and values.layout.first_width > width:
        report.add(
            f"the first row, {format_length(values.layout.first_width, unit)}, is over the plank's width, "
            f"{format_length(width, unit)}",
            "layout.first_width",
            "a row is one plank wide at most",
        )
    if values.plank.width_tolerance is not None and 2 * values.plank.width_tolerance >= width:
        report.add(
            f"the tolerance, {format_length(values.plank.width_tolerance, unit)}, is half the plank's width or more",
            "plank.width_tolerance",
            "give how far a plank's width may be out, such as 1/64 in or 0.3 mm",
        )
    if pitch is not None and not _PITCH_OUT * abs(pitch.one - width) <= width:
        report.add(
            f"{pitch.rows} rows of {format_length(width, unit)} cannot measure {format_length(pitch.measure, unit)}",
            "plank.pitch",
            "check the count of rows, the measure and the plank's width",
        )


def _check_within_plank(values: JobValues, length: Ticks, unit: Unit, report: Report) -> None:
    """Note each rule that asks for more than a plank has."""
    for key in ("plank.kerf", "rules.min_piece", "rules.cut_step", "rules.fit"):
        value = values.rules.get(key)
        if isinstance(value, int) and value > length:
            report.add(
                f"the {rule(key).name}, {format_length(value, unit)}, is over the plank's length, "
                f"{format_length(length, unit)}",
                key,
                "make it shorter, or check the plank's length",
            )


def _check_fixed_pattern(values: JobValues, length: Ticks, unit: Unit, report: Report) -> None:
    """Note a stagger that rows set off by half or a third of the plank cannot keep."""
    pattern, stagger = values.rules.get("rules.pattern"), values.rules.get("rules.stagger")
    if pattern not in _FIXED or not isinstance(stagger, int):
        return
    parts = 2 if pattern == Pattern.HALF else 3
    if stagger * parts > length:
        report.add(
            f"the stagger, {format_length(stagger, unit)}, is over the offset of the pattern, "
            f"{format_length(length // parts, unit)}",
            "rules.stagger",
            f'lower the stagger, or use pattern = "random" instead of "{pattern}"',
        )


def _gap(values: JobValues, unit: Unit) -> Ticks:
    """Return the gap the job sets, else the kind's usual one, else 0."""
    plank, given = values.plank, values.rules.get("rules.gap")
    if isinstance(given, int):
        return given
    if plank.kind is None or plank.length is None or plank.width is None:
        return 0
    return usual_rules(plank.kind, unit, plank.length, plank.width)["rules.gap"].number


def _check_gap(gap: Ticks, place: str, room: Room, report: Report) -> None:
    """Note a room of which the gaps leave nothing."""
    if 0 < _narrower_side(room) <= 2 * gap:
        report.add("the gaps at two walls leave no floor", place, "check the room's size, and rules.gap")


def _narrower_side(room: Room) -> Ticks:
    """Return the smaller of a room's two extents; 0 for rows given outright, which are net of gaps."""
    match room:
        case SizeRoom():
            return min(room.along, room.across)
        case OutlineRoom():
            xs, ys = [x for x, _ in room.corners], [y for _, y in room.corners]
            return min(max(xs) - min(xs), max(ys) - min(ys))
        case RowsRoom() | SurveyRoom():
            return 0


def _check_row_widths(plank: PlankValues, place: str, room: Room, unit: Unit, report: Report) -> None:
    if not isinstance(room, RowsRoom) or plank.width is None:
        return
    for number, row in enumerate(room.rows, start=1):
        if row.width is not None and row.width > plank.width:
            report.add(
                f"the row's width, {format_length(row.width, unit)}, is over the plank's, "
                f"{format_length(plank.width, unit)}",
                f"{place}.rows[{number}].width",
                "a row is one plank wide at most: leave width out for a whole one",
            )


def _check_row_count(values: JobValues, report: Report) -> None:
    rows = row_count((room for _, room in values.rooms), values.plank.width)
    if rows > MAX_ROWS:
        report.add(
            f"{rows} rows in all are too many",
            "room",
            f"plan at most {MAX_ROWS} rows: check sizes, counts and units",
        )


def row_count(rooms: Iterable[Room], width: Ticks | None) -> int:
    """Return about how many rows of a width the rooms have."""
    return sum(_row_count(room, width) for room in rooms)


def _row_count(room: Room, width: Ticks | None) -> int:
    """Return the rows of a room, two stretches of one row counted twice; for walls, about what they hold."""
    match room:
        case RowsRoom():
            return sum(row.count * len(row.runs) for row in room.rows)
        case SizeRoom():
            across = room.across
        case OutlineRoom():
            ys = [y for _, y in room.corners]
            across = max(ys) - min(ys)
        case SurveyRoom():
            across = 0  # its corners are not known yet
    return 0 if width is None else -(-across // width)
