"""How new pieces lie on a plank of which others are cut already: these stay where they are."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from cutopt.model.plan import BegunPlank, CutPlank, End, HandPart, Keeps, Offcut, Part
from cutopt.model.slants import kerf_along, saved_by_nesting
from cutopt.numbering._arrange import Arranged, Use, arrange_part
from cutopt.units import Ticks

__all__ = ["arrange_begun"]


def arrange_begun(  # noqa: PLR0913 - a plank, what is cut from it, and how
    plank: int,
    uses: Sequence[Use],
    begun: BegunPlank,
    *,
    whole: Ticks,
    kerf: Ticks,
    starter_right: bool,
    width: Ticks,
) -> Arranged:
    """Place the new pieces of a plank in its free stretch, between those that are cut already.

    ``whole`` is the length of a plank of the job. What is left over lies in the free stretch.
    """
    length = whole if begun.length is None else begun.length
    old = sorted((use for use in uses if use.done is not None), key=_place)
    left, right = old[: begun.before], old[begun.before :]
    new = [use for use in uses if use.done is None]
    needed = sum(use.length for use in new) + max(0, len(new) - 1) * kerf
    stretch = HandPart(
        length=max(length - sum(use.length + kerf for use in old), needed + kerf + 1),
        keeps=_free_ends(begun.keeps, left=not left, right=not right),
    )
    last = bool(left) or not right
    placed = _in_stretch(plank, new, stretch, kerf, starter_right=starter_right, last=last)
    by_id = {use.id: use for use in uses}
    order = [*left, *(by_id[name] for name in (placed.cut.pieces if placed else ())), *right]
    there = {use.id: (use.done.left, use.done.right) for use in old if use.done}
    ends = there | (placed.ends if placed else {})
    keeps = placed.cut.offcuts[0].keeps if placed else stretch.keeps
    spare, last_cut = _spare(order, ends, length, kerf, width)
    if placed and not spare:  # then a piece that keeps no other end has the one that nothing was trimmed from
        used_up = replace(stretch, length=needed)
        exact = _in_stretch(plank, new, used_up, kerf, starter_right=starter_right, last=last)
        ends = there | (exact.ends if exact else {})
    over = spare - last_cut
    return Arranged(
        cut=CutPlank(
            plank=plank,
            pieces=tuple(use.id for use in order),
            offcuts=(Offcut(length=over, keeps=keeps),) if over > 0 else (),
            length=begun.length,
            factory=begun.keeps,
            source=begun.source,
            lot=begun.lot,
            lost=begun.lost,
            done=tuple(use.id for use in order if use.done is not None),
        ),
        ends=ends,
        cuts=len(order) - 1 + (spare > 0),
        first_row=min(use.row for use in uses),
        last_row=max(use.row for use in uses),
    )


def _in_stretch(  # noqa: PLR0913 - a stretch, what is cut from it, and how
    plank: int, uses: Sequence[Use], stretch: HandPart, kerf: Ticks, *, starter_right: bool, last: bool
) -> Arranged | None:
    """Place new pieces in a free stretch, ``last`` on its plank or else the first; ``None`` where there are none.

    Pieces that keep no end lie at the side where others are cut already, so that the rest keeps its end.
    """
    if not uses:
        return None
    placed = arrange_part(plank, uses, stretch, kerf=kerf, starter_right=starter_right, width=0)
    if last or any(use.part in (Part.STARTER, Part.END) for use in uses):
        return placed
    cut = placed.cut
    offcuts = tuple(replace(offcut, keeps=stretch.keeps) for offcut in cut.offcuts)
    turned = replace(cut, pieces=cut.pieces[::-1], offcuts=offcuts)
    used_up = stretch.length == sum(use.length for use in uses) + (len(uses) - 1) * kerf
    ends = dict.fromkeys(cut.pieces, (End.CUT, End.CUT))
    if used_up and stretch.keeps is Keeps.LEFT:
        ends[turned.pieces[0]] = (End.FACTORY, End.CUT)
    return replace(placed, cut=turned, ends=ends)


def _place(use: Use) -> int:
    return use.done.place if use.done else 0


def _free_ends(keeps: Keeps, *, left: bool, right: bool) -> Keeps:
    """Return which factory ends a stretch has that reaches the left or the right end of its plank."""
    has = left and keeps in (Keeps.LEFT, Keeps.BOTH), right and keeps in (Keeps.RIGHT, Keeps.BOTH)
    return {(True, True): Keeps.BOTH, (True, False): Keeps.LEFT, (False, True): Keeps.RIGHT}.get(
        has, Keeps.NONE
    )


def _spare(
    order: Sequence[Use], ends: dict[str, tuple[End, End]], length: Ticks, kerf: Ticks, width: Ticks
) -> tuple[Ticks, Ticks]:
    """Return what is left of a plank beside its pieces, in this order, and what the last cut takes of that."""
    lying = [
        _lying(use, ends[use.id], first=nth == 0, last=nth == len(order) - 1) for nth, use in enumerate(order)
    ]
    saved, steepest = 0, 0
    for one, other in pairwise(lying):
        gain = saved_by_nesting(one[1], other[0], kerf=kerf, width=width)
        if gain:
            saved, steepest = saved + gain, max(steepest, abs(one[1]), abs(other[0]))
    spare = length - sum(use.length for use in order) - (len(order) - 1) * kerf + saved
    return spare, kerf_along(kerf, steepest, width) if steepest else kerf


def _lying(use: Use, ends: tuple[End, End], *, first: bool, last: bool) -> tuple[Ticks, Ticks]:
    """Return a piece's slants as it lies on its plank: turned where the factory end it keeps lies outside so."""
    left, right = ends[0] is End.FACTORY, ends[1] is End.FACTORY
    turned = left != right and first != last and (right if first else left)
    return use.slants[::-1] if turned else use.slants
