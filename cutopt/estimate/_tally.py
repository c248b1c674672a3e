"""Where every square tick of the planks opened goes."""

from dataclasses import dataclass
from typing import Self

from cutopt.estimate._nests import Placed, overlap
from cutopt.model.estimate import Tally
from cutopt.model.plan import CutPlank, Plan, Source
from cutopt.units import Ticks

__all__ = ["tally"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Areas:
    """Areas in square ticks: left over at crosscuts, sawn away, ripped off, and counted twice where slants nest."""

    ends: int = 0
    kerf: int = 0
    rips: int = 0
    nested: int = 0

    def __add__(self, other: Self) -> "_Areas":
        return _Areas(
            ends=self.ends + other.ends,
            kerf=self.kerf + other.kerf,
            rips=self.rips + other.rips,
            nested=self.nested + other.nested,
        )


def tally(plan: Plan) -> Tally:
    """Return what a checked plan comes to; its areas add up to ``2 * planks * length * width``, exactly.

    A plank, from end to end, is its pieces (the less where slants nest), what the crosscuts take and an offcut.
    A piece is ripped to the wider end of its run; the strip beside it is cut like a plank. What a run then does
    not fill of its rectangle was lost to slanted ends, tapers, notches and other shapes: one slanted cut that
    parts two pieces loses nothing to the lesser slant, but takes as much as a saw does on that slant. A last trim, lengthwise or
    across, takes no more than there is.

    Raises ``ValueError`` for plans that go on from others: parts in hand and planks spoiled were no whole planks.
    """
    _refuse_begun(plan)
    placed = {piece.id: Placed(laid, piece) for laid in plan.rows for piece in laid.pieces}
    strips = {cut.beside: cut for cut in plan.planks if cut.strip is not None}
    areas = sum((_areas(cut, placed, strips, plan) for cut in plan.planks), _Areas())
    net2 = sum(laid.run.area2 for laid in plan.rows)
    laid = sum(one.piece.length * one.width for one in placed.values())
    return Tally(
        planks=plan.totals.planks,
        bound=plan.bound.planks,
        cuts=plan.totals.cuts,
        pieces=len(placed),
        peak_waiting=plan.totals.peak_waiting,
        net2=net2,
        slants2=2 * (laid - areas.nested) - net2,
        rips2=2 * areas.rips,
        kerf2=2 * areas.kerf,
        ends2=2 * areas.ends,
        reason=plan.bound.reason,
    )


def _refuse_begun(plan: Plan) -> None:
    whole = (cut for cut in plan.planks if cut.strip is None)
    begun = [cut.plank for cut in whole if cut.source is Source.HAND or cut.lost or cut.length is not None]
    begun += plan.spoiled
    if begun:
        raise ValueError(
            f"only whole planks can be tallied: {', '.join(map(str, begun))} came as parts or were spoiled"
        )


def _areas(cut: CutPlank, placed: dict[str, Placed], strips: dict[str, CutPlank], plan: Plan) -> _Areas:
    """Return what a plank, or a strip, loses, but for what the runs do not fill."""
    spec = plan.plank
    width = spec.width if cut.width is None else cut.width
    length = spec.length if cut.length is None else cut.length
    pieces = [placed[name] for name in cut.pieces]
    nested = overlap(pieces, spec)
    over = sum(offcut.length for offcut in cut.offcuts)
    sawn = length - sum(one.piece.length for one in pieces) + nested - over
    across = _Areas(ends=over * width, kerf=sawn * width, nested=nested * width)
    return sum((_ripped(one, width, strips.get(one.piece.id), spec.kerf) for one in pieces), across)


def _ripped(one: Placed, width: Ticks, strip: CutPlank | None, kerf: Ticks) -> _Areas:
    """Return what is lost beside a piece that is ripped from something of a width: once, or on both sides of a strip."""
    free = width - one.width
    sawn = min(kerf, free)
    used = 0
    if strip is not None and strip.width is not None:
        used = strip.width
        sawn += min(kerf, free - sawn - used)
    return _Areas(kerf=sawn * one.piece.length, rips=(free - sawn - used) * one.piece.length)
