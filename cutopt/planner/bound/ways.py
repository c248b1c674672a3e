"""The ways to lay a run, seen from below: what a lower bound must allow for."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cutopt.model.floor import Run
from cutopt.planner.bound.prices import PriceList
from cutopt.planner.problem import Choices, Problem, starter_and_end

__all__ = ["Ways", "ways_below", "worth_of_ways"]

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Ways:
    """Per way: the piece to cut at the start, at the end, or alone (0 = none), and whole planks.

    No legal laying of the run has a shorter piece than some way here; where pieces may nest, each is shorter
    by its reliefs.
    """

    starter: Ints
    end: Ints
    single: Ints
    wholes: Ints


def ways_below(problem: Problem, index: int) -> Ways:
    """Return ways that cover every legal laying of run ``index``, on the cut step or off it.

    Where all lengths lie on the cut step, starters off it save no plank: each needs a plank used
    without trim, whose other piece is off the step as well, and so is the other piece of that
    one's run, round a ring of pieces. Moving them down and up to the step by turns round the ring
    keeps the length of every run and plank and, with the minimum piece on the step, every piece
    long enough. Elsewhere each step stands for all starters up to the next one.
    """
    choices = problem.choices[index]
    if problem.on_step:
        return _plain(choices.relieved)
    run, plank = problem.runs[index], problem.plank
    starter, loosest = _cells(problem, run)
    cells = starter_and_end(run.length, plank, starter, (run.length - starter - 1) % plank + 1)
    left, right = choices.reliefs
    split = Ways(
        starter=np.where(cells.starter > 0, cells.starter - left, 0),
        end=np.where(cells.end > 0, loosest - right, 0),
        single=cells.single,
        wholes=cells.wholes,
    )
    alone = choices.take(choices.first > choices.last).relieved
    return _joined(_plain(alone), split) if len(alone) else split


def _plain(choices: Choices) -> Ways:
    return Ways(starter=choices.starter, end=choices.end, single=choices.single, wholes=choices.wholes)


def _joined(one: Ways, other: Ways) -> Ways:
    return Ways(
        starter=np.concatenate([one.starter, other.starter]),
        end=np.concatenate([one.end, other.end]),
        single=np.concatenate([one.single, other.single]),
        wholes=np.concatenate([one.wholes, other.wholes]),
    )


def _cells(problem: Problem, run: Run) -> tuple[Ints, Ints]:
    """Return the lowest starter of each cell and the shortest end piece any of the cell leaves."""
    plank, step = problem.plank, problem.rules.cut_step
    shortest = problem.rules.min_piece + abs(run.left_slant)
    lowest_end = problem.rules.min_piece + abs(run.right_slant)
    longest = min(plank, run.length - lowest_end)
    if longest < shortest:
        none = np.zeros(0, dtype=np.int64)
        return none, none
    # Within a cell the end piece must not wrap round the plank: break there too.
    wrap = (run.length - 1) % plank + 1
    marks = np.arange(-(-shortest // step) * step, longest + 1, step, dtype=np.int64)
    stops = [stop for stop in (shortest, wrap, wrap + 1, longest) if shortest <= stop <= longest]
    lowest: Ints = np.unique(np.append(marks, np.array(stops, dtype=np.int64)))
    highest = np.append(lowest[1:] - 1, longest)
    longest_end, loosest = (run.length - lowest - 1) % plank + 1, (run.length - highest - 1) % plank + 1
    legal = longest_end >= lowest_end
    shortest_end: Ints = np.maximum(loosest, lowest_end)
    return lowest[legal], shortest_end[legal]


def worth_of_ways(prices: PriceList, segment: int, ways: Ways) -> Ints:
    """Return what the pieces of each way to lay a run are worth."""
    worth: Ints = (
        ways.wholes * prices.plank
        + prices.of_starters(segment, ways.starter)
        + prices.of_ends(segment, ways.end)
        + prices.of_singles(segment, ways.single)
    )
    return worth
