"""The plan looked up by piece, by plank and by line: built once, then only read."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from cutopt.model.plan import CutPlank, LaidRun, Piece, Plan, Source
from cutopt.units import Ticks

__all__ = ["Ledger", "Used", "open_ledger", "room_left"]


@dataclass(frozen=True, slots=True)
class Used:
    """A piece and the run it is laid in."""

    laid: LaidRun
    piece: Piece

    @property
    def row(self) -> int:
        """The job's row the piece is laid in."""
        return self.laid.run.row


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """A plan and its look-ups. Where an id or a number stands twice, the first one counts.

    ``taken`` lists the pieces that name a plank as theirs, in the order laid; ``listed`` the planks by
    number; ``lines`` the runs of every line of every field. ``strips`` are the entries of strips that lay
    beside ripped pieces; ``in_strip`` finds, by a piece's id, the one it is listed in.
    """

    plan: Plan
    by_id: dict[str, Used]
    taken: dict[int, list[Used]]
    listed: dict[int, CutPlank]
    lines: dict[tuple[str, int], list[LaidRun]]
    strips: list[CutPlank]
    in_strip: dict[str, CutPlank]

    def plank_length(self, plank: int) -> Ticks:
        """Return a plank's own length, else the job's."""
        cut = self.listed.get(plank)
        own = cut.length if cut else None
        return self.plan.plank.length if own is None else own

    def opened(self) -> int:
        """Count the planks that come from boxes, those spoiled before they gave a piece among them."""
        hand = {number for number, cut in self.listed.items() if cut.source is Source.HAND}
        return len(self.taken.keys() - hand) + len(self.plan.spoiled)

    def parts(self) -> list[tuple[list[Used], Ticks]]:
        """Return what is crosscut by itself, planks and strips: its pieces as laid, and its length."""
        found: dict[tuple[int, str], list[Used]] = {}
        for plank, uses in self.taken.items():
            for used in uses:
                found.setdefault((plank, self._beside(used)), []).append(used)
        return [(uses, self.cut_from(uses[0])) for uses in found.values()]

    def shares(self, used: Used) -> list[Used]:
        """Return the pieces cut from the same plank, or from the same strip of it, itself among them."""
        where = self._beside(used)
        return [other for other in self.taken[used.piece.plank] if self._beside(other) == where]

    def cut_from(self, used: Used) -> Ticks:
        """Return the length of the plank or strip that a piece is cut from."""
        strip = self.in_strip.get(used.piece.id)
        own = strip.length if strip else None
        return self.plank_length(used.piece.plank) if own is None else own

    def _beside(self, used: Used) -> str:
        strip = self.in_strip.get(used.piece.id)
        return strip.beside if strip and strip.plank == used.piece.plank else ""

    @property
    def one_length(self) -> bool:
        """Whether all planks have the job's length, but for parts in hand and what is left of spoiled ones."""
        return all(
            self.plank_length(number) == self.plan.plank.length
            for number, cut in self.listed.items()
            if cut.source is Source.BOX and not cut.lost
        )


def room_left(uses: Sequence[Used], length: Ticks, loss: Ticks) -> Ticks:
    """Return what is left of a plank or strip cut into ``uses`` with ``loss`` between every two of them."""
    return length - sum(used.piece.length for used in uses) - (len(uses) - 1) * loss


def open_ledger(plan: Plan) -> Ledger:
    """Look a plan's pieces, planks and lines up."""
    by_id: dict[str, Used] = {}
    taken: defaultdict[int, list[Used]] = defaultdict(list)
    lines: defaultdict[tuple[str, int], list[LaidRun]] = defaultdict(list)
    for laid in plan.rows:
        lines[laid.run.field, laid.run.line].append(laid)
        for piece in laid.pieces:
            used = Used(laid, piece)
            by_id.setdefault(piece.id, used)
            taken[piece.plank].append(used)
    listed: dict[int, CutPlank] = {}
    strips = [cut for cut in plan.planks if cut.strip is not None]
    for cut in plan.planks:
        if cut.strip is None:
            listed.setdefault(cut.plank, cut)
    return Ledger(
        plan=plan,
        by_id=by_id,
        taken=dict(taken),
        listed=listed,
        lines=dict(lines),
        strips=strips,
        in_strip={name: strip for strip in reversed(strips) for name in strip.pieces},
    )
