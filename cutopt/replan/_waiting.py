"""How many planks wait among the rows that stay, if parts of them are used further on."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from itertools import accumulate

from cutopt.model.plan import LaidRun

__all__ = ["Waiting"]

_Spans = Mapping[int, tuple[int, int]]


class Waiting:
    """The rows between which each plank waits, as far as is known; ``most`` may wait at a time (``None``: any)."""

    def __init__(self, kept: Sequence[LaidRun], good: Collection[str], border: int, most: int | None) -> None:
        """Take in the pieces of kept runs that are good; ``border`` is the first row still to be planned."""
        rows: defaultdict[int, list[int]] = defaultdict(list)
        for row in kept:
            for piece in row.pieces:
                if piece.id in good:
                    rows[piece.plank].append(row.run.row)
        self._spans = {plank: (min(of_plank), max(of_plank)) for plank, of_plank in rows.items()}
        self._border = border
        self._most = most

    def reaches(self, plank: int, row: int) -> bool:
        """Let a plank give a piece to a kept row, if no more planks wait then than may."""
        first, last = self._spans.get(plank, (row, row))
        return self._take(plank, (min(first, row), max(last, row)))

    def holds(self, plank: int) -> bool:
        """Let a plank wait until the first row still to be planned, if no more planks wait then than may."""
        if plank not in self._spans:
            return True
        first, last = self._spans[plank]
        return self._take(plank, (min(first, self._border), max(last, self._border)))

    def _take(self, plank: int, span: tuple[int, int]) -> bool:
        before = self._peak(self._spans)
        spans = {**self._spans, plank: span}
        if self._most is not None and self._peak(spans) > max(self._most, before):
            return False
        self._spans = spans
        return True

    def left_to_rest(self) -> int | None:
        """Return how many planks of the rest may wait, where kept rows lie beyond the first row planned."""
        beyond = {plank: span for plank, span in self._spans.items() if span[1] > self._border}
        return None if self._most is None else max(0, self._most - self._peak(beyond, self._border))

    def _peak(self, spans: _Spans, first_row: int = 0) -> int:
        change: defaultdict[int, int] = defaultdict(int)
        for first, last in spans.values():
            change[max(first, first_row)] += 1
            change[last] -= 1
        return max(accumulate(change[row] for row in sorted(change)), default=0)
