"""H-joints: joints of rows two apart that line up."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import count, product
from random import Random

from cutopt.model.teaching import Answer, Grade, Kind, Question
from cutopt.model.words import Block, Heading, Line, Table
from cutopt.teach.topics._parts import Parts, slips
from cutopt.teach.topics._rows import closest, joints, laid, picture, piece_table, plank_length
from cutopt.teach.topics._tape import drawn, given, listed, para, shown, size, step, steps
from cutopt.units import Ticks, Unit

__all__ = ["Case", "exercise", "explain", "solve"]

_ROWS = {Grade.FIRST: 5, Grade.SECOND: 8, Grade.THIRD: 5}
_MOST = 3
"""Breaches in one exercise; more would be guesswork."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """Rows piece by piece, whether of one plank length (else 0), and how far joints two rows apart must be apart.

    The last row breaks the rule.
    """

    grade: Grade
    plank: Ticks
    rows: tuple[tuple[Ticks, ...], ...]
    apart: Ticks
    step: Ticks


def exercise(random: Random, grade: Grade, unit: Unit) -> Parts:
    """Return an exercise on H-joints."""
    while True:
        case = _lengths(random, unit) if grade is Grade.THIRD else _planks(random, grade, unit)
        lacking = _longer(case)
        if len(_lined_up(case)) <= _MOST and _lined_up(case)[-1:] == [len(case.rows)]:
            first, *_, last = case.rows[-1]
            if lacking < last and (not case.plank or first + lacking <= case.plank):
                return _parts(case, unit)


def _planks(random: Random, grade: Grade, unit: Unit) -> Case:
    """Return rows of one plank length, the last of them near the row two before."""
    plank, grid, apart = plank_length(random, unit), step(grade, unit), _apart(random, unit)
    row = drawn(random, 2 * plank + grid, 4 * plank, grid)
    starts = [drawn(random, size(6, 150, unit), plank, grid) for _ in range(_ROWS[grade] - 1)]
    near = (starts[-2] + drawn(random, grid - apart, apart - grid, grid)) % plank or plank
    return Case(
        grade=grade,
        plank=plank,
        rows=tuple(laid(first, row, plank) for first in (*starts, near)),
        apart=apart,
        step=grid,
    )


def _lengths(random: Random, unit: Unit) -> Case:
    """Return rows of boards of random lengths, the last of them with a joint near one two rows before."""
    grid, apart, row = step(Grade.THIRD, unit), _apart(random, unit), size(120, 3000, unit)
    rows = [_boards(random, row, unit) for _ in range(_ROWS[Grade.THIRD] - 1)]
    place = random.choice(joints(rows[-2])) + drawn(random, grid - apart, apart - grid, grid)
    before = _boards(random, place, unit) if place > size(72, 1800, unit) else (place,)
    last = (*before, *_boards(random, row - place, unit)) if row > place else before
    return Case(grade=Grade.THIRD, plank=0, rows=(*rows, last), apart=apart, step=grid)


def _apart(random: Random, unit: Unit) -> Ticks:
    return size(*random.choice(((2, 50), (3, 80), (4, 100))), unit)


def _boards(random: Random, length: Ticks, unit: Unit) -> tuple[Ticks, ...]:
    """Return boards of 18 to 54 in that fill a length; the last takes up what is left, however short."""
    boards: list[Ticks] = []
    while sum(boards) < length:
        board = drawn(random, size(18, 450, unit), size(54, 1350, unit), step(Grade.THIRD, unit))
        boards.append(min(board, length - sum(boards)))
    return tuple(boards)


def _gap(case: Case, row: int) -> Ticks:
    """Return how far the closest joints of a row and of the row two before lie apart (rows from 1)."""
    one, other = case.rows[row - 3], case.rows[row - 1]
    if case.plank:
        turn = (one[0] - other[0]) % case.plank
        return min(turn, case.plank - turn)
    return closest(joints(one), joints(other))


def _lined_up(case: Case) -> list[int]:
    return [row for row in range(3, len(case.rows) + 1) if _gap(case, row) < case.apart]


def _longer(case: Case) -> Ticks:
    """Return the least that the last row has to move on: some joint then lies just as far as it must past another."""
    here, there = joints(case.rows[-1]), joints(case.rows[-3])
    moves = sorted(fixed + case.apart - moved for fixed, moved in product(there, here))
    return next(
        move
        for move in moves
        if move > 0 and all(abs(moved + move - fixed) >= case.apart for fixed, moved in product(there, here))
    )


def _parts(case: Case, unit: Unit) -> Parts:
    return Parts(
        title="H-joints",
        given=_given(case, unit),
        questions=_questions(case),
        working=steps(*_working(case, unit)),
        solve=partial(solve, case),
    )


def _given(case: Case, unit: Unit) -> tuple[Block, ...]:
    rule = given(
        ("H-joint", f"joints of rows two apart (one row between) at least {shown(case.apart, unit)} apart")
    )
    if case.grade is not Grade.SECOND:
        text = "Rows side by side, laid from the same wall. These are their pieces, from the left:"
        return (para(text), Line(), piece_table(case.rows, unit), Line(), rule)
    return (
        para(
            f"Rows of {shown(sum(case.rows[0]), unit)} lie side by side. After its first piece each goes on in whole "
            f"planks of {shown(case.plank, unit)}; the last piece takes up what is left. First pieces:"
        ),
        Line(),
        Table(
            (
                ("row", "first piece"),
                *((str(number), shown(row[0], unit)) for number, row in enumerate(case.rows, start=1)),
            ),
            frozenset((0, 1)),
        ),
        Line(),
        rule,
    )


def _questions(case: Case) -> tuple[Question, ...]:
    rows, gap, longer = tuple(_lined_up(case)), _gap(case, 3), _longer(case)
    along = abs(case.rows[0][0] - case.rows[2][0])
    return (
        Question(
            asks="How far apart are those two joints of row 1 and row 3 that are closest?",
            kind=Kind.LENGTH,
            answer=gap,
            wrong=slips(
                gap,
                (along, "that is from first joint to first joint; look at the joints on both sides of each"),
            ),
        ),
        Question(
            asks="Which rows make an H-joint with the row two before them? Name the later row of each two.",
            kind=Kind.ROWS,
            answer=rows,
            wrong=slips(
                rows,
                (tuple(row - 2 for row in rows), "these are the earlier rows; name the later of each two"),
            ),
        ),
        Question(
            asks=f"Row {len(case.rows)} is to be mended: its first piece gets longer, its last piece shorter. By how "
            "much at least, so that it makes no H-joint with the row two before it?",
            kind=Kind.LENGTH,
            answer=longer,
            wrong=slips(
                longer,
                (
                    case.apart,
                    "the distance counts from the other row's joint, not from where this one lies now",
                ),
                *(_one_sided(case) if case.plank else ()),
            ),
        ),
    )


def _one_sided(case: Case) -> Iterator[tuple[Ticks, str]]:
    """Yield what comes of looking at the distance alone, not at which side of the other joint this one lies."""
    gap = _gap(case, len(case.rows))
    yield case.apart - gap, "that would do if the joint lay past the other one already"
    yield case.apart + gap, "that would do if the joint did not lie past the other one yet"


def _working(case: Case, unit: Unit) -> Iterator[str]:
    for number in range(3, len(case.rows) + 1):
        one, other = case.rows[number - 3], case.rows[number - 1]
        gap = _gap(case, number)
        judged = "an H-joint" if gap < case.apart else "apart enough"
        how = (
            f"first pieces {shown(one[0], unit)} and {shown(other[0], unit)}, round the plank"
            if case.plank
            else f"joints {listed(joints(one), unit)} and {listed(joints(other), unit)}"
        )
        yield f"Rows {number - 2} and {number}: {how}: {shown(gap, unit)} at the closest, {judged}."
    longer, here = _longer(case), joints(case.rows[-1])
    fixed, moved = next(
        pair for pair in product(joints(case.rows[-3]), here) if pair[1] + longer - pair[0] == case.apart
    )
    yield (
        f"To mend row {len(case.rows)} its joint at {shown(moved, unit)} has to come {shown(case.apart, unit)} past "
        f"the joint at {shown(fixed, unit)} of row {len(case.rows) - 2}: {shown(fixed, unit)} + "
        f"{shown(case.apart, unit)} - {shown(moved, unit)} = {shown(longer, unit)}. With less, some joint stays too "
        "close; with that, none is."
    )


def solve(case: Case) -> tuple[Answer, ...]:
    """Return the answers by measuring every joint against every other, and by moving the last row on step by step."""
    rows = [joints(row) for row in case.rows]
    gaps = [closest(one, other) for one, other in zip(rows, rows[2:], strict=False)]
    return (
        gaps[0],
        tuple(number for number, gap in enumerate(gaps, start=3) if gap < case.apart),
        next(
            move
            for move in count(case.step, case.step)
            if closest([place + move for place in rows[-1]], rows[-3]) >= case.apart
        ),
    )


def explain(unit: Unit) -> tuple[Block, ...]:
    """Return H-joints explained on rows that move on by half a plank, and on the same rows mended."""
    row, plank, apart = size(130, 3300, unit), size(48, 1220, unit), size(2, 50, unit)
    half = plank // 2
    rows = [laid(first, row, plank) for first in (plank, half, plank, half)]
    mended = [laid(first, row, plank) for first in (plank, half, plank - 3 * apart, half - 3 * apart)]
    return (
        Heading("H-joint"),
        para(
            "Joints two rows apart that line up, with the plank between them, draw a letter H on the floor, and the eye "
            "finds it. Rows set off by half a plank do it in every row:"
        ),
        Line(),
        *picture(rows),
        Line(),
        *steps(*_apart_steps(rows, apart, unit)),
        Line(),
        para("The same rows with the third and fourth moved on:"),
        Line(),
        *picture(mended),
        Line(),
        *steps(*_apart_steps(mended, apart, unit)),
        Line(),
        para(
            "Half a plank and a third are allowed by many vinyl and laminate makers all the same: such a fixed pattern "
            "turns this rule off. What counts as lined up is common practice, no source: texts (woodfloordoctor.com, "
            f"floortechie.com) warn of H-joints and give no figure; {shown(apart, unit)} is used here."
        ),
    )


def _apart_steps(rows: Sequence[Sequence[Ticks]], apart: Ticks, unit: Unit) -> Iterator[str]:
    for number, (one, other) in enumerate(zip(rows, rows[2:], strict=False), start=1):
        gap = closest(joints(one), joints(other))
        judged = "an H-joint" if gap < apart else "no H-joint"
        yield (
            f"Rows {number} and {number + 2}: first joints at {shown(one[0], unit)} and {shown(other[0], unit)}, "
            f"{shown(gap, unit)} apart: {judged}."
        )
