"""Rows, runs, lines, rooms and ids: whether the plan says which piece is laid when."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from cutopt.check._finding import Fault, Finding
from cutopt.check._ledger import Ledger
from cutopt.model.floor import DownRun, Run
from cutopt.model.job import Lay
from cutopt.model.plan import LaidRun

__all__ = ["check_numbers"]

_LETTERS = 26


def check_numbers(ledger: Ledger) -> Iterator[Finding]:
    """Yield what is wrong with row, run and line numbers, fields and piece ids."""
    runs = [laid.run for laid in ledger.plan.rows]
    if not runs:
        yield Finding(fault=Fault.NO_RUNS, found=0, wanted=1)
        return
    yield from _first(runs[0])
    for before, run in pairwise(runs):
        yield from _next(before, run)
    yield from _lines_rise(runs)
    yield from _one_field_a_room(runs)
    yield from _down_first(runs, ledger.plan.down)
    backwards = ledger.plan.rules.lay is Lay.RIGHT_TO_LEFT
    for laid in ledger.plan.rows:
        yield from _ids(laid, backwards=backwards)


def _first(run: Run) -> Iterator[Finding]:
    if run.row != 1:
        yield Finding(fault=Fault.ROW_ORDER, rows=(run.row,), found=run.row, wanted=1)
    if run.run != 1:
        yield _run_order(run, 1)


def _next(before: Run, run: Run) -> Iterator[Finding]:
    if run.row == before.row:
        if run.run != before.run + 1:
            yield _run_order(run, before.run + 1)
        if (run.field, run.line) != (before.field, before.line):
            yield Finding(
                fault=Fault.ROW_PARTED,
                rows=(run.row,),
                place_row=run.row,
                run=run.run,
                found=run.line,
                wanted=before.line,
            )
        return
    if run.row != before.row + 1:
        yield Finding(fault=Fault.ROW_ORDER, rows=(run.row,), found=run.row, wanted=before.row + 1)
    if run.run != 1:
        yield _run_order(run, 1)


def _run_order(run: Run, wanted: int) -> Finding:
    return Finding(
        fault=Fault.RUN_ORDER, rows=(run.row,), place_row=run.row, run=run.run, found=run.run, wanted=wanted
    )


def _lines_rise(runs: list[Run]) -> Iterator[Finding]:
    """Lines of one room rise with its rows; one that holds no floor may be left out."""
    last: dict[str, Run] = {}
    for run in runs:
        before = last.get(run.room)
        same_row = before is not None and before.row == run.row
        least = before.line + 1 if before else 1
        if not same_row and run.line < least:
            yield Finding(fault=Fault.LINE_ORDER, rows=(run.row,), found=run.line, wanted=least)
        last[run.room] = run


def _one_field_a_room(runs: list[Run]) -> Iterator[Finding]:
    fields: dict[str, str] = {}
    for run in runs:
        field = fields.setdefault(run.room, run.field)
        if run.field != field:
            yield Finding(fault=Fault.ROOM_FIELDS, rows=(run.row,), found=run.field, wanted=field)


def _down_first(runs: list[Run], down: Sequence[DownRun]) -> Iterator[Finding]:
    first: dict[str, int] = {}
    for run in runs:
        first[run.field] = min(run.line, first.get(run.field, run.line))
    for lies in down:
        most = first.get(lies.field, lies.line + 1) - 1
        if lies.line > most:
            yield Finding(fault=Fault.DOWN_LATE, found=lies.line, wanted=most)


def _ids(laid: LaidRun, *, backwards: bool) -> Iterator[Finding]:
    run = laid.run
    stem = f"{run.row}{_letters(run.run)}"
    in_order_laid = laid.pieces[::-1] if backwards else laid.pieces
    for nth, piece in enumerate(in_order_laid, 1):
        wanted = f"{stem}.{nth}"
        if piece.id != wanted:
            yield Finding(
                fault=Fault.PIECE_ID,
                rows=(run.row,),
                place_row=run.row,
                run=run.run,
                found=piece.id,
                wanted=wanted,
                pieces=(piece.id,),
            )


def _letters(run: int) -> str:
    """Return what marks a run within its row: nothing, b, c ... z, aa, ab ..."""
    if run <= 1:
        return ""
    letters = ""
    while run:
        run, letter = divmod(run - 1, _LETTERS)
        letters = chr(ord("a") + letter) + letters
    return letters
