"""The stage itself: give every piece its id, its ends and its plank."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import replace

from cutopt.model.floor import Floor, Run
from cutopt.model.job import Job, Lay
from cutopt.model.plan import Cutting, End, LaidRun, Piece, Plan
from cutopt.numbering._arrange import Arranged, Use, arrange
from cutopt.numbering._totals import totals

__all__ = ["number"]

_LETTERS = "abcdefghijklmnopqrstuvwxyz"


def number(floor: Floor, cutting: Cutting, job: Job, seed: int) -> Plan:
    """Return the numbered plan of a cutting of ``floor``.

    ``cutting.runs`` stands in the order of ``floor.runs``, each run's pieces in the order laid. Planks
    are counted from 1 by their first use; ids number the pieces of a run in the order laid, while
    :attr:`LaidRun.pieces` lists them from left to right.
    """
    backwards = job.rules.lay is Lay.RIGHT_TO_LEFT
    uses = _uses(floor, cutting)
    arranged = {
        key: arrange(
            plank, of_plank, length=job.plank.length, kerf=job.plank.kerf, starter_right=not backwards
        )
        for plank, (key, of_plank) in enumerate(uses.items(), 1)
    }
    rows = tuple(_laid_runs(floor, cutting, arranged, backwards=backwards))
    planks = tuple(arranged.values())
    return Plan(
        title=job.title,
        unit=job.unit,
        plank=job.plank,
        rules=job.rules,
        order=job.order,
        rows=rows,
        planks=tuple(plank.cut for plank in planks),
        totals=totals(floor, planks, job),
        bound=replace(cutting.bound, proven=cutting.bound.planks == len(planks)),
        seed=seed,
        note=cutting.note,
        down=floor.down,
        ground=floor.ground,
    )


def _piece_id(run: Run, nth: int) -> str:
    """Return ``12.3``, in the second run of a row ``12b.3``, in the 27th ``12aa.3``."""
    letters, rest = "", run.run if run.run > 1 else 0
    while rest:
        rest, last = divmod(rest - 1, len(_LETTERS))
        letters = _LETTERS[last] + letters
    return f"{run.row}{letters}.{nth}"


def _uses(floor: Floor, cutting: Cutting) -> Mapping[int, list[Use]]:
    """Return the pieces of every plank in the order laid, planks by their first use."""
    found: defaultdict[int, list[Use]] = defaultdict(list)
    for run, pieces in zip(floor.runs, cutting.runs, strict=True):
        for nth, piece in enumerate(pieces, 1):
            use = Use(id=_piece_id(run, nth), row=run.row, part=piece.part, length=piece.length)
            found[piece.plank].append(use)
    return found


def _laid_runs(
    floor: Floor, cutting: Cutting, arranged: Mapping[int, Arranged], *, backwards: bool
) -> Iterator[LaidRun]:
    for run, cuts in zip(floor.runs, cutting.runs, strict=True):
        pieces = []
        for nth, cut in enumerate(cuts, 1):
            plank, piece_id = arranged[cut.plank], _piece_id(run, nth)
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
