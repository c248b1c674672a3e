"""The rules on joints and on short pieces around one run, measured fast: which of them a move would break.

This only sieves moves; whether one mends is for the counting of breaches to say that is handed in.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from cutopt.mend._lines import Jointed, Lines, closest, common_stretch, lines_of, run_joints
from cutopt.model.floor import Run
from cutopt.model.job import Pattern, Rules
from cutopt.model.plan import LaidRun, Plan, Source
from cutopt.units import Ticks

__all__ = ["Around", "Near", "around"]

_PARTS = {Pattern.HALF: 2, Pattern.THIRD: 3}

Near = tuple[str, tuple[int, ...], tuple[int, ...]]
"""A breach near a run: the rule, the rows that the plan lays, and the runs within them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """A run among those it meets; ``pairs`` and ``triples`` of lines that follow each other have it in them.

    ``rests`` are, for each direction of a fixed pattern, the phases of the field's other runs without their rows' shares.
    """

    me: Jointed
    laid: LaidRun
    rules: Rules
    plank: Ticks
    one_length: bool
    pairs: tuple[tuple[Jointed, Jointed], ...]
    triples: tuple[tuple[Jointed, Jointed, Jointed], ...]
    rests: dict[int, tuple[int, ...]]

    @property
    def own_joints(self) -> tuple[Ticks, ...]:
        """The run's joints as they are, from its own left end."""
        return run_joints(self.laid)

    def breaches(self, joints: tuple[Ticks, ...]) -> frozenset[Near]:
        """Return the breaches that the run is in when its joints, from its own left end, are these."""
        moved = Jointed(self.me.run, tuple(self.me.run.offset + joint for joint in joints))
        return frozenset((*self._short(joints), *self._close(moved), *self._of_three(moved)))

    def keeps_pattern(self, joints: tuple[Ticks, ...]) -> bool:
        """Say whether a fixed pattern's first joint agrees, to less than a cut step, with half of the other runs or more."""
        if not (self.rests and joints):
            return True
        parts = _PARTS[self.rules.pattern]
        whole, grid = self.plank * parts, max(self.rules.cut_step, 1) * parts
        for way, rests in self.rests.items():
            mine = _rest(self.me.run.offset + joints[0], self.me.run.line, parts, self.plank, way)
            agree = sum(min((mine - rest) % whole, (rest - mine) % whole) < grid for rest in rests)
            if 2 * agree >= len(rests):
                return True
        return False

    def _short(self, joints: tuple[Ticks, ...]) -> Iterator[Near]:
        run, least = self.laid.run, self.rules.min_piece
        if joints and joints[0] - abs(run.left_slant) < least:
            yield "left piece", (run.row,), (run.run,)
        if joints and run.length - joints[-1] - abs(run.right_slant) < least:
            yield "right piece", (run.row,), (run.run,)

    def _close(self, moved: Jointed) -> Iterator[Near]:
        for runs in self.pairs:
            one, other = self._with(moved, runs)
            if _apart(one, other, common_stretch((one.run, other.run)), self.rules.stagger):
                yield _near("stagger", (one, other))

    def _of_three(self, moved: Jointed) -> Iterator[Near]:
        for runs in self.triples:
            first, middle, last = three = self._with(moved, runs)
            stretch = common_stretch([one.run for one in three])
            if _apart(first, last, stretch, self.rules.h_joint):
                yield _near("H-joint", three)
            if self.one_length and all(_has_phase(one, self.plank) for one in three):
                turn = (last.joints[0] - 2 * middle.joints[0] + first.joints[0]) % self.plank
                if min(turn, self.plank - turn) < self.rules.stair_step:
                    yield _near("stair-step", three)

    def _with(self, moved: Jointed, runs: tuple[Jointed, ...]) -> tuple[Jointed, ...]:
        return tuple(moved if one is self.me else one for one in runs)


def around(plan: Plan, laid: LaidRun) -> Around:
    """Return a run of a plan with all that the rules on joints measure it against."""
    lines = lines_of(plan)
    here = lines.runs[laid.run.field, laid.run.line]
    me = next(one for one in here if one.run is laid.run)
    one_length = _one_length(plan)
    return Around(
        me=me,
        laid=laid,
        rules=plan.rules,
        plank=plan.plank.length,
        one_length=one_length,
        pairs=(*((one, me) for one in lines.before(me)), *((me, one) for one in lines.after(me))),
        triples=tuple(_triples(lines, me)) if plan.rules.pattern is Pattern.RANDOM else (),
        rests=_rests(plan, laid) if one_length else {},
    )


def _triples(lines: Lines, me: Jointed) -> Iterator[tuple[Jointed, Jointed, Jointed]]:
    for before in lines.before(me):
        yield from ((before, me, after) for after in lines.after(me))
        yield from ((first, before, me) for first in lines.before(before))
    for after in lines.after(me):
        yield from ((me, after, last) for last in lines.after(after))


def _near(rule: str, runs: tuple[Jointed, ...]) -> Near:
    laid = [one.run for one in runs if isinstance(one.run, Run)]
    return rule, tuple(run.row for run in laid), tuple(run.run for run in laid)


def _apart(one: Jointed, other: Jointed, stretch: tuple[Ticks, Ticks], least: Ticks) -> bool:
    """Say whether two joints within the stretch are closer than the least."""
    found = closest(one.within(*stretch), other.within(*stretch)) if least else None
    return found is not None and found < least


def _has_phase(one: Jointed, plank: Ticks) -> bool:
    if isinstance(one.run, Run):
        return bool(one.joints)
    return len({joint % plank for joint in one.joints}) == 1


def _one_length(plan: Plan) -> bool:
    return all(
        cut.length in (None, plan.plank.length)
        for cut in plan.planks
        if cut.strip is None and cut.source is Source.BOX and not cut.lost
    )


def _rests(plan: Plan, laid: LaidRun) -> dict[int, tuple[int, ...]]:
    parts = _PARTS.get(plan.rules.pattern)
    if parts is None:
        return {}
    others = [
        (run_joints(other)[0] + other.run.offset, other.run.line)
        for other in plan.rows
        if other is not laid and other.run.field == laid.run.field and len(other.pieces) > 1
    ]
    return {
        way: tuple(_rest(joint, line, parts, plan.plank.length, way) for joint, line in others)
        for way in (1, -1)
    }


def _rest(joint: Ticks, line: int, parts: int, plank: Ticks, way: int) -> int:
    """Return a phase, in parts of a tick, with the share of its line taken off."""
    return (joint * parts - way * line * plank) % (plank * parts)
