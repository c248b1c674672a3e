"""Fixed patterns: where their joints would leave the longest end pieces, beside what the plan has."""

from collections.abc import Iterator, Sequence

from cutopt.model.plan import Plan
from cutopt.model.stops import StopsSolution
from cutopt.model.words import Block, Heading
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._text import para, shorten
from cutopt.units import Ticks

__all__ = ["along_rows"]

_NAME = 40


def along_rows(found: Sequence[tuple[str, StopsSolution]], plan: Plan) -> list[Block]:
    """Return, by field, the joints that make the shortest end piece longest; nothing without a fixed pattern."""
    if not found:
        return []
    texts = [text for field, solution in found for text in _field(field, solution, plan)]
    return [Heading("Joints along the rows"), *(para(text, first="  ", rest="    ") for text in texts)]


def _field(field: str, solution: StopsSolution, plan: Plan) -> Iterator[str]:
    show, worst = Lengths.of(plan).show, solution.best.narrowest
    if worst is None:
        return
    yield (
        f"{shorten(field, _NAME)}: the shortest end piece is {show(_shortest(field, plan))} long in this plan, which "
        f"opens as few planks as it can. Joints at {show(solution.best.at)} from the origin of the plan, in the rows "
        f"that are not shifted, would make it longest: {show(worst.narrow)}, at the {worst.stop.name} at "
        f"{show(worst.stop.low)}."
    )


def _shortest(field: str, plan: Plan) -> Ticks:
    ends = [
        piece.length - abs(piece.left_slant) - abs(piece.right_slant)
        for row in plan.rows
        if row.run.field == field and row.run.length > plan.plank.length
        for piece in (row.pieces[0], row.pieces[-1])
    ]
    return min(ends, default=0)
