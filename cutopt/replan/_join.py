"""The plan of the rest put behind what is laid: one floor and one cutting again."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from cutopt.model.floor import Floor, Run
from cutopt.model.job import Lay
from cutopt.model.plan import Bound, Cutting, HandPart, Keeps, LaidRun, Part, Piece, PieceCut, Plan
from cutopt.model.replan import Remaining
from cutopt.units import Ticks

__all__ = ["joined", "order_of"]


def joined(plan: Plan, left: Remaining, cutting: Cutting) -> tuple[Floor, Cutting]:
    """Return the whole floor and its cutting: kept rows as they were, the rest as planned anew.

    ``cutting`` is that of ``left.floor``; a plank number below 0 in it, -1 - k, is the part ``left.hand[k]``.
    Pieces that were lost come from the shortest part in hand that nothing else is cut from, else from a
    fresh plank. Its bound counts fresh planks; the one returned counts all planks that the floor takes.
    """
    planks = _Planks(plan, left.hand)
    used = {piece.plank for pieces in cutting.runs for piece in pieces}
    spare = [nth for nth in range(len(left.hand)) if -1 - nth not in used]
    runs = (*(row.run for row in left.kept), *left.floor.runs)
    order = order_of(runs)
    place = {row_name(row): order.index(at) for at, row in enumerate(left.kept)}
    pieces = [tuple(_kept(row, plan, planks, _Taken(left, spare, place))) for row in left.kept]
    opened = {piece.plank for cut in pieces for piece in cut}
    pieces += [
        tuple(replace(piece, plank=planks.of_rest(piece.plank)) for piece in cut) for cut in cutting.runs
    ]
    return (
        Floor(runs=tuple(runs[at] for at in order), down=plan.down),
        replace(
            cutting,
            runs=tuple(pieces[at] for at in order),
            bound=Bound(
                planks=cutting.bound.planks + len(opened | planks.hand_used),
                reason=f"{len(opened)} planks are cut for the rows that stay; for the rest: {cutting.bound.reason}",
            ),
            hand=planks.parts,
        ),
    )


def row_name(row: LaidRun) -> str:
    """Return how a run is called, from its pieces' ids: ``12``, or ``12b`` for the second run of a row."""
    return row.pieces[0].id.rpartition(".")[0]


@dataclass(frozen=True, slots=True)
class _Taken:
    """What kept rows are cut from besides their own planks: spare parts; ``place`` is where each run now stands."""

    left: Remaining
    spare: list[int]
    place: Mapping[str, int]


def order_of(runs: Sequence[Run]) -> list[int]:
    """Return the places of runs in the order of their rows, each row's from the left."""
    return sorted(range(len(runs)), key=lambda at: (runs[at].row, runs[at].run))


class _Planks:
    """Numbers for planks: those of the plan keep theirs, parts no plan knows and fresh planks follow."""

    def __init__(self, plan: Plan, hand: Sequence[HandPart]) -> None:
        first = max((plank.plank for plank in plan.planks), default=0) + 1
        self._hand = hand
        self._numbers = {
            nth: first + nth if part.plank is None else part.plank for nth, part in enumerate(hand)
        }
        self._fresh = first + len(hand)
        self._of: dict[int, int] = {}
        self.hand_used: set[int] = set()
        # a plank of the plan that was itself a part keeps its own length
        own = {plank.plank: plank for plank in plan.planks if plank.strip is None}
        self.parts: dict[int, HandPart] = {
            number: HandPart(length=plank.length, keeps=plank.factory)
            for number, plank in own.items()
            if plank.length is not None
        }

    def of_rest(self, plank: int) -> int:
        """Return the number of a plank as the planner named it."""
        if plank < 0:
            return self.of_part(-1 - plank)
        if plank not in self._of:
            self._of[plank] = self.fresh()
        return self._of[plank]

    def of_part(self, nth: int) -> int:
        """Return the number of a part in hand."""
        number, part = self._numbers[nth], self._hand[nth]
        if part.plank is None:
            self.parts[number] = part
            self.hand_used.add(number)
        return number

    def fresh(self) -> int:
        """Return the next number no plank has."""
        self._fresh += 1
        return self._fresh


def _kept(row: LaidRun, plan: Plan, planks: _Planks, taken: _Taken) -> Iterator[PieceCut]:
    """Yield the pieces of a kept row as they were cut, those that were lost from another plank."""
    pieces = row.pieces[::-1] if plan.rules.lay is Lay.RIGHT_TO_LEFT else row.pieces
    own = {plank.plank: plank.length or plan.plank.length for plank in plan.planks if plank.strip is None}
    beside = {name: strip.beside for strip in plan.planks if strip.strip is not None for name in strip.pieces}
    for nth, piece in enumerate(pieces):
        cut = PieceCut(part=_part(row, nth, piece, own[piece.plank]), length=piece.length, plank=piece.plank)
        if piece.id in taken.left.lost:
            yield replace(cut, plank=_replaced(cut, taken, planks))
        elif piece.id in beside:
            name, _, number = beside[piece.id].rpartition(".")
            yield replace(cut, beside=(taken.place[name], int(number) - 1))
        else:
            yield cut


def _part(row: LaidRun, nth: int, piece: Piece, whole: Ticks) -> Part:
    if len(row.pieces) == 1:
        return Part.WHOLE if piece.length == whole else Part.SINGLE
    if piece.length == whole:
        return Part.WHOLE
    return Part.STARTER if nth == 0 else Part.END


def _replaced(cut: PieceCut, taken: _Taken, planks: _Planks) -> int:
    """Return the plank that a lost piece is cut from anew, and take it from the spare parts."""
    hand = taken.left.hand
    wanted = {Part.STARTER: {Keeps.RIGHT, Keeps.BOTH}, Part.END: {Keeps.LEFT, Keeps.BOTH}}
    keeps = wanted.get(cut.part, set() if cut.part is Part.WHOLE else set(Keeps))
    fitting = [nth for nth in taken.spare if hand[nth].length >= cut.length and hand[nth].keeps in keeps]
    if not fitting:
        return planks.fresh()
    best = min(fitting, key=lambda nth: hand[nth].length)
    taken.spare.remove(best)
    return planks.of_part(best)
