"""What remains of planks once some of their pieces are cut."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from cutopt.model.plan import BegunPlank, CutPlank, Done, End, HandPart, Keeps, Piece, Plan, Source
from cutopt.units import Ticks

__all__ = ["Begun", "begun_planks", "untouched_parts"]

_Stretch = tuple[Ticks, Ticks]

_LEFT, _RIGHT = {Keeps.LEFT, Keeps.BOTH}, {Keeps.RIGHT, Keeps.BOTH}


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """A plank of which pieces are cut: how these lie, and the ``part`` that can still be used, if any.

    ``done`` tells, by their ids, of the pieces that are cut and good. ``others`` counts what else is free of the
    plank, parted from that part: too little to plan with. ``waits`` says that the plan had a use for the rest.
    """

    plank: BegunPlank
    done: Mapping[str, Done]
    part: HandPart | None
    others: int = 0
    waits: bool = False


def begun_planks(
    plan: Plan, good: set[str], spoiled: Collection[str], least: Ticks
) -> Iterator[tuple[int, Begun]]:
    """Yield every plank of which a piece is cut, good or spoiled, or that is lost whole, by its number.

    ``spoiled`` names pieces (``12.3``) and what was there of whole planks (``p7``). Parts shorter than ``least``
    are of no use. Strips beside ripped pieces are not told of: what remains of these is not planned with.
    """
    pieces = {piece.id: piece for row in plan.rows for piece in row.pieces}
    strips = [plank for plank in plan.planks if plank.strip is not None]
    good_strips = {plank.plank for plank in strips if not good.isdisjoint(plank.pieces)}
    for plank in plan.planks:
        wasted = f"p{plank.plank}" in spoiled
        touched = any(name in good or name in spoiled for name in plank.pieces)
        if plank.strip is None and (touched or wasted or plank.plank in good_strips):
            cut = _Cut(plan, plank, [pieces[name] for name in plank.pieces], good, spoiled)
            yield plank.plank, cut.begun(least, wasted=wasted)


def untouched_parts(plan: Plan, gone: Collection[str]) -> Iterator[HandPart]:
    """Yield the parts that were in hand before the plan was made and of which nothing is cut yet."""
    for plank in plan.planks:
        unused = not any(name in gone for name in (f"p{plank.plank}", *plank.pieces))
        if plank.source is Source.HAND and plank.strip is None and unused and not plank.lost:
            yield HandPart(length=_length(plank, plan), keeps=plank.factory, lot=plank.lot)


def _length(plank: CutPlank, plan: Plan) -> Ticks:
    return plan.plank.length if plank.length is None else plank.length


@dataclass(frozen=True, slots=True)
class _Cut:
    """A plank with its pieces from its left end."""

    plan: Plan
    plank: CutPlank
    pieces: Sequence[Piece]
    good: Collection[str]
    spoiled: Collection[str]

    def begun(self, least: Ticks, *, wasted: bool) -> Begun:
        """Return how the plank stands; ``wasted``: what is not cut of it is lost."""
        places = list(_places(self.plank, self.pieces, self.plan))
        kept = [
            (piece, place) for piece, place in zip(self.pieces, places, strict=True) if piece.id in self.good
        ]
        free = [] if wasted or self._is_nested(kept) else list(self._free(places))
        low, high = max(free, key=lambda stretch: (stretch[1] - stretch[0], stretch), default=(0, 0))
        before = sum(place[1] <= low for _, place in kept) if free else self._before(kept)
        whole = _length(self.plank, self.plan)
        damaged = wasted or len(free) > 1 or any(piece.id in self.spoiled for piece in self.pieces)
        length = self._length_left(kept, high - low) if damaged else whole
        keeps = self._ends(kept, (low, high) if free else None, whole) if damaged else self.plank.factory
        begun = BegunPlank(
            before=before,
            length=self.plank.length if length == whole else length,
            keeps=keeps,
            lost=self.plank.lost + whole - length,
            source=self.plank.source,
            lot=self.plank.lot,
        )
        part = self._part(kept, (low, high), length, keeps)
        others = [stop - start for start, stop in free if (start, stop) != (low, high)]
        return Begun(
            plank=begun,
            done={
                piece.id: Done(place=nth, left=piece.left, right=piece.right)
                for nth, (piece, _) in enumerate(kept)
            },
            part=part if part.length >= max(least, 1) else None,
            others=sum(other >= least for other in others),
            waits=len(kept) < len(self.pieces),
        )

    def _before(self, kept: Sequence[tuple[Piece, _Stretch]]) -> int:
        """Return how many good pieces lie left of what was left over."""
        left = self.pieces[: _before_leftover(self.plank, self.pieces)]
        return sum(piece in left for piece, _ in kept)

    def _is_nested(self, kept: Sequence[tuple[Piece, _Stretch]]) -> bool:
        """Say whether two slanted pieces may have been nested: then nothing is told of where they lay."""
        return sum(bool(piece.left_slant or piece.right_slant) for piece, _ in kept) > 1

    def _free(self, places: Sequence[_Stretch]) -> Iterator[_Stretch]:
        """Yield the stretches that no piece gone, nor the cut beside it, has taken."""
        kerf, at = self.plan.plank.kerf, 0
        for piece, (low, high) in zip(self.pieces, places, strict=True):
            if piece.id in self.good or piece.id in self.spoiled:
                if low - kerf > at:
                    yield at, low - kerf
                at = max(at, high + kerf)
        whole = _length(self.plank, self.plan)
        if at < whole:
            yield at, whole

    def _length_left(self, kept: Sequence[tuple[Piece, _Stretch]], stretch: Ticks) -> Ticks:
        """Return what there is of the plank: its good pieces and one free stretch, with the cuts between."""
        kerf, loss, whole = self.plan.plank.kerf, self._loss, _length(self.plank, self.plan)
        pieces = sum(piece.length for piece, _ in kept)
        cuts = len(kept) - (0 if stretch else 1)
        least = pieces + max(0, len(kept) - 1) * loss
        return min(whole, max(least, pieces + max(0, cuts) * kerf + stretch))

    @property
    def _loss(self) -> Ticks:
        return self.plan.plank.kerf + self.plan.rules.fit

    def _ends(self, kept: Sequence[tuple[Piece, _Stretch]], stretch: _Stretch | None, whole: Ticks) -> Keeps:
        """Return which factory ends are left: on the free stretch or on a piece that is good."""
        there = [place for _, place in kept] + ([stretch] if stretch else [])
        left = self.plank.factory in _LEFT and any(low == 0 for low, _ in there)
        right = self.plank.factory in _RIGHT and any(high == whole for _, high in there)
        return _keeps(left=left, right=right)

    def _part(
        self, kept: Sequence[tuple[Piece, _Stretch]], stretch: _Stretch, length: Ticks, keeps: Keeps
    ) -> HandPart:
        low, high = stretch
        room = length - sum(piece.length + self._loss for piece, _ in kept)
        left = keeps in _LEFT and not any(place[1] <= low for _, place in kept)
        right = keeps in _RIGHT and not any(place[0] >= high for _, place in kept)
        return HandPart(
            length=min(high - low, room),
            keeps=_keeps(left=left, right=right),
            plank=self.plank.plank,
            lot=self.plank.lot,
        )


def _keeps(*, left: bool, right: bool) -> Keeps:
    keeps = {(True, True): Keeps.BOTH, (True, False): Keeps.LEFT, (False, True): Keeps.RIGHT}
    return keeps.get((left, right), Keeps.NONE)


def _places(plank: CutPlank, pieces: Sequence[Piece], plan: Plan) -> Iterator[_Stretch]:
    """Yield where each piece lies on its plank: those before the leftover from the left, others from the right."""
    kerf, whole, before = plan.plank.kerf, _length(plank, plan), _before_leftover(plank, pieces)
    at = 0
    for piece in pieces[:before]:
        yield at, at + piece.length
        at += piece.length + kerf
    right = pieces[before:]
    at = whole - sum(piece.length for piece in right) - max(0, len(right) - 1) * kerf
    for piece in right:
        yield at, at + piece.length
        at += piece.length + kerf


def _before_leftover(plank: CutPlank, pieces: Sequence[Piece]) -> int:
    """Return how many pieces lie left of what is left over: all, where the last of them keeps no right end."""
    keeps = {offcut.keeps for offcut in plank.offcuts}
    if Keeps.LEFT in keeps:
        return 0
    first, last = pieces[0], pieces[-1]
    if Keeps.RIGHT in keeps or End.FACTORY not in (last.left, last.right):
        return len(pieces)
    if len(pieces) > 1 and End.FACTORY in (first.left, first.right):
        return len(pieces) - 1
    return 0 if last.left is End.CUT else len(pieces)
