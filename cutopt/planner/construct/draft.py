"""A plan in the search's own terms, and its replay into pieces on numbered planks."""

from collections import Counter
from dataclasses import dataclass, field
from enum import IntEnum

from cutopt.model.plan import Part, PieceCut
from cutopt.planner.construct.in_hand import pools_in_hand
from cutopt.planner.nesting import NO_NESTING, STRAIGHT, Nesting
from cutopt.planner.problem import Problem
from cutopt.units import Ticks

__all__ = ["Draft", "Source", "Step", "replay"]


class Source(IntEnum):
    """What a piece is cut from: a fresh plank, the run's own starter plank, or a waiting plank."""

    NONE = 0
    FRESH = 1
    OWN = 2
    START_POOL = 3
    END_POOL = 4
    BOTH_POOL = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """How one run is laid: its way, and the sources of starter (or single piece) and end piece.

    ``waiting`` are the planks kept after it, by their usable lengths: for starters, for end pieces, for both.
    """

    way: int
    start: Source
    end: Source
    waiting: tuple[tuple[Ticks, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A whole plan: fresh planks opened, and one step a run.

    ``begun`` are the parts in hand that it begins with, as steps say what waits. ``nested``: waiting planks
    are numbers as the problem's nesting writes them.
    """

    planks: int
    steps: tuple[Step, ...]
    begun: tuple[tuple[Ticks, ...], ...] = ((), (), ())
    nested: bool = True


@dataclass(slots=True)
class _Stock:
    """Waiting planks, each as ``nesting`` writes it and by number; ``opened`` counts planks."""

    nesting: Nesting
    opened: int = 0
    starts: list[tuple[Ticks, int]] = field(default_factory=list)
    ends: list[tuple[Ticks, int]] = field(default_factory=list)
    boths: list[tuple[Ticks, int]] = field(default_factory=list)

    def keep_only(self, waiting: tuple[tuple[Ticks, ...], ...]) -> None:
        """Forget planks the search did not keep, so that later picks are the search's own."""
        self.starts, self.ends, self.boths = (
            _only(pool, lengths)
            for pool, lengths in zip((self.starts, self.ends, self.boths), waiting, strict=True)
        )

    def open(self) -> int:
        self.opened += 1
        return self.opened

    def written(self, length: Ticks, kind: int = STRAIGHT) -> int:
        """Return a usable length as it is kept."""
        return length * self.nesting.scale + kind

    def take(self, pool: list[tuple[int, int]], length: Ticks, kind: int = STRAIGHT) -> tuple[Ticks, int]:
        """Take the shortest waiting plank that fits a piece with a kind of end; return its length and number."""
        scale, saved = self.nesting.scale, self.nesting.saved[kind]
        best = min(one for one in pool if one[0] // scale + int(saved[one[0] % scale]) >= length)
        pool.remove(best)
        return best[0] // scale, best[1]


def replay(problem: Problem, draft: Draft) -> tuple[tuple[PieceCut, ...], ...]:
    """Return the pieces of every run, in the order laid, with the planks they are cut from."""
    stock = _Stock(problem.nesting if draft.nested else NO_NESTING)
    if any(draft.begun):
        stock.starts, stock.ends, stock.boths = pools_in_hand(problem)
        stock.keep_only(draft.begun)
    laid = []
    for index, step in enumerate(draft.steps):
        laid.append(_lay(problem, stock, step, index))
        stock.keep_only(step.waiting)
    return tuple(laid)


def _only(pool: list[tuple[Ticks, int]], lengths: tuple[Ticks, ...]) -> list[tuple[Ticks, int]]:
    wanted = Counter(lengths)
    kept = []
    for length, plank in pool:
        if wanted[length]:
            wanted[length] -= 1
            kept.append((length, plank))
    return kept


def _lay(problem: Problem, stock: _Stock, step: Step, index: int) -> tuple[PieceCut, ...]:
    choices, way = problem.choices[index], step.way
    kinds = stock.nesting.kinds_of(index)
    starter, end, single = int(choices.starter[way]), int(choices.end[way]), int(choices.single[way])
    if single:
        return (_single(problem, stock, single, step.start),)
    pieces: list[PieceCut] = []
    own: tuple[Ticks, int] | None = None
    if starter:
        beside = end if step.end is Source.OWN else 0
        plank, left = _starter(problem, stock, starter, step.start, kinds[0], beside)
        pieces.append(PieceCut(part=Part.STARTER, length=starter, plank=plank))
        if step.end is Source.OWN:
            own = (left, plank)
        else:
            (stock.ends if problem.handed else stock.starts).append((left, plank))
    wholes = [
        PieceCut(part=Part.WHOLE, length=problem.plank, plank=stock.open())
        for _ in range(int(choices.wholes[way]))
    ]
    pieces += wholes
    if end:
        plank = own[1] if own else _end(problem, stock, end, step.end, kinds[1])
        pieces.append(PieceCut(part=Part.END, length=end, plank=plank))
    return tuple(pieces)


def _starter(  # noqa: PLR0913, PLR0917 - a piece, its end, where it comes from, and what else does
    problem: Problem, stock: _Stock, length: Ticks, source: Source, kind: int, beside: Ticks
) -> tuple[int, int]:
    """Cut a starter; return its plank and, as it is written, what that can still give at its other end.

    ``beside``: the end piece that is cut from the same plank (0: none).
    """
    if source is Source.FRESH:
        return stock.open(), stock.written(problem.plank - problem.loss - length, kind)
    if source is Source.START_POOL:
        return stock.take(stock.starts, length, kind)[1], 0
    room, plank = stock.take(stock.boths, length + problem.loss + beside if beside else length)
    return plank, stock.written(room - problem.loss - length)


def _end(problem: Problem, stock: _Stock, length: Ticks, source: Source, kind: int) -> int:
    if source is Source.FRESH:
        plank = stock.open()
        stock.starts.append((stock.written(problem.plank - problem.loss - length, kind), plank))
        return plank
    if source is Source.END_POOL:
        return stock.take(stock.ends if problem.handed else stock.starts, length, kind)[1]
    room, plank = stock.take(stock.boths, length)
    stock.starts.append((stock.written(room - problem.loss - length), plank))
    return plank


def _single(problem: Problem, stock: _Stock, length: Ticks, source: Source) -> PieceCut:
    pool = {Source.START_POOL: stock.starts, Source.END_POOL: stock.ends}.get(source, stock.boths)
    room, plank = (problem.plank, stock.open()) if source is Source.FRESH else stock.take(pool, length)
    pool.append((stock.written(room - problem.loss - length), plank))
    return PieceCut(part=Part.SINGLE, length=length, plank=plank)
