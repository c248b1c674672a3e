"""Fewer planks waiting underfoot, for as few planks opened."""

from collections.abc import Callable
from dataclasses import replace

from cutopt.model.plan import Laid
from cutopt.planner.parts import is_idle
from cutopt.planner.problem import Problem

__all__ = ["peak_waiting", "with_less_waiting"]


def peak_waiting(problem: Problem, laid: Laid) -> int:
    """Return the most planks that wait after any row: begun by then and cut again for a later row.

    Parts in hand that a plan knows were begun before the first row.
    """
    before = min(run.row for run in problem.runs) - 1
    spans: dict[int, list[int]] = {
        -1 - nth: [before] for nth, part in enumerate(problem.hand) if not is_idle(part)
    }
    for run, pieces in zip(problem.runs, laid, strict=True):
        for piece in pieces:
            spans.setdefault(piece.plank, []).append(run.row)
    change: dict[int, int] = {}
    for rows in spans.values():
        change[min(rows)] = change.get(min(rows), 0) + 1
        change[max(rows)] = change.get(max(rows), 0) - 1
    peak = waiting = 0
    for row in sorted(change):
        waiting += change[row]
        peak = max(peak, waiting)
    return peak


def with_less_waiting(problem: Problem, laid: Laid, search: Callable[[Problem], Laid | None]) -> Laid:
    """Return a plan of fewer waiting planks, as long as ``search`` finds one.

    ``search`` is given the floor with a lower cap on waiting planks and answers with a plan of as
    few planks, or ``None`` when it finds none or its time is over.
    """
    found: Laid | None = laid
    while found is not None:
        laid = found
        peak = peak_waiting(problem, laid)
        if not peak:
            break
        found = search(replace(problem, rules=replace(problem.rules, max_waiting=peak - 1)))
    return laid
