"""The offcut chain: every row starts with what the last plank of the row before left over."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from itertools import islice
from math import gcd
from random import Random

from cutopt.model.teaching import Answer, Grade, Kind, Question
from cutopt.model.words import Block, Heading, Line
from cutopt.teach.topics._parts import Parts, slips
from cutopt.teach.topics._rows import laid, picture, plank_length
from cutopt.teach.topics._tape import drawn, given, grain, listed, para, shown, size, step, steps
from cutopt.units import Ticks, Unit

__all__ = ["Case", "exercise", "explain", "solve"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A room laid by the chain: lengths of its rows and planks, the saw's kerf, the minimum piece, the rows asked of."""

    grade: Grade
    row: Ticks
    plank: Ticks
    kerf: Ticks
    least: Ticks
    rows: int


def exercise(random: Random, grade: Grade, unit: Unit) -> Parts:
    """Return an exercise on the chain."""
    case = _DRAWN[grade](random, unit)
    questions, working = _ASKED[grade](case, unit)
    return Parts(
        title="The offcut chain",
        given=_given(case, unit),
        questions=questions,
        working=steps(*working),
        solve=partial(solve, case),
    )


def _first(random: Random, unit: Unit) -> Case:
    return _sawn(random, Grade.FIRST, 0, 3, unit)


def _second(random: Random, unit: Unit) -> Case:
    return _sawn(random, Grade.SECOND, 3 * grain(unit) if unit.is_metric else 2 * grain(unit), 6, unit)


def _sawn(random: Random, grade: Grade, kerf: Ticks, rows: int, unit: Unit) -> Case:
    """Return a room where each of the rows asked of ends with a cut plank that leaves an offcut."""
    while True:
        plank = plank_length(random, unit)
        case = Case(
            grade=grade,
            row=drawn(random, 2 * plank, 4 * plank, step(grade, unit)),
            plank=plank,
            kerf=kerf,
            least=size(*random.choice(((6, 150), (8, 200), (10, 250))), unit),
            rows=rows,
        )
        if all(0 < end < plank - kerf for _, end in islice(_walk(case), rows)):
            return case


def _third(random: Random, unit: Unit) -> Case:
    """Return a room whose rows come again after 4 to 12: the shift is a fraction of the plank with that divisor."""
    plank = plank_length(random, unit)
    period = random.choice([rows for rows in range(4, 13) if plank // grain(unit) % rows == 0])
    shift = plank // period * random.choice([part for part in range(1, period) if gcd(part, period) == 1])
    return Case(
        grade=Grade.THIRD,
        row=random.randint(2, 4) * plank + plank - shift,
        plank=plank,
        kerf=0,
        least=size(*random.choice(((6, 150), (8, 200), (10, 250))), unit),
        rows=random.randint(6, 20),
    )


_DRAWN = {Grade.FIRST: _first, Grade.SECOND: _second, Grade.THIRD: _third}


def _walk(case: Case) -> Iterator[tuple[Ticks, Ticks]]:
    """Yield first and last piece row by row; a whole plank is a piece like any other."""
    first = case.plank
    while True:
        last = (case.row - first) % case.plank
        yield first, last or case.plank
        first = case.plank - case.kerf - last if last else case.plank


def _given(case: Case, unit: Unit) -> tuple[Block, ...]:
    saw = f"the saw takes {shown(case.kerf, unit)} with each cut" if case.kerf else "cuts take nothing away"
    return (
        para(
            "Row 1 starts with a whole plank. The last plank of each row is cut to fit, and what is left of it "
            "starts the next row. Where nothing is left, the next row starts with a whole plank."
        ),
        Line(),
        given(
            ("Rows", f"{shown(case.row, unit)} long, all of them"),
            ("Planks", f"{shown(case.plank, unit)} long; {saw}"),
            ("Minimum piece", shown(case.least, unit)),
        ),
    )


def _ask_first(case: Case, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    pieces = list(islice(_walk(case), 3))
    kept = "yes" if pieces[2][1] >= case.least else "no"
    asks = "Is the last piece of row 3 as long as the minimum piece at least?"
    return (
        (
            _last(1, pieces, case),
            _start(2, pieces, case, unit),
            _start(3, pieces, case, unit),
            Question(asks=asks, kind=Kind.CHOICE, answer=kept, choices=("yes", "no")),
        ),
        (
            *_told(pieces, case, unit),
            f"The last piece of row 3 is {shown(pieces[2][1], unit)}, the minimum {shown(case.least, unit)}: {kept}.",
        ),
    )


def _ask_second(case: Case, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    pieces = list(islice(_walk(case), case.rows))
    short = tuple(n for n, ends in enumerate(pieces, start=1) if min(ends) < case.least)
    only_last = tuple(n for n, (_, last) in enumerate(pieces, start=1) if last < case.least)
    asks = f"Which of rows 1 to {case.rows} have a first or a last piece shorter than the minimum?"
    wrong = slips(
        short, (only_last, "these are the rows with a short last piece; a short first piece counts as well")
    )
    return (
        (
            _last(1, pieces, case),
            _start(2, pieces, case, unit),
            _start(4, pieces, case, unit),
            Question(asks=asks, kind=Kind.ROWS, answer=short, wrong=wrong),
        ),
        (*_told(pieces, case, unit), _short(short, case, unit)),
    )


def _ask_third(case: Case, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    shift, period = -case.row % case.plank, case.plank // gcd(case.row, case.plank)
    pieces = list(islice(_walk(case), period))
    short = tuple(n for n, (_, last) in enumerate(pieces, start=1) if last < case.least)
    opened = -(-case.rows * case.row // case.plank)
    each = case.rows * -(-case.row // case.plank)
    return (
        (
            Question(
                asks="From row to row the joints move on by the same shift (a whole plank counts as no shift). How "
                "far to the right does row 2 lie shifted against row 1?",
                kind=Kind.LENGTH,
                answer=shift,
                wrong=slips(
                    shift,
                    (
                        case.plank - shift,
                        "that is the last piece of row 1; the shift is what is left of its plank",
                    ),
                ),
            ),
            Question(
                asks="After how many rows does a row start with a whole plank again, so that all repeats?",
                kind=Kind.COUNT,
                answer=period,
                wrong=slips(
                    period,
                    (
                        period + 1,
                        "that is the row that starts with a whole plank again, not how many came before",
                    ),
                ),
            ),
            Question(
                asks="Which rows, from row 1 until all repeats, have a last piece shorter than the minimum?",
                kind=Kind.ROWS,
                answer=short,
            ),
            Question(
                asks=f"How many planks are opened for the first {case.rows} rows?",
                kind=Kind.COUNT,
                answer=opened,
                wrong=slips(
                    opened, (each, "that opens a plank for each row's start; the offcuts start the rows")
                ),
            ),
        ),
        (
            (
                f"Whole planks in a row: {case.row // case.plank}; row 1 lacks {shown(pieces[0][1], unit)}. Left of "
                f"that plank, and so the shift: {shown(case.plank, unit)} - {shown(pieces[0][1], unit)} = "
                f"{shown(shift, unit)}."
            ),
            (
                f"First pieces, row by row (take off {shown(case.plank, unit)} whenever more than that): "
                f"{listed((first for first, _ in pieces), unit)}."
            ),
            (
                f"After {period} rows the shifts add up to whole planks: {period} x {shown(shift, unit)} = "
                f"{period * shift // case.plank} x {shown(case.plank, unit)}."
            ),
            (
                f"Last pieces, what a row lacks after its first piece and whole planks: "
                f"{listed((last for _, last in pieces), unit)}."
            ),
            _short(short, case, unit),
            (
                f"Nothing is lost between the rows, so the planks lie end to end over {case.rows} rows: {case.rows} x "
                f"{shown(case.row, unit)} = {shown(case.rows * case.row, unit)}, in planks of "
                f"{shown(case.plank, unit)}, rounded up: {opened}."
            ),
        ),
    )


_ASKED = {Grade.FIRST: _ask_first, Grade.SECOND: _ask_second, Grade.THIRD: _ask_third}


def _last(number: int, pieces: list[tuple[Ticks, Ticks]], case: Case) -> Question:
    last = pieces[number - 1][1]
    offcut = (
        case.plank - last,
        "that is what is left of the cut plank; the last piece is what the row lacks",
    )
    return Question(
        asks=f"How long is the last piece of row {number}?",
        kind=Kind.LENGTH,
        answer=last,
        wrong=slips(last, offcut),
    )


def _start(number: int, pieces: list[tuple[Ticks, Ticks]], case: Case, unit: Unit) -> Question:
    first, last = pieces[number - 1][0], pieces[number - 2][1]
    kerf = f"that leaves out the {shown(case.kerf, unit)} that the saw takes with the cut"
    return Question(
        asks=f"How long is the first piece of row {number}?",
        kind=Kind.LENGTH,
        answer=first,
        wrong=slips(
            first,
            (
                last,
                f"that is the last piece of row {number - 1}; what is left of its plank starts row {number}",
            ),
            (first + case.kerf, kerf),
            (first + (number - 1) * case.kerf, kerf),
        ),
    )


def _told(pieces: list[tuple[Ticks, Ticks]], case: Case, unit: Unit) -> Iterator[str]:
    kerf = f" - {shown(case.kerf, unit)}" if case.kerf else ""
    for number, (first, last) in enumerate(pieces, start=1):
        whole = (case.row - first) // case.plank
        yield (
            f"Row {number}: {shown(case.row, unit)} - {shown(first, unit)} - {whole} x {shown(case.plank, unit)} = "
            f"{shown(last, unit)} for the last piece; left of its plank for row {number + 1}: "
            f"{shown(case.plank, unit)} - {shown(last, unit)}{kerf} = "
            f"{shown(case.plank - case.kerf - last, unit)}."
        )


def _short(rows: tuple[int, ...], case: Case, unit: Unit) -> str:
    return f"Rows with one under {shown(case.least, unit)}: {', '.join(map(str, rows)) or 'none'}."


def solve(case: Case) -> tuple[Answer, ...]:
    """Return the answers by laying the planks of all rows end to end and looking where the rows' ends fall.

    The cut between two rows takes the kerf out of the line, so row n starts n - 1 rows and kerfs along it.
    """
    ends = [_on_the_line(number, case) for number in range(max(case.rows, 13) + 1)]
    firsts, lasts = zip(*ends, strict=True)
    short_last = [number for number, last in enumerate(lasts, start=1) if last < case.least]
    if case.grade is Grade.FIRST:
        return lasts[0], firsts[1], firsts[2], "no" if lasts[2] < case.least else "yes"
    if case.grade is Grade.SECOND:
        short = {number for number, first in enumerate(firsts, start=1) if first < case.least} | {*short_last}
        return lasts[0], firsts[1], firsts[3], tuple(sorted(short & {*range(1, case.rows + 1)}))
    again = firsts.index(case.plank, 1)
    return firsts[1], again, tuple(number for number in short_last if number <= again), _opened(case)


def _on_the_line(before: int, case: Case) -> tuple[Ticks, Ticks]:
    start = before * (case.row + case.kerf)
    end = start + case.row
    marks = range(0, end + case.plank, case.plank)
    first = next(mark for mark in marks if mark > start) - start
    return first, end - max(mark for mark in marks if mark < end)


def _opened(case: Case) -> int:
    opened = waiting = 0
    for _ in range(case.rows):
        lacking = case.row - waiting
        while lacking > 0:
            opened += 1
            waiting = case.plank - min(lacking, case.plank)
            lacking -= case.plank
    return opened


def explain(unit: Unit) -> tuple[Block, ...]:
    """Return the chain explained on rows of 130 in and planks of 48 in (3300 and 1220 mm)."""
    case = Case(
        grade=Grade.FIRST,
        row=size(130, 3300, unit),
        plank=size(48, 1220, unit),
        kerf=0,
        least=size(8, 200, unit),
        rows=4,
    )
    pieces = list(islice(_walk(case), case.rows))
    shift = -case.row % case.plank
    short = [number for number, (_, last) in enumerate(pieces, start=1) if last < case.least]
    return (
        Heading("The offcut chain"),
        para(
            "The last plank of a row is cut, and what is left of it starts the next row. That wastes least, and it "
            "settles every row by the length of the room: first piece = first piece before - row length, "
            "counted round the plank (add whole planks until it fits)."
        ),
        Line(),
        *picture([laid(first, case.row, case.plank) for first, _ in pieces]),
        Line(),
        given(
            (
                "Rows, planks",
                f"{shown(case.row, unit)} and {shown(case.plank, unit)}; cuts take nothing away",
            ),
            ("First pieces", listed((first for first, _ in pieces), unit)),
            ("Last pieces", listed((last for _, last in pieces), unit)),
            ("Shift", f"{shown(shift, unit)} to the right with every row, round the plank"),
        ),
        Line(),
        *steps(
            "The shift never changes, so the chain is a stair-step by its nature.",
            "The stagger is kept only where the shift is neither under it nor within it of a whole plank: a room "
            "of nearly whole planks leaves joints beside joints.",
            f"With a minimum piece of {shown(case.least, unit)}, the last piece fails in row "
            f"{', '.join(map(str, short)) or 'none'} here.",
            "Do not follow the chain blindly: keep offcuts waiting, and start a row with one that suits.",
        ),
        Line(),
        para(
            "Sources: that the cut-off starts the next row is said by how-to articles (98905.com, "
            "dontknowfloors.com); that it cannot go on row after row by hunker.com. The figures above are computed."
        ),
    )
