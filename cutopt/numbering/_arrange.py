"""How the pieces of one plank lie on it, from its left end.

A starter laid from the left is the right-hand part of its plank and an end piece the left-hand part
(from the right it is the other way about): cut ends face walls, factory ends face factory ends. Single
pieces lie between them. What is left over stays in one stretch and keeps a factory end where it can.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum, auto
from itertools import pairwise

from cutopt.model.plan import CutPlank, Done, End, HandPart, Keeps, Offcut, Part, Piece, Source
from cutopt.model.slants import kerf_along, saved_by_nesting
from cutopt.units import Ticks

__all__ = ["Arranged", "Use", "arrange", "arrange_part", "arrange_strip"]


SECOND = 2
"""The number of the strip that lies beside a ripped piece."""


class _Rest(Enum):
    """Where on the plank the leftover lies."""

    LEFT = auto()
    MIDDLE = auto()
    RIGHT = auto()


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """One piece taken from a plank; ``row`` is the job's row it is laid in.

    ``slants`` are those of its left and right end as laid that may nest, 0 where one may not. ``done`` is told
    of a piece that is cut already.
    """

    id: str
    row: int
    part: Part
    length: Ticks
    slants: tuple[Ticks, Ticks] = (0, 0)
    done: Done | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Arranged:
    """A plank with its pieces in place, and the (left, right) ends of each piece as laid."""

    cut: CutPlank
    ends: dict[str, tuple[End, End]]
    cuts: int
    first_row: int
    last_row: int


def arrange(  # noqa: PLR0913 - a plank, what is cut from it, and how
    plank: int, uses: Sequence[Use], *, length: Ticks, kerf: Ticks, starter_right: bool, width: Ticks = 0
) -> Arranged:
    """Place the pieces of one plank; ``uses`` come in the order laid, all lengths in ticks.

    ``starter_right`` says that a starter keeps the plank's right factory end (laying from the left).
    Two pieces that want the same end share a plank only where one can be turned round: the one
    laid first keeps its place. On planks of a ``width`` (0: on strips, none do) slanted ends that lie side by side nest; the last
    cut then takes as much as one on the steepest of these slants.
    """
    order, rest = _order(uses, starter_right=starter_right)
    nested = _nested(order, kerf, width, starter_right=starter_right) if width else []
    spare = length - sum(use.length for use in uses) - (len(uses) - 1) * kerf
    spare += sum(saved_by_nesting(*pair, kerf=kerf, width=width) for pair in nested)
    steepest = max((abs(slant) for pair in nested for slant in pair), default=0)
    over = spare - (kerf_along(kerf, steepest, width) if nested else kerf)
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
    placed = _limited(placed, _keeps(host.left, host.right))
    done = tuple(use.id for use in uses if use.done is not None)
    strip = replace(placed.cut, length=host.length, strip=SECOND, width=width, beside=host.id, done=done)
    return replace(placed, cut=strip)


def arrange_part(  # noqa: PLR0913 - a part, what is cut from it, and how
    plank: int, uses: Sequence[Use], part: HandPart, *, kerf: Ticks, starter_right: bool, width: Ticks
) -> Arranged:
    """Place the pieces of a part that was in hand, shorter than a plank or without one of its ends.

    A piece that wants the end it lacks is turned round, which square ends allow: it lies there the other way
    about than it will be laid.
    """
    keepers = [use for use in uses if _keeps_end(use)]
    turned = (
        len(keepers) == 1
        and part.keeps in (Keeps.LEFT, Keeps.RIGHT)
        and _wants_right(keepers[0], starter_right=starter_right) != (part.keeps is Keeps.RIGHT)
    )
    lying = [replace(use, slants=use.slants[::-1]) if turned and use is keepers[0] else use for use in uses]
    placed = arrange(
        plank, lying, length=part.length, kerf=kerf, starter_right=starter_right != turned, width=width
    )
    placed = _limited(placed, part.keeps)
    ends = {
        name: ends[::-1] if turned and name == keepers[0].id else ends for name, ends in placed.ends.items()
    }
    cut = replace(placed.cut, length=part.length, source=Source.HAND, lot=part.lot)
    return replace(placed, cut=cut, ends=ends)


def _limited(placed: Arranged, has: Keeps) -> Arranged:
    """Return an arrangement on something that has only these factory ends."""
    left, right = has in (Keeps.LEFT, Keeps.BOTH), has in (Keeps.RIGHT, Keeps.BOTH)
    ends = {
        name: (ends[0] if left else End.CUT, ends[1] if right else End.CUT)
        for name, ends in placed.ends.items()
    }
    offcuts = tuple(
        replace(offcut, keeps=offcut.keeps if has in (Keeps.BOTH, offcut.keeps) else Keeps.NONE)
        for offcut in placed.cut.offcuts
    )
    return replace(placed, cut=replace(placed.cut, offcuts=offcuts, factory=has), ends=ends)


def _keeps(left: End, right: End) -> Keeps:
    if left is right:
        return Keeps.BOTH if left is End.FACTORY else Keeps.NONE
    return Keeps.LEFT if left is End.FACTORY else Keeps.RIGHT


def _order(uses: Sequence[Use], *, starter_right: bool) -> tuple[list[Use], _Rest]:
    """Return the pieces from the plank's left end and where the leftover lies among them."""
    keepers = [use for use in uses if _keeps_end(use)]
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


def _nested(
    order: Sequence[Use], kerf: Ticks, width: Ticks, *, starter_right: bool
) -> list[tuple[Ticks, Ticks]]:
    """Return the slants that face each other and nest, pieces lying in this order."""
    slants = [use.slants for use in order]
    # Of two pieces that want the same end one is turned, and its ends change sides.
    if _keeps_end(order[0]) and _wants_right(order[0], starter_right=starter_right):
        slants[0] = slants[0][::-1]
    if _keeps_end(order[-1]) and not _wants_right(order[-1], starter_right=starter_right):
        slants[-1] = slants[-1][::-1]
    facing = [(left[1], right[0]) for left, right in pairwise(slants)]
    return [pair for pair in facing if saved_by_nesting(*pair, kerf=kerf, width=width)]


def _keeps_end(use: Use) -> bool:
    return use.part in (Part.STARTER, Part.END)


def _wants_right(use: Use, *, starter_right: bool) -> bool:
    return (use.part is Part.STARTER) == starter_right


def _ends(order: Sequence[Use], rest: _Rest | None, *, starter_right: bool) -> dict[str, tuple[End, End]]:
    """Return the ends of each piece as laid; ``rest`` is ``None`` where the plank is used up exactly."""
    found = {}
    for use in order:
        left = use is order[0] and rest is not _Rest.LEFT
        right = use is order[-1] and rest is not _Rest.RIGHT
        if _keeps_end(use) and not (left and right):
            right = _wants_right(use, starter_right=starter_right)
            left = not right
        found[use.id] = (_end(factory=left), _end(factory=right))
    return found


def _end(*, factory: bool) -> End:
    return End.FACTORY if factory else End.CUT
