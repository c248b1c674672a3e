"""The first room as text: a line for a row, joints to scale."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from cutopt.model.floor import Field
from cutopt.model.plan import LaidRun, Plan
from cutopt.model.rooms import Ring

__all__ = ["MOST_LINES", "Ruler", "drawn_row", "picture", "things_in"]

MOST_LINES = 40
"""So many rows at most are shown without leaving any out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruler:
    """Columns for lengths: ``columns`` of them from ``left`` to ``right``, in ticks."""

    left: int
    right: int
    columns: int

    def column(self, at: float) -> int:
        """Return the column that holds a place along the rows."""
        share = (at - self.left) / max(1, self.right - self.left)
        return min(self.columns - 1, max(0, round(share * (self.columns - 1))))


def picture(plan: Plan, width: int = 78) -> str:
    """Return the first field as plain text, at most ``width`` columns wide: the first row at the bottom.

    A line is a row with its number and ``|`` at its ends and joints, to scale along the rows; ``#`` is a fixed
    thing; there is no floor where nothing is. Of more than 40 rows only every second, third ... is shown.
    """
    first = plan.rows[0].run.field
    by_line: dict[int, list[LaidRun]] = {}
    for row in plan.rows:
        if row.run.field == first:
            by_line.setdefault(row.run.line, []).append(row)
    step = ceil(len(by_line) / MOST_LINES)
    shown = sorted(by_line)[::step]
    margin = max(len(str(by_line[line][0].run.row)) for line in shown) + 1
    runs = [row.run for rows in by_line.values() for row in rows]
    ruler = Ruler(
        left=min(run.offset for run in runs),
        right=max(run.right for run in runs),
        columns=max(2, width - margin),
    )
    field = next((field for field in plan.ground.fields if field.name == first), None)
    lines = [
        f"{by_line[line][0].run.row:>{margin - 1}} "
        + drawn_row(by_line[line], ruler, things_in(plan, field, line) if field else ())
        for line in reversed(shown)
    ]
    return "\n".join(line.rstrip() for line in (*lines, *_left_out(plan, first, step))) + "\n"


def drawn_row(rows: Sequence[LaidRun], ruler: Ruler, things: Sequence[tuple[float, float]]) -> str:
    """Return one row: what is laid, then what stands in it where nothing is laid."""
    cells = [" "] * ruler.columns
    for left, right in things:
        for column in range(ruler.column(left), ruler.column(right) + 1):
            cells[column] = "#"
    for row in rows:
        for column in range(ruler.column(row.run.offset), ruler.column(row.run.right) + 1):
            cells[column] = "_"
    for row in rows:
        for at in _joints(row):
            cells[ruler.column(at)] = "|"
    return "".join(cells)


def _joints(row: LaidRun) -> Iterator[int]:
    at = row.run.offset
    yield at
    for piece in row.pieces:
        at += piece.length
        yield at


def things_in(plan: Plan, field: Field, line: int) -> list[tuple[float, float]]:
    """Return from where to where things stand in a row, at its middle."""
    if not 0 < line < len(field.lines):
        return []
    middle = (field.lines[line - 1] + field.lines[line]) / 2
    rings = [
        tuple(field.frame.to_rows(corner) for corner in thing.corners)
        for thing in plan.ground.things
        if thing.field == field.name
    ]
    return [pair for ring in rings for pair in _crossed(ring, middle)]


def _crossed(ring: Ring, y: float) -> list[tuple[float, float]]:
    """Return the stretches of a level line that lie within a ring."""
    crossings = sorted(
        x0 + (y - y0) * (x1 - x0) / (y1 - y0)
        for (x0, y0), (x1, y1) in zip(ring, (*ring[1:], ring[0]), strict=True)
        if min(y0, y1) <= y < max(y0, y1)
    )
    return list(zip(crossings[::2], crossings[1::2], strict=True))


def _left_out(plan: Plan, first: str, step: int) -> Iterator[str]:
    others = len({row.run.field for row in plan.rows} - {first})
    if step > 1:
        yield f"One row in {step} is shown."
    if others:
        yield "One more floor is not shown." if others == 1 else f"{others} more floors are not shown."
