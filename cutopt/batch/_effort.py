"""How large a task is, roughly: large ones are begun first, so that none is left for one worker at the end."""

from cutopt.model.estimate import Task
from cutopt.model.job import Job
from cutopt.model.rooms import OutlineRoom, Ring, Room, RowsRoom, SizeRoom
from cutopt.units import Ticks

__all__ = ["effort"]


def effort(task: Task) -> int:
    """Return about how many planks a task lays. How long that takes nobody knows before."""
    units = ((task.job, task.times), *task.beside)
    return sum(times * _planks(job) for job, times in units)


def _planks(job: Job) -> int:
    area = sum(_area(room, job.plank.width) for room in job.rooms)
    return area // (job.plank.length * job.plank.width)


def _area(room: Room, width: Ticks) -> int:
    match room:
        case SizeRoom():
            return room.along * room.across
        case OutlineRoom():
            return abs(_twice_area(room.corners)) // 2
        case RowsRoom():
            return sum(row.count * (row.width or width) * run.length for row in room.rows for run in row.runs)
    return (sum(tape.length for tape in room.survey.walls) // 4) ** 2  # as if square


def _twice_area(corners: Ring) -> int:
    """Return twice the area within, below 0 where the corners go clockwise (the shoelace formula)."""
    following = (*corners[1:], *corners[:1])
    return sum(x * v - u * y for (x, y), (u, v) in zip(corners, following, strict=True))
