"""The plan of the rest put behind what is laid: one floor and one cutting again."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from cutopt.model.floor import Floor, Run
from cutopt.model.job import Lay
from cutopt.model.plan import BegunPlank, Bound, Cutting, Done, LaidRun, PieceCut, Plan, Source
from cutopt.model.replan import Remaining
from cutopt.replan._hand import part_of

__all__ = ["joined", "of_lot", "order_of"]


def joined(plan: Plan, left: Remaining, cutting: Cutting) -> tuple[Floor, Cutting]:
    """Return the whole floor and its cutting: kept rows as they were, the rest as planned anew.

    ``cutting`` is that of ``left.floor``; a plank number below 0 in it, -1 - k, is the part ``left.hand[k]``.
    Its bound counts fresh planks; the one returned counts all planks from boxes that the floor takes.
    """
    runs = (*(row.run for row in left.kept), *left.floor.runs)
    order = order_of(runs)
    place = {_row_name(row): order.index(at) for at, row in enumerate(left.kept)}
    pieces = [tuple(_kept(row, plan, left, place)) for row in left.kept]
    opened = {piece.plank for cut in pieces for piece in cut} - left.stock.keys()
    numbers = _numbers(left, cutting)
    pieces += [tuple(replace(piece, plank=numbers[piece.plank]) for piece in cut) for cut in cutting.runs]
    used = {piece.plank for cut in pieces for piece in cut}
    begun = {number: plank for number, plank in left.begun.items() if number in used}
    opened |= begun.keys()
    boxed = {number for number in opened if number not in begun or begun[number].source is Source.BOX}
    spoiled = (*plan.spoiled, *_spoiled(plan, left, used))
    return (
        Floor(runs=tuple(runs[at] for at in order), down=plan.down),
        replace(
            cutting,
            runs=tuple(pieces[at] for at in order),
            bound=_bound(cutting.bound, len(boxed) + len(spoiled), left.withheld),
            hand={number: part for number, part in left.stock.items() if number in used},
            begun=begun,
            lots=_lots(left, begun) | {numbers[plank]: lot for plank, lot in cutting.lots.items()},
            spoiled=spoiled,
        ),
    )


def _row_name(row: LaidRun) -> str:
    """Return how a run was called, from its pieces' ids: ``12``, or ``12b`` for the second run of a row."""
    return row.pieces[0].id.rpartition(".")[0]


def order_of(runs: Sequence[Run]) -> list[int]:
    """Return the places of runs in the order of their rows, each row's from the left."""
    return sorted(range(len(runs)), key=lambda at: (runs[at].row, runs[at].run))


def _numbers(left: Remaining, cutting: Cutting) -> Mapping[int, int]:
    """Return the numbers of planks as the planner named them: parts those of their planks, fresh ones new ones."""
    named = dict.fromkeys(piece.plank for cut in cutting.runs for piece in cut)
    fresh = [plank for plank in named if plank >= 0]
    parts = {plank: left.numbers[-1 - plank] for plank in named if plank < 0}
    return parts | {plank: number for number, plank in enumerate(fresh, left.next_plank)}


def _kept(row: LaidRun, plan: Plan, left: Remaining, place: Mapping[str, int]) -> Iterator[PieceCut]:
    """Yield the pieces of a kept row as they were cut, those that were lost from another plank."""
    pieces = row.pieces[::-1] if plan.rules.lay is Lay.RIGHT_TO_LEFT else row.pieces
    beside = {name: strip.beside for strip in plan.planks if strip.strip is not None for name in strip.pieces}
    for nth, piece in enumerate(pieces):
        part = part_of(row, nth, piece.length, plan.plank.length)
        cut = PieceCut(part=part, length=piece.length, plank=piece.plank, done=left.done.get(piece.id))
        if piece.id in left.replaced:
            yield replace(cut, plank=left.replaced[piece.id])
        elif piece.id in beside:
            name, _, number = beside[piece.id].rpartition(".")
            yield replace(
                cut,
                plank=left.replaced.get(beside[piece.id], piece.plank),
                beside=(place[name], int(number) - 1),
                done=Done(place=0, left=piece.left, right=piece.right),
            )
        else:
            yield cut


def _spoiled(plan: Plan, left: Remaining, used: set[int]) -> list[int]:
    """Return the planks from boxes that gave nothing that is used."""
    boxes = {plank.plank for plank in plan.planks if plank.strip is None and plank.source is Source.BOX}
    return sorted((left.begun.keys() & boxes) - used)


def of_lot(left: Remaining, lot: str) -> Remaining:
    """Return what is left to plan, with planks and parts of no lot told to be of this one."""
    return replace(
        left,
        hand=tuple(replace(part, lot=part.lot or lot) for part in left.hand),
        stock={number: replace(part, lot=part.lot or lot) for number, part in left.stock.items()},
        begun={number: replace(plank, lot=plank.lot or lot) for number, plank in left.begun.items()},
    )


def _lots(left: Remaining, begun: Mapping[int, BegunPlank]) -> dict[int, str]:
    """Return the lots of the fresh planks that lost pieces are cut from: those of their rows."""
    found: dict[int, str] = {}
    for row in left.kept:
        of_row = next((begun[piece.plank].lot for piece in row.pieces if piece.plank in begun), "")
        found |= {left.replaced[piece.id]: of_row for piece in row.pieces if piece.id in left.replaced}
    return {number: lot for number, lot in found.items() if lot}


def _bound(bound: Bound, opened: int, withheld: int) -> Bound:
    planks = max(0, bound.planks - withheld)
    reason = f"{opened} planks are opened already; for the rest: {bound.reason}"
    if withheld:
        reason += f"; {withheld} fewer, for parts that were not made use of"
    return Bound(planks=planks + opened, reason=reason)
