"""What planks and strips have to spare, and which runs draw on it."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from cutopt.model.plan import CutPlank, LaidRun, Piece, Plan
from cutopt.model.tolerance import Breaks
from cutopt.tolerance._nests import saved_on
from cutopt.tolerance._reach import in_order_laid
from cutopt.units import Ticks

__all__ = ["Stock", "Way", "stocks"]


@dataclass(frozen=True, slots=True)
class Way:
    """A run, by its place in the plan, that is out one way: shorter or longer."""

    index: int
    longer: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A plank or a strip: the ways to be out that together may take what it has to ``spare``.

    ``ways`` has what goes wrong where one takes more, at the ``piece`` laid last from it; ``frozen`` are ways in
    which a run may not be out at all for its sake, and what would go wrong.
    """

    spare: Ticks
    ways: Mapping[Way, Breaks]
    frozen: Mapping[Way, Breaks]
    piece: str


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a piece is laid: its run's place in the plan, its turn of all pieces, and its part there.

    One that is ``cut`` already is as long as it is.
    """

    index: int
    turn: int
    laid: LaidRun
    piece: Piece
    is_last: bool
    is_starter: bool
    cut: bool

    @property
    def length(self) -> Ticks:
        """Its length as planned."""
        return self.piece.length

    @property
    def is_open(self) -> bool:
        """Whether it takes up the error of its run."""
        return self.is_last and not self.cut


def stocks(plan: Plan) -> Iterator[Stock]:
    """Yield the planks and strips that some run's last piece is cut from, or lies beside."""
    places = _places(plan)
    lengths = {cut.plank: _length(cut, plan) for cut in plan.planks if cut.strip is None}
    for cut in plan.planks:
        stock = _stock(cut, places, lengths[cut.plank], plan)
        if stock.ways or stock.frozen:
            yield stock


def _places(plan: Plan) -> dict[str, _Place]:
    found: dict[str, _Place] = {}
    done = {name for cut in plan.planks for name in cut.done}
    for index, laid in enumerate(plan.rows):
        pieces = in_order_laid(laid, plan)
        for nth, piece in enumerate(pieces):
            last = nth == len(pieces) - 1
            starter = nth == 0 and not last
            found[piece.id] = _Place(index, len(found), laid, piece, last, starter, piece.id in done)
    return found


def _stock(cut: CutPlank, places: Mapping[str, _Place], whole: Ticks, plan: Plan) -> Stock:
    """Return what a plank ``whole`` so long, or a strip of it, has to spare."""
    pieces = {name: places[name] for name in cut.pieces}
    host = None if cut.strip is None else places[cut.beside]
    return Stock(
        spare=max(0, _spare(cut, pieces.values(), plan)),
        ways=dict(_ways(pieces.values(), host)),
        frozen=dict(_frozen(pieces.values(), host, whole, plan)),
        piece=max(pieces, key=lambda name: pieces[name].turn),
    )


def _spare(cut: CutPlank, pieces: Collection[_Place], plan: Plan) -> Ticks:
    loss = plan.plank.kerf + plan.rules.fit
    saved = saved_on(cut, [(place.laid, place.piece) for place in pieces], plan)
    return _length(cut, plan) - sum(place.length for place in pieces) - (len(pieces) - 1) * loss + saved


def _length(cut: CutPlank, plan: Plan) -> Ticks:
    return plan.plank.length if cut.length is None else cut.length


def _ways(pieces: Collection[_Place], host: _Place | None) -> Iterator[tuple[Way, Breaks]]:
    alone = len(pieces) == 1 and host is None
    for place in pieces:
        if place.is_open:
            yield Way(place.index, longer=True), Breaks.PLANK if alone else Breaks.REST
    if host is not None and host.is_open:
        yield Way(host.index, longer=False), Breaks.STRIP


def _frozen(
    pieces: Collection[_Place], host: _Place | None, whole: Ticks, plan: Plan
) -> Iterator[tuple[Way, Breaks]]:
    """Yield the ways to be shorter that a rule forbids; what is used without trim has nothing to spare anyhow."""
    step = plan.rules.cut_step
    if step and any(place.is_starter and place.length % step and not place.cut for place in pieces):
        for place in pieces:
            if place.is_open:
                yield Way(place.index, longer=False), Breaks.CUT_STEP
    # A whole plank that is cut to be shorter loses the factory end towards the wall, and so does its strip.
    is_whole = host is not None and host.is_open and host.length == whole
    if host is not None and is_whole and any(not place.is_last for place in pieces):
        yield Way(host.index, longer=False), Breaks.STRIP_END
