"""Whether an outline encloses a floor. Imports shapely, so it is imported only for a room given by its outline."""

from shapely import LinearRing, LineString, Polygon, STRtree

from cutopt.units import Ticks

__all__ = ["what_is_wrong"]

Corner = tuple[Ticks, Ticks]


def what_is_wrong(corners: tuple[Corner, ...]) -> str | None:
    """Return what keeps the corners (ticks, in order, at least three) from being a room, or None.

    Walls may neither cross nor touch one another, nor double back; shapely decides (GEOS, whose predicates are
    exact on whole numbers of this size).
    """
    doubled = next((number for number, corner in enumerate(corners) if corner == corners[number - 1]), None)
    if doubled is not None:
        return f"corners {_number(doubled - 1, corners)} and {doubled + 1} are the same"
    ring = LinearRing(corners)
    if ring.is_simple and Polygon(corners).is_valid:
        return None
    walls = [
        LineString([corner, corners[(number + 1) % len(corners)]]) for number, corner in enumerate(corners)
    ]
    meeting = STRtree(walls).query(walls, predicate="intersects")
    for first, second in sorted({(int(one), int(other)) for one, other in meeting.T if one < other}):
        if _clash(first, second, walls[first], walls[second], len(corners)):
            return f"{_wall(first, corners)} and {_wall(second, corners)} cross, touch or double back"
    return "the walls enclose no floor"


def _clash(first: int, second: int, one: LineString, other: LineString, count: int) -> bool:
    """Whether two walls meet elsewhere than in the corner that neighbours share."""
    if second - first in (1, count - 1):
        return one.intersection(other).length > 0
    return one.intersects(other)


def _number(index: int, corners: tuple[Corner, ...]) -> int:
    return index % len(corners) + 1


def _wall(index: int, corners: tuple[Corner, ...]) -> str:
    return f"wall {_number(index, corners)}-{_number(index + 1, corners)}"
