"""Floors whose walls are out: the plan as it is really laid, counted anew from its runs and pieces."""

from dataclasses import replace

from cutopt.model.floor import Floor
from cutopt.model.job import Job, Lay
from cutopt.model.plan import Bound, Cutting, Part, PieceCut
from cutopt.numbering import number

__all__ = ["as_laid", "longer"]


def as_laid(plan, errors):
    """The plan with run by run an error in ticks, taken up by the piece laid last; nothing else as it was told.

    The runs have their real lengths, all ends, offcuts and totals follow from the pieces. The walls are no
    longer where the plan's ground has them, so it has none.
    """
    backwards = plan.rules.lay is Lay.RIGHT_TO_LEFT
    runs = tuple(longer(laid.run, error, backwards) for laid, error in zip(plan.rows, errors, strict=True))
    job = Job(
        title=plan.title, unit=plan.unit, plank=plan.plank, rules=plan.rules, order=plan.order, rooms=()
    )
    cutting = Cutting(runs=tuple(cuts_of(plan, errors)), bound=Bound(planks=1, reason="none"))
    return number(Floor(runs=runs, down=plan.down), cutting, job, plan.seed)


def longer(run, error, backwards):
    """A run whose far wall has moved outwards, parallel to itself."""
    length = run.length + error
    area2 = max(1, min(run.area2 + 2 * error * run.width, 2 * length * run.width))
    return replace(run, length=length, offset=run.offset - error * backwards, area2=area2)


def cuts_of(plan, errors):
    """What the planner would have answered: the pieces in the order laid, with their planks and strips."""
    backwards = plan.rules.lay is Lay.RIGHT_TO_LEFT
    in_order = [laid.pieces[::-1] if backwards else laid.pieces for laid in plan.rows]
    places = {piece.id: (run, nth) for run, pieces in enumerate(in_order) for nth, piece in enumerate(pieces)}
    beside = {name: places[cut.beside] for cut in plan.planks if cut.strip for name in cut.pieces}
    for pieces, error in zip(in_order, errors, strict=True):
        lengths = [piece.length for piece in pieces]
        lengths[-1] += error
        yield tuple(
            PieceCut(
                part=part_of(nth, len(pieces), length, plan),
                length=length,
                plank=piece.plank,
                beside=beside.get(piece.id),
            )
            for nth, (piece, length) in enumerate(zip(pieces, lengths, strict=True))
        )


def part_of(nth, count, length, plan):
    if count == 1:
        return Part.SINGLE
    if length == plan.plank.length:
        return Part.WHOLE
    return Part.STARTER if nth == 0 else Part.END
