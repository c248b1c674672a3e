"""Stagger: how far the joints of neighboring rows lie apart, and where a row may start."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise
from random import Random

from cutopt.model.teaching import Answer, Grade, Kind, Question
from cutopt.model.words import Block, Heading, Line
from cutopt.teach.topics._parts import Parts, slips
from cutopt.teach.topics._rows import closest, joints, laid, picture, piece_table, plank_length
from cutopt.teach.topics._tape import drawn, given, listed, only, para, shown, size, step, steps
from cutopt.units import Ticks, Unit

__all__ = ["Case", "exercise", "explain", "solve"]

_OFFERED = ("A", "B", "C", "D")
_STAGGERS = ((6, 150), (8, 200), (10, 250), (12, 300))


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """Rows that lie (their first pieces), and the limits for the next.

    ``apart`` is how far it has to keep from the row before that one (0: as it likes), ``offered`` are first
    pieces to choose from, and it starts on a multiple of ``step``. ``least`` is the minimum piece.
    """

    grade: Grade
    row: Ticks
    plank: Ticks
    stagger: Ticks
    least: Ticks
    apart: Ticks
    starts: tuple[Ticks, ...]
    offered: tuple[Ticks, ...]
    step: Ticks


def exercise(random: Random, grade: Grade, unit: Unit) -> Parts:
    """Return an exercise on the stagger."""
    if grade is Grade.FIRST:
        return _measured(_two_rows(random, unit), unit)
    while True:
        case = _room(random, grade, unit)
        fits = [first for first in range(case.least, case.plank + 1, case.step) if _fits(first, case)]
        misfits = [first for first in range(case.least, case.plank + 1, case.step) if not _fits(first, case)]
        if fits and len(misfits) >= len(_OFFERED) and fits[0] != fits[-1]:
            return _started(_offering(case, fits, misfits, random), unit)


def _two_rows(random: Random, unit: Unit) -> Case:
    """Return two rows; as often as not they keep the stagger."""
    stagger = size(*random.choice(_STAGGERS), unit)
    kept, grid = random.random() < 1 / 2, step(Grade.FIRST, unit)
    while True:
        plank = plank_length(random, unit)
        first, second = (drawn(random, size(4, 100, unit), plank, grid) for _ in range(2))
        row = drawn(random, 2 * plank + grid, 3 * plank, grid)
        apart = min((first - second) % plank, (second - first) % plank)
        if apart and (apart >= stagger) is kept:
            break
    return Case(
        grade=Grade.FIRST,
        row=row,
        plank=plank,
        stagger=stagger,
        least=0,
        apart=0,
        starts=(first, second),
        offered=(),
        step=grid,
    )


def _room(random: Random, grade: Grade, unit: Unit) -> Case:
    plank, grid = plank_length(random, unit), step(grade, unit)
    least = size(*random.choice(((6, 150), (8, 200))), unit)
    rows = 1 if grade is Grade.SECOND else 2
    return Case(
        grade=grade,
        row=drawn(random, 2 * plank + grid, 4 * plank, grid),
        plank=plank,
        stagger=size(*random.choice(_STAGGERS), unit),
        least=least,
        apart=0 if rows == 1 else size(*random.choice(((2, 50), (3, 75), (4, 100))), unit),
        starts=tuple(drawn(random, least, plank, grid) for _ in range(rows)),
        offered=(),
        step=grid,
    )


def _offering(case: Case, fits: Sequence[Ticks], misfits: Sequence[Ticks], random: Random) -> Case:
    """Return the case with four first pieces to choose from, one of which will do."""
    offered = [random.choice(fits), *random.sample(misfits, len(_OFFERED) - 1)]
    random.shuffle(offered)
    return replace(case, offered=tuple(offered))


def _round(one: Ticks, other: Ticks, plank: Ticks) -> Ticks:
    """Return how far two first pieces set their rows off, the shorter way round the plank."""
    return min((one - other) % plank, (other - one) % plank)


def _fits(first: Ticks, case: Case) -> bool:
    last = (case.row - first) % case.plank or case.plank
    limits = zip(reversed(case.starts), (case.stagger, case.apart), strict=False)
    return last >= _end_least(case) and all(
        _round(first, start, case.plank) >= limit for start, limit in limits
    )


def _end_least(case: Case) -> Ticks:
    return case.least if case.grade is Grade.THIRD else 0


def _measured(case: Case, unit: Unit) -> Parts:
    rows = [laid(first, case.row, case.plank) for first in case.starts]
    one, other = map(joints, rows)
    apart = _round(case.starts[0], case.starts[1], case.plank)
    kept = "yes" if apart >= case.stagger else "no"
    along = abs(case.starts[0] - case.starts[1])
    return Parts(
        title="The stagger of two rows",
        given=(
            para("Two rows lie side by side from the same wall. These are their pieces, from the left:"),
            Line(),
            piece_table(rows, unit),
            Line(),
            given(("Stagger", f"joints of neighboring rows at least {shown(case.stagger, unit)} apart")),
        ),
        questions=(
            Question(
                asks="How far from the left wall is the second joint of row 2?",
                kind=Kind.LENGTH,
                answer=other[1],
                wrong=slips(
                    other[1],
                    (other[0], "that is the first joint"),
                    (case.plank, "that is the second piece alone; the joint lies at the first two together"),
                ),
            ),
            Question(
                asks="How far apart are those two joints of row 1 and row 2 that are closest?",
                kind=Kind.LENGTH,
                answer=apart,
                wrong=slips(
                    apart,
                    (
                        along,
                        "that is from first joint to first joint; look at the joints on both sides of each",
                    ),
                ),
            ),
            Question(asks="Is the stagger kept?", kind=Kind.CHOICE, answer=kept, choices=("yes", "no")),
        ),
        working=steps(
            f"Add the pieces up from the left for the joints. Row 1: {listed(one, unit)}.",
            f"Row 2: {listed(other, unit)}. The second of these answers the first question.",
            f"Both rows go on in planks of {shown(case.plank, unit)}, so the gaps between their joints take turns: "
            f"{shown(along, unit)} and {shown(case.plank, unit)} - {shown(along, unit)} = "
            f"{shown(case.plank - along, unit)}. The smaller is {shown(apart, unit)}.",
            f"The stagger asks for {shown(case.stagger, unit)}: {kept}.",
        ),
        solve=partial(solve, case),
    )


def _started(case: Case, unit: Unit) -> Parts:
    number = len(case.starts) + 1
    fits = [first for first in _bounds(case) if _fits(first, case)]
    right = next(word for word, first in zip(_OFFERED, case.offered, strict=True) if _fits(first, case))
    return Parts(
        title="Where may the next row start?",
        given=_given(case, unit),
        questions=(
            Question(
                asks=f"What is the shortest first piece that row {number} may have?",
                kind=Kind.LENGTH,
                answer=min(fits),
                wrong=slips(min(fits), *_slips(case, "shorter")),
            ),
            Question(
                asks=f"What is the longest first piece that row {number} may have? (A whole plank is the longest.)",
                kind=Kind.LENGTH,
                answer=max(fits),
                wrong=slips(max(fits), *_slips(case, "longer")),
            ),
            Question(
                asks=f"Which of these may row {number} start with? "
                + ", ".join(
                    f"{word}: {shown(first, unit)}"
                    for word, first in zip(_OFFERED, case.offered, strict=True)
                ),
                kind=Kind.CHOICE,
                answer=right,
                choices=_OFFERED,
            ),
        ),
        working=steps(
            *_working(case, min(fits), max(fits), unit), f"Of the four, {right} alone breaks nothing."
        ),
        solve=partial(solve, case),
    )


def _slips(case: Case, sought: str) -> Iterator[tuple[Ticks, str]]:
    """Yield the first pieces that come to mind at once, each with what is wrong with it if it is not right."""
    lies = case.starts[-1]
    for first in (case.least, case.plank, lies + case.stagger, lies - case.stagger):
        if first > case.plank:
            yield first, "no piece is longer than a plank; count on from its end round to the start"
        elif first < case.least:
            yield first, "that is under the minimum piece"
        elif _fits(first, case):
            yield first, f"that breaks nothing, but neither does a {sought} one"
        else:
            yield first, "that breaks a rule: look at the joints on both sides, and at the last piece"


def _given(case: Case, unit: Unit) -> tuple[Block, ...]:
    number = len(case.starts) + 1
    rules = [
        ("Rows", f"{shown(case.row, unit)} long, all of them"),
        (
            "Planks",
            f"{shown(case.plank, unit)} long; every row goes on in whole planks after its first piece",
        ),
        (
            "Lies already",
            "; ".join(f"row {n} starts with {shown(a, unit)}" for n, a in enumerate(case.starts, start=1)),
        ),
        ("Stagger", f"joints of neighboring rows at least {shown(case.stagger, unit)} apart"),
    ]
    if case.apart:
        rules.append(("H-joint", f"joints of rows two apart at least {shown(case.apart, unit)} apart"))
    ends = "first and last piece" if case.grade is Grade.THIRD else "first piece; the last one may be any"
    rules.append(("Minimum piece", f"{shown(case.least, unit)} for the {ends}"))
    return (
        para(f"Row {number} is to be laid. It may start with any piece that breaks no rule."),
        Line(),
        given(*rules),
    )


def _bounds(case: Case) -> Iterator[Ticks]:
    """Yield every first piece at which a rule begins or ends to allow it: the shortest and longest are among these."""
    limits = zip(reversed(case.starts), (case.stagger, case.apart), strict=False)
    ends = [0, *(start + way * limit for start, limit in limits for way in (1, -1))]
    ends += [case.row, case.row - _end_least(case)]
    for end in ends:
        first = end % case.plank or case.plank
        if first >= case.least:
            yield first
    yield case.least


def _working(case: Case, shortest: Ticks, longest: Ticks, unit: Unit) -> Iterator[str]:
    plank = shown(case.plank, unit)
    yield (
        f"Joints repeat every {plank}, so rows compare by their first pieces, counted round the plank: beside 5 "
        f"of a plank of 48, both 47 and 11 are 6 away."
    )
    limits = zip(reversed(tuple(enumerate(case.starts, start=1))), (case.stagger, case.apart), strict=False)
    for (number, start), limit in limits:
        yield (
            f"Row {number} starts with {shown(start, unit)}: closer than {shown(limit, unit)} to that on either "
            f"side, round the plank, is barred: from "
            f"{shown((start - limit) % case.plank, unit)} up to {shown((start + limit) % case.plank, unit)}"
            f"{' (through a whole plank)' if (start - limit) % case.plank > (start + limit) % case.plank else ''}, "
            f"these two themselves allowed."
        )
    if case.grade is Grade.THIRD:
        over = case.row % case.plank
        yield (
            f"The last piece is what the row lacks: {shown(case.row, unit)} less whole planks leaves "
            f"{shown(over, unit)}; less the first piece, and a whole plank more where that is nothing or less."
        )
    for word, first in (("Shortest", shortest), ("Longest", longest)):
        last = (case.row - first) % case.plank or case.plank
        yield f"{word} that is left: {shown(first, unit)} (its row ends with {shown(last, unit)})."


def solve(case: Case) -> tuple[Answer, ...]:
    """Return the answers by laying every row that the tape allows and measuring joint against joint."""
    rows = [joints(laid(first, case.row, case.plank)) for first in case.starts]
    if case.grade is Grade.FIRST:
        gap = closest(*rows)
        return rows[1][1], gap, "no" if gap < case.stagger else "yes"
    every = range(case.step, case.plank + 1, case.step)
    return (
        next(first for first in every if _stands(first, rows, case)),
        next(first for first in reversed(every) if _stands(first, rows, case)),
        only(word for word, first in zip(_OFFERED, case.offered, strict=True) if _stands(first, rows, case)),
    )


def _stands(first: Ticks, rows: Sequence[Sequence[Ticks]], case: Case) -> bool:
    pieces = laid(first, case.row, case.plank)
    if first < case.least or (case.grade is Grade.THIRD and pieces[-1] < case.least):
        return False
    if closest(joints(pieces), rows[-1]) < case.stagger:
        return False
    return len(rows) == 1 or closest(joints(pieces), rows[-2]) >= case.apart


def explain(unit: Unit) -> tuple[Block, ...]:
    """Return the stagger explained on two rows."""
    row, plank, stagger = size(130, 3300, unit), size(48, 1220, unit), size(8, 200, unit)
    starts = (size(20, 500, unit), size(44, 1120, unit), size(38, 970, unit))
    rows = [laid(first, row, plank) for first in starts]
    gaps = [closest(joints(one), joints(other)) for one, other in pairwise(rows)]
    told = [
        f"Rows {number} and {number + 1}: {shown(gap, unit)}, {'kept' if gap >= stagger else 'broken'}."
        for number, gap in enumerate(gaps, start=1)
    ]
    low, high = starts[1] - stagger, (starts[1] + stagger) % plank
    return (
        Heading("Stagger"),
        para(
            "End joints of neighboring rows keep a least distance along the row, so that no joint lies nearly beside "
            "another: there the floor is weakest, and the eye sees it."
        ),
        Line(),
        *picture(rows),
        Line(),
        given(
            ("Rows, planks", f"{shown(row, unit)} and {shown(plank, unit)}"),
            ("First pieces", listed(starts, unit)),
            ("Stagger", shown(stagger, unit)),
        ),
        Line(),
        *steps(
            "Add up the pieces of each row from the wall: these are its joints.",
            "Look for the two joints, one of each row, that are closest. " + " ".join(told),
            "Both rows go on in whole planks, so it is enough to compare first pieces, round the plank: "
            f"beside a first piece of {shown(starts[1], unit)} the next row may start with {shown(high, unit)} to "
            f"{shown(low, unit)}.",
        ),
        Line(),
        *_sources(unit),
    )


def _sources(unit: Unit) -> Iterator[Block]:
    yield para("How much, by kind of floor (the product's own sheet always wins):")
    metric = unit.is_metric
    yield given(
        (
            "Strip and plank of wood",
            "150 mm under 76 mm wide, 200-250 mm up to 127 mm, 250 mm over that"
            if metric
            else "6 in under 3 in wide, 8-10 in from 3 to 5 in, 10 in over 5 in",
        ),
        (
            "",
            "National Wood Flooring Association, Installation Guidelines (rev. 2008), as told in Wood Floor Business",
        ),
        ("Glued vinyl", f"{'150 mm' if metric else '6 in'}: a maker's commercial vinyl sheet"),
        (
            "Click vinyl",
            (
                f"{'200 mm' if metric else '8 in'}: common practice, no source; a how-to (engineerfix.com) "
                f"has {'150 mm' if metric else '6 in'} as the least"
            ),
        ),
        ("Laminate", f"{'300 mm' if metric else '12 in'}: a supplier's installation tips (300 mm)"),
    )
