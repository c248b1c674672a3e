"""Stretches of rows between which only a few planks can be carried on."""

from cutopt.planner.problem import Problem

__all__ = ["segments"]

# Rows that are alike make one segment; shorter stretches of one room are joined up to this many.
SHORT = 9
# More segments than this only make the linear program large.
MOST = 10


def segments(problem: Problem) -> tuple[int, ...]:
    """Return the segment of every run, counting from 0 in laying order.

    A plank cut in two segments waits at every border between them, and at most ``max_waiting``
    may: that is what makes a bound by segments stronger than one over the whole floor. Rows are
    never split. Where any number may wait there is one segment.
    """
    if problem.rules.max_waiting is None:
        return (0,) * len(problem.runs)
    borders = set(_borders(problem))
    numbers, number = [], 0
    for index in range(len(problem.runs)):
        number += index in borders
        numbers.append(number)
    return tuple(numbers)


def _borders(problem: Problem) -> list[int]:
    """Return the first run of each segment but the first: new rooms before rows of another length."""
    rooms, lengths = [], []
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
    if len(rooms) >= MOST:
        return rooms[:: -(-len(rooms) // MOST)]
    return (rooms + lengths)[: MOST - 1]
