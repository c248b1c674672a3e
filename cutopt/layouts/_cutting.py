"""How the pieces of one plank lie on it: as a layout must have had them cut, if they can be.

A piece at a left wall keeps the right factory end of its plank and one at a right wall the left, for cut ends
face walls. Where two pieces want the same end, one is turned, if planks may be; else the one laid later is left
with a factory end that its plank has not got there, which the check then finds.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum, auto

from cutopt.model.job import Ends, PlankSpec
from cutopt.model.plan import CutPlank, End, Keeps, Offcut
from cutopt.units import Ticks

__all__ = ["Cut", "Seat", "Use", "cut_plank"]

_BOTH_ENDS = (End.FACTORY, End.FACTORY)
_LEFT_END = (End.FACTORY, End.CUT)
_RIGHT_END = (End.CUT, End.FACTORY)
_NO_END = (End.CUT, End.CUT)


class Seat(Enum):
    """Where a piece lies in its row."""

    LEFT = auto()
    INSIDE = auto()
    RIGHT = auto()
    ALONE = auto()


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """One piece of a plank: its id, the row it is laid in, where in it, and its length in ticks."""

    id: str
    row: int
    seat: Seat
    length: Ticks


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A plank cut: its entry in the plan, the (left, right) ends of its pieces as laid, crosscuts, and rows."""

    plank: CutPlank
    ends: Mapping[str, tuple[End, End]]
    cuts: int
    rows: frozenset[int]


@dataclass(frozen=True, slots=True)
class _Order:
    """Pieces from the plank's left end: those that keep that end, those that keep neither, those that keep the right.

    Only the first of all and the last of all really get their end.
    """

    left: tuple[Use, ...]
    between: tuple[Use, ...]
    right: tuple[Use, ...]

    @property
    def uses(self) -> tuple[Use, ...]:
        return *self.left, *self.between, *self.right[::-1]


def cut_plank(plank: int, uses: Sequence[Use], spec: PlankSpec, *, own_length: Ticks | None = None) -> Cut:
    """Return a plank cut into pieces, given in the order laid; ``own_length`` where it is not the job's."""
    length = spec.length if own_length is None else own_length
    order = _order(uses, length, handed=spec.ends is Ends.HANDED)
    spare = length - sum(use.length for use in uses) - (len(uses) - 1) * spec.kerf
    over = spare - spec.kerf
    ends = {use.id: _ends(use, order, length) for use in uses}
    if spare == 0 or not (order.left or order.right):
        ends |= _outer_ends(order, ends, used_up=spare == 0, handed=spec.ends is Ends.HANDED)
    offcuts = (Offcut(length=over, keeps=_left_over(order)),) if over > 0 else ()
    return Cut(
        plank=CutPlank(
            plank=plank, pieces=tuple(use.id for use in order.uses), offcuts=offcuts, length=own_length
        ),
        ends=ends,
        cuts=len(uses) - 1 + (spare > 0),
        rows=frozenset(use.row for use in uses),
    )


def _order(uses: Sequence[Use], length: Ticks, *, handed: bool) -> _Order:
    left = [use for use in uses if use.seat is Seat.RIGHT and use.length < length]
    right = [use for use in uses if use.seat is Seat.LEFT and use.length < length]
    for use in uses:
        # Inside a row only whole planks can lie; a shorter piece has a cut end there, whichever it is.
        if use.seat is Seat.INSIDE and use.length < length:
            (right if left else left).append(use)
    if not handed and len(left) > 1 and not right:
        right = [left.pop(1)]
    elif not handed and len(right) > 1 and not left:
        left = [right.pop(1)]
    kept = {use.id for use in (*left, *right)}
    between = tuple(use for use in uses if use.id not in kept)
    return _Order(tuple(left), between, tuple(right))


def _ends(use: Use, order: _Order, length: Ticks) -> tuple[End, End]:
    """Return the ends of a piece as laid."""
    if use.length >= length:
        return _BOTH_ENDS
    match use.seat:
        case Seat.LEFT:
            return _RIGHT_END
        case Seat.RIGHT:
            return _LEFT_END
        case Seat.INSIDE:
            return _LEFT_END if use in order.left else _RIGHT_END
        case Seat.ALONE:
            return _NO_END


def _outer_ends(
    order: _Order, ends: Mapping[str, tuple[End, End]], *, used_up: bool, handed: bool
) -> dict[str, tuple[End, End]]:
    """Return the outermost pieces with the factory ends that were not trimmed off them.

    A plank used up has both; one of single pieces alone keeps its left one. A piece that can be turned and has
    one factory end lies with that outwards already.
    """
    first, last = order.uses[0].id, order.uses[-1].id
    found = dict(ends)
    if handed or ends[first] == _NO_END:
        found[first] = End.FACTORY, found[first][1]
    if used_up and (handed or ends[last] == _NO_END):
        found[last] = found[last][0], End.FACTORY
    return found


def _left_over(order: _Order) -> Keeps:
    """Return the factory end that what is left over keeps."""
    if order.left and order.right:
        return Keeps.NONE
    return Keeps.LEFT if order.right else Keeps.RIGHT
