"""Short runs cut in two for nothing."""

from cutopt.model.floor import Run
from cutopt.model.plan import Laid, Part, PieceCut
from cutopt.planner.problem import Problem

__all__ = ["in_one_piece"]


def in_one_piece(problem: Problem, laid: Laid) -> Laid:
    """Return the same plan with runs in one piece where starter and end piece share a plank.

    With as few planks either way one piece is better (design: short runs). It takes no more of the
    plank than the two did, and a joint less can break no rule.
    """
    return tuple(_in_one(problem, run, pieces) for run, pieces in zip(problem.runs, laid, strict=True))


def _in_one(problem: Problem, run: Run, pieces: tuple[PieceCut, ...]) -> tuple[PieceCut, ...]:
    shared = len(pieces) > 1 and len({piece.plank for piece in pieces}) == 1
    if not shared or run.length > problem.plank:
        return pieces
    part = Part.WHOLE if run.length == problem.plank else Part.SINGLE
    return (PieceCut(part=part, length=run.length, plank=pieces[0].plank),)
