"""Planks and parts in hand, lot by lot: the first lot is laid as far as it goes, then the next."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, groupby

from cutopt.errors import NoPlanInTimeError, RulesClashError
from cutopt.model.floor import DownRun, Floor, Run
from cutopt.model.hand import Lot, LotShare, Stock
from cutopt.model.job import KeepLots, Lay, PlankSpec, Rules
from cutopt.model.plan import Cutting, HandPart, PieceCut
from cutopt.planner import Limits, Watch, plan_cuts
from cutopt.units import Unit

__all__ = ["Bought", "cut_in_lots"]

_LEAST_SECONDS = 0.05

_Pieces = tuple[tuple[PieceCut, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """What a floor is planned with: the plank, the rules, and the unit lengths are told in."""

    plank: PlankSpec
    rules: Rules
    unit: Unit


def cut_in_lots(  # noqa: PLR0913 - what to plan with what, how long, who watches
    floor: Floor, spec: Bought, hand: Sequence[HandPart], stock: Stock | None, *, limits: Limits, watch: Watch
) -> tuple[Cutting, tuple[LotShare, ...]]:
    """Return a cutting of a floor, and what it takes of every lot where lots are to be kept apart.

    Each lot in turn, as they are listed, takes the longest stretch of rows (of fields) that its planks and
    parts are enough for; the last takes the rest, enough or not. The bound is that of planks and parts of any
    lot: keeping lots apart saves none. Raises what :func:`plan_cuts` does.
    """
    lots = stock.lots if stock else ()
    if stock is None or not stock.parted:
        cutting = plan_cuts(floor, spec.plank, spec.rules, limits, watch, unit=spec.unit, hand=hand)
        name = lots[0].name if len(lots) == 1 else ""
        return replace(cutting, lots=dict.fromkeys(_fresh(cutting.runs), name) if name else {}), ()
    steps = list(_steps(floor.runs, stock.keep))
    tries = 1 + len(lots) * (len(steps).bit_length() + 1)
    share = replace(limits, seconds=max(_LEAST_SECONDS, limits.seconds / tries))
    return _Split(floor, spec, hand, share, watch, stock.keep).over(lots, steps)


def _steps(runs: Sequence[Run], keep: KeepLots) -> Iterator[int]:
    """Yield how many runs the first row (field), the first two, and so on hold."""

    def row(run: Run) -> int:
        return run.row

    def field(run: Run) -> str:
        return run.field

    groups = groupby(runs, key=row) if keep is KeepLots.ROW else groupby(runs, key=field)
    yield from accumulate(len(list(group)) for _, group in groups)


@dataclass(frozen=True, slots=True)
class _Split:
    """A floor whose rows are dealt out to lots."""

    floor: Floor
    spec: Bought
    hand: Sequence[HandPart]
    limits: Limits
    watch: Watch
    keep: KeepLots

    def over(self, lots: Sequence[Lot], steps: Sequence[int]) -> tuple[Cutting, tuple[LotShare, ...]]:
        """Return the cutting and every lot's share."""
        bound = self._plan(0, len(self.floor.runs), (), range(len(self.hand))).bound
        runs: list[tuple[PieceCut, ...]] = []
        shares: list[LotShare] = []
        of_lot: dict[int, str] = {}
        notes = []
        for nth, lot in enumerate(lots):
            # Rests of planks that wait from rows laid before go to the first lot only: later they would wait on.
            own = [
                at
                for at, part in enumerate(self.hand)
                if part.lot == lot.name and (nth == 0 or part.plank is None)
            ]
            stop, cutting = self._stretch(len(runs), runs, own, lot, steps, last=nth == len(lots) - 1)
            if cutting is None:
                shares.append(LotShare(lot=lot.name, fresh=0, have=lot.planks))
                continue
            first = max(of_lot, default=-1) + 1
            named = self._named(cutting.runs, own, first, len(runs))
            of_lot |= dict.fromkeys(_fresh(named), lot.name)
            rows = self.floor.runs[len(runs)].row, self.floor.runs[stop - 1].row
            fresh = len(_fresh(named))
            shares.append(LotShare(lot=lot.name, fresh=fresh, have=lot.planks, rows=rows))
            notes.append(cutting.note)
            runs += named
        reason = f"{bound.reason} (of any lot)"
        note = next(filter(None, notes), "")
        cutting = Cutting(runs=tuple(runs), bound=replace(bound, reason=reason), note=note, lots=of_lot)
        return cutting, tuple(shares)

    def _stretch(  # noqa: PLR0913 - where it begins, what with, how far it may go
        self,
        start: int,
        laid: _Pieces | list[tuple[PieceCut, ...]],
        own: Sequence[int],
        lot: Lot,
        steps: Sequence[int],
        *,
        last: bool,
    ) -> tuple[int, Cutting | None]:
        """Return how far a lot goes from ``start``, and its cutting; ``None`` where it lays not even one row."""
        ahead = [step for step in steps if step > start]
        if not ahead:
            return start, None
        down = (*self.floor.down, *self._down(laid))
        if last:
            return ahead[-1], self._plan(start, ahead[-1], down, own)
        low, high, found = 0, len(ahead), None
        while low < high:
            middle = (low + high + 1) // 2
            cutting = self._try(start, ahead[middle - 1], down, own)
            if cutting is not None and len(_fresh(cutting.runs)) <= lot.planks:
                low, found = middle, cutting
            else:
                high = middle - 1
        if not low and self._is_begun(start):
            return ahead[0], self._plan(start, ahead[0], down, own)
        return (ahead[low - 1] if low else start), found

    def _is_begun(self, start: int) -> bool:
        """Say whether a room is begun that may have one lot only: then no other may take it over."""
        run = self.floor.runs[start]
        begun = any(down.planned and down.field == run.field for down in self.floor.down)
        return start == 0 and self.keep is KeepLots.ROOM and begun

    def _try(self, start: int, stop: int, down: tuple[DownRun, ...], own: Sequence[int]) -> Cutting | None:
        try:
            return self._plan(start, stop, down, own)
        except (NoPlanInTimeError, RulesClashError):
            return None

    def _plan(self, start: int, stop: int, down: tuple[DownRun, ...], own: Sequence[int]) -> Cutting:
        floor = replace(self.floor, runs=self.floor.runs[start:stop], down=down or self.floor.down)
        spec = self.spec
        hand = [self.hand[at] for at in own]
        return plan_cuts(floor, spec.plank, spec.rules, self.limits, self.watch, unit=spec.unit, hand=hand)

    def _down(self, laid: Sequence[tuple[PieceCut, ...]]) -> Iterator[DownRun]:
        """Yield the joints of runs that an earlier lot lays."""
        backwards = self.spec.rules.lay is Lay.RIGHT_TO_LEFT
        for run, pieces in zip(self.floor.runs, laid, strict=False):
            lengths = [piece.length for piece in (pieces[::-1] if backwards else pieces)]
            joints = tuple(accumulate(lengths[:-1], initial=run.offset))[1:]
            yield DownRun(
                field=run.field,
                line=run.line,
                offset=run.offset,
                length=run.length,
                joints=joints,
                planned=True,
            )

    def _named(self, runs: _Pieces, own: Sequence[int], first: int, start: int) -> list[tuple[PieceCut, ...]]:
        """Return the pieces with planks that no other lot's stretch names; strips by their place in the floor."""
        fresh = {plank: nth for nth, plank in enumerate(sorted(_fresh(runs)), first)}
        number: Mapping[int, int] = fresh | {-1 - nth: -1 - at for nth, at in enumerate(own)}
        return [tuple(_renamed(piece, number, start) for piece in pieces) for pieces in runs]


def _renamed(piece: PieceCut, number: Mapping[int, int], start: int) -> PieceCut:
    beside = None if piece.beside is None else (piece.beside[0] + start, piece.beside[1])
    return replace(piece, plank=number[piece.plank], beside=beside)


def _fresh(runs: Sequence[Sequence[PieceCut]]) -> set[int]:
    """Return the planks that are fresh ones."""
    return {piece.plank for pieces in runs for piece in pieces if piece.plank >= 0}
