"""How floors are cut without a planner, to compare with: pure functions from a job to planks used.

``installers_habit`` lays row after row, starting each with what is at hand; ``fixed_third`` sets
every row off by a third of a plank. Both keep the hands of planks, kerf, fit, the cut step, the
minimum piece and the cap on waiting planks (of planks that could still give a piece: nobody knows yet
which of them will); where no starter keeps the rules they go on and count a breach, as a person
would. They share no code with the planner.

Only random patterns laid from left to right, with offcuts free to move through the whole job.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from random import Random

from cutopt.layout import lay_out
from cutopt.model.floor import Run
from cutopt.model.job import Ends, Job
from cutopt.units import Ticks

__all__ = ["Laid", "fixed_third", "installers_habit"]


@dataclass(frozen=True, slots=True)
class Laid:
    """Planks opened, and the runs in which a rule about joints or a minimum piece was broken."""

    planks: int
    breaches: int


@dataclass(slots=True)
class _Waiting:
    """A plank in use: the length it can still give, and the factory ends it still has."""

    room: Ticks
    left: bool = True
    right: bool = True


@dataclass(slots=True)
class _Heap:
    """Planks opened, and those that wait; lengths in ticks."""

    job: Job
    opened: int = 0
    waiting: list[_Waiting] = field(default_factory=list)

    def open(self) -> _Waiting:
        self.opened += 1
        plank = _Waiting(self.job.plank.length)
        self.waiting.append(plank)
        return plank

    def starters(self) -> list[_Waiting]:
        """Return waiting planks that can give a starter, longest first."""
        fit = [plank for plank in self.waiting if self._keeps(plank, "right")]
        return sorted(fit, key=lambda plank: -plank.room)

    def cut(self, plank: _Waiting, length: Ticks, end: str) -> None:
        """Cut a piece that keeps a factory ``end`` ("left", "right", or "" for a single piece)."""
        plank.room -= length + self.job.plank.kerf + self.job.rules.fit
        if end:
            # Square ends: either one will do, so the other stays.
            other = {"left": "right", "right": "left"}[end]
            setattr(plank, end if getattr(plank, end) else other, False)

    def end_piece(self, length: Ticks) -> None:
        """Cut an end piece from the shortest waiting plank that can give it, or a fresh one."""
        self.cut(self._shortest(length, "left") or self.open(), length, "left")

    def single(self, length: Ticks) -> None:
        """Cut a single piece from the shortest waiting plank that is long enough, or a fresh one."""
        self.cut(self._shortest(length, "") or self.open(), length, "")

    def tidy(self, shortest: Ticks) -> None:
        """Throw away what is too short for any use, and the shortest beyond what may wait."""
        useful = sorted(
            (plank for plank in self.waiting if plank.room >= shortest), key=lambda one: -one.room
        )
        self.waiting = useful[: self.job.rules.max_waiting]

    def _shortest(self, length: Ticks, end: str) -> _Waiting | None:
        fit = [plank for plank in self.waiting if plank.room >= length and self._keeps(plank, end)]
        return min(fit, key=lambda plank: plank.room, default=None)

    def _keeps(self, plank: _Waiting, end: str) -> bool:
        if not end:
            return True
        return getattr(plank, end) if self.job.plank.ends is Ends.HANDED else plank.left or plank.right


def installers_habit(job: Job, seeds: range = range(5)) -> Laid:
    """Lay each row with the waiting plank that gives the longest legal starter, else a fresh one cut at random.

    Of the random cuts of ``seeds``, the try in the middle by planks.
    """
    runs = lay_out(job).runs
    tries = sorted((_lay_by_habit(job, runs, Random(seed)) for seed in seeds), key=lambda one: one.planks)
    return tries[len(tries) // 2]


def fixed_third(job: Job) -> Laid:
    """Set each row off by a third of a plank from the row before, in the best way such a floor can start.

    H-joint and stair-step do not apply to it. Twelve starts and both directions are tried.
    """
    runs, plank = lay_out(job).runs, job.plank.length
    starts = [(start * plank // 12, turn) for start in range(12) for turn in (1, 2)]
    tries = [_lay_by_thirds(job, runs, first, turn) for first, turn in starts]
    return min(tries, key=lambda one: (one.breaches, one.planks))


def _lay_by_habit(job: Job, runs: tuple[Run, ...], random: Random) -> Laid:
    heap, joints = _Heap(job), _Joints(job, runs, pattern=False)

    def choose(run: Run) -> tuple[Ticks, _Waiting | None]:
        starters = _starters(job, run)
        for plank in heap.starters():
            fit = (one for one in reversed(starters) if one <= plank.room)
            found = next((one for one in fit if joints.allow(run, one)), None)
            if found is not None:
                return found, plank
        random.shuffle(starters)
        legal = (one for one in starters if joints.allow(run, one))
        return next(legal, starters[0] if starters else job.plank.length), None

    return _lay(job, runs, heap, joints, choose)


def _lay_by_thirds(job: Job, runs: tuple[Run, ...], first: Ticks, turn: int) -> Laid:
    heap, joints = _Heap(job), _Joints(job, runs, pattern=True)
    plank, step = job.plank.length, job.rules.cut_step

    def choose(run: Run) -> tuple[Ticks, _Waiting | None]:
        phase = (first + turn * run.line * plank // 3 - run.offset) // step * step
        starter = (phase - 1) % plank + 1
        fit = [one for one in heap.starters() if one.room >= starter]
        return starter, min(fit, key=lambda one: one.room, default=None) if starter < plank else None

    return _lay(job, runs, heap, joints, choose)


def _lay(
    job: Job,
    runs: tuple[Run, ...],
    heap: _Heap,
    joints: "_Joints",
    choose: Callable[[Run], tuple[Ticks, _Waiting | None]],
) -> Laid:
    plank, breaches = job.plank.length, 0
    shortest = min([job.rules.min_piece, *(run.length for run in runs)])
    for run, after in zip(runs, [*runs[1:], None], strict=True):
        if run.length <= plank:
            heap.single(run.length)
            joints.lay(run, None)
        else:
            starter, source = choose(run)
            breaches += not (_long_enough(job, run, starter) and joints.allow(run, starter))
            _lay_run(heap, run, starter, source, plank)
            joints.lay(run, starter)
        if after is None or after.row != run.row:
            heap.tidy(shortest)
    return Laid(planks=heap.opened, breaches=breaches)


def _lay_run(heap: _Heap, run: Run, starter: Ticks, source: _Waiting | None, plank: Ticks) -> None:
    end = (run.length - starter - 1) % plank + 1
    heap.opened += (run.length - starter - end) // plank
    for length, side in ((starter, "right"), (end, "left")):
        if length == plank:
            heap.opened += 1
        elif side == "right":
            heap.cut(source or heap.open(), length, side)
        else:
            heap.end_piece(length)


def _long_enough(job: Job, run: Run, starter: Ticks) -> bool:
    end = (run.length - starter - 1) % job.plank.length + 1
    least = job.rules.min_piece
    return starter >= least + abs(run.left_slant) and end >= least + abs(run.right_slant)


def _starters(job: Job, run: Run) -> list[Ticks]:
    """Return the starters on the cut step that keep the minimum piece at both ends, shortest first."""
    step, plank = job.rules.cut_step, job.plank.length
    lengths = [*range(step, min(plank, run.length), step), plank]
    return [length for length in lengths if _long_enough(job, run, length)]


class _Joints:
    """Where the joints of the runs laid so far are, and whether a run's joints may lie among them.

    In a fixed ``pattern`` only the stagger counts.
    """

    def __init__(self, job: Job, runs: tuple[Run, ...], *, pattern: bool) -> None:
        self.rules, self.plank, self.pattern = job.rules, job.plank.length, pattern
        self.lines: dict[tuple[str, int], list[Run]] = {}
        for run in runs:
            self.lines.setdefault((run.field, run.line), []).append(run)
        self.starters: dict[Run, Ticks | None] = {}

    def lay(self, run: Run, starter: Ticks | None) -> None:
        self.starters[run] = starter

    def allow(self, run: Run, starter: Ticks) -> bool:
        """Say whether stagger, H-joint and stair-step are kept by this starter."""
        mine = self._places(run, starter)
        return all(
            self._apart(mine, run, (before,), self.rules.stagger)
            and (self.pattern or all(self._free(mine, run, before, far) for far in self._touching(before)))
            for before in self._touching(run)
        )

    def _free(self, mine: list[Ticks], run: Run, before: Run, far: Run) -> bool:
        """Say whether a run makes no H-joint and no stair-step with the two rows before it."""
        return self._apart(mine, run, (before, far), self.rules.h_joint) and not self._steps(
            mine, self._laid(before), self._laid(far)
        )

    def _steps(self, mine: list[Ticks], before: list[Ticks], far: list[Ticks]) -> bool:
        if not (mine and before and far):
            return False
        turn = (mine[0] - 2 * before[0] + far[0]) % self.plank
        return min(turn, self.plank - turn) < self.rules.stair_step

    def _apart(self, mine: list[Ticks], run: Run, others: tuple[Run, ...], apart: Ticks) -> bool:
        """Say whether joints keep their distance from the last of ``others``, where all of them overlap."""
        low = max(one.offset for one in (run, *others))
        high = min(one.right for one in (run, *others))
        theirs = [place for place in self._laid(others[-1]) if low <= place <= high]
        inside = [place for place in mine if low <= place <= high]
        return all(abs(one - other) >= apart for one in inside for other in theirs)

    def _touching(self, run: Run) -> Iterator[Run]:
        for before in self.lines.get((run.field, run.line - 1), ()):
            if max(run.offset, before.offset) < min(run.right, before.right):
                yield before

    def _laid(self, run: Run) -> list[Ticks]:
        starter = self.starters[run]
        return [] if starter is None else self._places(run, starter)

    def _places(self, run: Run, starter: Ticks) -> list[Ticks]:
        return list(range(run.offset + starter, run.right, self.plank))
