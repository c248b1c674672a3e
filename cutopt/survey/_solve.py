"""All surveyed rooms of a job. Loads numpy and shapely only where there is one."""

from collections.abc import Iterator
from dataclasses import replace

from cutopt.errors import JobError, Problem
from cutopt.model.job import Job
from cutopt.model.rooms import OutlineRoom, Room, SurveyRoom
from cutopt.model.survey import SurveyReport
from cutopt.units import Unit

__all__ = ["solve_surveys"]


def solve_surveys(job: Job) -> tuple[Job, tuple[SurveyReport, ...]]:
    """Return the job with every surveyed room as an outline, and a report for each.

    Other rooms pass unchanged. The first wall lies on the x axis with one end at (0, 0), and the room
    above it: walked counter-clockwise, that end is the first corner; a room walked clockwise is turned
    half round, so that the wall runs from its first corner back to (0, 0). Nothing is mirrored.

    Raises ``JobError``, with what is wrong in every room, where measures contradict one another beyond
    any reading, do not fix the shape, or lead to walls that cross.
    """
    rooms: list[Room] = []
    reports: list[SurveyReport] = []
    problems: list[Problem] = []
    for room in job.rooms:
        try:
            solved, report = (room, None) if not isinstance(room, SurveyRoom) else _outline(room, job.unit)
        except JobError as error:
            problems += error.problems
            continue
        rooms.append(solved)
        reports += [report] if report is not None else []
    if problems:
        raise JobError(*problems)
    warnings = (*job.warnings, *(text for report in reports for text in _warnings(report)))
    return replace(job, rooms=tuple(rooms), warnings=warnings), tuple(reports)


def _outline(room: SurveyRoom, unit: Unit) -> tuple[OutlineRoom, SurveyReport]:
    from cutopt.survey._adjust import adjust  # noqa: PLC0415 - loads numpy, which few jobs need

    report = adjust(room.survey, room.name, unit)
    outline = OutlineRoom(
        name=room.name,
        corners=tuple(corner.at for corner in report.corners),
        at=room.at,
        fixed=room.fixed,
        down=room.down,
        corner_names=tuple(corner.name for corner in report.corners),
    )
    return outline, report


def _warnings(report: SurveyReport) -> Iterator[str]:
    if report.suspects:
        suspects = " or ".join(measure.name for measure in report.suspects)
        yield f"{report.room}: the measures do not fit together: measure {suspects} again"
    for names, what in (
        (report.unlike, "turns the other way than told: check the turn and the measures there"),
        (report.elsewhere, "could lie elsewhere by the same measures: take one more diagonal from there"),
    ):
        for name in names:
            yield f"{report.room}: corner {name} {what}"
