"""The joints of every run, and which runs touch across a line; positions in ticks from the field's origin."""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from cutopt.model.floor import DownRun, Run
from cutopt.model.plan import LaidRun, Plan
from cutopt.units import Ticks

__all__ = ["Jointed", "Lines", "closest", "common_stretch", "jointed", "lines_of", "run_joints"]


@dataclass(frozen=True, slots=True)
class Jointed:
    """A run, laid by the plan or there before it, and its joints, rising."""

    run: Run | DownRun
    joints: tuple[Ticks, ...]

    def within(self, low: Ticks, high: Ticks) -> tuple[Ticks, ...]:
        """Return the joints from ``low`` to ``high``, both included."""
        return self.joints[bisect_left(self.joints, low) : bisect_right(self.joints, high)]


@dataclass(frozen=True, slots=True)
class Lines:
    """All runs of a plan, those that lay before it among them, by field and line."""

    runs: dict[tuple[str, int], list[Jointed]]

    def before(self, one: Jointed) -> list[Jointed]:
        """Return the runs of the line before that a run touches."""
        earlier = self.runs.get((one.run.field, one.run.line - 1), [])
        return [other for other in earlier if _touch(other.run, one.run)]

    def after(self, one: Jointed) -> list[Jointed]:
        """Return the runs of the next line that touch a run."""
        later = self.runs.get((one.run.field, one.run.line + 1), [])
        return [other for other in later if _touch(one.run, other.run)]


def lines_of(plan: Plan) -> Lines:
    """Return the runs of a plan by field and line."""
    runs: defaultdict[tuple[str, int], list[Jointed]] = defaultdict(list)
    for down in plan.down:
        runs[down.field, down.line].append(Jointed(down, tuple(sorted(down.joints))))
    for laid in plan.rows:
        runs[laid.run.field, laid.run.line].append(jointed(laid))
    return Lines(dict(runs))


def jointed(laid: LaidRun) -> Jointed:
    """Return a run with its joints from the field's origin."""
    return Jointed(laid.run, tuple(laid.run.offset + joint for joint in run_joints(laid)))


def run_joints(laid: LaidRun) -> tuple[Ticks, ...]:
    """Return the joints from the run's own left end."""
    return tuple(accumulate(piece.length for piece in laid.pieces[:-1]))


def common_stretch(runs: Sequence[Run | DownRun]) -> tuple[Ticks, Ticks]:
    """Return where the stretch that all runs span begins and ends."""
    return max(run.offset for run in runs), min(run.right for run in runs)


def closest(ours: Sequence[Ticks], theirs: Sequence[Ticks]) -> Ticks | None:
    """Return how far apart the closest two are, one of each of two rising lists."""
    best: Ticks | None = None
    one = other = 0
    while one < len(ours) and other < len(theirs):
        apart = ours[one] - theirs[other]
        best = abs(apart) if best is None else min(best, abs(apart))
        one, other = (one + 1, other) if apart < 0 else (one, other + 1)
    return best


def _touch(earlier: Run | DownRun, later: Run | DownRun) -> bool:
    low, high = common_stretch((earlier, later))
    if low >= high:
        return False
    if isinstance(earlier, DownRun) or isinstance(later, DownRun) or later.touches is None:
        return True
    return earlier.run in later.touches
