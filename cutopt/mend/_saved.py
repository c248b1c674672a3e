"""The first plank that a layout need not have opened: what lay by already would have served."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cutopt.model.job import Ends, KeepLots, Lay, ShareOffcuts
from cutopt.model.plan import CutPlank, Keeps, LaidRun, Piece, Plan, Source
from cutopt.units import Ticks, format_length

__all__ = ["first_saved"]


@dataclass(frozen=True, slots=True)
class _Cut:
    """A piece in the order laid: where it lies, and which factory ends it needs because another piece meets them."""

    when: int
    laid: LaidRun
    piece: Piece
    needs: tuple[bool, bool]


@dataclass(frozen=True, slots=True)
class _Rest:
    """What is left of a plank for good: it lies by from when the plank is opened; ``length`` is what it yields."""

    since: int
    cut: CutPlank
    keeps: Keeps
    whole: Ticks
    length: Ticks


def first_saved(plan: Plan) -> tuple[int, str] | None:
    """Return the first row that opens a plank which need not have been, and the offcuts that would have served.

    Such is a plank all of whose pieces could have come from rests that lay by when they were laid: rests of planks opened
    before, for which the layout has no use later, each for one piece (the shortest that serves). A rest serves a piece
    that is no longer than it (less the fit), whose factory end, where another piece meets it, it still has, turned round where planks
    may be; in the same field or of the same lot where the rules keep these apart. No joint moves, and no more
    planks wait than the rules or the layout itself allow. ``(7, 'the rest of plank 4 (21")')``; ``None`` where no plank was saved.
    """
    cuts = _in_order_laid(plan)
    rests = _rests(plan, cuts)
    listed = {cut.plank: cut for cut in plan.planks if cut.strip is None}
    for number, pieces in cuts.items():
        cut = listed.get(number)
        if cut is None or cut.source is not Source.BOX or cut.done:
            continue
        instead = _instead(plan, cut, pieces, rests, cuts)
        if instead and _may_wait(plan, number, pieces, instead, cuts):
            return pieces[0].laid.run.row, _words(plan, instead)
    return None


def _in_order_laid(plan: Plan) -> dict[int, list[_Cut]]:
    """Return the pieces of every plank, the planks by when they are opened."""
    found: defaultdict[int, list[_Cut]] = defaultdict(list)
    when = 0
    for laid in plan.rows:
        last = len(laid.pieces) - 1
        nths = range(last, -1, -1) if plan.rules.lay is Lay.RIGHT_TO_LEFT else range(last + 1)
        for nth in nths:
            piece = laid.pieces[nth]
            found[piece.plank].append(_Cut(when, laid, piece, (nth > 0, nth < last)))
            when += 1
    return dict(found)


def _rests(plan: Plan, cuts: dict[int, list[_Cut]]) -> list[_Rest]:
    """Return what is left of the planks, the shortest first."""
    rests = [
        _Rest(
            cuts[cut.plank][0].when,
            cut,
            offcut.keeps,
            offcut.length,
            offcut.length - len(cut.pieces) * plan.rules.fit,
        )
        for cut in plan.planks
        if cut.strip is None and cut.plank in cuts
        for offcut in cut.offcuts
    ]
    return sorted(rests, key=lambda rest: (rest.length, rest.cut.plank))


def _instead(
    plan: Plan, cut: CutPlank, pieces: Sequence[_Cut], rests: Sequence[_Rest], cuts: dict[int, list[_Cut]]
) -> list[_Rest]:
    """Return a rest for each of a plank's pieces, nothing where one has none."""
    chosen: list[_Rest] = []
    for one in pieces:
        rest = next(
            (
                rest
                for rest in rests
                if rest not in chosen
                and rest.cut.plank != cut.plank
                and rest.since < one.when
                and _serves(plan, rest, one)
                and _goes_together(plan, rest, cut, one, cuts)
            ),
            None,
        )
        if rest is None:
            return []
        chosen.append(rest)
    return chosen


def _serves(plan: Plan, rest: _Rest, one: _Cut) -> bool:
    left, right = rest.keeps in (Keeps.LEFT, Keeps.BOTH), rest.keeps in (Keeps.RIGHT, Keeps.BOTH)
    if one.piece.length > rest.length or all(one.needs):
        return False
    if plan.plank.ends is Ends.SQUARE:
        return left or right or not any(one.needs)
    return (left or not one.needs[0]) and (right or not one.needs[1])


def _goes_together(plan: Plan, rest: _Rest, cut: CutPlank, one: _Cut, cuts: dict[int, list[_Cut]]) -> bool:
    if plan.rules.lots is not KeepLots.MIX and rest.cut.lot != cut.lot:
        return False
    fields = {other.laid.run.field for other in cuts[rest.cut.plank]}
    return plan.rules.share_offcuts is ShareOffcuts.JOB or fields == {one.laid.run.field}


def _may_wait(
    plan: Plan, number: int, pieces: Sequence[_Cut], instead: Sequence[_Rest], cuts: dict[int, list[_Cut]]
) -> bool:
    """Say whether no more planks wait at a time than may, or than do as it is, when the rests are used later."""
    if plan.rules.max_waiting is None:
        return True
    rows = {plank: [one.laid.run.row for one in uses] for plank, uses in cuts.items()}
    before = _peak(rows)
    del rows[number]
    for one, rest in zip(pieces, instead, strict=True):
        rows[rest.cut.plank] = [*rows[rest.cut.plank], one.laid.run.row]
    return _peak(rows) <= max(before, plan.rules.max_waiting)


def _peak(rows: dict[int, list[int]]) -> int:
    """Return the most planks that wait after any row: those begun in it or before, with pieces still to lay."""
    ends = {row for uses in rows.values() for row in uses}
    return max(sum(min(uses) <= row < max(uses) for uses in rows.values()) for row in ends)


def _words(plan: Plan, rests: Sequence[_Rest]) -> str:
    named = list(_named(plan, rests))
    return (
        f"the rest of plank {named[0]}" if len(named) == 1 else f"the rests of planks {' and '.join(named)}"
    )


def _named(plan: Plan, rests: Sequence[_Rest]) -> Iterator[str]:
    for rest in rests:
        yield f"{rest.cut.plank} ({format_length(rest.whole, plan.unit, plan.rules.cut_step)})"
