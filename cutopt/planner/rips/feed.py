"""Rows laid from the strips that lie beside the ripped pieces of other rows.

A piece ripped to its row's width leaves a strip as long as itself, with the factory ends that it has. From
such a strip, from the rest of a plank or from a fresh plank each piece of a fed run is cut, in a way to lay
the run that keeps the rules against its neighbours and opens few planks.
"""

from collections import ChainMap, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain, islice

import numpy as np
from numpy.typing import NDArray

from cutopt.model.plan import Laid, Part, PieceCut
from cutopt.planner.limits import Stop
from cutopt.planner.placed import Placed, first_joint
from cutopt.planner.problem import Choices, Problem
from cutopt.planner.rips.edges import ripped_width
from cutopt.units import Ticks

__all__ = ["Pieces", "feed"]

Pieces = tuple[PieceCut, ...]
# Ways of a fed run that are tried in full, those that promise the fewest planks first.
WAYS = 16
# Strips and rests looked at for a run, those that wait the shortest first.
SOURCES = 40
# Factory ends of a plank.
BOTH = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class _Need:
    """A piece to cut, its place in the run, and the factory ends that it keeps."""

    nth: int
    part: Part
    length: Ticks
    left: bool
    right: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Source:
    """A strip or a rest to cut from: its length, and which of so many factory ends it has, or may turn to."""

    plank: int
    beside: tuple[int, int] | None
    length: Ticks
    left: bool
    right: bool
    ends: int

    def gives(self, cut: Sequence[_Need], loss: Ticks) -> bool:
        """Say whether these pieces can be cut from it side by side, ``loss`` between them."""
        left, right = sum(need.left for need in cut), sum(need.right for need in cut)
        kept = left <= self.left and right <= self.right and left + right <= self.ends
        return kept and sum(need.length + loss for need in cut) - loss <= self.length


def feed(  # noqa: PLR0913, PLR0917 - a plan, the runs to lay, from what, and until when
    problem: Problem, laid: Laid, fed: Sequence[int], hosts: frozenset[int], chance: int, stop: Stop
) -> Laid | None:
    """Return the plan with the runs ``fed`` (not laid yet: no pieces) laid as well, long runs first.

    ``hosts`` are the runs beside whose pieces strips lie. ``None`` where some run has no way that keeps the
    rules, as far as was tried. ``chance`` is a seed: which of equally good ways. Once the time is over, runs
    still to be laid get fresh planks.
    """
    placed = Placed(problem, [first_joint(pieces) for pieces in laid])
    rng = np.random.default_rng(chance)
    for run in sorted(fed, key=lambda run: -problem.runs[run].length):
        stock = _Stock.of(problem, laid, hosts, run)
        found = _best(problem, placed, run, replace(stock, sources=()) if stop() else stock, rng)
        if found is None:
            return None
        placed.firsts[run] = first_joint(found)
        laid = (*laid[:run], found, *laid[run + 1 :])
    return laid


def _best(
    problem: Problem, placed: Placed, run: int, stock: "_Stock", rng: np.random.Generator
) -> Pieces | None:
    """Return the pieces of one run, in the best way found that keeps the rules."""
    choices = problem.choices[run]
    hoped = _hoped(choices, stock, problem)
    best: tuple[int, Pieces] | None = None
    for way in islice(_legal(choices, placed, run, np.lexsort((rng.random(len(hoped)), hoped))), WAYS):
        if best and hoped[way] >= best[0]:
            break
        for cuts in _cuts(list(_needs(problem, run, choices, way)), problem):
            found = stock.lay(problem, run, cuts)
            if best is None or found[0] < best[0]:
                best = found
    return best[1] if best else None


def _legal(choices: Choices, placed: Placed, run: int, order: NDArray[np.int64]) -> Iterator[int]:
    for way in map(int, order):
        jointed = choices.first[way] <= choices.last[way]
        if placed.may_move(run, int(choices.first[way]) if jointed else None):
            yield way


def _hoped(choices: Choices, stock: "_Stock", problem: Problem) -> NDArray[np.int64]:
    """Return, per way, how many planks it opens at the least, waiting left aside."""
    whole = sum(source.length == problem.plank for source in stock.sources)
    starts = max((source.length for source in stock.sources if source.right), default=0)
    ends = max((source.length for source in stock.sources if source.left), default=0)
    single = max((source.length for source in stock.sources), default=0)
    needed = np.where(choices.single > single, 1, 0)
    needed += np.where((choices.starter > starts) | (choices.end > ends), 1, 0)
    return np.asarray(np.maximum(choices.wholes - whole, 0) + needed)


def _needs(problem: Problem, run: int, choices: Choices, way: int) -> Iterator[_Need]:
    """Yield the pieces of one way in the order laid."""
    starter, end, single = (int(lengths[way]) for lengths in (choices.starter, choices.end, choices.single))
    parts = [(Part.STARTER, starter)] if starter else []
    parts += [(Part.WHOLE, problem.plank)] * int(choices.wholes[way])
    parts += [(Part.END, end)] if end else []
    parts += [(Part.SINGLE, single)] if single else []
    one, last = problem.runs[run], len(parts) - 1
    for nth, (part, length) in enumerate(parts):
        slanted = bool(nth == 0 and one.left_slant), bool(nth == last and one.right_slant)
        yield _Need(
            nth=nth,
            part=part,
            length=length,
            left=part is Part.END or (part is Part.WHOLE and not slanted[0]),
            right=part is Part.STARTER or (part is Part.WHOLE and not slanted[1]),
        )


_Cuts = list[tuple[_Need, ...]]
"""All pieces of a run, those together that are to come from one source, in the order they choose it."""


def _cuts(needs: list[_Need], problem: Problem) -> Iterator[_Cuts]:
    """Yield the ways to choose: starter and end piece together where a plank holds both, or each by itself."""
    wholes: _Cuts = [(need,) for need in needs if need.part is Part.WHOLE]
    others = [need for need in needs if need.part is not Part.WHOLE]
    apart: _Cuts = [(need,) for need in others]
    yield apart + wholes
    yield wholes + apart
    if len(others) > 1 and sum(need.length for need in others) + problem.loss <= problem.plank:
        yield [tuple(others), *wholes]
        yield [*wholes, tuple(others)]


@dataclass(frozen=True, slots=True)
class _Stock:
    """What pieces can be cut from, the rows each plank is used in, and how many wait after every row."""

    sources: tuple[_Source, ...]
    spans: dict[int, tuple[int, int]]
    waiting: NDArray[np.int64]
    fresh: int

    @classmethod
    def of(cls, problem: Problem, laid: Laid, hosts: frozenset[int], fed: int) -> "_Stock":
        """Find all strips of hosts that a run fits beside, and the rests of all planks."""
        row, width = problem.runs[fed].row, ripped_width(problem.runs[fed])
        rows: defaultdict[int, list[int]] = defaultdict(list)
        for run, pieces in enumerate(laid):
            for piece in pieces:
                rows[piece.plank].append(problem.runs[run].row)
        spans = {plank: (min(used), max(used)) for plank, used in rows.items()}
        change = np.zeros(max(run.row for run in problem.runs) + 2, dtype=np.int64)
        for first, last in spans.values():
            change[first] += 1
            change[last] -= 1
        waiting = np.cumsum(change)
        found = [
            source
            for source in chain(_strips(problem, laid, hosts, width), _rests(problem, laid))
            if _may_wait(waiting, spans[source.plank], row, problem.rules.max_waiting)
        ]
        near = sorted(found, key=lambda source: _away(spans[source.plank], row))[:SOURCES]
        sources = sorted(near, key=lambda source: (source.length, source.ends))
        return cls(tuple(sources), spans, waiting, max(rows, default=0) + 1)

    def lay(self, problem: Problem, run: int, cuts: _Cuts) -> tuple[int, Pieces]:
        """Return how many planks are opened, and the pieces.

        Each choice in turn takes the shortest source that gives it and may wait for it; what nothing gives
        comes from a fresh plank.
        """
        row, most = problem.runs[run].row, problem.rules.max_waiting
        free, waiting = list(self.sources), self.waiting.copy()
        spans = ChainMap({}, self.spans)
        found: dict[int, PieceCut] = {}
        plank = self.fresh
        for cut in cuts:
            giving = (source for source in free if source.gives(cut, problem.loss))
            source = next((one for one in giving if _may_wait(waiting, spans[one.plank], row, most)), None)
            if source:
                free.remove(source)
                spans[source.plank] = _wait(waiting, spans[source.plank], row)
            for need in cut:
                found[need.nth] = PieceCut(
                    part=need.part,
                    length=need.length,
                    plank=source.plank if source else plank,
                    beside=source.beside if source else None,
                )
            plank += source is None
        return plank - self.fresh, tuple(found[nth] for nth in sorted(found))


def _longer(span: tuple[int, int], row: int) -> tuple[slice, slice]:
    """Return the rows after which a plank waits besides, once it is used in ``row`` as well."""
    return slice(min(row, span[0]), span[0]), slice(span[1], max(row, span[1]))


def _away(span: tuple[int, int], row: int) -> int:
    """Return after how many rows a plank waits besides, once it is used in ``row`` as well."""
    return max(0, span[0] - row, row - span[1])


def _may_wait(waiting: NDArray[np.int64], span: tuple[int, int], row: int, most: int | None) -> bool:
    """Say whether a plank may be used in a further row, with no more than ``most`` waiting after any."""
    return most is None or all(
        waiting[rows].max(initial=0) < most for rows in _longer(span, row) if rows.start < rows.stop
    )


def _wait(waiting: NDArray[np.int64], span: tuple[int, int], row: int) -> tuple[int, int]:
    """Note that a plank is used in a further row; return the rows it is then used from and to."""
    for rows in _longer(span, row):
        waiting[rows] += 1
    return min(row, span[0]), max(row, span[1])


def _strips(problem: Problem, laid: Laid, hosts: frozenset[int], width: Ticks) -> Iterator[_Source]:
    """Yield the strips beside the pieces of hosts from which nothing has been cut yet."""
    used = {piece.beside for pieces in laid for piece in pieces}
    for run in sorted(hosts):
        one = problem.runs[run]
        if ripped_width(one) + width + problem.loss > problem.width:
            continue
        for nth, piece in enumerate(laid[run]):
            if (run, nth) in used or piece.beside:
                continue
            slanted = (nth == 0 and one.left_slant), (nth == len(laid[run]) - 1 and one.right_slant)
            left = piece.part in (Part.END, Part.WHOLE) and not slanted[0]
            right = piece.part in (Part.STARTER, Part.WHOLE) and not slanted[1]
            yield _Source(
                plank=piece.plank,
                beside=(run, nth),
                length=piece.length,
                left=left,
                right=right,
                ends=left + right,
            )


def _rests(problem: Problem, laid: Laid) -> Iterator[_Source]:
    """Yield what one more piece can be cut from on planks that are cut already, strips left out."""
    parts: defaultdict[int, list[PieceCut]] = defaultdict(list)
    for piece in (piece for pieces in laid for piece in pieces if piece.beside is None):
        parts[piece.plank].append(piece)
    for plank, cut in parts.items():
        left = problem.plank - sum(piece.length + problem.loss for piece in cut)
        kept = [piece.part for piece in cut if piece.part is not Part.SINGLE]
        if left <= 0 or Part.WHOLE in kept:
            continue
        turned = not problem.handed and len(kept) < BOTH
        yield _Source(
            plank=plank,
            beside=None,
            length=left,
            left=turned or Part.END not in kept,
            right=turned or Part.STARTER not in kept,
            ends=max(0, BOTH - len(kept)),
        )
