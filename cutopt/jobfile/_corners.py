"""Corners as lists of two lengths."""

from cutopt.jobfile._report import shown, step
from cutopt.jobfile._table import Table
from cutopt.model.rooms import Point, Ring

__all__ = ["read_corners", "read_point"]

_OUTLINE_REMEDY = "write outline = [[0, 0], [149, 0], [149, 96]], corners in order"
_MIN_CORNERS = 3
_MAX_CORNERS = 10_000
_PAIR = 2


def read_point(table: Table, key: str, remedy: str, *, above_zero: bool = False) -> Point | None:
    """Return two lengths under a key."""
    items = table.items(key, remedy)
    if not items:
        return None
    if len(items) != _PAIR:
        table.wrong(key, "is not two lengths", remedy)
        return None
    (x_place, x), (y_place, y) = items
    first = table.lengths.read(x, x_place, above_zero=above_zero)
    second = table.lengths.read(y, y_place, above_zero=above_zero)
    return None if first is None or second is None else (first, second)


def read_corners(table: Table, key: str) -> Ring | None:
    """Return the corners of a sound outline; what is wrong with any other is noted."""
    items = table.items(key, _OUTLINE_REMEDY)
    if not items:
        return None
    if not _MIN_CORNERS <= len(items) <= _MAX_CORNERS:
        place = step(table.place, key)
        table.report.add(
            f"found {len(items)} corners", place, f"give {_MIN_CORNERS} to {_MAX_CORNERS} corners"
        )
        return None
    corners = [_corner(table, place, entry) for place, entry in items]
    sound = tuple(corner for corner in corners if corner is not None)
    if len(sound) < len(corners):
        return None
    from cutopt.jobfile._outline import what_is_wrong  # noqa: PLC0415 - loads shapely, which few jobs need

    wrong = what_is_wrong(sound)
    if wrong is not None:
        table.report.add(wrong, step(table.place, key), "list the corners in order round the room, each once")
        return None
    return sound


def _corner(table: Table, place: str, entry: object) -> Point | None:
    if not isinstance(entry, list) or len(entry) != _PAIR:
        table.report.add(f"{shown(entry)} is not a corner", place, _OUTLINE_REMEDY)
        return None
    x, y = (
        table.lengths.read(value, f"{place}[{number}]", above_zero=False)
        for number, value in enumerate(entry, start=1)
    )
    return None if x is None or y is None else (x, y)
