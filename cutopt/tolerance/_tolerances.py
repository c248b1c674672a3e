"""The stage itself: bounds of each run by itself, and shares of what planks and strips have to spare."""

from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from itertools import pairwise

from cutopt.model.plan import LaidRun, Piece, Plan
from cutopt.model.tolerance import Allowance, Breaks, RowTolerance
from cutopt.tolerance._joints import joint_bars
from cutopt.tolerance._reach import in_order_laid, lines
from cutopt.tolerance._stock import Stock, Way, stocks
from cutopt.units import Ticks

__all__ = ["tolerances"]


def tolerances(plan: Plan) -> tuple[RowTolerance, ...]:
    """Return, for every run of a plan that breaks no rule, how far its far wall may be out, in ticks.

    Runs stand as in ``plan.rows``, but for those whose last piece is cut already (``CutPlank.done``): they are
    as long as they are. Of a plan that breaks rules, allowances are 0 where they are broken.
    """
    done = {name for cut in plan.planks for name in cut.done}
    ready = {index for index in range(len(plan.rows)) if _last(plan, index).id in done}
    found = _by_themselves(plan, ready)
    stock = list(stocks(plan))
    for one in stock:
        for way, breaks in one.frozen.items():
            found[way] = _cut_down(found[way], 0, 0, (breaks, one.piece))
    for one in stock:
        found |= _shared(one, found)
    return tuple(_row(laid, index, found, plan) for index, laid in enumerate(plan.rows) if index not in ready)


def _row(laid: LaidRun, index: int, found: Mapping[Way, Allowance], plan: Plan) -> RowTolerance:
    return RowTolerance(
        row=laid.run.row,
        run=laid.run.run,
        room=laid.run.room,
        length=laid.run.length,
        piece=_last(plan, index).id,
        shorter=found[Way(index, longer=False)],
        longer=found[Way(index, longer=True)],
    )


def _last(plan: Plan, index: int) -> Piece:
    """Return the piece of a run that takes up its error."""
    return in_order_laid(plan.rows[index], plan)[-1]


def _by_themselves(plan: Plan, ready: AbstractSet[int]) -> dict[Way, Allowance]:
    """Return what bounds each run by itself, whatever its planks have to spare: at most a whole plank."""
    found: dict[Way, Allowance] = {}
    for index, laid in enumerate(plan.rows):
        last = _last(plan, index)
        found[Way(index, longer=False)] = _shortest(laid, last, plan)
        found[Way(index, longer=True)] = _allowance(plan.plank.length, Breaks.PLANK, last)
    for index, ticks, alone, breaks in (*_joints(plan, ready), *_next_runs(plan)):
        way = Way(index, longer=True)
        found[way] = _cut_down(found[way], ticks, alone, (breaks, _last(plan, index).id))
    return found


def _shortest(laid: LaidRun, last: Piece, plan: Plan) -> Allowance:
    """Return by how much a run may be shorter before its last piece is too short, on its shorter edge."""
    slants = abs(last.left_slant), abs(last.right_slant)
    if len(laid.pieces) == 1:
        # A single piece may be of any length, but for its slants, of which each lies within it.
        return _allowance(last.length - max(slants) - 1, Breaks.GONE, last)
    return _allowance(last.length - sum(slants) - max(plan.rules.min_piece, 1), Breaks.MIN_PIECE, last)


def _allowance(ticks: Ticks, breaks: Breaks, piece: Piece) -> Allowance:
    return Allowance(ticks=max(ticks, 0), alone=max(ticks, 0), breaks=breaks, piece=piece.id)


def _joints(plan: Plan, ready: AbstractSet[int]) -> Iterator[tuple[int, Ticks, Ticks, Breaks]]:
    """Yield, of the runs that must all reach further for a breach, the one with the furthest to go."""
    for bar in joint_bars(plan):
        if not ready.isdisjoint(bar.most):
            continue
        index = max(bar.most, key=lambda run: bar.most[run])
        ticks = bar.most[index]
        yield index, ticks, ticks if len(bar.most) == 1 else plan.plank.length, bar.breaks


def _next_runs(plan: Plan) -> Iterator[tuple[int, Ticks, Ticks, Breaks]]:
    """Yield how far runs may reach until they meet the next run of their row."""
    for runs in lines(plan).values():
        laid = sorted((run for run in runs if run.index is not None), key=lambda run: run.near)
        for one, other in pairwise(laid):
            if one.index is not None:
                ticks = max(0, other.near - one.far)
                yield one.index, ticks, ticks, Breaks.NEXT_RUN


def _cut_down(own: Allowance, ticks: Ticks, alone: Ticks, why: tuple[Breaks, str]) -> Allowance:
    """Return an allowance with a further bound upon it, and the reason of the lower one."""
    breaks, piece = why if ticks < own.ticks else (own.breaks, own.piece)
    return Allowance(ticks=min(ticks, own.ticks), alone=min(alone, own.alone), breaks=breaks, piece=piece)


def _shared(stock: Stock, found: Mapping[Way, Allowance]) -> dict[Way, Allowance]:
    """Share what a plank or strip has to spare among those who draw on it, as evenly as can be.

    The lower bounds come first: what they leave of an even share is there for the others.
    """
    spare = stock.spare
    shared: dict[Way, Allowance] = {}
    by_bound = sorted(stock.ways.items(), key=lambda item: (found[item[0]].ticks, item[0].index))
    for nth, (way, breaks) in enumerate(by_bound):
        share = spare // (len(by_bound) - nth)
        shared[way] = _cut_down(found[way], share, stock.spare, (breaks, stock.piece))
        spare -= shared[way].ticks
    return shared
