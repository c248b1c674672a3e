"""The fewest planks of a tiny floor, found by trying everything.

It knows the rules and nothing of the planner: every laying of every run is written out piece by piece, the
joints are measured in the open, and the pieces of each laying that keeps the rules are put on planks in every
way there is. Only for floors of a few rows and planks of a few steps.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from cutopt.model.floor import DownRun, Floor, Run
from cutopt.model.job import Ends, Lay, Pattern, PlankSpec, Rules, ShareOffcuts
from cutopt.model.plan import Part

__all__ = ["fewest_planks", "layings", "layings_at_most"]

Way = tuple[tuple[Part, int], ...]
"""The pieces of one run in the order laid, as (part, length)."""

_Any = Run | DownRun
_NEVER = 10**9


@dataclass(frozen=True, slots=True)
class _Piece:
    """A piece to cut, where it is laid, and whether its plank must be used without trim."""

    part: Part
    length: int
    row: int
    room: str
    off_step: bool


def fewest_planks(floor: Floor, plank: PlankSpec, rules: Rules) -> int | None:
    """Return the fewest planks that any plan under the rules opens; ``None`` where there is no plan."""
    by_area = -(-sum(run.length for run in floor.runs) // plank.length)
    best, known = _NEVER, {}
    for laying in layings(floor, plank, rules):
        wholes, pieces = _to_cut(floor.runs, laying, rules)
        # Layings of the same pieces need the same planks; which row they lie in counts only for waiting.
        key = tuple(pieces) if rules.max_waiting is not None else tuple(sorted(map(_alike, pieces)))
        if key not in known:
            known[key] = _fewest(pieces, plank, rules)
        best = min(best, wholes + known[key])
        if best == by_area:
            break
    return best if best < _NEVER else None


def layings_at_most(floor: Floor, plank: PlankSpec, rules: Rules) -> int:
    """Return how many layings there are before any rule between runs is looked at."""
    count = 1
    for run in floor.runs:
        count *= len(list(_ways(run, plank, rules)))
    return count


def _ways(run: Run, plank: PlankSpec, rules: Rules) -> Iterator[Way]:
    """Yield every way to lay a run: in one piece, or a starter of any length and what it leaves."""
    slants = [abs(run.left_slant), abs(run.right_slant)]
    if rules.lay is Lay.RIGHT_TO_LEFT:
        slants.reverse()
    if run.length <= plank.length:
        yield ((Part.SINGLE if run.length < plank.length else Part.WHOLE, run.length),)
    for starter in range(1, min(plank.length, run.length - 1) + 1):
        wholes, end = divmod(run.length - starter, plank.length)
        if end == 0:
            wholes, end = wholes - 1, plank.length
        if starter - slants[0] >= rules.min_piece and end - slants[1] >= rules.min_piece:
            pieces = [(Part.STARTER, starter), *[(Part.WHOLE, plank.length)] * wholes, (Part.END, end)]
            yield tuple((part if length < plank.length else Part.WHOLE, length) for part, length in pieces)


def layings(floor: Floor, plank: PlankSpec, rules: Rules) -> Iterator[tuple[Way, ...]]:
    """Yield every laying that keeps the rules on joints, beside those that lie already."""
    lies = [list(run.joints) for run in floor.down]
    runs = [*floor.down, *floor.runs]
    for laying in product(*(list(_ways(run, plank, rules)) for run in floor.runs)):
        joints = [_joints(run, way, rules) for run, way in zip(floor.runs, laying, strict=True)]
        if _joints_keep(runs, lies + joints, plank, rules):
            yield laying


def _joints(run: Run, way: Way, rules: Rules) -> list[int]:
    """Return where the joints of a run lie, from the field's origin."""
    lengths = [length for _, length in way]
    if rules.lay is Lay.RIGHT_TO_LEFT:
        lengths.reverse()
    return [run.offset + sum(lengths[:count]) for count in range(1, len(lengths))]


def _joints_keep(runs: Sequence[_Any], joints: Sequence[list[int]], plank: PlankSpec, rules: Rules) -> bool:
    """Say whether joints keep the rules; what runs that lie already do to each other is not asked."""
    # A fixed pattern repeats its joints by nature: of the rules on joints only the stagger holds there.
    free = rules.pattern is Pattern.RANDOM
    every = range(len(runs))
    pairs = [(a, b) for a, b in product(every, every) if _touch(runs[a], runs[b])]
    for a, b in pairs:
        laid = isinstance(runs[b], Run)
        if laid and not _apart(joints[a], joints[b], [runs[a], runs[b]], rules.stagger):
            return False
        for c in (after for middle, after in pairs if free and middle == b and isinstance(runs[after], Run)):
            if not _apart(joints[a], joints[c], [runs[a], runs[b], runs[c]], rules.h_joint):
                return False
            if all(_have_one_phase(joints[run], plank.length) for run in (a, b, c)):
                turn = (joints[c][0] - joints[b][0]) - (joints[b][0] - joints[a][0])
                if min(turn % plank.length, -turn % plank.length) < rules.stair_step:
                    return False
    return True


def _have_one_phase(joints: Iterable[int], plank: int) -> bool:
    return len({joint % plank for joint in joints}) == 1


def _touch(one: _Any, other: _Any) -> bool:
    """Say whether ``other`` lies in the next row of the field, overlaps, and is parted by nothing."""
    if one.field != other.field or one.line + 1 != other.line:
        return False
    laid = isinstance(one, Run) and isinstance(other, Run)
    if laid and other.touches is not None and one.run not in other.touches:
        return False
    return min(one.right, other.right) > max(one.offset, other.offset)


def _apart(ours: list[int], theirs: list[int], runs: Sequence[_Any], least: int) -> bool:
    """Say whether all joints in the stretch common to ``runs``, ends included, are ``least`` apart."""
    low, high = max(run.offset for run in runs), min(run.right for run in runs)
    return all(
        abs(one - other) >= least
        for one, other in product(ours, theirs)
        if low <= one <= high and low <= other <= high
    )


def _to_cut(runs: Sequence[Run], laying: tuple[Way, ...], rules: Rules) -> tuple[int, list[_Piece]]:
    """Return how many whole planks a laying takes, and the pieces to cut in the order laid."""
    parts = [(run, *piece) for run, way in zip(runs, laying, strict=True) for piece in way]
    pieces = [
        _Piece(
            part=part,
            length=length,
            row=run.row,
            room=run.field if rules.share_offcuts is ShareOffcuts.ROOM else "",
            off_step=part is Part.STARTER and length % rules.cut_step > 0,
        )
        for run, part, length in parts
        if part is not Part.WHOLE
    ]
    return len(parts) - len(pieces), pieces


def _alike(piece: _Piece) -> tuple[str, int, str, bool]:
    return piece.part.value, piece.length, piece.room, piece.off_step


def _fewest(pieces: Sequence[_Piece], plank: PlankSpec, rules: Rules) -> int:
    """Return the fewest planks that all ``pieces`` can be cut from, trying every way to put them together."""
    best = _NEVER
    planks: list[list[_Piece]] = []

    def put(nth: int) -> None:
        nonlocal best
        if len(planks) >= best:
            return
        if nth == len(pieces):
            if _all_hold(planks, plank, rules):
                best = len(planks)
            return
        for cut in planks:
            cut.append(pieces[nth])
            if _fits(cut, plank, rules):
                put(nth + 1)
            cut.pop()
        planks.append([pieces[nth]])
        put(nth + 1)
        planks.pop()

    put(0)
    return best


def _left(cut: Sequence[_Piece], plank: PlankSpec, rules: Rules) -> int:
    loss = (len(cut) - 1) * (plank.kerf + rules.fit)
    return plank.length - sum(piece.length for piece in cut) - loss


def _fits(cut: Sequence[_Piece], plank: PlankSpec, rules: Rules) -> bool:
    """Say whether pieces can be cut from one plank: each kept factory end is one of its two."""
    starters = sum(piece.part is Part.STARTER for piece in cut)
    ends = sum(piece.part is Part.END for piece in cut)
    most = 1 if plank.ends is Ends.HANDED else 2
    one_room = len({piece.room for piece in cut}) == 1
    fits = starters <= most and ends <= most and starters + ends <= 2
    return fits and one_room and _left(cut, plank, rules) >= 0


def _all_hold(planks: Sequence[Sequence[_Piece]], plank: PlankSpec, rules: Rules) -> bool:
    """Say whether starters off the cut step have planks without trim, and no more planks wait than may."""
    for cut in planks:
        if any(piece.off_step for piece in cut) and _left(cut, plank, rules) != 0:
            return False
    if rules.max_waiting is None:
        return True
    spans = [(min(piece.row for piece in cut), max(piece.row for piece in cut)) for cut in planks]
    rows = {row for span in spans for row in span}
    return all(sum(first <= row < last for first, last in spans) <= rules.max_waiting for row in rows)
