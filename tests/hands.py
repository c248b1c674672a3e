"""Parts of planks in hand for tiny floors, and the fewest fresh planks with them, found by trying everything."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from enumerator import layings
from hypothesis import strategies as st
from planner_jobs import LOOKS, FloorJob, Patience, jogged_jobs, row_jobs

from cutopt.model.job import Ends, Lay, ShareOffcuts
from cutopt.model.plan import HandPart, Keeps, Part, PieceCut
from cutopt.planner import Limits, plan_cuts

__all__ = [
    "cutting_with",
    "fewest_fresh",
    "fresh",
    "hand_jobs",
    "hands",
    "peak_with",
    "ripped_jobs",
    "whole_plan",
]

NEVER = 10**9
MOST_PIECES = 7
TINY = st.one_of(row_jobs(), jogged_jobs())
Cut = tuple[PieceCut, int, str]
"""A piece to cut, the row and the field it is laid in."""


def fewest_fresh(job: FloorJob, hand: Sequence[HandPart]) -> int | None:
    """The fewest fresh planks of any plan; ``None`` where there is no plan."""
    best, tried = NEVER, set()
    in_hand = sum(part.length for part in hand)
    by_area = max(0, -(-(sum(run.length for run in job.floor.runs) - in_hand) // job.plank.length))
    for laying in layings(job.floor, job.plank, job.rules):
        if best == by_area:
            break
        pieces = [
            (PieceCut(part=part, length=length, plank=0), run.row, run.field)
            for run, way in zip(job.floor.runs, laying, strict=True)
            for part, length in way
        ]
        cut = [piece for piece in pieces if piece[0].part is not Part.WHOLE]
        wholes = len(pieces) - len(cut)
        # The same pieces need the same planks; in which row each lies counts only for what waits.
        alike = cut if job.rules.max_waiting is not None else sorted(_alike(piece) for piece in cut)
        if (wholes, *alike) in tried:
            continue
        tried.add((wholes, *alike))
        best = min(best, wholes + _Tries(job, hand, best - wholes).put(cut))
    return best if best < NEVER else None


def _alike(piece: Cut) -> tuple[str, int, str]:
    cut, _, field = piece
    return cut.part.value, cut.length, field


class _Tries:
    """All ways to cut pieces from parts and fresh planks, fewer than ``best`` of these."""

    def __init__(self, job: FloorJob, hand: Sequence[HandPart], best: int):
        self.job, self.best, self.parts = job, best, list(hand)
        self.whole = HandPart(length=job.plank.length, keeps=Keeps.BOTH)
        self.cuts: list[list[Cut]] = [[] for _ in hand]

    def put(self, pieces: Sequence[Cut]) -> int:
        """The fewest fresh planks found, or ``best``."""
        fresh = len(self.cuts) - len(self.parts)
        if fresh >= self.best:
            return self.best
        if not pieces:
            if self._holds():
                self.best = fresh
            return self.best
        for nth, cut in enumerate(self.cuts):
            cut.append(pieces[0])
            if self._fits(self._part(nth), cut):
                self.put(pieces[1:])
            cut.pop()
        self.cuts.append([pieces[0]])
        self.put(pieces[1:])
        self.cuts.pop()
        return self.best

    def _part(self, nth: int) -> HandPart:
        return self.parts[nth] if nth < len(self.parts) else self.whole

    def _left(self, part: HandPart, cut: Sequence[Cut]) -> int:
        loss = self.job.plank.kerf + self.job.rules.fit
        return part.length - sum(piece.length for piece, _, _ in cut) - loss * (len(cut) - 1)

    def _fits(self, part: HandPart, cut: Sequence[Cut]) -> bool:
        backwards = self.job.rules.lay is Lay.RIGHT_TO_LEFT
        ends = [piece.part for piece, _, _ in cut if piece.part is not Part.SINGLE]
        rights = sum((end is Part.STARTER) != backwards for end in ends)
        left, right = part.keeps in {Keeps.LEFT, Keeps.BOTH}, part.keeps in {Keeps.RIGHT, Keeps.BOTH}
        if self.job.plank.ends is Ends.HANDED:
            kept = rights <= right and len(ends) - rights <= left
        else:
            kept = len(ends) <= left + right
        fields = {field for _, _, field in cut}
        one_room = self.job.rules.share_offcuts is ShareOffcuts.JOB or len(fields) == 1
        return (
            kept
            and one_room
            and fields <= {part.field or field for field in fields}
            and self._left(part, cut) >= 0
        )

    def _holds(self) -> bool:
        """Whether starters off the cut step use their planks without trim, and no more planks wait than may."""
        step = self.job.rules.cut_step
        for nth, cut in enumerate(self.cuts):
            off = any(piece.part is Part.STARTER and piece.length % step for piece, _, _ in cut)
            if off and self._left(self._part(nth), cut):
                return False
        first = min(run.row for run in self.job.floor.runs)
        uses = [(self._part(nth), [row for _, row, _ in cut]) for nth, cut in enumerate(self.cuts)]
        most = self.job.rules.max_waiting
        return most is None or _peak(uses, first) <= most


def _peak(uses: Sequence[tuple[HandPart, list[int]]], first: int) -> int:
    """The most that wait after any row, where parts that a plan knows wait from before the first."""
    spans = [(first - 1 if part.plank is not None else min(rows), max(rows)) for part, rows in uses if rows]
    return max((sum(low <= row < high for low, high in spans) for row, _ in spans), default=0)


def cutting_with(job: FloorJob, hand: Sequence[HandPart], *, looks=LOOKS, seed=0):
    """What the planner answers with parts in hand."""
    limits = Limits(seconds=600, seed=seed)
    return plan_cuts(job.floor, job.plank, job.rules, limits, Patience(looks), hand=hand)


def fresh(cutting):
    """The fresh planks a cutting opens."""
    return len({piece.plank for pieces in cutting.runs for piece in pieces if piece.plank >= 0})


def peak_with(job, hand, cutting):
    """The most planks that wait after any row, or wait before the first."""
    rows: dict[int, list[int]] = {}
    for run, pieces in zip(job.floor.runs, cutting.runs, strict=True):
        for piece in pieces:
            rows.setdefault(piece.plank, []).append(run.row)
    whole = HandPart(length=job.plank.length, keeps=Keeps.BOTH)
    uses = [(hand[-1 - plank] if plank < 0 else whole, of_plank) for plank, of_plank in rows.items()]
    return _peak(uses, min(run.row for run in job.floor.runs))


def whole_plan(hand, cutting):
    """The cutting with planks numbered from 1, parts first, as the numbering takes it."""
    count = len(hand)
    runs = tuple(
        tuple(
            replace(piece, plank=-piece.plank if piece.plank < 0 else piece.plank + count + 1)
            for piece in run
        )
        for run in cutting.runs
    )
    used = {piece.plank for run in runs for piece in run}
    parts = {nth + 1: replace(part, plank=None) for nth, part in enumerate(hand) if nth + 1 in used}
    return replace(cutting, runs=runs, hand=parts)


@st.composite
def hands(draw, job: FloorJob, keeps=(Keeps.LEFT, Keeps.RIGHT, Keeps.BOTH)) -> tuple[HandPart, ...]:
    """One to four parts in hand for a floor, known to a plan or not."""
    fields = sorted({run.field for run in job.floor.runs})
    return tuple(
        HandPart(
            length=draw(st.integers(1, job.plank.length - 1)),
            keeps=draw(st.sampled_from(keeps)),
            plank=draw(st.sampled_from([None, nth + 1])),
            field=draw(st.sampled_from(["", *fields]))
            if job.rules.share_offcuts is ShareOffcuts.ROOM
            else "",
        )
        for nth in range(draw(st.integers(1, 4)))
    )


@st.composite
def hand_jobs(
    draw, keeps=(Keeps.LEFT, Keeps.RIGHT, Keeps.BOTH), jobs=TINY
) -> Iterator[tuple[FloorJob, tuple[HandPart, ...]]]:
    """A tiny floor, and parts in hand."""
    job = draw(jobs)
    runs = list(job.floor.runs)
    while len(runs) > 1 and sum(run.length // job.plank.length + 1 for run in runs) > MOST_PIECES:
        runs.pop()
    job = replace(job, floor=replace(job.floor, runs=tuple(runs)))
    return job, draw(hands(job, keeps))


@st.composite
def ripped_jobs(draw):
    """Tiny floors of one room whose first and last row are ripped so far that they may share planks."""
    job = draw(row_jobs())
    runs = [run for run in job.floor.runs if run.field == job.floor.runs[0].field]
    edges = {0, len(runs) - 1}
    ripped = [
        replace(run, width=40, area2=80 * run.length) if nth in edges else run for nth, run in enumerate(runs)
    ]
    return replace(job, floor=replace(job.floor, runs=tuple(ripped)))
