"""A plan made of a layout: runs, pieces and planks as told, and the counts that these come to."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import accumulate, count
from math import ceil

from cutopt.layouts._cutting import Cut, Seat, Use, cut_plank
from cutopt.model.floor import Run
from cutopt.model.job import Lay
from cutopt.model.layouts import Layout, LayoutRow, Untold
from cutopt.model.plan import Bound, LaidRun, Piece, Plan, Totals
from cutopt.units import TICKS_PER_MM, Ticks

__all__ = ["as_plan"]

_FLOOR = "Floor"
_NO_BOUND = Bound(planks=0, reason="not worked out for a layout that is only judged")

_Pieces = list[tuple[int, Use]]
"""Pieces of a row from left to right, each with the number of its plank."""


def as_plan(layout: Layout) -> Plan:
    """Return a layout as a plan that can be checked.

    Every row is one run, as long as its pieces, on one field; rows that tell no start begin at one line. A piece
    whose plank is not told gets a plank of its own. Strips ripped off lengthwise are no part of a layout: pieces of one
    plank are crosscut. Where planks are of several lengths, or of one that is not told, a piece that lies between
    others is a whole plank.
    """
    rows = _numbered(layout)
    cuts = _cut(layout, [pair for row in rows for pair in row])
    ends = {name: pair for cut in cuts for name, pair in cut.ends.items()}
    laid = tuple(
        LaidRun(
            run=_run(layout, row, number),
            pieces=tuple(
                Piece(id=use.id, plank=plank, length=use.length, left=ends[use.id][0], right=ends[use.id][1])
                for plank, use in pieces
            ),
        )
        for number, (row, pieces) in enumerate(zip(layout.rows, rows, strict=True), start=1)
    )
    return Plan(
        title=layout.title,
        unit=layout.unit,
        plank=layout.plank,
        rules=layout.rules,
        order=layout.order,
        rows=laid,
        planks=tuple(cut.plank for cut in cuts),
        totals=_totals(layout, cuts, sum(one.run.area2 for one in laid)),
        bound=_NO_BOUND,
    )


def _run(layout: Layout, row: LayoutRow, number: int) -> Run:
    length = sum(piece.length for piece in row.pieces)
    width = layout.plank.width if row.width is None else row.width
    return Run(
        room=_FLOOR,
        field=_FLOOR,
        line=number,
        row=number,
        run=1,
        offset=row.start,
        length=length,
        width=width,
        area2=2 * length * width,
    )


def _numbered(layout: Layout) -> list[_Pieces]:
    """Return the pieces of every row with their ids and planks; planks that are not told are numbered on."""
    told = (piece.plank for row in layout.rows for piece in row.pieces if piece.plank is not None)
    fresh = count(max(told, default=0) + 1)
    backwards = layout.rules.lay is Lay.RIGHT_TO_LEFT
    return [
        [
            (
                next(fresh) if piece.plank is None else piece.plank,
                Use(
                    id=f"{number}.{len(row.pieces) - nth if backwards else nth + 1}",
                    row=number,
                    seat=_seat(nth, len(row.pieces)),
                    length=piece.length,
                ),
            )
            for nth, piece in enumerate(row.pieces)
        ]
        for number, row in enumerate(layout.rows, start=1)
    ]


def _seat(nth: int, pieces: int) -> Seat:
    if pieces == 1:
        return Seat.ALONE
    return Seat.LEFT if nth == 0 else Seat.RIGHT if nth == pieces - 1 else Seat.INSIDE


def _cut(layout: Layout, pieces: Sequence[tuple[int, Use]]) -> list[Cut]:
    taken: defaultdict[int, list[Use]] = defaultdict(list)
    for plank, use in pieces:
        taken[plank].append(use)
    several = Untold.PLANK_LENGTH in layout.untold
    return [
        cut_plank(plank, uses, layout.plank, own_length=_own_length(uses, layout) if several else None)
        for plank, uses in taken.items()
    ]


def _own_length(uses: Sequence[Use], layout: Layout) -> Ticks | None:
    """Return the length of a plank that is laid whole between others, where it is not the longest piece's."""
    whole = len(uses) == 1 and uses[0].seat is Seat.INSIDE and uses[0].length != layout.plank.length
    return uses[0].length if whole else None


def _totals(layout: Layout, cuts: Sequence[Cut], area2: int) -> Totals:
    """Return the counts that the cuts come to; ``area2`` is twice the area laid, in square ticks."""
    spec, order = layout.plank, layout.order
    needed = Fraction(len(cuts)) / (1 - order.culls) + order.spare
    lengths = sum(spec.length if cut.plank.length is None else cut.plank.length for cut in cuts)
    net = Fraction(area2, 2)
    return Totals(
        planks=len(cuts),
        boxes=ceil(needed / spec.per_box),
        cuts=sum(cut.cuts for cut in cuts),
        peak_waiting=max(accumulate(_changes(cuts, len(layout.rows))), default=0),
        net_area_mm2=float(net / TICKS_PER_MM**2),
        waste_factor_percent=float((lengths * spec.width / net - 1) * 100),
    )


def _changes(cuts: Sequence[Cut], rows: int) -> Iterator[int]:
    """Yield by how many the planks that wait change with each row: one waits from its first row until its last."""
    change = [0] * (rows + 1)
    for cut in cuts:
        change[min(cut.rows)] += 1
        change[max(cut.rows)] -= 1
    yield from change
