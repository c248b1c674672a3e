"""What remains of planks once some of their pieces are cut."""

from collections.abc import Collection, Iterator, Mapping

from cutopt.model.plan import CutPlank, End, HandPart, Keeps, Piece, Plan
from cutopt.units import Ticks

__all__ = ["parts_left"]

_Stretch = tuple[Ticks, Ticks]


def parts_left(plan: Plan, cut: Collection[str], spoiled: Collection[str]) -> Iterator[HandPart]:
    """Yield what remains of every plank of which a piece is cut (``cut`` and ``spoiled`` by their ids).

    A plank not yet touched is a whole plank among others and not told of. Strips beside ripped pieces are
    left out, as is what keeps no factory end and is shorter than the shortest piece wanted.
    """
    pieces = {piece.id: piece for row in plan.rows for piece in row.pieces}
    ripped = {plank.plank for plank in plan.planks if plank.strip is not None}
    for plank in plan.planks:
        gone = {name for name in plank.pieces if name in cut or name in spoiled}
        if plank.strip is None and gone:
            for low, high in _free(plank, gone, pieces, plan):
                part = _part(plank, low, high, plan)
                if part.length >= plan.rules.min_piece and not (plank.plank in ripped and len(gone) < 1):
                    yield part


def _part(plank: CutPlank, low: Ticks, high: Ticks, plan: Plan) -> HandPart:
    whole = _length(plank, plan)
    left = low == 0 and plank.factory in (Keeps.LEFT, Keeps.BOTH)
    right = high == whole and plank.factory in (Keeps.RIGHT, Keeps.BOTH)
    keeps = {(True, True): Keeps.BOTH, (True, False): Keeps.LEFT, (False, True): Keeps.RIGHT}
    return HandPart(length=high - low, keeps=keeps.get((left, right), Keeps.NONE), plank=plank.plank)


def _length(plank: CutPlank, plan: Plan) -> Ticks:
    return plan.plank.length if plank.length is None else plank.length


def _free(
    plank: CutPlank, gone: Collection[str], pieces: Mapping[str, Piece], plan: Plan
) -> Iterator[_Stretch]:
    """Yield the stretches of a plank that no piece gone, nor the cut beside it, has taken."""
    loss = plan.plank.kerf + plan.rules.fit
    at = 0
    for name, (low, high) in zip(plank.pieces, _places(plank, pieces, plan), strict=True):
        if name in gone:
            if low - loss > at:
                yield at, low - loss
            at = high + loss
    whole = _length(plank, plan)
    if at < whole:
        yield at, whole


def _places(plank: CutPlank, pieces: Mapping[str, Piece], plan: Plan) -> list[_Stretch]:
    """Return where each piece lies on its plank: those before the leftover from the left, others from the right."""
    lengths = [pieces[name].length for name in plank.pieces]
    kerf, whole, before = plan.plank.kerf, _length(plank, plan), _before_leftover(plank, pieces)
    found: list[_Stretch] = []
    at = 0
    for length in lengths[:before]:
        found.append((at, at + length))
        at += length + kerf
    at = whole - sum(lengths[before:]) - max(0, len(lengths) - before - 1) * kerf
    for length in lengths[before:]:
        found.append((at, at + length))
        at += length + kerf
    return found


def _before_leftover(plank: CutPlank, pieces: Mapping[str, Piece]) -> int:
    """Return how many pieces lie left of what is left over: all, where the last of them keeps no right end."""
    keeps = {offcut.keeps for offcut in plank.offcuts}
    if Keeps.LEFT in keeps:
        return 0
    last = pieces[plank.pieces[-1]]
    if Keeps.RIGHT in keeps or End.FACTORY not in (last.left, last.right):
        return len(plank.pieces)
    first = pieces[plank.pieces[0]]
    alone = len(plank.pieces) == 1 or End.FACTORY not in (first.left, first.right)
    return (0 if last.left is End.CUT else len(plank.pieces)) if alone else len(plank.pieces) - 1
