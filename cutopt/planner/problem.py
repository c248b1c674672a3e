"""The floor as the planner sees it: runs with their ways of being laid, and who touches whom.

Everything is laid from left to right here; a floor laid from right to left is mirrored first,
which also mirrors the hands of the planks (design: a plank cannot be turned round).
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from cutopt.model.floor import DownRun, Floor, Run
from cutopt.model.job import Ends, Lay, Pattern, PlankSpec, Rules
from cutopt.model.plan import HandPart
from cutopt.planner import parts
from cutopt.planner.down import Asked, above, asked_of, phase_of
from cutopt.planner.nesting import NO_NESTING, Nesting, nesting_of
from cutopt.units import Ticks, Unit, format_length

__all__ = ["Choices", "Link", "Problem", "TripleLink", "build_problem"]

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
L = TypeVar("L")

# What the search holds when any number may wait.
MANY_WAITING = 16

# A joint position no floor reaches: "no joint".
NO_JOINT = 1 << 60


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Choices:
    """The ways to lay one run, one array entry a way. Lengths in ticks.

    ``starter`` and ``end`` are 0 where the piece is a whole plank or absent, so a positive entry
    is always a piece to cut; ``single`` is the run's length where it is laid in one piece that
    must be cut. ``wholes`` counts whole planks. ``first`` and ``last`` are the first and last
    joint from the run's left end; ``NO_JOINT`` / ``-NO_JOINT`` where there is none. ``reliefs`` are what
    the run's left and right end give way in a bound, where its pieces may nest.
    """

    starter: Ints
    end: Ints
    single: Ints
    wholes: Ints
    first: Ints
    last: Ints
    reliefs: tuple[Ticks, Ticks] = (0, 0)

    def __len__(self) -> int:
        """Count the ways."""
        return len(self.starter)

    def take(self, keep: Ints | Bools) -> "Choices":
        """Return only the ways that ``keep`` selects."""
        return Choices(
            starter=self.starter[keep],
            end=self.end[keep],
            single=self.single[keep],
            wholes=self.wholes[keep],
            first=self.first[keep],
            last=self.last[keep],
            reliefs=self.reliefs,
        )

    @property
    def relieved(self) -> "Choices":
        """The same with lengths as a bound counts them."""
        left, right = self.reliefs
        if not (left or right):
            return self
        return replace(
            self,
            starter=np.where(self.starter > 0, self.starter - left, 0),
            end=np.where(self.end > 0, self.end - right, 0),
            single=np.where(self.single > 0, self.single - left - right, 0),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """Two touching runs of neighbouring rows and their common stretch, from the field's origin.

    ``phases`` are those of runs that lie already and that ``before`` touches: with each of them the two
    are three successive rows (stair-step).
    """

    before: int
    after: int
    low: Ticks
    high: Ticks
    phases: tuple[Ticks, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TripleLink:
    """Three runs of successive rows, each touching the next.

    ``low``..``high`` is the stretch common to all three (empty when ``low > high``: then only
    the stair-step rule looks at them).
    """

    first: int
    middle: int
    last: int
    low: Ticks
    high: Ticks


@dataclass(frozen=True)
class Problem:
    """All the planner knows. Runs are in laying order; lengths in ticks.

    ``loss`` is kerf plus fit: what a cut takes between two parts that share a plank. ``unit`` is what
    lengths are told in. ``down`` are runs that lie already, before all of ``runs``. ``width`` is
    that of a plank, and ``kerf`` the part of the loss that a saw takes. Without ``nest`` slanted ends
    never nest. ``hand`` are parts of planks to cut from as well; pieces of ``hand[k]`` have plank -1 - k.
    """

    runs: tuple[Run, ...]
    plank: Ticks
    loss: Ticks
    handed: bool
    rules: Rules
    unit: Unit = field(default=Unit.MM, kw_only=True)
    down: tuple[DownRun, ...] = field(default=(), kw_only=True)
    width: Ticks = field(default=0, kw_only=True)
    kerf: Ticks = field(default=0, kw_only=True)
    nest: bool = field(default=True, kw_only=True)
    hand: tuple[HandPart, ...] = field(default=(), kw_only=True)

    @cached_property
    def nesting(self) -> Nesting:
        """Which pieces may nest (none where nesting is left aside), and whether parts are told apart that do not wait."""
        found = NO_NESTING
        if self.nest and any(run.left_mitre or run.right_mitre for run in self.runs):
            found = nesting_of(self.runs, width=self.width, kerf=self.kerf, handed=self.handed)
        counted = self.rules.max_waiting is not None
        return found.with_idle(len(self.runs)) if counted and any(map(parts.is_idle, self.hand)) else found

    @cached_property
    def choices(self) -> tuple[Choices, ...]:
        """Per run, the ways to lay it beside what lies already; runs that are alike share one object."""
        made: dict[tuple[tuple[Ticks, Ticks, Ticks], tuple[Asked, ...], tuple[Ticks, Ticks]], Choices] = {}
        reliefs = map(self.nesting.reliefs_of, range(len(self.runs)))
        keys = list(zip(map(_kind, self.runs), self.asked, reliefs, strict=True))
        for key in keys:
            if key not in made:
                kind, asked, given = key
                choices = _beside(self, _choices(self, *kind), asked)
                made[key] = replace(choices, reliefs=given) if any(given) else choices
        return tuple(made[key] for key in keys)

    @cached_property
    def asked(self) -> tuple[tuple[Asked, ...], ...]:
        """Per run, what runs that lie already ask of it alone."""
        if not self.down:
            return ((),) * len(self.runs)
        before = [[self.runs[link.before] for link in links] for links in self.links_to]
        return tuple(
            tuple(asked_of(run, runs, self.down, self.plank))
            for run, runs in zip(self.runs, before, strict=True)
        )

    @cached_property
    def links(self) -> tuple[Link, ...]:
        """Every pair of touching runs, ordered by the later one."""
        return tuple(_links(self.runs, self.down, self.plank))

    @cached_property
    def links_to(self) -> tuple[tuple[Link, ...], ...]:
        """Per run, its links to runs of the row before."""
        return _by_last(len(self.runs), [(link.after, link) for link in self.links])

    @cached_property
    def triples_to(self) -> tuple[tuple[TripleLink, ...], ...]:
        """Per run, the triples it completes."""
        triples = [
            (link.after, _triple(self.runs, before, link))
            for link in self.links
            for before in self.links_to[link.before]
        ]
        return _by_last(len(self.runs), triples)

    @cached_property
    def last_look(self) -> tuple[int, ...]:
        """Per run, the last run whose rules look back to it (-1: none)."""
        last = [-1] * len(self.runs)
        for link in self.links:
            last[link.before] = max(last[link.before], link.after)
            for before in self.links_to[link.before]:
                last[before.before] = max(last[before.before], link.after)
        return tuple(last)

    @cached_property
    def waiting_cap(self) -> int:
        """How many planks the search lets wait after a row."""
        return MANY_WAITING + len(self.hand) if self.rules.max_waiting is None else self.rules.max_waiting

    @cached_property
    def pool_places(self) -> int:
        """Places a pool needs: the cap, and what one row may add before it is kept to it."""
        row_runs = Counter(run.row for run in self.runs)
        return self.waiting_cap + 2 * max(row_runs.values()) + 1 + len(self.hand)

    @cached_property
    def shortest_starter(self) -> Ticks:
        """The shortest starter any run may have, as a bound counts it (more than a plank when none is cut)."""
        return self._shortest(lambda choices: choices.starter)

    @cached_property
    def shortest_end(self) -> Ticks:
        """The shortest piece that can still be cut where an end piece can (square: either piece)."""
        end = self._shortest(lambda choices: choices.end)
        return end if self.handed else min(end, self.shortest_starter)

    @cached_property
    def shortest_single(self) -> Ticks:
        """The shortest run that is laid in one cut piece."""
        return self._shortest(lambda choices: choices.single)

    def _shortest(self, pieces: Callable[[Choices], Ints]) -> Ticks:
        relieved = [choices.relieved for choices in set(self.choices)]
        found = [one[one > 0].min(initial=self.plank + 1) for one in map(pieces, relieved)]
        return int(min(found, default=self.plank + 1))

    @cached_property
    def on_step(self) -> bool:
        """Whether all lengths lie on the cut step, so that starters off it can save no plank.

        Nothing is known of that where pieces may nest.
        """
        if self.nesting.any or (self.hand and self.steepest):
            return False
        step = self.rules.cut_step
        slants = [slant for run in self.runs for slant in (run.left_slant, run.right_slant)]
        lengths = [run.length for run in self.runs]
        # Without a minimum piece one that comes to nothing leaves a run that begins with a whole plank.
        least = 0 if self.rules.min_piece == 1 and not any(slants) else self.rules.min_piece
        in_hand = [part.length for part in self.hand]
        fixed = (self.plank, self.loss, least, *slants, *lengths, *in_hand)
        return all(length % step == 0 for length in fixed)

    @cached_property
    def steepest(self) -> Ticks:
        """The most that an end of these runs may save by nesting beside a piece that is cut already."""
        return max(abs(slant) for run in self.runs for slant in run.nests_in(self.width))

    @cached_property
    def last_of_row(self) -> tuple[bool, ...]:
        """Per run, whether its row is complete once it is laid."""
        rows = [run.row for run in self.runs]
        return tuple(here != after for here, after in zip(rows, [*rows[1:], None], strict=True))

    def show(self, length: Ticks) -> str:
        """Return a length as the user reads it."""
        return format_length(length, self.unit, self.rules.cut_step)


def build_problem(
    floor: Floor, plank: PlankSpec, rules: Rules, unit: Unit = Unit.MM, hand: Sequence[HandPart] = ()
) -> Problem:
    """Return the problem a floor poses, mirrored (what lies already and parts too) when it is laid from right to left.

    Lengths are told in ``unit``, should the rules clash.
    """
    mirrored = rules.lay is Lay.RIGHT_TO_LEFT
    runs = tuple(_mirror(floor.runs) if mirrored else floor.runs)
    down = tuple(map(_mirror_down, floor.down)) if mirrored else floor.down
    fixed = rules.pattern is not Pattern.RANDOM
    return Problem(
        runs=runs,
        plank=plank.length,
        loss=plank.kerf + rules.fit,
        handed=plank.ends is Ends.HANDED,
        width=plank.width,
        kerf=plank.kerf,
        # A fixed offset repeats by nature: H-joint and stair-step do not apply to it.
        rules=replace(rules, h_joint=0, stair_step=0) if fixed else rules,
        unit=unit,
        down=down,
        hand=tuple(map(parts.mirrored, hand)) if mirrored else tuple(hand),
    )


def _mirror(runs: tuple[Run, ...]) -> Iterator[Run]:
    for run in runs:
        yield replace(
            run,
            offset=-run.right,
            left_slant=-run.right_slant,
            right_slant=-run.left_slant,
            left_mitre=run.right_mitre,
            right_mitre=run.left_mitre,
        )


def _mirror_down(run: DownRun) -> DownRun:
    return replace(run, offset=-run.right, joints=tuple(-joint for joint in reversed(run.joints)))


def _kind(run: Run) -> tuple[Ticks, Ticks, Ticks]:
    return run.length, abs(run.left_slant), abs(run.right_slant)


def _choices(problem: Problem, length: Ticks, left_slant: Ticks, right_slant: Ticks) -> Choices:
    """List the ways to lay a run of ``length``: one piece where it fits, and every starter."""
    plank, step = problem.plank, problem.rules.cut_step
    shortest = problem.rules.min_piece + left_slant
    lowest_end = problem.rules.min_piece + right_slant
    grid = np.arange(-(-shortest // step) * step, min(plank, length), step, dtype=np.int64)
    # A whole plank needs no trim, so as a starter it is legal off the cut step as well.
    starter = np.append(grid, plank) if length > plank >= shortest else grid
    end = (length - starter - 1) % plank + 1
    starter, end = starter[end >= lowest_end], end[end >= lowest_end]
    split = starter_and_end(length, plank, starter, end)
    return _with_single(split, length, plank) if length <= plank else split


def _beside(problem: Problem, choices: Choices, asked: tuple[Asked, ...]) -> Choices:
    """Leave out the ways whose joints break a rule with runs that lie already."""
    for one in asked:
        apart = one.apart(choices.first, choices.last, problem.plank)
        choices = choices.take(apart >= one.wanted(problem.rules))
    return choices


def starter_and_end(length: Ticks, plank: Ticks, starter: Ints, end: Ints) -> Choices:
    """Return the ways with these starters and end pieces (a plank's length means a whole one)."""
    partial_start, partial_end = starter < plank, end < plank
    between = (length - starter - end) // plank
    return Choices(
        starter=np.where(partial_start, starter, 0),
        end=np.where(partial_end, end, 0),
        single=np.zeros_like(starter),
        wholes=between + ~partial_start + ~partial_end,
        first=starter,
        last=length - end,
    )


def _with_single(split: Choices, length: Ticks, plank: Ticks) -> Choices:
    """Put the one-piece way first, so that ties prefer it (design: with as few planks, one piece)."""
    is_whole = length == plank

    def first(value: Ticks, others: Ints) -> Ints:
        return np.concatenate([np.array([value], dtype=np.int64), others])

    return Choices(
        starter=first(0, split.starter),
        end=first(0, split.end),
        single=first(0 if is_whole else length, split.single),
        wholes=first(int(is_whole), split.wholes),
        first=first(NO_JOINT, split.first),
        last=first(-NO_JOINT, split.last),
    )


def _links(runs: tuple[Run, ...], down: tuple[DownRun, ...], plank: Ticks) -> Iterator[Link]:
    by_line: dict[tuple[str, int], list[int]] = {}
    for index, run in enumerate(runs):
        by_line.setdefault((run.field, run.line), []).append(index)
    phases = [tuple(_phases(run, down, plank)) for run in runs]
    for after, run in enumerate(runs):
        for before in by_line.get((run.field, run.line - 1), ()):
            low = max(run.offset, runs[before].offset)
            high = min(run.right, runs[before].right)
            named = run.touches is None or runs[before].run in run.touches
            if low < high and named:
                yield Link(before=before, after=after, low=low, high=high, phases=phases[before])


def _phases(run: Run, down: tuple[DownRun, ...], plank: Ticks) -> Iterator[Ticks]:
    """Yield the phases of the runs that lie before this one, of those that have one."""
    found = (phase_of(one, plank) for one in above(run, down))
    yield from (phase for phase in found if phase is not None)


def _triple(runs: tuple[Run, ...], before: Link, link: Link) -> TripleLink:
    ends = [runs[index] for index in (before.before, link.before, link.after)]
    return TripleLink(
        first=before.before,
        middle=link.before,
        last=link.after,
        low=max(run.offset for run in ends),
        high=min(run.right for run in ends),
    )


def _by_last(count: int, pairs: Iterable[tuple[int, L]]) -> tuple[tuple[L, ...], ...]:
    grouped: list[list[L]] = [[] for _ in range(count)]
    for last, link in pairs:
        grouped[last].append(link)
    return tuple(tuple(links) for links in grouped)
