"""The stage itself: give every piece its id, its ends and its plank."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from cutopt.model.floor import Floor, Run
from cutopt.model.job import Job, Lay
from cutopt.model.plan import Cutting, End, LaidRun, Piece, PieceCut, Plan
from cutopt.numbering._arrange import Arranged, Use, arrange, arrange_part, arrange_strip
from cutopt.numbering._begun import arrange_begun
from cutopt.numbering._totals import totals
from cutopt.units import Ticks

__all__ = ["number"]

_LETTERS = "abcdefghijklmnopqrstuvwxyz"


def number(floor: Floor, cutting: Cutting, job: Job, seed: int) -> Plan:
    """Return the numbered plan of a cutting of ``floor``.

    ``cutting.runs`` stands in the order of ``floor.runs``, each run's pieces in the order laid. Planks
    are counted from 1 by their first use, those begun keep their numbers and others follow; ids number the pieces of a run in the order laid, while
    :attr:`LaidRun.pieces` lists them from left to right.
    """
    backwards = job.rules.lay is Lay.RIGHT_TO_LEFT
    arranged = _arranged(floor, cutting, job)
    rows = tuple(_laid_runs(floor, cutting, arranged, backwards=backwards))
    planks = tuple(sorted(arranged.values(), key=lambda plank: plank.cut.plank))
    counts = totals(floor, planks, job, len(cutting.spoiled))
    return Plan(
        title=job.title,
        unit=job.unit,
        plank=job.plank,
        rules=job.rules,
        order=job.order,
        rows=rows,
        planks=tuple(plank.cut for plank in planks),
        totals=counts,
        bound=replace(cutting.bound, proven=cutting.bound.planks == counts.planks),
        seed=seed,
        note=cutting.note,
        down=floor.down,
        ground=floor.ground,
        spoiled=cutting.spoiled,
    )


def _piece_id(run: Run, nth: int) -> str:
    """Return ``12.3``, in the second run of a row ``12b.3``, in the 27th ``12aa.3``."""
    letters, rest = "", run.run if run.run > 1 else 0
    while rest:
        rest, last = divmod(rest - 1, len(_LETTERS))
        letters = _LETTERS[last] + letters
    return f"{run.row}{letters}.{nth}"


_Source = tuple[int, tuple[int, int] | None]
"""A plank by the planner's number, and the piece beside which a strip of it lies."""


def _source(piece: PieceCut) -> _Source:
    return piece.plank, piece.beside


def _uses(floor: Floor, cutting: Cutting, job: Job) -> Mapping[_Source, list[Use]]:
    """Return the pieces of every plank and every strip in the order laid, by their first use."""
    backwards = job.rules.lay is Lay.RIGHT_TO_LEFT
    found: defaultdict[_Source, list[Use]] = defaultdict(list)
    for run, pieces in zip(floor.runs, cutting.runs, strict=True):
        slants = _slants(run, len(pieces), job.plank.width)
        for nth, (piece, at) in enumerate(zip(pieces, slants[::-1] if backwards else slants, strict=True), 1):
            found[_source(piece)].append(
                Use(
                    id=_piece_id(run, nth),
                    row=run.row,
                    part=piece.part,
                    length=piece.length,
                    slants=at,
                    done=piece.done,
                )
            )
    return found


def _slants(run: Run, pieces: int, width: Ticks) -> list[tuple[Ticks, Ticks]]:
    """Return, per piece of a run from left to right, the slants of its ends that may nest."""
    left, right = run.nests_in(width)
    return [(left if nth == 0 else 0, right if nth == pieces - 1 else 0) for nth in range(pieces)]


def _arranged(floor: Floor, cutting: Cutting, job: Job) -> dict[_Source, Arranged]:
    """Return every plank with its pieces in place, then the strips beside ripped pieces."""
    backwards = job.rules.lay is Lay.RIGHT_TO_LEFT
    kerf = job.plank.kerf
    uses = _uses(floor, cutting, job)
    numbers = _numbers(uses, cutting)
    arranged: dict[_Source, Arranged] = {
        (plank, beside): _on_plank(plank, numbers[plank], of_plank, cutting, job)
        for (plank, beside), of_plank in uses.items()
        if beside is None
    }
    for (plank, beside), of_strip in uses.items():
        if beside is not None:
            laid = next(_laid_runs(*_only(floor, cutting, beside[0]), arranged, backwards=backwards))
            in_order_laid = laid.pieces[::-1] if backwards else laid.pieces
            arranged[plank, beside] = arrange_strip(
                in_order_laid[beside[1]],
                of_strip,
                width=max(_ripped(floor.runs[run]) for run in _runs_beside(cutting, beside)),
                kerf=kerf,
                starter_right=not backwards,
            )
    return arranged


def _numbers(uses: Iterable[_Source], cutting: Cutting) -> dict[int, int]:
    """Return the numbers of planks: those begun keep theirs, the others follow by their first use."""
    new = dict.fromkeys(plank for plank, _ in uses if plank not in cutting.begun)
    first = max([*cutting.begun, *cutting.spoiled], default=0) + 1
    return {plank: plank for plank in cutting.begun} | {plank: nth for nth, plank in enumerate(new, first)}


def _on_plank(plank: int, number: int, uses: Sequence[Use], cutting: Cutting, job: Job) -> Arranged:
    """Return a plank with its pieces in place; what lies beside a ripped piece is not told here."""
    kerf, width, starter_right = job.plank.kerf, job.plank.width, job.rules.lay is not Lay.RIGHT_TO_LEFT
    if plank in cutting.begun:
        begun, whole = cutting.begun[plank], job.plank.length
        return arrange_begun(
            number, uses, begun, whole=whole, kerf=kerf, starter_right=starter_right, width=width
        )
    if plank in cutting.hand:
        part = cutting.hand[plank]
        return arrange_part(number, uses, part, kerf=kerf, starter_right=starter_right, width=width)
    placed = arrange(
        number, uses, length=job.plank.length, kerf=kerf, starter_right=starter_right, width=width
    )
    return replace(placed, cut=replace(placed.cut, lot=cutting.lots.get(plank, "")))


def _only(floor: Floor, cutting: Cutting, run: int) -> tuple[Floor, Cutting]:
    """Return one run of a floor and its pieces."""
    return replace(floor, runs=(floor.runs[run],)), replace(cutting, runs=(cutting.runs[run],))


def _runs_beside(cutting: Cutting, beside: tuple[int, int]) -> Iterator[int]:
    """Yield the runs that have pieces of a strip."""
    for run, pieces in enumerate(cutting.runs):
        if any(piece.beside == beside for piece in pieces):
            yield run


def _ripped(run: Run) -> Ticks:
    """Return the width that a run's pieces are ripped to, at their wider end."""
    return run.width if run.wide is None else run.wide


def _laid_runs(
    floor: Floor, cutting: Cutting, arranged: Mapping[_Source, Arranged], *, backwards: bool
) -> Iterator[LaidRun]:
    for run, cuts in zip(floor.runs, cutting.runs, strict=True):
        pieces = []
        for nth, cut in enumerate(cuts, 1):
            plank, piece_id = arranged[_source(cut)], _piece_id(run, nth)
            left, right = plank.ends[piece_id]
            pieces.append(
                Piece(id=piece_id, plank=plank.cut.plank, length=cut.length, left=left, right=right)
            )
        yield LaidRun(run=run, pieces=_at_walls(run, pieces[::-1] if backwards else pieces))


def _at_walls(run: Run, pieces: list[Piece]) -> tuple[Piece, ...]:
    """Give the run's slants to the pieces at its walls; a slanted end has been cut, even on a whole plank."""
    if run.left_slant:
        pieces[0] = replace(pieces[0], left=End.CUT, left_slant=run.left_slant)
    if run.right_slant:
        pieces[-1] = replace(pieces[-1], right=End.CUT, right_slant=run.right_slant)
    return tuple(pieces)
