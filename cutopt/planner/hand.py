"""Parts of planks in hand put to use: pieces planned from fresh planks are cut from parts where that opens fewer.

The rest of a floor is planned as if nothing were in hand. Then, plank by plank, those whose pieces all find
a place in the parts are not opened. That is no search for the layout that suits the parts best; the bound
says how far from the fewest it may be.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate
from math import ceil

from cutopt.model.floor import Floor
from cutopt.model.job import Ends, Lay, PlankSpec, Rules
from cutopt.model.plan import Bound, Cutting, HandPart, Keeps, Part, PieceCut
from cutopt.units import Ticks

__all__ = ["from_hand"]

_Place = tuple[int, int]
"""A piece by its run and its place there, both from 0."""


def from_hand(
    floor: Floor, cutting: Cutting, hand: Sequence[HandPart], plank: PlankSpec, rules: Rules
) -> Cutting:
    """Return a cutting that opens as few fresh planks as parts in hand make possible, and a bound on these.

    Pieces cut from the part ``hand[k]`` are given the plank number -1 - k. Parts that were a plank of kept
    rows wait until they are used, and count so.

    The bound: put a fresh plank in place of every part, and any plan becomes one without parts; so each part
    saves a plank at most. And what the runs take in length, fresh planks and parts must hold.
    """
    bench = _Bench(floor, cutting, hand, plank, rules)
    for number in bench.planks_by_need():
        bench.spare(number)
    return replace(cutting, runs=bench.runs(), bound=_bound(floor, cutting.bound, hand, plank))


def _bound(floor: Floor, bound: Bound, hand: Sequence[HandPart], plank: PlankSpec) -> Bound:
    lengths = sum(run.length - _slants(run.left_slant, run.right_slant) for run in floor.runs)
    by_length = ceil((lengths - sum(part.length for part in hand)) / plank.length)
    fewest = max(0, by_length, bound.planks - len(hand))
    if not hand or fewest == bound.planks:
        return bound
    how = "with every part in hand used up" if fewest == by_length else "if each part in hand saves a plank"
    return Bound(
        planks=fewest, reason=f"{how}, still {fewest} (without parts {bound.planks}: {bound.reason})"
    )


def _slants(left: Ticks, right: Ticks) -> Ticks:
    """Return what two slanted ends may save by lying side by side on their planks."""
    return (abs(left) + abs(right) + 1) // 2


@dataclass(slots=True)
class _Room:
    """What is left of a part: its length, and which factory ends."""

    length: Ticks
    left: bool
    right: bool
    cuts: int = 0


_LEFT = {Keeps.LEFT, Keeps.BOTH}
_RIGHT = {Keeps.RIGHT, Keeps.BOTH}


class _Bench:
    """The planks of a cutting and the parts in hand, while pieces move from the one to the other."""

    def __init__(
        self, floor: Floor, cutting: Cutting, hand: Sequence[HandPart], plank: PlankSpec, rules: Rules
    ) -> None:
        self._rows = [run.row for run in floor.runs]
        self._fields = [run.field for run in floor.runs]
        self._pieces = [list(pieces) for pieces in cutting.runs]
        self._hand = hand
        self._loss = plank.kerf + rules.fit
        self._square = plank.ends is Ends.SQUARE
        self._backwards = rules.lay is Lay.RIGHT_TO_LEFT
        self._cap = rules.max_waiting
        self._rooms = [_Room(part.length, part.keeps in _LEFT, part.keeps in _RIGHT) for part in hand]
        ripped = {piece.beside for pieces in cutting.runs for piece in pieces if piece.beside is not None}
        self._fixed = {self._pieces[run][nth].plank for run, nth in ripped}

    def runs(self) -> tuple[tuple[PieceCut, ...], ...]:
        """Return the pieces of every run with the planks they now come from."""
        return tuple(map(tuple, self._pieces))

    def planks_by_need(self) -> list[int]:
        """Return the planks that parts might stand in for, those with least to cut from them first."""
        need: defaultdict[int, Ticks] = defaultdict(int)
        for piece in (piece for pieces in self._pieces for piece in pieces):
            need[piece.plank] += piece.length
        whole = {piece.plank for pieces in self._pieces for piece in pieces if piece.part is Part.WHOLE}
        return sorted(set(need) - whole - self._fixed, key=lambda number: (need[number], number))

    def spare(self, number: int) -> bool:
        """Cut all pieces of a plank from parts, if they find room there and no more planks wait than may."""
        places = [
            (run, nth)
            for run, pieces in enumerate(self._pieces)
            for nth, piece in enumerate(pieces)
            if piece.plank == number
        ]
        before = [replace(room) for room in self._rooms]
        for place in sorted(places, key=lambda place: -self._piece(place).length):
            found = self._best(place)
            if found is None:
                break
            self._take(found, place)
        else:
            if self._waits_within_cap():
                return True
        self._rooms = before
        for run, nth in places:
            self._pieces[run][nth] = replace(self._pieces[run][nth], plank=number)
        return False

    def _piece(self, place: _Place) -> PieceCut:
        return self._pieces[place[0]][place[1]]

    def _best(self, place: _Place) -> int | None:
        """Return the shortest part that has room for a piece and the factory end it needs.

        Single pieces need none and lie between those that do: they take no end away.
        """
        piece, field = self._piece(place), self._fields[place[0]]
        fitting = [
            nth
            for nth, room in enumerate(self._rooms)
            if room.length >= piece.length + (self._loss if room.cuts else 0)
            and self._has_end(room, piece)
            and self._hand[nth].field in {"", field}
        ]
        return min(fitting, key=lambda nth: (self._rooms[nth].length, nth), default=None)

    def _has_end(self, room: _Room, piece: PieceCut) -> bool:
        if piece.part is Part.SINGLE:
            return True
        if self._square:
            return room.left or room.right
        return room.right if self._wants_right(piece) else room.left

    def _wants_right(self, piece: PieceCut) -> bool:
        return (piece.part is Part.STARTER) != self._backwards

    def _take(self, nth: int, place: _Place) -> None:
        piece, room = self._piece(place), self._rooms[nth]
        room.length -= piece.length + (self._loss if room.cuts else 0)
        room.cuts += 1
        if piece.part is not Part.SINGLE:
            right = self._wants_right(piece)
            if self._square and not (room.right if right else room.left):
                right = not right
            room.right, room.left = (False, room.left) if right else (room.right, False)
        self._pieces[place[0]][place[1]] = replace(piece, plank=-1 - nth)

    def _waits_within_cap(self) -> bool:
        if self._cap is None:
            return True
        first = min(self._rows)
        spans: Mapping[int, list[int]] = self._spans()
        change: defaultdict[int, int] = defaultdict(int)
        for number, rows in spans.items():
            known = number < 0 and self._hand[-1 - number].plank is not None
            start = first - 1 if known else min(rows)
            if max(rows) > start:
                change[start] += 1
                change[max(rows)] -= 1
        return max(accumulate(change[row] for row in sorted(change)), default=0) <= self._cap

    def _spans(self) -> dict[int, list[int]]:
        rows: defaultdict[int, list[int]] = defaultdict(list)
        for row, pieces in zip(self._rows, self._pieces, strict=True):
            for piece in pieces:
                rows[piece.plank].append(row)
        return rows
