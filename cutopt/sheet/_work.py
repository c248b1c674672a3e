"""The cut sheet as data: every row's pieces and every rest that waits, in words."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from cutopt.model.job import Lay
from cutopt.model.plan import CutPlank, LaidRun, Part, Plan
from cutopt.model.work import PieceWork, RestWork, RowWork, Work
from cutopt.sheet._cuts import Spot, length_of, places, row_name, spots
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._rows import how_to_read
from cutopt.sheet._text import clean
from cutopt.sheet._wording import (
    comes_from,
    goes_to,
    is_whole,
    needs_marks,
    part_of_plank,
    ripped,
    slants,
    to_mark,
    wall,
    what,
)

__all__ = ["rests_to_lay", "rows_to_lay", "work_of"]


def work_of(plan: Plan, breaches: Mapping[int, Sequence[str]] | None = None) -> Work:
    """Return the work on the floor, row by row, in the words of the cut sheet.

    ``breaches`` holds, by row number, what a best-effort plan could not keep there.
    """
    return Work(rows=rows_to_lay(plan, breaches), rests=rests_to_lay(plan), notes=how_to_read(plan))


def rows_to_lay(plan: Plan, breaches: Mapping[int, Sequence[str]] | None = None) -> tuple[RowWork, ...]:
    """Return every run and its pieces in the order laid, in the words of the cut sheet."""
    lengths, where = Lengths.of(plan), spots(plan)
    runs_in_row = Counter(row.run.row for row in plan.rows)
    return tuple(
        RowWork(
            name=row_name(row),
            room=clean(row.run.room),
            size=_size(row, plan, lengths, several=runs_in_row[row.run.row] > 1),
            pieces=tuple(_piece(where[piece], lengths) for piece in _in_order(row, plan)),
            broken=tuple((breaches or {}).get(row.run.row, ())) if row.run.run == 1 else (),
        )
        for row in plan.rows
    )


def _in_order(row: LaidRun, plan: Plan) -> Sequence[str]:
    ids = [piece.id for piece in row.pieces]
    return ids[::-1] if plan.rules.lay is Lay.RIGHT_TO_LEFT else ids


def _size(row: LaidRun, plan: Plan, lengths: Lengths, *, several: bool) -> str:
    run, show = row.run, lengths.show
    starts = f"left end at {show(run.offset)}" if several else ""
    return ", ".join(filter(None, (show(run.length), starts, ripped(run, plan.plank, lengths))))


def _piece(spot: Spot, lengths: Lengths) -> PieceWork:
    piece = spot.piece
    return PieceWork(
        id=piece.id,
        what=str(what(spot)),
        length=lengths.show(piece.length),
        plank=piece.plank,
        part=part_of_plank(spot),
        take="; ".join(comes_from(spot, lengths)),
        cut=to_mark(spot, lengths),
        wall=_meets(spot),
        rest="; ".join(goes_to(spot)),
        slants=tuple(slants(spot, lengths)),
    )


def _meets(spot: Spot) -> str:
    """Return which walls a piece's ends meet, and whether it is turned."""
    if is_whole(spot):
        return ""
    if spot.part is Part.SINGLE:
        return "both ends at walls"
    side = wall(spot)
    turned = "; turn it round" if spot.turned else ""
    return f"cut end to the {side} wall{turned}"


def rests_to_lay(plan: Plan) -> tuple[RestWork, ...]:
    """Return every plank that gives several pieces and every strip that is used, in the order opened."""
    lengths, turns, where = Lengths.of(plan), places(plan), spots(plan)
    turn = {piece: nth for nth, piece in enumerate(turns)}
    rests = []
    for plank in plan.planks:
        if len(plank.pieces) > 1 or plank.beside:
            ids = sorted(plank.pieces, key=turn.__getitem__)
            rests.append(
                RestWork(
                    name=_name(plank),
                    beside=plank.beside,
                    pieces=tuple(ids),
                    places=tuple(
                        f"{turns[piece]} ({piece}), {lengths.show(where[piece].piece.length)}"
                        for piece in ids
                    ),
                    lengths=tuple(_lengths_left(plank, [where[piece] for piece in ids], plan, lengths)),
                )
            )
    return tuple(rests)


def _name(plank: CutPlank) -> str:
    return f"plank {plank.plank}, strip beside {plank.beside}" if plank.beside else f"plank {plank.plank}"


def _lengths_left(plank: CutPlank, cuts: Sequence[Spot], plan: Plan, lengths: Lengths) -> Iterator[str]:
    """Yield what is left of a plank before each of its cuts; nothing where that is not one whole part."""
    left, to_come = length_of(plank, plan), sum(spot.piece.length for spot in cuts)
    in_one = True
    for spot in cuts:
        yield lengths.show(left) if in_one and left >= to_come else ""
        in_one = in_one and not needs_marks(spot)
        left -= spot.piece.length + plan.plank.kerf
        to_come -= spot.piece.length
