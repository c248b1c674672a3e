"""The plan looked up by piece, by plank and by line: built once, then only read."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from cutopt.model.plan import CutPlank, LaidRun, Piece, Plan
from cutopt.units import Ticks

__all__ = ["Ledger", "Used", "open_ledger"]


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
    number; ``lines`` the runs of every line of every field.
    """

    plan: Plan
    by_id: dict[str, Used]
    taken: dict[int, list[Used]]
    listed: dict[int, CutPlank]
    lines: dict[tuple[str, int], list[LaidRun]]

    def plank_length(self, plank: int) -> Ticks:
        """Return a plank's own length, else the job's."""
        cut = self.listed.get(plank)
        own = cut.length if cut else None
        return self.plan.plank.length if own is None else own

    def room_left(self, uses: Sequence[Used], plank: int, loss: Ticks) -> Ticks:
        """Return what is left of a plank cut into ``uses`` with ``loss`` between every two of them."""
        pieces = sum(used.piece.length for used in uses)
        return self.plank_length(plank) - pieces - (len(uses) - 1) * loss

    @property
    def one_length(self) -> bool:
        """Whether all planks have the job's length."""
        return all(self.plank_length(plank) == self.plan.plank.length for plank in self.listed)


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
    for cut in plan.planks:
        listed.setdefault(cut.plank, cut)
    return Ledger(plan=plan, by_id=by_id, taken=dict(taken), listed=listed, lines=dict(lines))
