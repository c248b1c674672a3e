"""One plank at a time: whether its pieces can really be cut from it, and what is left.

A plank lies from its left factory end to its right one and its pieces are listed in that order. An end
marked ``factory`` is an end the plank came with; an end marked ``cut`` has been trimmed, which needs
something to trim. What is left over lies in one stretch: at an end that no piece keeps, else between pieces.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cutopt.check._finding import Fault, Finding
from cutopt.check._ledger import Ledger, Used, room_left
from cutopt.check._nesting import Nests, lies_turned, nests_on
from cutopt.model.job import Ends, KeepLots, ShareOffcuts
from cutopt.model.plan import CutPlank, End, Keeps, Piece
from cutopt.units import Ticks

__all__ = ["check_planks"]


def check_planks(ledger: Ledger) -> Iterator[Finding]:
    """Yield what is wrong with the lists of pieces and with the cutting of any plank."""
    yield from _lists(ledger)
    for plank, cut in ledger.listed.items():
        taken = [used for used in ledger.taken.get(plank, []) if not _is_ripped_off(used, ledger)]
        # What is listed wrongly is reported as that; the rest would only repeat it.
        if taken and sorted(cut.pieces) == sorted(used.piece.id for used in taken):
            yield from _cutting(_Plank(ledger, cut, [ledger.by_id[name] for name in cut.pieces]))
    for strip in ledger.strips:
        uses = [ledger.by_id[name] for name in strip.pieces if name in ledger.by_id]
        if strip.length is not None and uses and len(uses) == len(strip.pieces):
            yield from _cutting(_Plank(ledger, strip, uses))
    if ledger.plan.rules.share_offcuts is ShareOffcuts.ROOM:
        yield from _rooms(ledger)
    if ledger.plan.rules.lots is not KeepLots.MIX:
        yield from _lots(ledger)


def _is_ripped_off(used: Used, ledger: Ledger) -> bool:
    """Say whether a piece is cut from the strip beside another, by the lists of its plank."""
    strip = ledger.in_strip.get(used.piece.id)
    return strip is not None and strip.plank == used.piece.plank


def _lists(ledger: Ledger) -> Iterator[Finding]:
    whole = [cut.plank for cut in ledger.plan.planks if cut.strip is None]
    for plank, times in Counter([*whole, *ledger.plan.spoiled]).items():
        if times > 1:
            yield Finding(fault=Fault.PLANK_TWICE, found=times, wanted=1, planks=(plank,))
        if plank < 1:
            yield Finding(fault=Fault.PLANK_NUMBER, found=plank, wanted=1, planks=(plank,))
    listings: Counter[str] = Counter()
    for cut in ledger.plan.planks:
        listings.update(cut.pieces)
        yield from _one_list(cut, ledger)
    for plank, uses in ledger.taken.items():
        if plank not in ledger.listed:
            yield _of(Fault.PLANK_UNLISTED, uses, found=0, wanted=1, plank=plank)
    for name, used in ledger.by_id.items():
        if listings[name] == 0 and used.piece.plank in ledger.listed:
            yield _of(Fault.PIECE_UNLISTED, [used], found=0, wanted=1, plank=used.piece.plank)
        if listings[name] > 1:
            yield _of(
                Fault.PIECE_LISTED_TWICE, [used], found=listings[name], wanted=1, plank=used.piece.plank
            )


def _one_list(cut: CutPlank, ledger: Ledger) -> Iterator[Finding]:
    if not cut.pieces:
        yield Finding(fault=Fault.PLANK_UNUSED, found=0, wanted=1, planks=(cut.plank,))
    for name in cut.pieces:
        used = ledger.by_id.get(name)
        if used is None:
            yield Finding(fault=Fault.PIECE_UNKNOWN, found=0, wanted=1, pieces=(name,), planks=(cut.plank,))
        elif used.piece.plank != cut.plank:
            yield _of(Fault.WRONG_PLANK, [used], found=cut.plank, wanted=used.piece.plank, plank=cut.plank)


def _of(fault: Fault, uses: Sequence[Used], *, found: int | str, wanted: int | str, plank: int) -> Finding:
    return Finding(
        fault=fault,
        rows=tuple(sorted({used.row for used in uses})),
        found=found,
        wanted=wanted,
        pieces=tuple(used.piece.id for used in uses),
        planks=(plank,),
    )


@dataclass(frozen=True, slots=True)
class _Plank:
    """A plank whose list of pieces holds good, pieces from its left end."""

    ledger: Ledger
    cut: CutPlank
    uses: list[Used]

    @property
    def length(self) -> Ticks:
        return self.ledger.plan.plank.length if self.cut.length is None else self.cut.length

    @property
    def left_over(self) -> Ticks:
        """What is left when all pieces are parted by kerfs, nested where they may be."""
        return room_left(self.uses, self.length, self.ledger.plan.plank.kerf) + self.nests.saved

    @property
    def nests(self) -> Nests:
        """What slanted ends side by side save."""
        return nests_on(self.cut, self.uses, self.ledger)

    @property
    def handed(self) -> bool:
        """Whether it may not be turned end for end: nor may a strip, of which one long edge is ripped."""
        return self.ledger.plan.plank.ends is Ends.HANDED or self.cut.strip is not None

    @property
    def has(self) -> tuple[bool, bool]:
        """Whether the plank came with its left and with its right factory end."""
        factory = self.cut.factory
        return factory in (Keeps.LEFT, Keeps.BOTH), factory in (Keeps.RIGHT, Keeps.BOTH)


def _cutting(plank: _Plank) -> Iterator[Finding]:
    too_long = [used for used in plank.uses if used.piece.length > plank.length]
    if too_long:
        for used in too_long:
            yield _of(
                Fault.PIECE_TOO_LONG,
                [used],
                found=used.piece.length,
                wanted=plank.length,
                plank=plank.cut.plank,
            )
        return
    loss = plank.ledger.plan.plank.kerf + plank.ledger.plan.rules.fit
    room = room_left(plank.uses, plank.length, loss) + plank.nests.saved
    if room < 0:
        yield _of(
            Fault.PLANK_TOO_FULL,
            plank.uses,
            found=plank.length - room,
            wanted=plank.length,
            plank=plank.cut.plank,
        )
        return
    wrong_ends = list(_ends(plank))
    yield from wrong_ends
    yield from _offcuts(plank, judge_ends=not wrong_ends)


def _ends(plank: _Plank) -> Iterator[Finding]:
    """Yield marks of factory and cut ends that no cutting of this plank gives."""
    if len(plank.uses) == 1:
        yield from _ends_of_one(plank)
    else:
        yield from _ends_of_many(plank)


def _ends_of_one(plank: _Plank) -> Iterator[Finding]:
    used = plank.uses[0]
    piece = used.piece
    claimed = (piece.left is End.FACTORY, piece.right is End.FACTORY)
    if all(claimed) and piece.length < plank.length:
        yield _of(Fault.BOTH_FACTORY, [used], found=piece.length, wanted=plank.length, plank=plank.cut.plank)
    elif not _offered(claimed, plank):
        yield _word(Fault.FACTORY_AMID, used, plank, End.FACTORY, End.CUT)
    # A whole plank leaves nothing to trim; a slanted cut takes only from the shorter long edge.
    square_cuts = [
        (piece.left is End.CUT and not piece.left_slant),
        (piece.right is End.CUT and not piece.right_slant),
    ]
    if plank.left_over == 0 and not _trimmable(square_cuts, plank):
        yield _word(Fault.NOT_TRIMMED, used, plank, End.CUT, End.FACTORY)


def _offered(claimed: tuple[bool, bool], plank: _Plank) -> bool:
    """Whether the plank has the factory ends that its only piece claims, turned round if it may be."""
    if plank.handed:
        return all(has or not wanted for wanted, has in zip(claimed, plank.has, strict=True))
    return sum(claimed) <= sum(plank.has)


def _trimmable(square_cuts: Sequence[bool], plank: _Plank) -> bool:
    """Whether a piece as long as its plank can have these cut ends: only where the plank came so."""
    if plank.handed:
        return not any(cut and has for cut, has in zip(square_cuts, plank.has, strict=True))
    return sum(square_cuts) <= plank.has.count(False)


def _ends_of_many(plank: _Plank) -> Iterator[Finding]:
    last = len(plank.uses) - 1
    for nth, used in enumerate(plank.uses):
        left, right = _on_plank(used.piece, first=nth == 0, last=nth == last, handed=plank.handed)
        has_left, has_right = plank.has
        if (left and not (nth == 0 and has_left)) or (right and not (nth == last and has_right)):
            yield _word(Fault.FACTORY_AMID, used, plank, End.FACTORY, End.CUT)
    if plank.left_over == 0:
        yield from _untrimmed_ends(plank)


def _untrimmed_ends(plank: _Plank) -> Iterator[Finding]:
    """Yield the outer ends of a plank used up exactly that are called cut, though none was taken off them."""
    first, last = plank.uses[0], plank.uses[-1]
    left_slants, right_slants = [first.piece.left_slant], [last.piece.right_slant]
    if not plank.handed:
        left_slants.append(first.piece.right_slant)
        right_slants.append(last.piece.left_slant)
    if plank.has[0] and not _keeps_left(plank) and not any(left_slants):
        yield _word(Fault.NOT_TRIMMED, first, plank, End.CUT, End.FACTORY)
    if plank.has[1] and not _keeps_right(plank) and not any(right_slants):
        yield _word(Fault.NOT_TRIMMED, last, plank, End.CUT, End.FACTORY)


def _on_plank(piece: Piece, *, first: bool, last: bool, handed: bool) -> tuple[bool, bool]:
    """Return whether the left and the right end, as the piece lay on the plank, are factory ends.

    With square ends a piece with one factory end may have been turned: it lay the way that fits.
    """
    ends = piece.left is End.FACTORY, piece.right is End.FACTORY
    return ends[::-1] if lies_turned(piece, first=first, last=last, handed=handed) else ends


def _keeps_left(plank: _Plank) -> bool:
    return _on_plank(plank.uses[0].piece, first=True, last=False, handed=plank.handed)[0]


def _keeps_right(plank: _Plank) -> bool:
    return _on_plank(plank.uses[-1].piece, first=False, last=True, handed=plank.handed)[1]


def _word(fault: Fault, used: Used, plank: _Plank, found: End, wanted: End) -> Finding:
    return _of(fault, [used], found=found.value, wanted=wanted.value, plank=plank.cut.plank)


def _offcuts(plank: _Plank, *, judge_ends: bool) -> Iterator[Finding]:
    """One offcut of length P - T - m k where that is positive (k the kerf alone: fit is no loss), else none.

    Where pieces nest, T is less what that saves, and the last kerf as long as the steepest slant makes it.
    """
    length = plank.left_over - plank.nests.last_cut
    wanted = 1 if length > 0 else 0
    if len(plank.cut.offcuts) != wanted:
        yield _of(
            Fault.OFFCUT_COUNT, plank.uses, found=len(plank.cut.offcuts), wanted=wanted, plank=plank.cut.plank
        )
        return
    for offcut in plank.cut.offcuts:
        if offcut.length != length:
            yield _of(
                Fault.OFFCUT_LENGTH, plank.uses, found=offcut.length, wanted=length, plank=plank.cut.plank
            )
        possible = _possible_keeps(plank)
        if judge_ends and offcut.keeps not in possible:
            words = " or ".join(keeps.value for keeps in possible)
            yield _of(
                Fault.OFFCUT_KEEPS, plank.uses, found=offcut.keeps.value, wanted=words, plank=plank.cut.plank
            )


def _possible_keeps(plank: _Plank) -> tuple[Keeps, ...]:
    """Return which factory end the leftover can keep, given the ends that the pieces keep."""
    left = Keeps.LEFT if plank.has[0] else Keeps.NONE
    right = Keeps.RIGHT if plank.has[1] else Keeps.NONE
    for kept_left, kept_right in _kept(plank):
        if kept_left and kept_right:
            return (Keeps.NONE,)
    possible: list[Keeps] = []
    for kept_left, kept_right in _kept(plank):
        if kept_left:
            possible.append(right)
        elif kept_right:
            possible.append(left)
        else:
            # Both outer ends were trimmed: the leftover may lie at either end, or between.
            possible += [left, right, Keeps.NONE]
    return tuple(dict.fromkeys(possible))


def _kept(plank: _Plank) -> list[tuple[bool, bool]]:
    """Return the ways the pieces can keep the plank's left and right end; a turned piece has two."""
    if len(plank.uses) > 1:
        return [(_keeps_left(plank), _keeps_right(plank))]
    piece = plank.uses[0].piece
    marks = (piece.left is End.FACTORY, piece.right is End.FACTORY)
    return [marks] if plank.handed else [marks, marks[::-1]]


def _rooms(ledger: Ledger) -> Iterator[Finding]:
    for plank, uses in ledger.taken.items():
        # Rooms whose rows run through count as one.
        fields = {used.laid.run.field for used in uses}
        if len(fields) > 1:
            yield _of(Fault.OTHER_ROOM, uses, found=len(fields), wanted=1, plank=plank)


def _lots(ledger: Ledger) -> Iterator[Finding]:
    """Yield every row, or every field, laid from planks of more than one lot."""
    by_row = ledger.plan.rules.lots is KeepLots.ROW
    lots: defaultdict[str | int, set[str]] = defaultdict(set)
    uses: defaultdict[str | int, list[Used]] = defaultdict(list)
    for used in ledger.by_id.values():
        where = used.row if by_row else used.laid.run.field
        cut = ledger.listed.get(used.piece.plank)
        lots[where].add(cut.lot if cut else "")
        uses[where].append(used)
    for where, found in lots.items():
        if len(found) > 1:
            rows = tuple(sorted({used.row for used in uses[where]}))
            yield Finding(fault=Fault.LOTS_MIXED, rows=rows, found=len(found), wanted=1)
