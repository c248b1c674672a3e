"""Rows that lie already before the first, as the planner meets them."""

from collections.abc import Iterable, Iterator, Sequence

from cutopt.errors import JobError, Problem
from cutopt.layout.ground import FieldGround
from cutopt.layout.ground.place import Placed
from cutopt.model.floor import DownRun, Frame, Run
from cutopt.model.rooms import DownRow, Room
from cutopt.units import Ticks

__all__ = ["down_before_field", "down_before_rows"]

_FAR = 2**30
"""Far enough, in ticks, to see which way an axis goes."""


def down_before_field(field: FieldGround, runs: Sequence[Run]) -> Iterator[DownRun]:
    """Yield the rows that lie before the first row of each room of a field, as long as the room is.

    Raises ``JobError`` where the room's first row is not the field's, or a joint is outside the room.
    """
    axes = field.frame.axes
    for one in (one for one in field.rooms if one.room.down):
        xs = [axes.to_rows(corner)[0] for corner in one.corners]
        first = min((run.line for run in runs if one.room.name in run.room.split(" + ")), default=1)
        if first > runs[0].line:
            raise JobError(
                Problem(
                    what=f"rows lie before its first already, but the first rows of {field.name} lie elsewhere",
                    where=f'room "{one.room.name}"',
                    remedy="give the room rows of its own: a strip in each doorway, or no doorway",
                )
            )
        rows = [_along(one, axes, joints) for joints in reversed(one.room.down)]
        yield from _down(one.room, field.name, first - 1, (min(xs), max(xs)), rows)


def down_before_rows(room: Room, runs: Sequence[Run]) -> Iterator[DownRun]:
    """Yield the rows that lie before rows given outright, as long as these reach.

    Raises ``JobError`` where a joint is outside them.
    """
    ends = min(run.offset for run in runs), max(run.right for run in runs)
    yield from _down(room, room.name, 0, ends, reversed(room.down))


def _along(one: Placed, axes: Frame, joints: DownRow) -> DownRow:
    """Return joints told from a room's origin as they lie along the rows, whichever way the room is turned."""
    origin, _ = axes.to_rows(one.placing((0, 0)))
    own = [axes.to_rows(one.placing(end))[0] - origin for end in ((_FAR, 0), (0, _FAR))]
    way = 1 if max(own, key=abs) > 0 else -1
    return tuple(sorted(origin + way * joint for joint in joints))


def _down(
    room: Room, field: str, line: int, ends: tuple[Ticks, Ticks], rows: Iterable[DownRow]
) -> Iterator[DownRun]:
    low, high = ends
    for nth, joints in enumerate(rows):
        if any(not low < joint < high for joint in joints):
            raise JobError(
                Problem(
                    what="a joint of the rows that lie already is not between the ends of the room's rows",
                    where=f'room "{room.name}"',
                    remedy="count the joints in down along the rows, from the room's own (0, 0)",
                )
            )
        yield DownRun(field=field, line=line - nth, offset=low, length=high - low, joints=joints)
