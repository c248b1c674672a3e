"""A plan with one run laid anew: its pieces named again, and the planks they are cut from with what is left of them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from cutopt.mend._moves import Move
from cutopt.model.job import Ends, Lay
from cutopt.model.plan import CutPlank, End, Keeps, LaidRun, Offcut, Piece, Plan, Source
from cutopt.units import Ticks

__all__ = ["Recut", "can_be_recut", "recut"]

_FACTORY = {Keeps.LEFT: (True, False), Keeps.RIGHT: (False, True), Keeps.BOTH: (True, True)}


@dataclass(frozen=True, slots=True)
class Recut:
    """The plan after a move, totals as before, and how many planks are opened for it."""

    plan: Plan
    fresh: int


@dataclass(frozen=True, slots=True)
class _New:
    """A piece after the move; ``was`` is the one it came of, and ``stays`` says that it is cut as before."""

    piece: Piece
    was: Piece | None
    stays: bool


def can_be_recut(plan: Plan, laid: LaidRun) -> bool:
    """Say whether a run may be laid anew: it has joints, and none of its pieces is cut already or shares a ripped plank.

    Its pieces must add up to it, and stand in the lists of their planks.
    """
    names = {piece.id for piece in laid.pieces}
    fixed = {name for cut in plan.planks for name in cut.done}
    fixed |= {name for cut in plan.planks if cut.strip is not None for name in (cut.beside, *cut.pieces)}
    listed = {(cut.plank, name) for cut in plan.planks for name in cut.pieces}
    lengths = [piece.length for piece in laid.pieces]
    return (
        len(lengths) > 1
        and min(lengths) > 0
        and sum(lengths) == laid.run.length
        and not names & fixed
        and all((piece.plank, piece.id) in listed for piece in laid.pieces)
    )


def recut(plan: Plan, move: Move) -> Recut:
    """Return the plan with a run's joints moved.

    A piece keeps its plank where its new length still fits there beside what else is cut from it. Others are cut from
    planks that nothing else is cut from any more, then from fresh ones, numbered above all others.
    """
    new = _pieces(plan, move)
    names = {one.was.id: one.piece.id for one in new if one.was}
    pieces = {piece.id: piece for laid in plan.rows for piece in laid.pieces if laid is not move.laid}
    cuts, homeless = _on_their_planks(
        plan, move.laid, new, pieces | {one.piece.id: one.piece for one in new}, names
    )
    free = [cut for cut in cuts.values() if not cut.pieces and _is_new(cut)]
    top = max([0, *(cut.plank for cut in plan.planks), *plan.spoiled])
    lot = next(cut.lot for cut in plan.planks if cut.plank == move.laid.pieces[0].plank)
    housed = {}
    for nth, one in enumerate(homeless):
        cut = free[nth] if nth < len(free) else CutPlank(plank=top + 1 + nth - len(free), pieces=(), lot=lot)
        housed[one.piece.id] = cut.plank
        cuts[cut.plank] = _cut(plan, cut, [one.piece])
    laid = [replace(one.piece, plank=housed.get(one.piece.id, one.piece.plank)) for one in new]
    return Recut(
        plan=replace(
            plan,
            rows=tuple(replace(run, pieces=tuple(laid)) if run is move.laid else run for run in plan.rows),
            planks=tuple(_listed(plan, cuts)),
        ),
        fresh=max(0, len(homeless) - len(free)) if _told(plan) else 0,
    )


def _told(plan: Plan) -> bool:
    """Say whether the plan knows what is cut from what: some plank gives more than one piece."""
    return any(len(cut.pieces) > 1 or cut.strip is not None for cut in plan.planks)


def _is_new(cut: CutPlank) -> bool:
    return cut.source is Source.BOX and cut.length is None and cut.factory is Keeps.BOTH and not cut.lost


def _listed(plan: Plan, cuts: dict[int, CutPlank]) -> Iterator[CutPlank]:
    """Yield the planks in the order of the plan, fresh ones last, those without pieces no more."""
    known = set()
    for cut in plan.planks:
        after = cuts.get(cut.plank, cut) if cut.strip is None else cut
        known.add(cut.plank)
        if after.pieces:
            yield after
    yield from (cuts[number] for number in sorted(cuts.keys() - known))


def _pieces(plan: Plan, move: Move) -> list[_New]:
    """Return the run's pieces after the move, from left to right."""
    old, run, plank = move.laid.pieces, move.laid.run, plan.plank.length
    edges, of = (0, *move.joints, run.length), (None, *move.of, None)
    count = len(edges) - 1
    stem = old[0].id.rpartition(".")[0]
    new = []
    for nth in range(count):
        left, right = of[nth], of[nth + 1]
        was = old[right] if right is not None else old[left + 1] if left is not None else None
        slants = run.left_slant if nth == 0 else 0, run.right_slant if nth == count - 1 else 0
        whole = edges[nth + 1] - edges[nth] == plank
        piece = Piece(
            id=f"{stem}.{count - nth if plan.rules.lay is Lay.RIGHT_TO_LEFT else nth + 1}",
            plank=was.plank if was else 0,
            length=edges[nth + 1] - edges[nth],
            left=_end(inside=nth > 0, whole=whole, slant=slants[0]),
            right=_end(inside=nth < count - 1, whole=whole, slant=slants[1]),
            left_slant=slants[0],
            right_slant=slants[1],
        )
        new.append(_New(piece, was, stays=was is not None and piece == replace(was, id=piece.id)))
    return new


def _end(*, inside: bool, whole: bool, slant: Ticks) -> End:
    return End.FACTORY if inside or (whole and not slant) else End.CUT


def _on_their_planks(
    plan: Plan, laid: LaidRun, new: Sequence[_New], pieces: dict[str, Piece], names: dict[str, str]
) -> tuple[dict[int, CutPlank], list[_New]]:
    """Return the run's planks as they are cut now, and the pieces that have no place on theirs."""
    gone = {piece.id for piece in laid.pieces} - names.keys()
    by_id = {one.piece.id: one for one in new}
    homeless = [one for one in new if one.was is None]
    cuts = {}
    numbers = {piece.plank for piece in laid.pieces}
    for cut in plan.planks:
        if cut.plank not in numbers or cut.strip is not None:
            continue
        left = [names.get(name, name) for name in cut.pieces if name not in gone]
        changed = [by_id[name] for name in left if name in by_id and not by_id[name].stays]
        if not changed and len(left) == len(cut.pieces):
            cuts[cut.plank] = replace(cut, pieces=tuple(left))
            continue
        if changed and not _fits(plan, cut, [pieces[name] for name in left], changed):
            homeless += changed
            out = {one.piece.id for one in changed}
            left = [name for name in left if name not in out]
        cuts[cut.plank] = _cut(plan, cut, [pieces[name] for name in left])
    return cuts, homeless


def _fits(plan: Plan, cut: CutPlank, pieces: Sequence[Piece], changed: Sequence[_New]) -> bool:
    """Say whether pieces can be cut from a plank: by their length, and by the factory ends they keep."""
    length = plan.plank.length if cut.length is None else cut.length
    along = sum(piece.length for piece in pieces)
    between, slanted = len(pieces) - 1, any(piece.left_slant or piece.right_slant for piece in pieces)
    if along + between * (plan.plank.kerf + plan.rules.fit) > length:
        return False
    # With nothing left over no end can be trimmed, unless it is slanted.
    if (
        along + between * plan.plank.kerf == length
        and not slanted
        and _free_ends(plan, cut, pieces) != (False, False)
    ):
        return False
    if between:
        # Pieces that share a plank stay the kind of piece they are; where slanted ones nest, nothing is moved.
        return not slanted and all(
            one.was is not None and _marks(one.piece) == _marks(one.was) for one in changed
        )
    marks, has = _marks(pieces[0]), _FACTORY.get(cut.factory, (False, False))
    if all(marks):
        return along == length and all(has)
    if plan.plank.ends is Ends.SQUARE:
        return sum(marks) <= sum(has)
    return all(there or not wanted for wanted, there in zip(marks, has, strict=True))


def _marks(piece: Piece) -> tuple[bool, bool]:
    return piece.left is End.FACTORY, piece.right is End.FACTORY


def _cut(plan: Plan, cut: CutPlank, pieces: Sequence[Piece]) -> CutPlank:
    """Return a plank cut into pieces, told from its left end, and what is left of it after the kerfs."""
    length = plan.plank.length if cut.length is None else cut.length
    rest = length - sum(piece.length for piece in pieces) - len(pieces) * plan.plank.kerf
    offcuts = (Offcut(length=rest, keeps=_keeps(plan, cut, pieces)),) if pieces and rest > 0 else ()
    return replace(cut, pieces=tuple(piece.id for piece in pieces), offcuts=offcuts)


def _keeps(plan: Plan, cut: CutPlank, pieces: Sequence[Piece]) -> Keeps:
    """Return the factory end that the rest of a plank keeps."""
    left, right = _free_ends(plan, cut, pieces)
    return Keeps.RIGHT if right else Keeps.LEFT if left else Keeps.NONE


def _free_ends(plan: Plan, cut: CutPlank, pieces: Sequence[Piece]) -> tuple[bool, bool]:
    """Say which factory ends of a plank no piece keeps."""
    has_left, has_right = _FACTORY.get(cut.factory, (False, False))
    first, last = _marks(pieces[0]), _marks(pieces[-1])
    if plan.plank.ends is Ends.HANDED:
        left, right = first[0], last[1]
    elif len(pieces) > 1 or all(first):
        left, right = any(first), any(last)
    else:
        # A piece that may be turned lies with its factory end where the plank has one.
        left, right = any(first) and has_left, any(first) and not has_left
    return has_left and not left, has_right and not right
