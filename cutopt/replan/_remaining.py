"""A plan parted at what is laid."""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import accumulate

from cutopt.errors import JobError, Problem
from cutopt.model.floor import DownRun, Floor, Run
from cutopt.model.job import Lay, ShareOffcuts
from cutopt.model.plan import LaidRun, Piece, Plan
from cutopt.model.replan import Changes, Remaining, RowMeasure
from cutopt.replan._across import across
from cutopt.replan._hand import Bench, Lost
from cutopt.replan._parts import Begun, begun_planks, untouched_parts
from cutopt.replan._waiting import Waiting
from cutopt.units import Ticks, format_length

__all__ = ["remaining"]


_LAID_REMEDY = "name only pieces that do not lie in place, or take its row from those that are laid"


def remaining(plan: Plan, changes: Changes) -> Remaining:
    """Return what stays of a plan and what is left to lay, by the latest measures.

    A row can only be laid against the one before it, so all rows of a field up to the last that has a
    laid piece stay as they are, laid or not. Pieces of these that were spoiled are cut anew.

    Raises ``JobError`` where the changes name rows, pieces or planks that the plan has not, or measure what
    cannot be.
    """
    _refuse_unknown(plan, changes)
    last = _last_lines(plan, changes)
    kept = tuple(row for row in plan.rows if row.run.line <= last.get(row.run.field, 0))
    rest = [row.run for row in plan.rows if row.run.line > last.get(row.run.field, 0)]
    _refuse_measured(kept, changes)
    measured = across(list(_measured(rest, changes)), plan, changes)
    lost = list(_lost(kept, plan, changes))
    bench, begun, replaced = _bench(plan, changes, kept, lost, measured.runs)
    parts = list(bench.parts())
    return Remaining(
        kept=tuple(measured.moved(row) for row in kept),
        floor=Floor(runs=measured.runs),
        down=(*plan.down, *map(_down, kept)),
        hand=tuple(part for _, part in parts),
        numbers=tuple(number for number, _ in parts),
        stock=bench.stock,
        begun={number: plank.plank for number, plank in begun.items()},
        done={name: done for plank in begun.values() for name, done in plank.done.items()},
        replaced=replaced,
        max_waiting=bench.left_to_rest(),
        withheld=bench.withheld,
        next_plank=bench.next_plank,
        notes=(*_taken_in(plan, rest, changes), *_notes(kept, changes), *measured.notes),
    )


def _bench(
    plan: Plan, changes: Changes, kept: Sequence[LaidRun], lost: Sequence[Lost], rest: Sequence[Run]
) -> tuple[Bench, Mapping[int, Begun], Mapping[str, int]]:
    """Return what there is to cut from, the planks begun, and from which planks pieces that were lost come."""
    gone = {piece.piece.id for piece in lost}
    good = {piece.id for row in kept for piece in row.pieces} - gone
    spoiled = gone | set(changes.spoiled)
    least = min([plan.rules.min_piece, *(run.length for run in rest)])
    begun = dict(begun_planks(plan, good, spoiled, least))
    if plan.rules.share_offcuts is ShareOffcuts.ROOM:
        begun = dict(_kept_to_rooms(begun, kept))
    stock = [*untouched_parts(plan, good | spoiled), *(changes.stock.parts if changes.stock else ())]
    border = min((run.row for run in rest), default=kept[-1].run.row if kept else 0)
    waiting = Waiting(kept, good, border, plan.rules.max_waiting)
    bench = Bench(plan, begun, stock, waiting, least)
    return bench, begun, {piece.piece.id: bench.cut_anew(piece) for piece in lost}


def _kept_to_rooms(begun: Mapping[int, Begun], kept: Sequence[LaidRun]) -> Iterator[tuple[int, Begun]]:
    """Yield planks begun, what is left of each kept to the field that its pieces lie in."""
    field_of = {piece.plank: row.run.field for row in kept for piece in row.pieces}
    for number, plank in begun.items():
        part = plank.part
        field = field_of.get(number, "")
        yield number, replace(plank, part=None if part is None else replace(part, field=field))


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
        Problem(what=f"piece {piece.id} is laid", where="what was spoiled", remedy=_LAID_REMEDY)
        for row in plan.rows
        for piece in row.pieces
        if piece.id in changes.spoiled and _is_laid(row, piece, changes)
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
    done = _done(plan)
    for row in plan.rows:
        if any(piece.id in done or _is_laid(row, piece, changes) for piece in row.pieces):
            last[row.run.field] = max(last[row.run.field], row.run.line)
    return dict(last)


def _done(plan: Plan) -> Collection[str]:
    """Return the pieces that were cut before the plan was made."""
    return {name for plank in plan.planks for name in plank.done}


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


def _is_laid(row: LaidRun, piece: Piece, changes: Changes) -> bool:
    """Say whether a piece is told to be laid."""
    return row.run.row <= changes.laid_rows or piece.id in changes.laid_pieces


def _lost(kept: Sequence[LaidRun], plan: Plan, changes: Changes) -> Iterator[Lost]:
    """Yield the pieces of kept rows that were spoiled before they were laid, alone or with all of their plank."""
    backwards, done = plan.rules.lay is Lay.RIGHT_TO_LEFT, _done(plan)
    for row in kept:
        for nth, piece in enumerate(row.pieces[::-1] if backwards else row.pieces):
            # Of a plank lost whole, what was cut before this plan was made is no longer part.
            with_plank = f"p{piece.plank}" in changes.spoiled and piece.id not in done
            if (with_plank or piece.id in changes.spoiled) and not _is_laid(row, piece, changes):
                yield Lost(row, nth, piece)


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
        if length <= max(abs(run.left_slant), abs(run.right_slant)):
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
    area2 = run.area2 + 2 * (length - run.length) * run.width
    return replace(run, length=length, area2=min(max(1, area2), 2 * length * run.width))


def _down(row: LaidRun) -> DownRun:
    ends = accumulate((piece.length for piece in row.pieces), initial=row.run.offset)
    run = row.run
    return DownRun(
        field=run.field,
        line=run.line,
        offset=run.offset,
        length=run.length,
        joints=tuple(ends)[1:-1],
        planned=True,
    )


def _taken_in(plan: Plan, rest: Sequence[Run], changes: Changes) -> Iterator[str]:
    """Yield what was told of the floor, as it was understood."""
    if changes.spoiled:
        yield f"taken in: {', '.join(changes.spoiled)} spoiled"
    for row, measure in changes.rows.items():
        rooms = dict.fromkeys(run.room for run in rest if run.row == row)
        if measure.length is not None:
            said = f"{_length(measure.length, plan)} long"
        else:
            way = "longer" if measure.longer >= 0 else "shorter"
            said = f"{_length(abs(measure.longer), plan)} {way} than planned"
        yield f"taken in: row {row} ({', '.join(rooms)}) is {said}"


def _length(ticks: Ticks, plan: Plan) -> str:
    return format_length(ticks, plan.unit, plan.rules.cut_step)


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
