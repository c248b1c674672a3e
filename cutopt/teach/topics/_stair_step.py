"""Stair-steps: joints that move on by the same shift from row to row."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise
from random import Random

from cutopt.model.teaching import Answer, Grade, Kind, Question
from cutopt.model.words import Block, Heading, Line, Table
from cutopt.teach.topics._parts import Parts, slips
from cutopt.teach.topics._rows import closest, joints, laid, picture, plank_length
from cutopt.teach.topics._tape import drawn, given, only, para, shown, size, step, steps
from cutopt.units import Ticks, Unit

__all__ = ["Case", "exercise", "explain", "solve"]

_ROWS = {Grade.FIRST: 4, Grade.SECOND: 7, Grade.THIRD: 7}
_OFFERED = ("A", "B", "C", "D")


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """First pieces of rows, how much two shifts must differ, and first pieces offered for the next row.

    Exactly one of those offered makes a stair-step. The next row starts on a multiple of ``step``.
    """

    grade: Grade
    row: Ticks
    plank: Ticks
    differ: Ticks
    stagger: Ticks
    least: Ticks
    starts: tuple[Ticks, ...]
    offered: tuple[Ticks, ...]
    step: Ticks


def exercise(random: Random, grade: Grade, unit: Unit) -> Parts:
    """Return an exercise on stair-steps."""
    while True:
        case = _rows(random, grade, unit)
        every = range(case.least, case.plank + 1, case.step)
        good = [first for first in every if _free(first, case)]
        bad = [first for first in every if not _free(first, case) and first not in case.starts]
        if len(good) >= len(_OFFERED) and bad and _fitting(case):
            offered = [random.choice(bad), *random.sample(good, len(_OFFERED) - 1)]
            random.shuffle(offered)
            case = replace(case, offered=tuple(offered))
            return Parts(
                title="Stair-steps",
                given=_given(case, unit),
                questions=_questions(case, unit),
                working=steps(*_working(case, unit)),
                solve=partial(solve, case),
            )


def _rows(random: Random, grade: Grade, unit: Unit) -> Case:
    """Return rows each of which steps on as the one before did as often as not."""
    plank, grid = plank_length(random, unit), step(grade, unit)
    wide = 1 if grade is Grade.FIRST else random.choice((1, 2))
    starts = [drawn(random, size(6, 150, unit), plank, grid) for _ in range(2)]
    while len(starts) < _ROWS[grade]:
        same = (2 * starts[-1] - starts[-2]) % plank or plank
        starts.append(same if random.random() < 1 / 2 else drawn(random, size(6, 150, unit), plank, grid))
    return Case(
        grade=grade,
        row=drawn(random, 2 * plank + grid, 4 * plank, grid),
        plank=plank,
        differ=size(wide, 25 * wide, unit),
        stagger=size(*random.choice(((6, 150), (8, 200))), unit),
        least=size(6, 150, unit),
        starts=tuple(starts),
        offered=(),
        step=grid,
    )


def _shift(one: Ticks, other: Ticks, plank: Ticks) -> Ticks:
    return (other - one) % plank


def _differ(one: Ticks, other: Ticks, plank: Ticks) -> Ticks:
    return min((one - other) % plank, (other - one) % plank)


def _steps_on(first: Ticks, before: Sequence[Ticks], case: Case) -> bool:
    """Say whether a row that starts with ``first`` steps on as the row before it did."""
    shifts = [_shift(one, other, case.plank) for one, other in pairwise((*before[-2:], first))]
    return _differ(shifts[0], shifts[1], case.plank) < case.differ


def _free(first: Ticks, case: Case) -> bool:
    return not _steps_on(first, case.starts, case)


def _stairs(case: Case) -> tuple[int, ...]:
    starts = case.starts
    return tuple(n for n in range(3, len(starts) + 1) if _steps_on(starts[n - 1], starts[: n - 1], case))


def _fitting(case: Case) -> Ticks:
    """Return the shortest first piece of the next row that keeps stagger and minimum and makes no stair; 0 if none."""
    lies = case.starts[-1]
    on = 2 * lies - case.starts[-2]
    ends = (lies + case.stagger, lies - case.stagger, on + case.differ, on - case.differ)
    for first in sorted((case.least, *(end % case.plank or case.plank for end in ends))):
        apart = _differ(first, lies, case.plank)
        if first >= case.least and apart >= case.stagger and _free(first, case):
            return first
    return 0


def _given(case: Case, unit: Unit) -> tuple[Block, ...]:
    rules = [
        (
            "Stair-step",
            (
                f"in three rows one after the other the two shifts must differ by at least {shown(case.differ, unit)}, "
                "counted round the plank"
            ),
        )
    ]
    if case.grade is Grade.THIRD:
        rules.append(("Stagger", f"joints of neighboring rows at least {shown(case.stagger, unit)} apart"))
        rules.append(
            ("Minimum piece", f"{shown(case.least, unit)} for the first piece; the last one may be any")
        )
    return (
        para(
            f"Rows of {shown(case.row, unit)} in planks of {shown(case.plank, unit)}: after its first piece each row "
            "goes on in whole planks. The shift from a row to the next is how far to the right its joints move, round "
            "the plank: a move of a whole plank is none."
        ),
        Line(),
        Table(
            (
                ("row", "first piece"),
                *((str(number), shown(first, unit)) for number, first in enumerate(case.starts, start=1)),
            ),
            frozenset((0, 1)),
        ),
        Line(),
        given(*rules),
    )


def _questions(case: Case, unit: Unit) -> tuple[Question, ...]:
    number, stairs = len(case.starts) + 1, _stairs(case)
    bad = next(word for word, first in zip(_OFFERED, case.offered, strict=True) if not _free(first, case))
    offers = ", ".join(
        f"{word}: {shown(first, unit)}" for word, first in zip(_OFFERED, case.offered, strict=True)
    )
    begins = tuple(row - 1 for row in stairs)
    questions = [
        _shift_question(1, case),
        _shift_question(2, case),
        Question(
            asks="Which rows make a stair-step with the two rows before them?",
            kind=Kind.ROWS,
            answer=stairs,
            wrong=slips(
                stairs, (begins, "these are the rows in the middle; name the last row of each three")
            ),
        ),
        Question(
            asks=f"One of these first pieces of row {number} makes a stair-step. Which? {offers}",
            kind=Kind.CHOICE,
            answer=bad,
            choices=_OFFERED,
        ),
    ]
    if case.grade is Grade.THIRD:
        fitting = _fitting(case)
        questions.append(
            Question(
                asks=f"What is the shortest first piece of row {number} that keeps stagger, minimum piece and the "
                "stair-step rule?",
                kind=Kind.LENGTH,
                answer=fitting,
                wrong=slips(
                    fitting,
                    (case.least, "the minimum piece breaks the stagger or goes on with the stair here"),
                ),
            )
        )
    return tuple(questions)


def _shift_question(row: int, case: Case) -> Question:
    one, other = case.starts[row - 1 : row + 1]
    shift = _shift(one, other, case.plank)
    return Question(
        asks=f"How far to the right do the joints move from row {row} to row {row + 1}?",
        kind=Kind.LENGTH,
        answer=shift,
        wrong=slips(
            shift,
            (
                case.plank - shift,
                "that is how far they move to the left; to the right it is the rest of a plank",
            ),
        ),
    )


def _working(case: Case, unit: Unit) -> Iterator[str]:
    shifts = [_shift(one, other, case.plank) for one, other in pairwise(case.starts)]
    told = ", ".join(f"rows {n}-{n + 1} {shown(shift, unit)}" for n, shift in enumerate(shifts, start=1))
    yield (
        f"Shift = first piece - first piece before, and {shown(case.plank, unit)} more where that is less than "
        f"nothing: {told}."
    )
    for number, (one, other) in enumerate(pairwise(shifts), start=3):
        differ = _differ(one, other, case.plank)
        judged = "a stair-step" if differ < case.differ else "none"
        yield f"Row {number}: {shown(one, unit)} and {shown(other, unit)} differ by {shown(differ, unit)}: {judged}."
    number, on = len(case.starts) + 1, (2 * case.starts[-1] - case.starts[-2]) % case.plank or case.plank
    yield (
        f"Row {number} would go on as row {number - 1} did with {shown(case.starts[-1], unit)} + "
        f"{shown(shifts[-1], unit)}, round the plank: {shown(on, unit)}. First pieces closer than "
        f"{shown(case.differ, unit)} to that make a stair-step; of the four one is."
    )
    if case.grade is Grade.THIRD:
        yield (
            f"The stagger bars what is closer than {shown(case.stagger, unit)} to {shown(case.starts[-1], unit)}, round "
            f"the plank. The shortest of at least {shown(case.least, unit)} that neither bars: "
            f"{shown(_fitting(case), unit)}."
        )


def solve(case: Case) -> tuple[Answer, ...]:
    """Return the answers by laying the rows, measuring how far joints lie past joints, and trying every first piece."""
    rows = [joints(laid(first, case.row, case.plank)) for first in case.starts]
    bad = only(
        word
        for word, first in zip(_OFFERED, case.offered, strict=True)
        if _climbs([*rows[-2:], _next(first, case)], case)
    )
    stairs = tuple(last for last in range(3, len(rows) + 1) if _climbs(rows[last - 3 : last], case))
    answers = (_moved(rows[0], rows[1]), _moved(rows[1], rows[2]), stairs, bad)
    if case.grade is not Grade.THIRD:
        return answers
    return (
        *answers,
        next(first for first in range(case.step, case.plank + 1, case.step) if _stands(first, rows, case)),
    )


def _stands(first: Ticks, rows: Sequence[Sequence[Ticks]], case: Case) -> bool:
    if first < case.least or closest(_next(first, case), rows[-1]) < case.stagger:
        return False
    return not _climbs([*rows[-2:], _next(first, case)], case)


def _next(first: Ticks, case: Case) -> Sequence[Ticks]:
    return joints(laid(first, case.row, case.plank))


def _moved(one: Sequence[Ticks], other: Sequence[Ticks]) -> Ticks:
    """Return how far the nearest joint of the other row lies past one of the first."""
    return min(there - here for here in one for there in other if there >= here)


def _climbs(rows: Sequence[Sequence[Ticks]], case: Case) -> bool:
    one, other = (_moved(before, after) for before, after in pairwise(rows))
    return any(abs(one - other + turn) < case.differ for turn in (-case.plank, 0, case.plank))


def explain(unit: Unit) -> tuple[Block, ...]:
    """Return stair-steps explained on rows set off by a third of a plank, and on rows that break the stair."""
    row, plank, differ = size(130, 3300, unit), size(48, 1200, unit), size(1, 25, unit)
    stair = [plank * part // 3 for part in (1, 2, 3, 1)]
    broken = [*stair[:2], size(14, 350, unit), size(40, 1000, unit)]
    return (
        Heading("Stair-step"),
        para(
            "Where every row moves on by the same shift, the joints climb across the floor like stairs. Two equal shifts "
            "in three rows are where it begins:"
        ),
        Line(),
        *picture([laid(first, row, plank) for first in stair]),
        Line(),
        *steps(*_told(stair, plank, differ, unit)),
        Line(),
        para("Other first pieces in the third and fourth row:"),
        Line(),
        *picture([laid(first, row, plank) for first in broken]),
        Line(),
        *steps(*_told(broken, plank, differ, unit)),
        Line(),
        para(
            "An offcut chain always makes stairs, for its shift is settled by the room. A fixed pattern of thirds is a "
            "stair too, and is allowed by many vinyl and laminate makers; it turns the rule off. How much two shifts must "
            "differ is common practice, no source: texts (hunker.com, woodfloordoctor.com) warn of steps and give no "
            f"figure; {shown(differ, unit)} is used here."
        ),
    )


def _told(starts: Sequence[Ticks], plank: Ticks, differ: Ticks, unit: Unit) -> Iterator[str]:
    shifts = [_shift(one, other, plank) for one, other in pairwise(starts)]
    for number, (one, other) in enumerate(pairwise(shifts), start=1):
        judged = "a stair-step" if _differ(one, other, plank) < differ else "no stair-step"
        yield f"Rows {number}, {number + 1}, {number + 2}: shifts {shown(one, unit)} and {shown(other, unit)}: {judged}."
