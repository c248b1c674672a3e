"""What no rule forbids but the eye sees, in figures.

The phase of a run is its first joint from the field's origin, modulo the plank's length; a shift is the difference of
the phases of two runs that touch, of successive lines. Runs of one piece have no joints and count nowhere.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import cos, pi, sin

from cutopt.mend._lines import Jointed, Lines, common_stretch, jointed, lines_of
from cutopt.model.floor import Run
from cutopt.model.job import Lay
from cutopt.model.judgement import Habits, Repeat
from cutopt.model.plan import LaidRun, Plan
from cutopt.units import TICKS_PER_INCH, Ticks

__all__ = ["alike", "clusters", "habits", "near", "regularity", "repeats"]

_SIXTEENTH: Ticks = TICKS_PER_INCH // 16
_MUCH = Fraction(3, 2)
_WINDOW, _SHORT_IN_WINDOW = 4, 3
_ROWS_AGAIN = 3
_DIGITS = 4

_ByLine = dict[str, dict[int, list[LaidRun]]]


def habits(plan: Plan) -> Habits:
    """Return the habits of a layout; each is told where it is computed."""
    lines = lines_of(plan)
    return Habits(
        clusters=tuple(clusters(plan)),
        repeats=tuple(repeats(plan)),
        near=near(plan, lines),
        regularity=regularity(plan, lines),
        alike=alike(plan, lines),
    )


def clusters(plan: Plan) -> Iterator[tuple[int, int, str]]:
    """Yield the first and last row of every cluster of short starters, and of short end pieces.

    A row's starter (end piece) is short when it is less than one and a half times the minimum piece, measured on its
    shorter long edge, in any of the row's runs. A cluster is where at least three of any four neighbouring rows are
    short; it goes from its first short row to its last. None without a minimum piece.
    """
    backwards = plan.rules.lay is Lay.RIGHT_TO_LEFT
    for part, at in (("starter", -1 if backwards else 0), ("end piece", 0 if backwards else -1)):
        for lines in _by_line(plan).values():
            short = [
                any(_seen(laid, at) < _MUCH * plan.rules.min_piece for laid in lines[line])
                for line in sorted(lines)
            ]
            rows = [lines[line][0].run.row for line in sorted(lines)]
            yield from ((rows[first], rows[last], part) for first, last in _dense(short))


def _dense(short: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """Yield the first and last of short ones over all windows with enough of them that overlap."""
    found: list[tuple[int, int]] = []
    for start in range(max(1, len(short) - _WINDOW + 1)):
        inside = [nth for nth in range(start, min(start + _WINDOW, len(short))) if short[nth]]
        if len(inside) < _SHORT_IN_WINDOW:
            continue
        if found and inside[0] <= found[-1][1]:
            found[-1] = found[-1][0], inside[-1]
        else:
            found.append((inside[0], inside[-1]))
    yield from found


def _seen(laid: LaidRun, at: int) -> Ticks:
    piece = laid.pieces[at]
    return piece.length - abs(piece.left_slant if piece is laid.pieces[0] else piece.right_slant)


def _by_line(plan: Plan) -> _ByLine:
    """Return by field and line the runs with joints."""
    found: defaultdict[str, defaultdict[int, list[LaidRun]]] = defaultdict(lambda: defaultdict(list))
    for laid in plan.rows:
        if len(laid.pieces) > 1:
            found[laid.run.field][laid.run.line].append(laid)
    return {field: dict(lines) for field, lines in found.items()}


def repeats(plan: Plan) -> Iterator[Repeat]:
    """Yield every stretch of rows whose joints come again after a fixed number of rows, its period.

    Row i comes again in row i + p when both have the same number of joints within the stretch that both span, at least
    one, and those lie no farther apart than half the cut step or 1/16 in, whichever is more. This must hold for three rows i on end
    or more. ``times`` is how many whole periods the stretch holds. A longer period that only repeats a shorter
    one within its stretch is left out.
    """
    slack = max(Fraction(plan.rules.cut_step, 2), Fraction(_SIXTEENTH))
    for rows in _rows_of(plan).values():
        known: list[tuple[int, int, int]] = []
        for period in range(1, len(rows) - _ROWS_AGAIN + 1):
            again = [_same(rows[nth][1], rows[nth + period][1], slack) for nth in range(len(rows) - period)]
            for first, last in _stretches(again):
                end = last + period
                if any(period % p == 0 and low <= first and end <= high for p, low, high in known):
                    continue
                known.append((period, first, end))
                yield Repeat(period=period, first=rows[first][0], times=(end - first + 1) // period)


def _rows_of(plan: Plan) -> dict[str, list[tuple[int, list[Jointed]]]]:
    """Return the rows of every field, in order: number, and runs with their joints."""
    found: defaultdict[str, defaultdict[int, list[Jointed]]] = defaultdict(lambda: defaultdict(list))
    for laid in plan.rows:
        found[laid.run.field][laid.run.row].append(jointed(laid))
    return {field: list(rows.items()) for field, rows in found.items()}


def _stretches(again: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """Yield first and last of the rows on end that come again, where they are enough."""
    first: int | None = None
    for nth, same in enumerate([*again, False]):
        if same and first is None:
            first = nth
        elif not same and first is not None:
            if nth - first >= _ROWS_AGAIN:
                yield first, nth - 1
            first = None


def _same(ours: Sequence[Jointed], theirs: Sequence[Jointed], slack: Fraction) -> bool:
    low, high = (
        max(min(one.run.offset for one in row) for row in (ours, theirs)),
        min(max(one.run.right for one in row) for row in (ours, theirs)),
    )
    one, other = (sorted(joint for run in row for joint in run.within(low, high)) for row in (ours, theirs))
    return (
        bool(one)
        and len(one) == len(other)
        and all(abs(a - b) <= slack for a, b in zip(one, other, strict=True))
    )


def near(plan: Plan, lines: Lines) -> Fraction | None:
    """Return the share of joint pairs that are closer than one and a half times the stagger.

    A pair is a joint and the joint nearest to it in a run of the line before that it touches, both within the stretch
    that the two runs span. Pairs that break the stagger count. ``None`` without pairs or without a stagger.
    """
    apart = [
        min(abs(joint - other) for other in theirs)
        for before, after in _touching(lines)
        if (theirs := before.within(*common_stretch((before.run, after.run))))
        for joint in after.within(*common_stretch((before.run, after.run)))
    ]
    if not (apart and plan.rules.stagger):
        return None
    return Fraction(sum(one < _MUCH * plan.rules.stagger for one in apart), len(apart))


def regularity(plan: Plan, lines: Lines) -> Fraction | None:
    """Return how much alike the shifts from row to row are: 1 for one shift throughout, 0 as by chance.

    With the plank's length as the full circle every shift is an angle. The figure is the mean cosine of the angle between two
    shifts, over all pairs of the n shifts: (n R^2 - 1) / (n - 1), R being their mean resultant length. Unlike R
    itself its mean is 0 for shifts by chance however few they are (pairwise phase consistency: Vinck and others,
    NeuroImage 51, 2010). Below 0 it is given as 0; to four decimals. ``None`` for fewer than two shifts.
    """
    plank = plan.plank.length
    shifts = [
        (after.joints[0] - before.joints[0]) % plank
        for before, after in _touching(lines)
        if before.joints and after.joints
    ]
    count = len(shifts)
    if count < 2:  # noqa: PLR2004 - a pair
        return None
    if len(set(shifts)) == 1:
        return Fraction(1)
    angles = [2 * pi * shift / plank for shift in shifts]
    square = (sum(map(cos, angles)) ** 2 + sum(map(sin, angles)) ** 2) / count
    return Fraction(round(max(0.0, (square - 1) / (count - 1)) * 10**_DIGITS), 10**_DIGITS)


def alike(plan: Plan, lines: Lines) -> Fraction | None:
    """Return the share of rows whose joints lie where a row one to three lines before has them.

    Same joints as for :func:`repeats`. Of the rows counted, each has a row before it among these. ``None`` where there is none.
    """
    slack = max(Fraction(plan.rules.cut_step, 2), Fraction(_SIXTEENTH))
    fields: defaultdict[str, dict[int, list[Jointed]]] = defaultdict(dict)
    for (field, line), runs in lines.runs.items():
        fields[field][line] = runs
    found = []
    for rows in fields.values():
        for line, runs in rows.items():
            earlier = [rows[line - back] for back in (1, 2, 3) if line - back in rows]
            jointed = any(one.joints and isinstance(one.run, Run) for one in runs)
            if jointed and earlier:
                found.append(any(_same(before, runs, slack) for before in earlier))
    return Fraction(sum(found), len(found)) if found else None


def _touching(lines: Lines) -> Iterator[tuple[Jointed, Jointed]]:
    """Yield the runs that the plan lays, each with every run of the line before that it touches."""
    for runs in lines.runs.values():
        for after in runs:
            if isinstance(after.run, Run):
                yield from ((before, after) for before in lines.before(after))
