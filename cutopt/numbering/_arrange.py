"""How the pieces of one plank lie on it, from its left end.

A starter laid from the left is the right-hand part of its plank and an end piece the left-hand part
(from the right it is the other way about): cut ends face walls, factory ends face factory ends. Single
pieces lie between them. What is left over stays in one stretch and keeps a factory end where it can.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum, auto

from cutopt.model.plan import CutPlank, End, Keeps, Offcut, Part, Piece
from cutopt.units import Ticks

__all__ = ["Arranged", "Use", "arrange", "arrange_strip"]


SECOND = 2
"""The number of the strip that lies beside a ripped piece."""


class _Rest(Enum):
    """Where on the plank the leftover lies."""

    LEFT = auto()
    MIDDLE = auto()
    RIGHT = auto()


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """One piece taken from a plank; ``row`` is the job's row it is laid in."""

    id: str
    row: int
    part: Part
    length: Ticks


@dataclass(frozen=True, slots=True, kw_only=True)
class Arranged:
    """A plank with its pieces in place, and the (left, right) ends of each piece as laid."""

    cut: CutPlank
    ends: dict[str, tuple[End, End]]
    cuts: int
    first_row: int
    last_row: int


def arrange(plank: int, uses: Sequence[Use], *, length: Ticks, kerf: Ticks, starter_right: bool) -> Arranged:
    """Place the pieces of one plank; ``uses`` come in the order laid, all lengths in ticks.

    ``starter_right`` says that a starter keeps the plank's right factory end (laying from the left).
    Two pieces that want the same end share a plank only where one can be turned round: the one
    laid first keeps its place.
    """
    order, rest = _order(uses, starter_right=starter_right)
    spare = length - sum(use.length for use in uses) - (len(uses) - 1) * kerf
    over = spare - kerf
    keeps = {_Rest.LEFT: Keeps.LEFT, _Rest.MIDDLE: Keeps.NONE, _Rest.RIGHT: Keeps.RIGHT}[rest]
    return Arranged(
        cut=CutPlank(
            plank=plank,
            pieces=tuple(use.id for use in order),
            offcuts=(Offcut(length=over, keeps=keeps),) if over > 0 else (),
        ),
        ends=_ends(order, rest if spare else None, starter_right=starter_right),
        cuts=len(uses) - 1 + (spare > 0),
        first_row=min(use.row for use in uses),
        last_row=max(use.row for use in uses),
    )


def arrange_strip(
    host: Piece, uses: Sequence[Use], *, width: Ticks, kerf: Ticks, starter_right: bool
) -> Arranged:
    """Place the pieces of the strip that lay beside ``host``: as long as it is, with the ends it has."""
    placed = arrange(host.plank, uses, length=host.length, kerf=kerf, starter_right=starter_right)
    has = _keeps(host.left, host.right)
    ends = {
        name: (
            left if host.left is End.FACTORY else End.CUT,
            right if host.right is End.FACTORY else End.CUT,
        )
        for name, (left, right) in placed.ends.items()
    }
    strip = replace(
        placed.cut,
        offcuts=tuple(
            replace(offcut, keeps=offcut.keeps if has in (Keeps.BOTH, offcut.keeps) else Keeps.NONE)
            for offcut in placed.cut.offcuts
        ),
        length=host.length,
        factory=has,
        strip=SECOND,
        width=width,
        beside=host.id,
    )
    return replace(placed, cut=strip, ends=ends)


def _keeps(left: End, right: End) -> Keeps:
    if left is right:
        return Keeps.BOTH if left is End.FACTORY else Keeps.NONE
    return Keeps.LEFT if left is End.FACTORY else Keeps.RIGHT


def _order(uses: Sequence[Use], *, starter_right: bool) -> tuple[list[Use], _Rest]:
    """Return the pieces from the plank's left end and where the leftover lies among them."""
    keepers = [use for use in uses if use.part in (Part.STARTER, Part.END)]
    singles = [use for use in uses if use not in keepers]
    if not keepers:
        return singles, _Rest.RIGHT
    first_right = _wants_right(keepers[0], starter_right=starter_right)
    if len(keepers) > 1:
        left, right = (keepers[1], keepers[0]) if first_right else (keepers[0], keepers[1])
        return [left, *singles, right, *keepers[2:]], _Rest.MIDDLE
    if first_right:
        return [*reversed(singles), keepers[0]], _Rest.LEFT
    return [keepers[0], *singles], _Rest.RIGHT


def _wants_right(use: Use, *, starter_right: bool) -> bool:
    return (use.part is Part.STARTER) == starter_right


def _ends(order: Sequence[Use], rest: _Rest | None, *, starter_right: bool) -> dict[str, tuple[End, End]]:
    """Return the ends of each piece as laid; ``rest`` is ``None`` where the plank is used up exactly."""
    found = {}
    for use in order:
        left = use is order[0] and rest is not _Rest.LEFT
        right = use is order[-1] and rest is not _Rest.RIGHT
        if use.part in (Part.STARTER, Part.END) and not (left and right):
            right = _wants_right(use, starter_right=starter_right)
            left = not right
        found[use.id] = (_end(factory=left), _end(factory=right))
    return found


def _end(*, factory: bool) -> End:
    return End.FACTORY if factory else End.CUT
