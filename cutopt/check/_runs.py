"""One run at a time: whether its pieces fill it, and may lie where they lie."""

from collections.abc import Iterator
from itertools import groupby, pairwise

from cutopt.check._finding import Amount, Fault, Finding
from cutopt.check._ledger import Ledger, Used, room_left
from cutopt.check._nesting import saved_among
from cutopt.model.floor import Run
from cutopt.model.job import Lay, Rules
from cutopt.model.plan import End, LaidRun, Piece
from cutopt.units import Ticks

__all__ = ["check_runs", "remark_runs"]


def check_runs(ledger: Ledger) -> Iterator[Finding]:
    """Yield what is wrong with any run taken by itself."""
    yield from _overlaps(ledger)
    for laid in ledger.plan.rows:
        yield from _measures(laid.run, ledger.plan.plank.width)
        if not laid.pieces:
            yield _at(laid.run, Fault.NO_PIECES, None, found=0, wanted=1)
            continue
        yield from _lengths(laid)
        yield from _meeting_ends(laid)
        yield from _slants(laid)
        if len(laid.pieces) > 1:
            yield from _short_pieces(laid, ledger.plan.rules)
            yield from _cut_step(laid, ledger)


def remark_runs(ledger: Ledger) -> Iterator[Finding]:
    """Yield what breaks no rule but should be known: short single pieces and slivers."""
    rules = ledger.plan.rules
    for laid in ledger.plan.rows:
        if len(laid.pieces) == 1 and laid.pieces[0].length < rules.min_piece:
            found = laid.pieces[0].length
            yield _at(
                laid.run, Fault.SINGLE_SHORT, 0, found=found, wanted=rules.min_piece, piece=laid.pieces[0]
            )
        if laid.run.width < rules.min_rip and laid.run.run == 1:
            yield _at(laid.run, Fault.ROW_NARROW, None, found=laid.run.width, wanted=rules.min_rip)


def _at(  # noqa: PLR0913 - a finding has that many parts
    run: Run, fault: Fault, place: Ticks | None, *, found: Amount, wanted: Amount, piece: Piece | None = None
) -> Finding:
    return Finding(
        fault=fault,
        rows=(run.row,),
        place_row=run.row,
        run=run.run,
        place=place,
        found=found,
        wanted=wanted,
        pieces=(piece.id,) if piece else (),
    )


def _measures(run: Run, plank_width: Ticks) -> Iterator[Finding]:
    if run.width > plank_width:
        yield _at(run, Fault.ROW_TOO_WIDE, None, found=run.width, wanted=plank_width)
    if run.width <= 0:
        yield _at(run, Fault.NO_WIDTH, None, found=run.width, wanted=None)
    elif run.area2 <= 0:
        yield _at(run, Fault.NO_AREA, None, found=run.area2, wanted=None)
    # A wall within the row may take much of it away; nothing can add to it.
    elif run.area2 > 2 * run.length * run.width:
        yield _at(run, Fault.AREA_TOO_LARGE, None, found=run.area2, wanted=2 * run.length * run.width)
    # Both long edges of a run end within its span.
    slant = max(abs(run.left_slant), abs(run.right_slant))
    if slant > run.length > 0:
        yield _at(run, Fault.SLANT_LONG, None, found=slant, wanted=run.length)


def _overlaps(ledger: Ledger) -> Iterator[Finding]:
    """Yield two runs of one row that hold more floor than lies between their outermost ends.

    Spans by themselves may overlap, at a slanted stop or one that runs along the row. They are rounded
    outwards to ticks, hence a tick to spare at either end.
    """
    in_order_laid = (laid.run for laid in ledger.plan.rows)
    for _, runs in groupby(in_order_laid, key=lambda run: (run.field, run.line, run.row)):
        for one, other in pairwise(sorted(runs, key=lambda run: run.offset)):
            span = max(one.right, other.right) - one.offset + 2
            most = 2 * span * ledger.plan.plank.width
            found = one.area2 + other.area2
            if one.right > other.offset and found > most:
                yield _at(other, Fault.RUNS_OVERLAP, 0, found=found, wanted=most)


def _lengths(laid: LaidRun) -> Iterator[Finding]:
    place = 0
    for piece in laid.pieces:
        if piece.length <= 0:
            yield _at(laid.run, Fault.NO_LENGTH, place, found=piece.length, wanted=None, piece=piece)
        place += piece.length
    if place != laid.run.length:
        yield _at(laid.run, Fault.RUN_SUM, place, found=place, wanted=laid.run.length)


def _meeting_ends(laid: LaidRun) -> Iterator[Finding]:
    """Inside a run only factory ends may meet.

    With both ends of an inner piece factory ends, the check of its plank sees to it that it is whole.
    """
    place = 0
    last = len(laid.pieces) - 1
    for nth, piece in enumerate(laid.pieces):
        right = place + piece.length
        for end, at, inside in ((piece.left, place, nth > 0), (piece.right, right, nth < last)):
            if inside and end is not End.FACTORY:
                yield _at(
                    laid.run, Fault.CUT_END_INSIDE, at, found=end.value, wanted=End.FACTORY.value, piece=piece
                )
        place = right


def _slants(laid: LaidRun) -> Iterator[Finding]:
    place = 0
    last = len(laid.pieces) - 1
    for nth, piece in enumerate(laid.pieces):
        right = place + piece.length
        walls = laid.run.left_slant if nth == 0 else 0, laid.run.right_slant if nth == last else 0
        for wall, slant, end, at in (
            (walls[0], piece.left_slant, piece.left, place),
            (walls[1], piece.right_slant, piece.right, right),
        ):
            if slant != wall:
                yield _at(laid.run, Fault.SLANT, at, found=slant, wanted=wall, piece=piece)
            if slant and end is End.FACTORY:
                fault = Fault.SLANTED_FACTORY
                yield _at(laid.run, fault, at, found=end.value, wanted=End.CUT.value, piece=piece)
        place = right


def _short_pieces(laid: LaidRun, rules: Rules) -> Iterator[Finding]:
    """Measure starter and end piece on the shorter long edge, against ``min_piece``."""
    faults = [Fault.STARTER_SHORT, Fault.END_PIECE_SHORT]
    if rules.lay is Lay.RIGHT_TO_LEFT:
        faults.reverse()
    left, right = laid.pieces[0], laid.pieces[-1]
    ends = (
        (left, left.length - abs(left.left_slant), 0),
        (right, right.length - abs(right.right_slant), laid.run.length - right.length),
    )
    for fault, (piece, found, place) in zip(faults, ends, strict=True):
        if found < rules.min_piece:
            yield _at(laid.run, fault, place, found=found, wanted=rules.min_piece, piece=piece)


def _cut_step(laid: LaidRun, ledger: Ledger) -> Iterator[Finding]:
    """Yield a starter off the cut step, unless its plank is used without any trim, or it was cut before."""
    rules = ledger.plan.rules
    backwards = rules.lay is Lay.RIGHT_TO_LEFT
    starter = laid.pieces[-1 if backwards else 0]
    cut = ledger.in_strip.get(starter.id, ledger.listed.get(starter.plank))
    before = cut is not None and starter.id in cut.done
    if not rules.cut_step or starter.length % rules.cut_step == 0 or before:
        return
    loss = ledger.plan.plank.kerf + rules.fit
    used = Used(laid, starter)
    shares = ledger.shares(used)
    if room_left(shares, ledger.cut_from(used), loss) + saved_among(shares, ledger) != 0:
        place = laid.run.length - starter.length if backwards else 0
        yield _at(laid.run, Fault.OFF_STEP, place, found=starter.length, wanted=rules.cut_step, piece=starter)
