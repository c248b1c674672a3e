"""The cut sheet itself: what is laid, row by row."""

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from cutopt.model.floor import Run
from cutopt.model.job import Lay
from cutopt.model.plan import LaidRun, Part, Plan
from cutopt.sheet._cuts import Spot, row_name, spots
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._text import heading, pad, para, printed, shorten, wrap
from cutopt.sheet._wording import (
    is_whole,
    needs_marks,
    other_parts,
    part_of_plank,
    ripped,
    slants,
    wall,
    what,
)
from cutopt.units import Ticks

__all__ = ["cut_sheet", "how_to_read"]

_HEADS = ("piece", "what", "length", "plank, part", "wall", "other part")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Table:
    """What every line of the cut sheet needs: where the pieces lie, and the widths of the columns."""

    plan: Plan
    lengths: Lengths
    spots: Mapping[str, Spot]
    widths: tuple[int, ...]

    def line(self, *cells: str) -> list[str]:
        """Return one line of cells; the last wraps beneath itself."""
        first = "  ".join(pad(cell, width) for cell, width in zip(cells, self.widths, strict=False))
        return wrap(cells[-1], first=f"  {first}  ")


def cut_sheet(
    plan: Plan,
    marks: Mapping[int, Sequence[str]],
    laid: Collection[Run] = frozenset(),
    allowances: Mapping[str, str] | None = None,
) -> list[str]:
    """Return the lines of the cut sheet; ``marks`` are warnings to print under a row, by its number.

    Runs that are ``laid`` are left out. ``allowances`` say, by a run's name, how far its wall may be out.
    """
    table = _table(plan)
    lines = [*heading("Cut sheet"), *printed(map(para, _legend_texts(table)))]
    runs_in_row = Counter(row.run.row for row in plan.rows)
    to_lay = [row for row in plan.rows if row.run not in laid]
    for room, group in groupby(to_lay, key=lambda row: row.run.room):
        rows = list(group)
        lines += ["", *_room_heading(room, rows), *table.line(*_HEADS)]
        for row in rows:
            heads = _row_heading(row, table, several=runs_in_row[row.run.row] > 1)
            may = (allowances or {}).get(row_name(row))
            lines += wrap(f"{heads}, {may}" if may else heads, rest="    ")
            for mark in marks.get(row.run.row, ()) if row.run.run == 1 else ():
                lines += wrap(mark, first="  !! ")
            for part in _parts(row, table):
                lines += part
    return lines


def _table(plan: Plan) -> _Table:
    lengths = Lengths.of(plan)
    where = spots(plan)
    cut = [spot.piece for spot in where.values() if not _is_counted(spot)]
    widths = (
        max((len(piece.id) for piece in cut), default=0),
        len(Part.END),
        max((len(lengths.show(piece.length)) for piece in cut), default=0),
        len(str(len(plan.planks))) + len(" right part"),
        len("right"),
    )
    heads = (max(width, len(head)) for width, head in zip(widths, _HEADS, strict=False))
    return _Table(plan=plan, lengths=lengths, spots=where, widths=tuple(heads))


def _is_counted(spot: Spot) -> bool:
    """Say whether a piece is a whole plank, laid without a cut, of which nothing more need be told."""
    return is_whole(spot) and not (spot.beside or spot.strip_to)


def how_to_read(plan: Plan) -> tuple[str, ...]:
    """Return how the work row by row is read, a text each."""
    return tuple(_legend_texts(_table(plan)))


def _legend_texts(table: _Table) -> Iterator[str]:
    plan = table.plan
    yield (
        "Pieces are numbered row.piece in the order laid. Left and right are as on the drawing, "
        "with the first row at the bottom."
    )
    if plan.rules.lay is Lay.RIGHT_TO_LEFT:
        yield "Every row is laid from right to left."
    if any(row.run.run > 1 for row in plan.rows):
        yield (
            'Rows of two runs or more: the second run of row 9 is called 9b. "Left end at" is measured from one '
            "line that is the same for all rows of the room."
        )
    yield (
        "Mark the length on the plank: for a left part from its left factory end, for a right part from its "
        f"right factory end. {_cutting(table)} The cut end goes to the wall named; factory end meets factory end."
    )
    yield (
        "Write its place on every rest that goes to another row; a rest with no place named is left over. "
        '"Uncut": the rest is that piece already.'
    )
    yield from _legend_of_some(table)


def _cutting(table: _Table) -> str:
    kerf = table.plan.plank.kerf
    if not kerf:
        return "Cut on the mark: nothing is lost there."
    return (
        f"Cut just beyond the mark, so that the blade ({table.lengths.show(kerf)}) eats into the other side."
    )


def _legend_of_some(table: _Table) -> Iterator[str]:
    """Yield what only some plans need told."""
    plan, show = table.plan, table.lengths.show
    if any(spot.turned for spot in table.spots.values()):
        yield '"Turn round": lay that piece the other way round than it lay on its plank.'
    if plan.plank.kerf and any(needs_marks(spot) for spot in table.spots.values()):
        yield '"Between marks": cut just outside of both.'
    if any(row.run.left_slant or row.run.right_slant for row in plan.rows):
        yield (
            "A piece with a slanted end is as long as given along its longer edge; the far long edge is the one "
            "away from the first row, the near one towards it."
        )
    if any("~" in show(length) for row in plan.rows for length in _lengths_of(row)):
        yield f'"~" stands before a length rounded to {show(plan.rules.cut_step)}: check it against the floor.'
    if any(spot.beside for spot in table.spots.values()):
        yield (
            '"Strip to": rip that piece to its row\'s width on the side that faces the wall and keep the other '
            "strip, which has the plank's other long edge, for the piece named; mark it so. Lay it the way it lay "
            "beside the first, not turned end for end."
        )
    if any(row.run.width < plan.plank.width for row in plan.rows):
        yield (
            "Rip a first or last row on the long side that faces the wall; crosscut before you rip, so that the "
            "rest keeps its full width."
        )


def _lengths_of(row: LaidRun) -> Iterator[Ticks]:
    """Yield every length that the row's lines may show."""
    yield from (row.run.length, row.run.width, row.run.offset)
    for piece in row.pieces:
        yield from (piece.length, abs(piece.left_slant), abs(piece.right_slant))


def _room_heading(room: str, rows: Sequence[LaidRun]) -> list[str]:
    first, last = rows[0].run.row, rows[-1].run.row
    which = f"row {first}" if first == last else f"rows {first} to {last}"
    return [f"{shorten(room, 56)}, {which}"]


def _row_heading(row: LaidRun, table: _Table, *, several: bool) -> str:
    run, show = row.run, table.lengths.show
    starts = f", left end at {show(run.offset)}" if several else ""
    rip = ripped(run, table.plan.plank, table.lengths)
    return f"Row {row_name(row)}: {show(run.length)}{starts}{f', {rip}' if rip else ''}"


def _parts(row: LaidRun, table: _Table) -> Iterator[list[str]]:
    """Yield the lines of each piece in the order laid, whole planks counted."""
    backwards = table.plan.rules.lay is Lay.RIGHT_TO_LEFT
    pieces = row.pieces[::-1] if backwards else row.pieces
    for counted, group in groupby((table.spots[piece.id] for piece in pieces), key=_is_counted):
        if counted:
            count = len(list(group))
            yield table.line("", "1 whole plank" if count == 1 else f"{count} whole planks", "")[:1]
        else:
            for spot in group:
                yield _piece_lines(spot, table)


def _piece_lines(spot: Spot, table: _Table) -> list[str]:
    piece = spot.piece
    return [
        *table.line(
            piece.id,
            what(spot),
            table.lengths.show(piece.length).rjust(table.widths[2]),
            f"{piece.plank:>{len(str(len(table.plan.planks)))}} {part_of_plank(spot)}",
            wall(spot),
            _other(spot, table),
        ),
        *(line for text in slants(spot, table.lengths) for line in wrap(text, first=" " * 4)),
    ]


def _other(spot: Spot, table: _Table) -> str:
    return "; ".join(other_parts(spot, table.lengths))
