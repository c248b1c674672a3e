"""Tiny floors in a fixed pattern, and the fewest planks of each, found by trying everything.

It knows the rules and nothing of the planner: every run is laid in every way whose starter is on the saw's
step, layings on the pattern are kept, and their pieces put on planks in every way there is.
"""

from dataclasses import dataclass, replace
from itertools import product

from hypothesis import strategies as st
from runs import run_of

from cutopt.model.floor import Floor
from cutopt.model.job import Ends, Job, Lay, Order, Pattern, PlankSpec, Rules
from cutopt.units import Unit

PARTS = {Pattern.HALF: 2, Pattern.THIRD: 3}


@dataclass(frozen=True)
class PatternJob:
    """A floor, the planks and the rules; one tick is the unit of all lengths."""

    floor: Floor
    plank: PlankSpec
    rules: Rules

    def job(self):
        return Job(title="", unit=Unit.MM, plank=self.plank, rules=self.rules, order=Order(), rooms=())


def job_of(runs, pattern, *, plank, ends=Ends.HANDED, kerf=0, **rules):
    every = {"stagger": 0, "min_piece": 1, "h_joint": 0, "stair_step": 0, "cut_step": 1, **rules}
    spec = PlankSpec(length=plank, width=100, per_box=8, ends=ends, kerf=kerf)
    return PatternJob(Floor(runs=tuple(runs)), spec, Rules(pattern=pattern, **every))


def fewest_planks(job):
    """The fewest planks of any plan on the pattern, as (joints rounded as one likes, all rounded up).

    ``None`` where there is no such plan. Waiting planks are not counted.
    """
    runs, ways = _runs(job), _ways_of_all(job)
    best = {False: None, True: None}
    known = {}
    for laying in product(*ways):
        alike = _rounded_alike(job, runs, laying)
        if alike is None or not _staggered(job, runs, laying):
            continue
        pieces = tuple(sorted(piece for way in laying for piece in way))
        if pieces not in known:
            known[pieces] = _planks(job, pieces)
        for kind in {False, alike}:
            best[kind] = min(best[kind] or known[pieces], known[pieces])
    return best[False], best[True]


def layings(job):
    count = 1
    for ways in _ways_of_all(job):
        count *= len(ways)
    return count


def _runs(job):
    """The runs as they are laid: seen in a mirror where that is from the right."""
    if job.rules.lay is Lay.LEFT_TO_RIGHT:
        return job.floor.runs
    return tuple(
        replace(run, offset=-run.right, left_slant=run.right_slant, right_slant=run.left_slant)
        for run in job.floor.runs
    )


def _ways_of_all(job):
    return [list(_ways(run, job)) for run in _runs(job)]


def _ways(run, job):
    """Every way to lay a run, as (part, length) from the side it is begun at."""
    plank, rules = job.plank.length, job.rules
    if run.length <= plank:
        yield (("alone", run.length),)
    steps = range(rules.cut_step, plank, rules.cut_step)
    for starter in [*steps, plank]:
        if starter < run.length:
            end = (run.length - starter - 1) % plank + 1
            wholes = (run.length - starter - end) // plank
            long_enough = (
                starter - abs(run.left_slant) >= rules.min_piece
                and end - abs(run.right_slant) >= rules.min_piece
            )
            if long_enough:
                yield (("starter", starter), *[("whole", plank)] * wholes, ("end", end))


def _joints(run, way):
    return [run.offset + sum(length for _, length in way[:count]) for count in range(1, len(way))]


def _rounded_alike(job, runs, laying):
    """Whether all joints are the pattern's rounded up; ``None`` where some is not the pattern's at all."""
    found = [
        _field_rounded(job, [(run, way) for run, way in zip(runs, laying, strict=True) if run.field == field])
        for field in {run.field for run in runs}
    ]
    return None if None in found else all(found)


def _field_rounded(job, laid):
    parts, plank, step = PARTS[job.rules.pattern], job.plank.length, job.rules.cut_step
    answers = []
    for direction in (1, -1):
        rests = [
            (_joints(run, way)[0] * parts - direction * run.line * plank) % (plank * parts)
            for run, way in laid
            if len(way) > 1
        ]
        for start in rests or [0]:  # a start can always be moved on to the first joint at or after it
            off = max(((rest - start) % (plank * parts) for rest in rests), default=0)
            answers += [off < step * parts] if off <= step * parts else []
    return any(answers) if answers else None


def _staggered(job, runs, laying):
    for (one, ours), (other, theirs) in product(zip(runs, laying, strict=True), repeat=2):
        if one.field != other.field or other.line != one.line + 1:
            continue
        low, high = max(one.offset, other.offset), min(one.right, other.right)
        for a, b in product(_joints(one, ours), _joints(other, theirs)):
            if low <= a <= high and low <= b <= high and low < high and abs(a - b) < job.rules.stagger:
                return False
    return True


def _planks(job, pieces):
    """The fewest planks for (part, length) pieces, by trying every way to put them together."""
    plank = job.plank.length
    cut = sorted((piece for piece in pieces if piece[1] < plank), key=lambda piece: -piece[1])
    best = [len(cut)]

    def place(nth, planks):
        if len(planks) >= best[0] and nth < len(cut):
            return
        if nth == len(cut):
            best[0] = min(best[0], len(planks))
            return
        for at in {tuple(sorted(one)): at for at, one in enumerate(planks)}.values():
            if _fits(job, [*planks[at], cut[nth]]):
                place(nth + 1, [*planks[:at], [*planks[at], cut[nth]], *planks[at + 1 :]])
        place(nth + 1, [*planks, [cut[nth]]])

    place(0, [])
    return len(pieces) - len(cut) + best[0]


def _fits(job, pieces):
    loss = job.plank.kerf + job.rules.fit
    if sum(length for _, length in pieces) + (len(pieces) - 1) * loss > job.plank.length:
        return False
    starters, ends = (sum(part == kind for part, _ in pieces) for kind in ("starter", "end"))
    if job.plank.ends is Ends.HANDED:
        return starters <= 1 and ends <= 1
    return starters + ends <= 2


@st.composite
def pattern_jobs(draw):
    """Floors of a few rows: jogs, offsets, slants, rows in two, rows within a plank, two rooms."""
    pattern, step = draw(st.sampled_from(list(PARTS))), draw(st.sampled_from([1, 1, 2, 3]))
    plank = draw(st.integers(6, 12)) * step + draw(st.sampled_from([0, 0, 1])) * (step > 1)
    runs, row = [], 0
    for room in ["Loft", "Bay"][: draw(st.sampled_from([1, 1, 2]))]:
        length = draw(st.integers(3, 3 * plank))
        for line in range(1, draw(st.integers(1, 4)) + 1):
            row += 1
            length = draw(st.sampled_from([length, length, draw(st.integers(3, 3 * plank))]))
            offset = draw(st.sampled_from([0, 0, draw(st.integers(0, plank))]))
            slants = draw(st.sampled_from([(0, 0), (0, 0), (1, 0), (0, -2)]))
            runs.append(run_of(line, length, offset=offset, room=room, row=row, slants=slants))
            if draw(st.integers(0, 9)) == 0:
                runs.append(run_of(line, plank, offset=offset + length + 1, nth=2, room=room, row=row))
    return job_of(
        runs,
        pattern,
        plank=plank,
        ends=draw(st.sampled_from(Ends)),
        kerf=draw(st.sampled_from([0, 0, 1, 2])),
        fit=draw(st.sampled_from([0, 0, 1])),
        stagger=draw(st.sampled_from([0, 1, plank // PARTS[pattern]])),
        min_piece=draw(st.integers(1, 3)),
        cut_step=step,
        max_waiting=None,
        lay=draw(st.sampled_from(Lay)),
    )
