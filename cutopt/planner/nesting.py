"""Which pieces of a floor may nest on a plank, slant beside slant, and how much that saves.

The search sorts slanted ends into kinds and writes a waiting plank as one number: its usable length, measured
to the outermost point of what was cut from it, times ``scale``, plus the kind of that cut. So pools stay plain
sorted arrays, and where nothing nests these numbers are the lengths themselves.

A bound must not count what nesting saves. Each end that may nest gives way by its ``relief``, half of the most
that it saves with any other: two ends that nest save no more than both reliefs, and an end nests once at the
most. So whatever is cut from one plank fits it as well when every piece is shorter by its reliefs and nothing
nests: all bounds count such lengths, which run about to the middle of the slant, and hold for every plan.

Parts of planks in hand that no plan knows do not wait before they are cut. Where waiting planks are counted,
such parts are of a kind of their own: idle, and straight.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from cutopt.model.floor import Run
from cutopt.model.slants import saved_by_nesting
from cutopt.units import Ticks

__all__ = ["NO_NESTING", "STRAIGHT", "Nesting", "nesting_of"]

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

# Kinds of slants that the search knows, straight cuts among them; rarer ones it takes for straight.
KINDS = 8
STRAIGHT = 0


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Nesting:
    """The kinds of slants of a floor. Lengths in ticks.

    Per run, ``kinds`` are those of its left and right end and ``reliefs`` what they give way. ``saved`` (shape
    (kinds, kinds)) is what two kinds save, ``relief`` what a kind gives way. ``idle`` is the kind of parts that
    do not wait yet (0: none are told apart).
    """

    kinds: tuple[tuple[int, int], ...] = ()
    reliefs: tuple[tuple[Ticks, Ticks], ...] = ()
    saved: Ints = field(default_factory=lambda: np.zeros((1, 1), dtype=np.int64))
    relief: Ints = field(default_factory=lambda: np.zeros(1, dtype=np.int64))
    idle: int = STRAIGHT

    @property
    def any(self) -> bool:
        """Whether some pieces may nest."""
        return bool(self.reliefs)

    @property
    def scale(self) -> int:
        """What a usable length is multiplied by, to leave room for a kind."""
        return 2 * KINDS if self.idle else KINDS if self.kinds else 1

    def kinds_of(self, run: int) -> tuple[int, int]:
        """Return the kinds of a run's left and right end."""
        return self.kinds[run] if self.kinds else (STRAIGHT, STRAIGHT)

    def reliefs_of(self, run: int) -> tuple[Ticks, Ticks]:
        """Return what a run's left and right end give way in a bound."""
        return self.reliefs[run] if self.reliefs else (0, 0)

    def written(self, length: Ints, kind: int = STRAIGHT) -> Ints:
        """Return planks of usable lengths, cut to one kind of end, as numbers (0: no plank)."""
        return np.where(length > 0, length * self.scale + kind, 0) if self.kinds else length

    def middle(self, planks: Ints) -> Ints:
        """Return the lengths of waiting planks to the middle of their slanted cut, as bounds count them."""
        if not self.kinds:
            return planks
        return planks // self.scale + self.relief[planks % self.scale]

    def usable(self, planks: Ints, kind: int) -> Ints | None:
        """Return how long a piece with one kind of end each waiting plank can give; ``None``: as it says itself.

        A piece fits where its length times ``scale`` is no more.
        """
        if not self.kinds or not self.saved[kind].any():
            return None
        scale = self.scale
        usable: Ints = planks + scale * np.where(planks > 0, self.saved[kind][planks % scale], 0)
        return usable

    def waits(self, planks: Ints) -> Bools:
        """Return which of these planks count as waiting: all but idle parts."""
        there: Bools = planks > 0
        return there & (planks % self.scale != self.idle) if self.idle else there

    def with_idle(self, runs: int) -> "Nesting":
        """Return the same with a kind more, for parts that do not wait yet, on a floor of so many runs."""
        return replace(
            self,
            kinds=self.kinds or ((STRAIGHT, STRAIGHT),) * runs,
            saved=np.pad(self.saved, (0, 1)),
            relief=np.append(self.relief, 0),
            idle=len(self.relief),
        )


NO_NESTING = Nesting()
"""Nothing nests: all planks are numbers of one kind, their lengths."""


def nesting_of(runs: Sequence[Run], *, width: Ticks, kerf: Ticks, handed: bool) -> Nesting:
    """Return what may nest of a floor's pieces on planks of a width and a kerf.

    On handed planks a left end lies beside a right end. A piece with square ends may be turned, which leaves
    the sign of its slant: then any two ends may lie side by side.
    """
    ends = [run.nests_in(width) for run in runs]
    lefts, rights = (Counter(end[side] for end in ends if end[side]) for side in (0, 1))
    if not handed:
        lefts = rights = lefts + rights

    def most(slant: Ticks, mates: Counter[Ticks]) -> Ticks:
        return max((saved_by_nesting(slant, mate, kerf=kerf, width=width) for mate in mates), default=0)

    reliefs = tuple((-(-most(left, rights) // 2), -(-most(right, lefts) // 2)) for left, right in ends)
    if not any(map(any, reliefs)):
        return NO_NESTING
    count: Counter[Ticks] = Counter()
    relief: Counter[Ticks] = Counter()
    for slants, given in zip(ends, reliefs, strict=True):
        for slant, amount in zip(slants, given, strict=True):
            if amount:
                count[slant] += 1
                relief[slant] = max(relief[slant], amount)
    known = [0, *sorted(count, key=lambda slant: (-count[slant], slant))[: KINDS - 1]]
    number = {slant: kind for kind, slant in enumerate(known)}
    return Nesting(
        kinds=tuple((number.get(left, STRAIGHT), number.get(right, STRAIGHT)) for left, right in ends),
        reliefs=reliefs,
        saved=np.array(
            [[saved_by_nesting(one, other, kerf=kerf, width=width) for other in known] for one in known],
            dtype=np.int64,
        ),
        relief=np.array([relief[slant] for slant in known], dtype=np.int64),
    )
