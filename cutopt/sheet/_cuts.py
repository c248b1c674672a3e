"""Where each piece lies on its plank, what it is in its run, and where the plank's other parts go."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum, auto
from itertools import pairwise
from typing import Literal, TypeAlias

from cutopt.model.job import Lay
from cutopt.model.plan import CutPlank, End, Keeps, LaidRun, Part, Piece, Plan, Source
from cutopt.model.slants import saved_by_nesting
from cutopt.units import Ticks

__all__ = ["Side", "Spot", "length_of", "places", "row_name", "spots"]

Side: TypeAlias = Literal["left", "right"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One piece: its part of the run, and its place on the plank.

    ``side`` is the factory end it is measured from (``"left"`` or ``"right"``); the piece lies between
    ``near`` and ``far``, in ticks from that end of the whole plank, so ``near`` is 0 where the piece keeps
    that end. ``turned`` says that it is laid the other way round. ``before`` and ``after`` name the places
    in the rows which the plank gave a piece to before this one, and will give one to after it.
    ``exact`` says that what remains of the plank by then is this piece, without a cut; ``at_cut_end`` that
    the piece, away from both factory ends, lies at an end where an earlier one was cut off; ``uncut`` that
    it is the whole plank. A strip beside a ripped piece counts as a plank of its own here: ``beside`` is the
    id of that piece, and ``width`` the strip's; ``strip_to`` are the ids of the pieces cut from the strip
    beside this one. ``nests`` are the ids of pieces whose slanted ends lie beside this one's, so that one cut
    on the slant parts them.
    """

    piece: Piece
    part: Part
    side: Side
    near: Ticks
    far: Ticks
    turned: bool = False
    exact: bool = False
    at_cut_end: bool = False
    uncut: bool = False
    before: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    over: Ticks = 0
    beside: str = ""
    width: Ticks | None = None
    strip_to: tuple[str, ...] = ()
    hand: Ticks | None = None
    lot: str = ""
    nests: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Laid:
    """A piece with its part of the run; ``turn`` is its turn in the order of laying.

    ``slants`` are those of its left and right end as laid, 0 where one cannot nest.
    """

    turn: int
    piece: Piece
    part: Part
    slants: tuple[Ticks, Ticks] = (0, 0)


def row_name(row: LaidRun) -> str:
    """Return how a run is called, from its pieces' ids: ``12``, or ``12b`` for the second run of a row."""
    return _row_of(row.pieces[0])


def _row_of(piece: Piece) -> str:
    return piece.id.rpartition(".")[0]


def length_of(plank: CutPlank, plan: Plan) -> Ticks:
    """Return a plank's own length in ticks: the job's unless it says otherwise."""
    return plan.plank.length if plank.length is None else plank.length


def spots(plan: Plan) -> Mapping[str, Spot]:
    """Return the spot of every piece of the plan by the piece's id."""
    laid = {item.piece.id: item for item in _laid(plan)}
    found = {}
    for plank in plan.planks:
        for spot in _on_plank(plank, [laid[piece] for piece in plank.pieces], plan):
            found[spot.piece.id] = spot
    return found


def places(plan: Plan) -> Mapping[str, str]:
    """Return each piece's place in the rows by its id, in the order laid: ``row 9, start``."""
    return {item.piece.id: _place(item) for item in _laid(plan)}


def _laid(plan: Plan) -> Iterator[_Laid]:
    backwards = plan.rules.lay is Lay.RIGHT_TO_LEFT
    whole = {plank.plank: length_of(plank, plan) for plank in plan.planks if plank.strip is None}
    turn = 0
    for row in plan.rows:
        in_order = row.pieces[::-1] if backwards else row.pieces
        for nth, piece in enumerate(in_order):
            turn += 1
            yield _Laid(turn, piece, _part(row, nth, piece, whole[piece.plank]), _slants(row, piece, plan))


def _slants(row: LaidRun, piece: Piece, plan: Plan) -> tuple[Ticks, Ticks]:
    left, right = row.run.nests_in(plan.plank.width)
    return left if piece is row.pieces[0] else 0, right if piece is row.pieces[-1] else 0


def _part(row: LaidRun, nth: int, piece: Piece, whole: Ticks) -> Part:
    if len(row.pieces) == 1:
        return Part.SINGLE
    if piece.length == whole:
        return Part.WHOLE
    return Part.STARTER if nth == 0 else Part.END


class _Beside(Enum):
    """What lies beside a part of a plank when its turn to be cut comes."""

    PLANK_END = auto()
    CUT_END = auto()
    MORE = auto()


def _on_plank(plank: CutPlank, parts: list[_Laid], plan: Plan) -> Iterator[Spot]:
    """Yield the spots of one plank's pieces, from its left end."""
    whole = length_of(plank, plan)
    gap = _gap_before(plank, parts)
    saved = _saved(plank, parts, plan, gap)
    starts = _starts(plank, parts, plan, saved)
    trimmed_at = None if _used_up(plank, parts, plan) else gap
    in_turn = sorted(parts, key=lambda item: item.turn)
    over = sum(offcut.length for offcut in plank.offcuts)
    strips = {strip.beside: strip.pieces for strip in plan.planks if strip.plank == plank.plank}
    for nth, (item, start) in enumerate(zip(parts, starts, strict=True)):
        stop = start + item.piece.length
        from_left = nth < gap
        turn = in_turn.index(item)
        beside = _beside(nth, parts, in_turn[:turn], trimmed_at)
        near = start if from_left else whole - stop
        exact = turn > 0 and _Beside.MORE not in beside
        yield Spot(
            piece=item.piece,
            part=item.part,
            side="left" if from_left else "right",
            near=near,
            far=stop if from_left else whole - start,
            turned=_is_turned(item, from_left=from_left),
            exact=exact and not _is_slanted(parts),
            at_cut_end=near > 0 and _Beside.CUT_END in beside,
            uncut=item.piece.length == whole,
            before=tuple(_place(other) for other in in_turn[:turn]),
            after=tuple(_place(other) for other in in_turn[turn + 1 :]),
            over=over,
            beside=plank.beside,
            width=plank.width,
            hand=whole if plank.source is Source.HAND else None,
            lot=plank.lot,
            strip_to=strips.get(item.piece.id, ()) if plank.strip is None else (),
            nests=tuple(
                parts[other].piece.id
                for other, border in ((nth - 1, nth - 1), (nth + 1, nth))
                if 0 <= border < len(saved) and saved[border]
            ),
        )


def _beside(
    nth: int, parts: Sequence[_Laid], taken: Sequence[_Laid], trimmed_at: int | None
) -> tuple[_Beside, _Beside]:
    """Return what lies left and right of a part; ``trimmed_at`` is how many parts lie left of what is lost."""

    def across(border: int, other: int) -> _Beside:
        if border == trimmed_at:
            return _Beside.MORE
        if not 0 <= other < len(parts):
            return _Beside.PLANK_END
        return _Beside.CUT_END if parts[other] in taken else _Beside.MORE

    return across(nth, nth - 1), across(nth + 1, nth + 1)


def _used_up(plank: CutPlank, parts: Sequence[_Laid], plan: Plan) -> bool:
    used = sum(item.piece.length for item in parts) + (len(parts) - 1) * plan.plank.kerf
    return used == length_of(plank, plan)


def _is_slanted(parts: Sequence[_Laid]) -> bool:
    """Say whether a cut on the plank is slanted: then an end is left that must be cut anew."""
    return any(item.piece.left_slant or item.piece.right_slant for item in parts)


def _gap_before(plank: CutPlank, parts: list[_Laid]) -> int:
    """Return how many pieces lie left of the leftover (or of the last cut where nothing is left)."""
    if any(offcut.keeps is Keeps.LEFT for offcut in plank.offcuts):
        return 0
    if any(offcut.keeps is Keeps.RIGHT for offcut in plank.offcuts) or not _keeps_factory(parts[-1]):
        return len(parts)
    if len(parts) > 1 and _keeps_factory(parts[0]):
        return len(parts) - 1
    return 0 if parts[-1].piece.left is End.CUT else len(parts)


def _keeps_factory(item: _Laid) -> bool:
    return End.FACTORY in (item.piece.left, item.piece.right)


def _saved(plank: CutPlank, parts: Sequence[_Laid], plan: Plan, gap: int) -> list[Ticks]:
    """Return, between every two pieces, what their slanted ends save by nesting."""
    if plank.strip is not None:
        return [0] * (len(parts) - 1)
    lying = [
        item.slants[::-1] if len(parts) > 1 and _is_turned(item, from_left=nth < gap) else item.slants
        for nth, item in enumerate(parts)
    ]
    spec = plan.plank
    return [
        saved_by_nesting(one[1], other[0], kerf=spec.kerf, width=spec.width) for one, other in pairwise(lying)
    ]


def _starts(plank: CutPlank, parts: list[_Laid], plan: Plan, saved: Sequence[Ticks]) -> list[Ticks]:
    """Return where each piece begins, in ticks from the plank's left end."""
    gap, kerf = _gap_before(plank, parts), plan.plank.kerf
    between = [0, *(kerf - one for one in saved), 0]  # before each piece, and after the last
    starts, at = [], 0
    for nth, item in enumerate(parts[:gap]):
        at += between[nth]
        starts.append(at)
        at += item.piece.length
    at = length_of(plank, plan)
    right = []
    for nth in reversed(range(gap, len(parts))):
        at -= between[nth + 1] + parts[nth].piece.length
        right.append(at)
    return [*starts, *reversed(right)]


def _is_turned(item: _Laid, *, from_left: bool) -> bool:
    """Say whether a piece's factory end lies on the other side in the row than on the plank."""
    ends = (item.piece.left, item.piece.right)
    return ends == ((End.CUT, End.FACTORY) if from_left else (End.FACTORY, End.CUT))


def _place(item: _Laid) -> str:
    """Return a place in the rows: ``row 9, start``."""
    name = {Part.STARTER: "start", Part.END: "end", Part.SINGLE: "single", Part.WHOLE: "whole"}[item.part]
    return f"row {_row_of(item.piece)}, {name}"
