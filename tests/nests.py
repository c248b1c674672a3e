"""Floors with mitred ends, and the fewest planks of tiny ones, found by trying everything.

It knows the rules and nothing of the planner: every laying that keeps the rules on joints, its pieces put on
planks in every way and order, and how close two of them may lie found by moving one tick after tick towards the
other, as lines seen on every tick across the plank.
"""

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from itertools import pairwise, permutations

from enumerator import layings
from hypothesis import strategies as st
from planner_jobs import MOST_LAYINGS, FloorJob
from runs import run_of

from cutopt.model.floor import Floor
from cutopt.model.job import Ends, Lay, PlankSpec, Rules, ShareOffcuts
from cutopt.model.plan import Part

__all__ = ["fewest_nested", "mitred", "mitred_jobs", "overlap"]


def mitred(line, length, slants, *, width=4, **others):
    run = run_of(line, length, slants=slants, width=width, **others)
    return replace(run, left_mitre=slants[0] != 0, right_mitre=slants[1] != 0)


@cache
def overlap(right_slant, left_slant, kerf, width):
    """How far two parts may overlap: moved together tick by tick until a saw's way between them is too narrow.

    The saw goes along the gentler end; where ends do not nest it cuts square.
    """
    best = 0
    for moved in range(max(abs(right_slant), abs(left_slant)) + 1):
        # Outermost points apart by minus `moved`, and by what the saw takes.
        gaps = []
        for y in range(width + 1):
            ends = (
                -right_slant * Fraction(width - y, width)
                if right_slant > 0
                else right_slant * Fraction(y, width)
            )
            begins = (
                left_slant * Fraction(y, width)
                if left_slant > 0
                else -left_slant * Fraction(width - y, width)
            )
            gaps.append(begins - ends - moved)
        if min(gaps) >= 0:
            along = 0
            while along**2 * width**2 < kerf**2 * (width**2 + moved**2):
                along += 1
            best = max(best, moved - (along - kerf))
    return best


@dataclass(frozen=True)
class _Piece:
    part: Part
    length: int
    row: int
    room: str
    slants: tuple[int, int]

    @property
    def turned(self):
        return replace(self, slants=self.slants[::-1])


def fewest_nested(job):
    """The fewest planks of any plan whose slanted ends may nest, ``None`` where there is no plan."""
    best = None
    for laying in layings(job.floor, job.plank, job.rules):
        wholes, pieces = _to_cut(job, laying)
        found = _fewest(job, pieces, 10**9 if best is None else best - wholes)
        if found is not None and (best is None or wholes + found < best):
            best = wholes + found
    return best


def _to_cut(job, laying):
    pieces, wholes = [], 0
    for run, way in zip(job.floor.runs, laying, strict=True):
        for nth, (part, length) in enumerate(way):
            if part is Part.WHOLE:
                wholes += 1
                continue
            at = [nth == 0, nth == len(way) - 1]
            if job.rules.lay is Lay.RIGHT_TO_LEFT:
                at.reverse()
            room = run.field if job.rules.share_offcuts is ShareOffcuts.ROOM else ""
            slants = run.left_slant if at[0] else 0, run.right_slant if at[1] else 0
            pieces.append(_Piece(part, length, run.row, room, slants))
    return wholes, pieces


def _fewest(job, pieces, below):
    """The fewest planks, if fewer than ``below``."""
    best, planks = None, []

    def put(nth):
        nonlocal best
        if len(planks) >= (below if best is None else best):
            return
        if nth == len(pieces):
            if _waiting(planks, job):
                best = len(planks)
            return
        for cut in planks:
            cut.append(pieces[nth])
            if _fits(job, tuple(cut)):
                put(nth + 1)
            cut.pop()
        planks.append([pieces[nth]])
        put(nth + 1)
        planks.pop()

    put(0)
    return best


def _waiting(planks, job):
    most = job.rules.max_waiting
    spans = [(min(piece.row for piece in cut), max(piece.row for piece in cut)) for cut in planks]
    rows = {row for span in spans for row in span}
    return most is None or all(sum(first <= row < last for first, last in spans) <= most for row in rows)


def _fits(job, cut):
    if len({piece.room for piece in cut}) > 1:
        return False
    keepers = [piece for piece in cut if piece.part is not Part.SINGLE]
    singles = [piece for piece in cut if piece.part is Part.SINGLE]
    loss = job.plank.kerf + job.rules.fit
    total = sum(piece.length for piece in cut) + (len(cut) - 1) * loss
    return any(
        total
        - sum(
            overlap(one.slants[1], other.slants[0], job.plank.kerf, job.plank.width)
            for one, other in pairwise(lie)
        )
        <= job.plank.length
        for at_left, at_right in _sides(job, keepers)
        for middle in permutations(singles)
        for lie in [[*at_left, *middle, *at_right]]
    )


def _sides(job, keepers):
    """Every way in which pieces with a factory end lie at the two ends of a plank."""
    if len(keepers) > 2:
        return
    left = Part.STARTER if job.rules.lay is Lay.RIGHT_TO_LEFT else Part.END
    pads = [None] * (2 - len(keepers))
    for at_left, at_right in set(permutations([*keepers, *pads])):
        sides = []
        for piece, own in ((at_left, True), (at_right, False)):
            if piece is None:
                sides.append([])
            elif (piece.part is left) == own:
                sides.append([piece])
            elif job.plank.ends is Ends.SQUARE:
                sides.append([piece.turned])
        if len(sides) == 2:
            yield sides


@st.composite
def mitred_jobs(draw):
    """Two to five rows between walls on a slant, in planks not much longer than the slants."""
    plank = PlankSpec(
        length=draw(st.integers(10, 18)),
        width=draw(st.integers(3, 5)),
        per_box=8,
        ends=draw(st.sampled_from(Ends)),
        kerf=draw(st.sampled_from([0, 0, 1, 2])),
    )
    rules = Rules(
        stagger=draw(st.integers(0, 2)),
        min_piece=draw(st.integers(1, 3)),
        h_joint=0,
        stair_step=0,
        cut_step=1,
        fit=draw(st.sampled_from([0, 0, 1])),
        max_waiting=draw(st.sampled_from([None, 6, 2, 1])),
        lay=draw(st.sampled_from(Lay)),
        share_offcuts=draw(st.sampled_from([ShareOffcuts.JOB, ShareOffcuts.ROOM])),
    )
    slopes = draw(st.lists(st.integers(-4, 4), min_size=1, max_size=2))
    runs = []
    for row in range(1, draw(st.integers(2, 5)) + 1):
        slants = draw(st.sampled_from(slopes)), draw(st.sampled_from(slopes))
        least = abs(slants[0]) + abs(slants[1]) + 1
        length = draw(st.integers(least, 2 * plank.length + 4))
        runs.append(mitred(row, length, slants, width=plank.width, offset=draw(st.integers(0, 3))))
    return _few_enough(FloorJob(Floor(runs=tuple(runs)), plank, rules))


def _few_enough(job):
    runs = job.floor.runs
    while len(runs) > 2 and _ways(job, runs) > MOST_LAYINGS:
        runs = runs[:-1]
    return replace(job, floor=Floor(runs=runs))


def _ways(job, runs):
    count = 1
    for run in runs:
        count *= min(job.plank.length, run.length)
    return count
