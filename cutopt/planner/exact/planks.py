"""A floor cut from at most so many planks, as a model for the constraint solver.

What makes it strong is the waste: all there may be is what so many planks are longer than the rows, so
every piece is told how much of it the plank may lose that it closes.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from cutopt.model.plan import Laid, Part, PieceCut
from cutopt.planner.cpsat import Joints, Writing
from cutopt.planner.exact.ease import Eased

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

__all__ = ["Planks"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Piece:
    """A starter or end piece: its length in units, and whether it is to be cut (else a whole plank)."""

    run: int
    part: Part
    length: cp_model.LinearExpr
    cut: cp_model.IntVar
    waste: cp_model.IntVar
    shortest: int
    longest: int


class Planks:
    """The model: every run begins with a starter, and two pieces may share a plank.

    A run must be longer than a plank, and all lengths but offsets on the cut step. ``window``: rows that
    the pieces of one plank may lie apart at the most (``None``: any number). ``count``: the number of planks
    as a sum of its own, which helps to refute and hinders to find.
    """

    def __init__(
        self, floor: Eased, target: int, writing: Writing, *, window: int | None, count: bool
    ) -> None:
        """Write the model down."""
        problem = floor.problem
        lengths = [run.length for run in problem.runs]
        self.joints = Joints(problem, writing, also=[problem.loss, *lengths], margin=floor.margin)
        self.model = self.joints.model
        self._problem = problem
        self._writing = writing
        self._plank, self._loss = problem.plank // self.joints.unit, problem.loss // self.joints.unit
        self._budget = target * self._plank - sum(lengths) // self.joints.unit
        rows = sorted({run.row for run in problem.runs})
        self._row = [rows.index(run.row) for run in problem.runs]
        self._longer: list[cp_model.IntVar] = []
        self._pieces = [piece for run in range(len(lengths)) for piece in self._pieces_of(run)]
        self._pairs = dict(self._add_pairs(window))
        self._add_waste()
        if count:
            self._add_count(target)
        self._add_waiting()

    def laid(self, solver: cp_model.CpSolver) -> Laid:
        """Return what a solver found, run by run."""
        plank_of = {nth: nth for nth in range(len(self._pieces))}
        plank_of |= {
            second: first for (first, second), one in self._pairs.items() if solver.boolean_value(one)
        }
        planks = iter(range(len(self._pieces), 10**9))
        return tuple(
            tuple(self._laid(solver, run, [plank_of[2 * run], plank_of[2 * run + 1]], planks))
            for run in range(len(self._problem.runs))
        )

    def _laid(
        self, solver: cp_model.CpSolver, run: int, planks: list[int], fresh: Iterator[int]
    ) -> Iterator[PieceCut]:
        choices, way = self._problem.choices[run], self.joints.way(solver, run)
        starter, end = int(choices.starter[way]), int(choices.end[way])
        if starter:
            yield PieceCut(part=Part.STARTER, length=starter, plank=planks[0])
        for _ in range(int(choices.wholes[way])):
            yield PieceCut(part=Part.WHOLE, length=self._problem.plank, plank=next(fresh))
        if end:
            yield PieceCut(part=Part.END, length=end, plank=planks[1])

    def _pieces_of(self, run: int) -> Iterator[_Piece]:
        """Yield starter and end piece of a run, whose lengths add up to what whole planks leave over."""
        model, plank, one = self.model, self._plank, self._problem.runs[run]
        starter = self.joints.first[run] - one.offset // self.joints.unit
        rest = (one.length // self.joints.unit - 1) % plank + 1
        longer = model.new_bool_var(f"starter of {run} no shorter than what is left over")
        self.joints.keep(starter, [(None, rest - 1)], [~longer])
        self.joints.keep(starter, [(rest, None)], [longer])
        self._longer.append(longer)
        choices = self._problem.choices[run]
        ends = (one.length - choices.last) // self.joints.unit
        end = model.new_int_var(int(ends.min()), int(ends.max()), f"end {run}")
        model.add(end == rest - starter + plank * longer)
        starters = choices.first // self.joints.unit
        yield self._piece(run, Part.STARTER, starter, int(starters.min()), int(starters.max()))
        yield self._piece(run, Part.END, end, int(ends.min()), int(ends.max()))

    def _piece(
        self, run: int, part: Part, length: cp_model.LinearExpr, shortest: int, longest: int
    ) -> _Piece:
        cut = self.model.new_bool_var(f"{part} of {run} cut")
        self.joints.keep(length, [(None, self._plank - 1)], [cut])
        self.joints.keep(length, [(self._plank, None)], [~cut])
        waste = self.model.new_int_var(0, max(0, self._budget), f"waste beside {part} of {run}")
        return _Piece(
            run=run, part=part, length=length, cut=cut, waste=waste, shortest=shortest, longest=longest
        )

    def _add_pairs(self, window: int | None) -> Iterator[tuple[tuple[int, int], cp_model.IntVar]]:
        """Yield, per two pieces that may share a plank, whether they do."""
        room = self._plank - self._loss
        for (nth, one), (other, two) in combinations(enumerate(self._pieces), 2):
            if self._problem.handed and one.part is two.part:
                continue
            if not self._row[two.run] - self._row[one.run] <= self._reach(window):
                continue
            if one.shortest + two.shortest > room or one.longest + two.longest < room - self._budget:
                continue
            shared = self.model.new_bool_var(f"{nth} and {other} from one plank")
            total = one.length + two.length + one.waste
            if self._writing.choose:
                self.model.add(one.length + two.length <= room).only_enforce_if(shared)
                self.model.add(total >= room).only_enforce_if(shared)
            else:
                self.model.add(total == room).only_enforce_if(shared)
            yield (nth, other), shared

    def _reach(self, window: int | None) -> int:
        if self._problem.rules.max_waiting == 0:
            return 0
        return len(self._row) if window is None else window

    def _add_waste(self) -> None:
        """Give every piece to cut one plank, and let there be no more waste than there may."""
        mates = defaultdict(list)
        for (nth, other), shared in self._pairs.items():
            mates[nth].append(shared)
            mates[other].append(shared)
        for nth, piece in enumerate(self._pieces):
            alone = self.model.new_bool_var(f"{nth} from a plank of its own")
            self.model.add(sum(mates[nth]) + alone == piece.cut)
            self.model.add(piece.length + piece.waste >= self._plank).only_enforce_if(alone)
        losses = self._loss * sum(self._pairs.values())
        self.model.add(sum(piece.waste for piece in self._pieces) + losses <= self._budget)

    def _add_count(self, target: int) -> None:
        """Say once more, of pieces and pairs alone, how many planks there may be."""
        most = sum((run.length - 1) // self._problem.plank + 2 for run in self._problem.runs)
        self.model.add(most - sum(self._longer) - sum(self._pairs.values()) <= target)

    def _add_waiting(self) -> None:
        most = self._problem.rules.max_waiting
        if not most:
            return
        waiting = defaultdict(list)
        for (nth, other), shared in self._pairs.items():
            for row in range(self._row[self._pieces[nth].run], self._row[self._pieces[other].run]):
                waiting[row].append(shared)
        for pairs in waiting.values():
            self.model.add(sum(pairs) <= most)
