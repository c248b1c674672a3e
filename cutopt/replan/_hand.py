"""What is in hand to go on with: rests of planks, parts from stock; and pieces cut anew from these."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from cutopt.model.job import Ends, KeepLots, Lay, ShareOffcuts
from cutopt.model.plan import HandPart, Keeps, LaidRun, Part, Piece, Plan
from cutopt.replan._parts import Begun
from cutopt.replan._waiting import Waiting
from cutopt.units import Ticks

__all__ = ["Bench", "Lost", "part_of"]


@dataclass(frozen=True, slots=True)
class Lost:
    """A piece of a kept run that must be cut anew, by its place there in the order laid, from 0."""

    row: LaidRun
    nth: int
    piece: Piece


class Bench:
    """The parts in hand by the numbers of their planks, while pieces that were lost are cut from them."""

    def __init__(
        self,
        plan: Plan,
        begun: Mapping[int, Begun],
        stock: Sequence[HandPart],
        waiting: Waiting,
        least: Ticks,
    ) -> None:
        """Take in what begun planks leave and what is in stock, which is given numbers after all of the plan."""
        first = max([*(plank.plank for plank in plan.planks), *plan.spoiled], default=0) + 1
        self.stock = dict(enumerate(stock, first))
        self.next_plank = first + len(stock)
        self.withheld = sum(plank.others for plank in begun.values())
        self._plan = plan
        self._waiting = waiting
        self._least = least
        self._begun = begun
        self._parts = {number: plank.part for number, plank in begun.items() if plank.part is not None}
        self._parts |= self.stock

    def cut_anew(self, lost: Lost) -> int:
        """Return the plank a lost piece is cut from: the shortest part that will do, else a fresh plank."""
        row, length = lost.row.run, lost.piece.length
        part = part_of(lost.row, lost.nth, length, self._plan.plank.length)
        for number in sorted(self._parts, key=lambda number: (self._parts[number].length, number)):
            hand = self._parts[number]
            fits = hand.length >= length and self._gives(hand, part) and hand.field in {"", row.field}
            fits = fits and (self._plan.rules.lots is KeepLots.MIX or hand.lot == self._lot_of(lost))
            if fits and self._waiting.reaches(number, row.row):
                self.withheld += 1
                self._take(number, hand, length, part, row.field)
                return number
        number, self.next_plank = self.next_plank, self.next_plank + 1
        self._waiting.reaches(number, row.row)
        whole = HandPart(length=self._plan.plank.length, keeps=Keeps.BOTH)
        self._take(number, whole, length, part, row.field)
        return number

    def parts(self) -> Iterator[tuple[int, HandPart]]:
        """Yield the parts there are for the rows left, no more of them than may wait."""

        def turn(number: int) -> tuple[bool, Ticks, int]:
            begun = self._begun.get(number)
            return not (begun and begun.waits), -self._parts[number].length, number

        for number in sorted(self._parts, key=turn):
            if self._waiting.holds(number):
                yield number, self._parts[number]
            else:
                self.withheld += 1

    def _lot_of(self, lost: Lost) -> str:
        lots = {plank.plank: plank.lot for plank in self._plan.planks if plank.strip is None}
        return lots.get(lost.piece.plank, "")

    def left_to_rest(self) -> int | None:
        """Return how many planks may wait among the rows left; ``None``: any number."""
        return self._waiting.left_to_rest()

    def _take(self, number: int, hand: HandPart, length: Ticks, part: Part, field: str) -> None:
        left = hand.length - length - self._plan.plank.kerf - self._plan.rules.fit
        self._parts.pop(number, None)
        if left >= max(self._least, 1):
            room = field if self._plan.rules.share_offcuts is ShareOffcuts.ROOM else ""
            keeps = self._keeps_after(hand.keeps, part)
            self._parts[number] = replace(hand, length=left, keeps=keeps, plank=number, field=room)

    def _wanted(self, part: Part) -> Keeps:
        """Return the factory end that a starter or an end piece keeps."""
        backwards = self._plan.rules.lay is Lay.RIGHT_TO_LEFT
        return Keeps.RIGHT if (part is Part.STARTER) != backwards else Keeps.LEFT

    def _gives(self, hand: HandPart, part: Part) -> bool:
        if part is Part.SINGLE:
            return True
        if part is Part.WHOLE:
            return False
        if self._plan.plank.ends is Ends.SQUARE:
            return hand.keeps is not Keeps.NONE
        return hand.keeps in (self._wanted(part), Keeps.BOTH)

    def _keeps_after(self, keeps: Keeps, part: Part) -> Keeps:
        if part is Part.SINGLE:
            return keeps
        other = {Keeps.LEFT: Keeps.RIGHT, Keeps.RIGHT: Keeps.LEFT}[self._wanted(part)]
        return other if keeps is Keeps.BOTH else Keeps.NONE


def part_of(row: LaidRun, nth: int, length: Ticks, whole: Ticks) -> Part:
    """Return which part of its run a piece is, ``nth`` in the order laid, from 0."""
    if length == whole:
        return Part.WHOLE
    if len(row.pieces) == 1:
        return Part.SINGLE
    return Part.STARTER if nth == 0 else Part.END
