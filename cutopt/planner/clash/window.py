"""The fewest rows, one after another, that cannot be laid."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from itertools import chain, islice

from cutopt.planner.clash.answer import Answer
from cutopt.planner.clash.parts import Group, only
from cutopt.planner.clash.verdict import can_be_laid
from cutopt.planner.limits import Stop
from cutopt.planner.problem import Problem

__all__ = ["fewest_rows", "first_of", "kind_of"]

WINDOWS = 400
MOST_WINDOWS = 20_000
"""How many windows of rows are looked at for one that is smaller still: unlike ones, and in all."""


def fewest_rows(problem: Problem, upto: int, stop: Stop) -> Group:
    """Return the runs of the fewest rows that cannot be laid, where those up to one run cannot.

    First rows of which none can be spared at either end; then any fewer rows elsewhere, as far as
    ``WINDOWS`` goes.
    """
    lines = _by_line(problem)

    def window(low: int, high: int) -> Group:
        return tuple(sorted(chain.from_iterable(lines[low : high + 1])))

    def impossible(low: int, high: int) -> bool:
        return _impossible(problem, window(low, high), stop)

    known = next(nth for nth, runs in enumerate(lines) if upto in runs)
    back = _first_growing(lambda back: impossible(known - back, known), known)
    low = known - back
    high = low + first_of(lambda rows: impossible(low, low + rows), back)
    smaller = ((low, low + rows) for rows in range(high - low) for low in range(len(lines) - rows))
    windows = _unlike(problem, (window(*ends) for ends in islice(smaller, MOST_WINDOWS)))
    for runs in islice(windows, WINDOWS):
        if stop():
            break
        if _impossible(problem, runs, stop):
            return runs
    return window(low, high)


def _impossible(problem: Problem, runs: Sequence[int], stop: Stop) -> bool:
    return can_be_laid(only(problem, runs), stop).answer is Answer.IMPOSSIBLE


def kind_of(problem: Problem, runs: Sequence[int]) -> tuple[object, ...]:
    """Return what makes windows of rows alike; lines and offsets count from the first run's.

    Which runs touch which counts too, and what lies already.
    """
    first, place = problem.runs[runs[0]], {index: nth for nth, index in enumerate(runs)}

    def kind(index: int) -> tuple[object, ...]:
        run = problem.runs[index]
        shape = run.length, run.left_slant, run.right_slant
        touched = tuple(
            (place[link.before], tuple((phase - first.offset) % problem.plank for phase in link.phases))
            for link in problem.links_to[index]
            if link.before in place
        )
        return run.line - first.line, run.offset - first.offset, *shape, touched, problem.asked[index]

    return tuple(map(kind, runs))


def _by_line(problem: Problem) -> list[list[int]]:
    """Return the runs of each row, rows from the first laid."""
    lines: defaultdict[int, list[int]] = defaultdict(list)
    for index, run in enumerate(problem.runs):
        lines[run.line].append(index)
    return [lines[line] for line in sorted(lines)]


def _unlike(problem: Problem, windows: Iterator[Group]) -> Iterator[Group]:
    """Leave out windows that are like an earlier one."""
    seen = set()
    for runs in windows:
        kind = kind_of(problem, runs)
        if kind not in seen:
            seen.add(kind)
            yield runs


def first_of(holds: Callable[[int], bool], known: int) -> int:
    """Return the first number from 0 to ``known`` for which it holds, as it does from there on."""
    return bisect_left(range(known), True, key=holds)  # noqa: FBT003 - what to look for


def _first_growing(holds: Callable[[int], bool], known: int) -> int:
    """Return the same, asking for small numbers first: the larger ones take longer to answer."""
    reach = 1
    while reach < known and not holds(reach):
        reach *= 2
    low = reach // 2 + 1 if reach > 1 else 0
    return low + first_of(lambda more: holds(low + more), min(reach, known) - low)
