"""A plan parted at what is laid."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import accumulate

from cutopt.errors import JobError, Problem
from cutopt.model.floor import DownRun, Floor, Run
from cutopt.model.job import ShareOffcuts
from cutopt.model.plan import LaidRun, Plan
from cutopt.model.replan import Changes, Remaining, RowMeasure
from cutopt.replan._parts import parts_left
from cutopt.units import Ticks

__all__ = ["remaining"]


def remaining(plan: Plan, changes: Changes) -> Remaining:
    """Return what stays of a plan and what is left to lay, by the latest measures.

    A row can only be laid against the one before it, so all rows of a field up to the last that has a
    laid piece stay as they are, laid or not. Pieces of these that were spoiled must be cut anew.

    Raises ``JobError`` where the changes name rows, pieces or planks that the plan has not, or measure what
    cannot be.
    """
    _refuse_unknown(plan, changes)
    last = _last_lines(plan, changes)
    kept = tuple(row for row in plan.rows if row.run.line <= last.get(row.run.field, 0))
    rest = [row.run for row in plan.rows if row.run.line > last.get(row.run.field, 0)]
    _refuse_measured(kept, changes)
    cut = {piece.id for row in kept for piece in row.pieces}
    lost = _lost(plan, changes, cut)
    runs = _across(_measured(rest, changes), plan, changes)
    stock = () if changes.stock is None else changes.stock.parts
    spoiled = {name for name in changes.spoiled if not name.startswith("p")}
    whole_planks = {int(name[1:]) for name in changes.spoiled if name.startswith("p")}
    hand = [part for part in parts_left(plan, cut, spoiled) if part.plank not in whole_planks]
    if plan.rules.share_offcuts is ShareOffcuts.ROOM:
        field_of = {piece.plank: row.run.field for row in kept for piece in row.pieces}
        hand = [replace(part, field=field_of[part.plank]) for part in hand if part.plank in field_of]
    return Remaining(
        kept=kept,
        floor=Floor(runs=tuple(runs)),
        down=(*plan.down, *map(_down, kept)),
        hand=(*hand, *stock),
        lost=frozenset(lost),
        notes=tuple(_notes(kept, changes)),
    )


def _refuse_unknown(plan: Plan, changes: Changes) -> None:
    pieces = {piece.id for row in plan.rows for piece in row.pieces}
    planks = {f"p{plank.plank}" for plank in plan.planks}
    rows = {row.run.row for row in plan.rows}
    problems = [
        Problem(what=f"the plan has no piece {name}", where="pieces laid", remedy="check its number")
        for name in sorted(changes.laid_pieces - pieces)
    ]
    problems += [
        Problem(
            what=f"the plan has no piece or plank {name}",
            where="what was spoiled",
            remedy="name a piece like 12.3, or a plank like p7",
        )
        for name in changes.spoiled
        if name not in pieces | planks
    ]
    problems += [
        Problem(what=f"the plan has no row {row}", where="rows measured anew", remedy="check its number")
        for row in changes.rows
        if row not in rows
    ]
    if not 0 <= changes.laid_rows <= max(rows, default=0):
        what = f"the plan has rows 1 to {max(rows, default=0)}, not {changes.laid_rows}"
        problems.append(Problem(what=what, where="rows laid", remedy="give the number of the last row laid"))
    if problems:
        raise JobError(*problems)


def _last_lines(plan: Plan, changes: Changes) -> dict[str, int]:
    """Return, by field, the line of the last row that is laid, as far as it has a laid piece."""
    last: defaultdict[str, int] = defaultdict(int)
    for row in plan.rows:
        laid = row.run.row <= changes.laid_rows or any(
            piece.id in changes.laid_pieces for piece in row.pieces
        )
        if laid:
            last[row.run.field] = max(last[row.run.field], row.run.line)
    return dict(last)


def _refuse_measured(kept: Sequence[LaidRun], changes: Changes) -> None:
    rows = sorted({row.run.row for row in kept} & set(changes.rows))
    if rows:
        raise JobError(
            Problem(
                what=f"row {rows[0]} is laid already, or lies before one that is",
                where="rows measured anew",
                remedy="measure rows that are still to be laid",
            )
        )


def _lost(plan: Plan, changes: Changes, cut: set[str]) -> Iterator[str]:
    """Yield the pieces of kept rows that were spoiled before they were laid."""
    laid = {
        piece.id
        for row in plan.rows
        for piece in row.pieces
        if row.run.row <= changes.laid_rows or piece.id in changes.laid_pieces
    }
    of_plank = {f"p{plank.plank}": plank.pieces for plank in plan.planks if plank.strip is None}
    for name in changes.spoiled:
        yield from (piece for piece in of_plank.get(name, (name,)) if piece in cut and piece not in laid)


def _measured(rest: Sequence[Run], changes: Changes) -> Iterator[Run]:
    """Yield the runs left, with their lengths by the tape."""
    runs_of: defaultdict[int, int] = defaultdict(int)
    for run in rest:
        runs_of[run.row] += 1
    for run in rest:
        measure = changes.rows.get(run.row, RowMeasure(longer=changes.rest))
        if measure.length is not None and runs_of[run.row] > 1:
            raise JobError(
                Problem(
                    what=f"row {run.row} has several runs",
                    where="rows measured anew",
                    remedy="say how much longer or shorter they are, like +1/2",
                )
            )
        length = run.length + measure.longer if measure.length is None else measure.length
        if length <= 0:
            raise JobError(
                Problem(
                    what=f"nothing is left of row {run.row}",
                    where="rows measured anew",
                    remedy="measure again",
                )
            )
        yield run if length == run.length else _resized(run, length)


def _resized(run: Run, length: Ticks) -> Run:
    """Return a run of another length; its area changes by what is added or taken off over its full width."""
    return replace(run, length=length, area2=max(1, run.area2 + 2 * (length - run.length) * run.width))


def _across(runs: Iterator[Run], plan: Plan, changes: Changes) -> list[Run]:
    """Return the runs left, for the width that is left across the rows of the field being laid."""
    found = list(runs)
    if changes.left_across is None or not found:
        return found
    field, width = found[0].field, plan.plank.width
    own = [run for run in found if run.field == field]
    first = own[0].line
    lines = -(-changes.left_across // width)
    planned = max(run.line for run in own) - first + 1
    if lines < 1:
        raise JobError(
            Problem(what="nothing is left across the rows", where="left across", remedy="measure again")
        )
    last = changes.left_across - (lines - 1) * width
    own = [run for run in own if run.line < first + lines]
    final = max(run.line for run in own)
    pattern = [run for run in own if run.line == final]
    for line in range(final + 1, first + lines):
        row = pattern[0].row + line - final
        own += [replace(run, line=line, row=row, touches=None) for run in pattern]
    resized = [_rewidened(run, last if run.line == first + lines - 1 else width) for run in own]
    moved = (lines - planned) if lines != planned else 0
    others = [replace(run, row=run.row + moved) for run in found if run.field != field]
    return [*resized, *others]


def _rewidened(run: Run, width: Ticks) -> Run:
    if run.width == width:
        return run
    area2 = max(1, run.area2 * width // run.width)
    return replace(run, width=width, area2=area2, wide=None, narrow=None)


def _down(row: LaidRun) -> DownRun:
    ends = accumulate((piece.length for piece in row.pieces), initial=row.run.offset)
    run = row.run
    return DownRun(
        field=run.field, line=run.line, offset=run.offset, length=run.length, joints=tuple(ends)[1:-1]
    )


def _notes(kept: Sequence[LaidRun], changes: Changes) -> Iterator[str]:
    """Yield what was taken for granted."""
    if not changes.laid_pieces:
        return
    open_rows = [
        row.pieces[0].id.rpartition(".")[0]
        for row in kept
        if row.run.row > changes.laid_rows
        and not all(piece.id in changes.laid_pieces for piece in row.pieces)
    ]
    if open_rows:
        names = ", ".join(open_rows)
        yield f"rows not laid whole stay as planned, for a row after them, or part of them, is laid: {names}"
