"""Planks sawn piece by piece, and all ways to pair pieces tried: how the answers on sharing are proven."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from cutopt.model.teaching import Answer, Grade
from cutopt.teach.topics._pairs import Case
from cutopt.teach.topics._rows import laid
from cutopt.units import Ticks

__all__ = ["solve"]

_Piece = tuple[str, Ticks]
"""A piece by the factory end it needs, ``<`` or ``>`` (``*``: either), and its length."""


def solve(case: Case) -> tuple[Answer, ...]:
    """Return the answers by sawing planks, piece by piece, and trying all ways to pair the pieces."""
    if case.grade is Grade.FIRST:
        first, *wholes, last = laid(case.firsts[0], case.row, case.plank)
        both = _sawn((first, last), case) is not None
        closets = 1
        while _sawn((case.closet,) * (closets + 1), case) is not None:
            closets += 1
        return last, "yes" if both else "no", len(wholes) + (1 if both else 2), closets
    click = [*((">", first) for first in case.firsts), *(("<", last) for last in case.lasts)]
    turned = [("*", length) for _, length in click]
    if case.grade is Grade.SECOND:
        beside = tuple(
            row
            for row, last in enumerate(case.lasts, start=1)
            if _sawn((last, case.firsts[0]), case) is not None
        )
        pieces = turned if case.turns else click
        rest = _sawn((case.lasts[beside[0] - 1], case.firsts[0]), case) or 0
        return (
            beside,
            rest,
            "yes" if _joins(pieces[0], pieces[1], case) else "no",
            min(_ways(pieces, case))[0],
        )
    chain = [
        (">", case.firsts[0]),
        *(piece for pair in zip(click[4:], click[1:4], strict=False) for piece in pair),
    ]
    opened = len(click) - sum(here[0] == "<" and _joins(here, there, case) for here, there in pairwise(chain))
    planks = min(_ways(click, case))[0]
    left = {rest for count, rest in _ways(click, case) if count == planks}
    (rest,) = left
    return opened, planks, rest, min(_ways(turned, case))[0]


def _sawn(pieces: Sequence[Ticks], case: Case) -> Ticks | None:
    """Return what is left of a plank sawn from its left end, or None where it is too short; no cut at its very end."""
    left = case.plank
    for piece in pieces:
        if left < piece:
            return None
        left = max(0, left - piece - case.kerf)
    return left


def _joins(one: _Piece, other: _Piece, case: Case) -> bool:
    """Say whether two pieces come from one plank, which has each of its factory ends once."""
    return (one[0] == "*" or one[0] != other[0]) and _sawn((one[1], other[1]), case) is not None


def _ways(pieces: Sequence[_Piece], case: Case) -> Iterator[tuple[int, Ticks]]:
    """Yield planks opened, and what is left of them, of every way to cut the pieces, one or two a plank."""
    if not pieces:
        yield 0, 0
        return
    one, *others = pieces
    for planks, left in _ways(others, case):
        yield planks + 1, left + (_sawn((one[1],), case) or 0)
    for nth, other in enumerate(others):
        if _joins(one, other, case):
            rest = _sawn((one[1], other[1]), case) or 0
            for planks, left in _ways([*others[:nth], *others[nth + 1 :]], case):
                yield planks + 1, left + rest
