"""Stretches of rows between which only a few planks can be carried on."""

from itertools import pairwise

from cutopt.planner.problem import Problem

__all__ = ["follows_itself", "segments", "stretches"]

# Rows that are alike make one segment; shorter stretches of one room are joined up to this many.
SHORT = 9
# More segments than this only make the linear program large.
MOST = 10


def segments(problem: Problem) -> tuple[int, ...]:
    """Return the segment of every run, counting from 0 in laying order; there are MOST of them at most.

    A plank cut in two segments waits at every border between them, and at most ``max_waiting``
    may: that is what makes a bound by segments stronger than one over the whole floor. Rows are
    never split. Where any number may wait there is one segment. Where the rooms repeat themselves, as in
    a tower of equal flats, so do the segments: 0, 1, 2, 0, 1, 2, ...
    """
    rooms, lengths = _borders(problem)
    if len(rooms) >= MOST and (period := _period(problem, rooms)):
        return tuple(room % period for room in _numbered(problem, rooms))
    if len(rooms) >= MOST:
        return _numbered(problem, rooms[:: -(-len(rooms) // MOST)])
    return _numbered(problem, (rooms + lengths)[: MOST - 1])


def stretches(problem: Problem) -> tuple[int, ...]:
    """Return the same by every room, however many there are: what guides a search, not a bound."""
    rooms, lengths = _borders(problem)
    return _numbered(problem, rooms + lengths[: max(0, MOST - 1 - len(rooms))])


def follows_itself(segment_of: tuple[int, ...]) -> bool:
    """Say whether the first segment follows the last again."""
    return any(one > other for one, other in pairwise(segment_of))


def _period(problem: Problem, rooms: list[int]) -> int:
    """Return after how many rooms the same ones come again, the last rooms apart (0: never, or too many)."""
    firsts = [0, *rooms, len(problem.runs)]
    alike = [tuple(problem.choices[first:stop]) for first, stop in pairwise(firsts)][:-1]
    fits = (
        period
        for period in range(1, min(MOST, len(alike) // 2) + 1)
        if all(one == other for one, other in zip(alike, alike[period:], strict=False))
    )
    period = next(fits, 0)
    # Rooms all alike have one and the same price everywhere: that is the floor as one segment.
    return period if period > 1 else 0


def _numbered(problem: Problem, borders: list[int]) -> tuple[int, ...]:
    firsts = set(borders)
    numbers, number = [], 0
    for index in range(len(problem.runs)):
        number += index in firsts
        numbers.append(number)
    return tuple(numbers)


def _borders(problem: Problem) -> tuple[list[int], list[int]]:
    """Return the first runs of rooms but the first, and of stretches of rows of another length."""
    if problem.rules.max_waiting is None:
        return [], []
    rooms: list[int] = []
    lengths: list[int] = []
    latest = 0
    for index in range(1, len(problem.runs)):
        run, before = problem.runs[index], problem.runs[index - 1]
        if run.row == before.row:
            continue
        long_enough = run.row - problem.runs[latest].row >= SHORT
        if run.room != before.room:
            rooms.append(index)
        elif run.length != before.length and long_enough:
            lengths.append(index)
        else:
            continue
        latest = index
    return rooms, lengths
