"""The fewest planks of a tiny floor whose first and last row may share them lengthwise, by trying everything."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, combinations

from enumerator import layings

from cutopt.model.floor import Floor
from cutopt.model.job import Ends, PlankSpec, Rules
from cutopt.model.plan import Part

__all__ = ["fewest_with_strips"]

_NEVER = 10**9
BOTH = 2


@dataclass(frozen=True)
class _Piece:
    """A piece to cut, and whether it lies in the first (0) or the last row (1), or between (``None``)."""

    part: Part
    length: int
    edge: int | None

    @property
    def left(self) -> bool:
        return self.part in {Part.END, Part.WHOLE}

    @property
    def right(self) -> bool:
        return self.part in {Part.STARTER, Part.WHOLE}


def fewest_with_strips(floor: Floor, plank: PlankSpec, rules: Rules) -> int | None:
    """Return the fewest planks of any plan; ``None`` where there is none.

    For floors of one room, walls square, its rows one run each, the edge rows ripped so that any strip of the
    one fits beside one of the other; any number of planks may wait, and all cuts are on the step.
    """
    best, known = _NEVER, {}
    last = len(floor.runs) - 1
    for laying in layings(floor, plank, rules):
        pieces = sorted(
            (
                _Piece(part, length, {0: 0, last: 1}.get(row))
                for row, way in enumerate(laying)
                for part, length in way
            ),
            key=repr,
        )
        if (key := tuple(pieces)) not in known:
            known[key] = min(
                (_planks(kept, plank, rules, best) for kept in _kept(pieces, plank, rules)), default=_NEVER
            )
        best = min(best, known[key])
    return best if best < _NEVER else None


def _kept(pieces: Sequence[_Piece], plank: PlankSpec, rules: Rules) -> Iterator[list[_Piece]]:
    """Yield what is left to cut from planks outright, for all sets of pieces that strips can give."""
    edge = [nth for nth, piece in enumerate(pieces) if piece.edge is not None]
    for fed in chain.from_iterable(combinations(edge, count) for count in range(len(edge) + 1)):
        kept = [piece for nth, piece in enumerate(pieces) if nth not in fed]
        if _can_feed([pieces[nth] for nth in fed], kept, [[] for _ in kept], plank, rules):
            yield kept


def _can_feed(fed, hosts, strips, plank, rules) -> bool:
    """Say whether all of ``fed`` can be cut from the strips beside ``hosts``, the first ones as in ``strips``."""
    if not fed:
        return True
    for host, strip in zip(hosts, strips, strict=True):
        if host.edge is None or host.edge == fed[0].edge:
            continue
        strip.append(fed[0])
        if _strip_gives(host, strip, plank, rules) and _can_feed(fed[1:], hosts, strips, plank, rules):
            return True
        strip.pop()
    return False


def _strip_gives(host: _Piece, cut: Sequence[_Piece], plank: PlankSpec, rules: Rules) -> bool:
    left, right = sum(piece.left for piece in cut), sum(piece.right for piece in cut)
    loss = (len(cut) - 1) * (plank.kerf + rules.fit)
    fits = sum(piece.length for piece in cut) + loss <= host.length
    return fits and left <= host.left and right <= host.right


def _planks(pieces: Sequence[_Piece], plank: PlankSpec, rules: Rules, best: int) -> int:
    """Return the fewest planks for pieces of whatever width, one part of a plank each; at most ``best``."""
    if -(-sum(piece.length for piece in pieces) // plank.length) >= best:
        return best
    planks: list[list[_Piece]] = []

    def fits(cut) -> bool:
        left, right = sum(piece.left for piece in cut), sum(piece.right for piece in cut)
        most = 1 if plank.ends is Ends.HANDED else 2
        loss = (len(cut) - 1) * (plank.kerf + rules.fit)
        long = sum(piece.length for piece in cut) + loss
        return left <= most and right <= most and left + right <= BOTH and long <= plank.length

    def put(nth) -> None:
        nonlocal best
        if len(planks) >= best:
            return
        if nth == len(pieces):
            best = len(planks)
            return
        for cut in planks:
            cut.append(pieces[nth])
            if fits(cut):
                put(nth + 1)
            cut.pop()
        planks.append([pieces[nth]])
        put(nth + 1)
        planks.pop()

    put(0)
    return best
