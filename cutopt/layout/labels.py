"""What a run is called by: the room it lies in, or all that it runs through."""

from collections.abc import Callable

from cutopt.layout._given import FieldRows
from cutopt.layout.ground import FieldGround

__all__ = ["Labels", "labels"]

Labels = Callable[[int, int], str]
"""From a run's line and its number in the line to the name of its room, or rooms."""


def labels(field: FieldGround | None, rows: FieldRows) -> Labels:
    """Return how the runs of a field are called; one that lies in a doorway only, by the doorway."""
    if field is None or len(field.rooms) == 1:
        name = rows.name if field is None else field.rooms[0].room.name
        return lambda _line, _run: name
    import shapely  # noqa: PLC0415 - only rooms that are joined need it

    keys = [(row.line, nth) for row in rows.rows for nth, _ in enumerate(row.spans, 1)]
    boxes = [
        shapely.box(span.left, span.low, span.left + span.length, span.high)
        for row in rows.rows
        for span in row.spans
    ]
    inside = [shapely.Polygon(ring).buffer(-1) for _, ring in field.shapes]
    met: dict[int, list[int]] = {}
    for box, shape in sorted(shapely.STRtree(inside).query(boxes, predicate="intersects").T.tolist()):
        met.setdefault(box, []).append(shape)
    found = {key: _called(met.get(nth, []), field) for nth, key in enumerate(keys)}
    return lambda line, run: found[line, run]


def _called(shapes: list[int], field: FieldGround) -> str:
    """Name the rooms among the shapes; without one, whatever there is."""
    rooms = [field.shapes[shape][0] for shape in shapes if shape < len(field.rooms)]
    if rooms:
        return " + ".join(rooms)
    return field.shapes[shapes[0]][0] if shapes else field.name
