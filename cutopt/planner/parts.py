"""Parts of planks in hand, as the planner asks of them: which pieces they can give, and when they wait."""

from collections.abc import Iterable
from dataclasses import replace

from cutopt.model.plan import HandPart, Keeps, PieceCut

__all__ = ["fresh_planks", "gives_end", "gives_starter", "is_idle", "mirrored"]

_MIRRORED = {Keeps.LEFT: Keeps.RIGHT, Keeps.RIGHT: Keeps.LEFT}


def mirrored(part: HandPart) -> HandPart:
    """Return a part as it is seen in a mirror."""
    return replace(part, keeps=_MIRRORED.get(part.keeps, part.keeps))


def is_idle(part: HandPart) -> bool:
    """Say whether a part waits only once it is cut: no plan has cut its plank before."""
    return part.plank is None


def gives_starter(part: HandPart, *, handed: bool) -> bool:
    """Say whether a part keeps the end that a starter laid from the left needs; square ends: any end."""
    return part.keeps in {Keeps.RIGHT, Keeps.BOTH} or (not handed and part.keeps is Keeps.LEFT)


def gives_end(part: HandPart, *, handed: bool) -> bool:
    """Say whether a part keeps the end that an end piece needs; square ends: any end."""
    return part.keeps in {Keeps.LEFT, Keeps.BOTH} or (not handed and part.keeps is Keeps.RIGHT)


def fresh_planks(laid: Iterable[Iterable[PieceCut]]) -> int:
    """Count the fresh planks that are opened for what is laid."""
    return len({piece.plank for pieces in laid for piece in pieces if piece.plank >= 0})
