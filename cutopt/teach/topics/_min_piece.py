"""The minimum piece at both ends of a row."""

from dataclasses import replace
from functools import partial
from math import gcd
from random import Random

from cutopt.model.teaching import Answer, Grade, Kind, Question
from cutopt.model.words import Block
from cutopt.teach.topics._ends import Case, bounds, explain, keeps, last_piece
from cutopt.teach.topics._parts import Parts, slips
from cutopt.teach.topics._rows import laid, plank_length
from cutopt.teach.topics._tape import drawn, given, grain, only, shown, size, step, steps
from cutopt.units import Ticks, Unit

__all__ = ["Case", "exercise", "explain", "solve"]

_OFFERED = ("A", "B", "C", "D")


def exercise(random: Random, grade: Grade, unit: Unit) -> Parts:
    """Return an exercise on the minimum piece."""
    if grade is Grade.FIRST:
        case = _told_first(random, unit)
        questions, working = _ask_first(case, unit), _work_first(case, unit)
    else:
        case = _offering(random, grade, unit)
        questions, working = _ask_starters(case, unit), _work_starters(case, unit)
    if grade is Grade.THIRD:
        case = _cycle(random, case, unit)
        questions, working = (*questions, _ask_cycle(case)), (*working, *_work_cycle(case, unit))
    return Parts(
        title="The minimum piece at both ends",
        given=_given(case, unit),
        questions=questions,
        working=steps(*working),
        solve=partial(solve, case),
    )


def _room(random: Random, grade: Grade, unit: Unit) -> Case:
    plank, grid = plank_length(random, unit), 2 * step(grade, unit)
    row = drawn(random, 2 * plank + grid, 4 * plank, grid)
    least = size(*random.choice(((6, 150), (8, 200), (10, 250))), unit)
    return Case(grade=grade, row=row, plank=plank, least=least, step=grid // 2)


def _told_first(random: Random, unit: Unit) -> Case:
    """Return a row with a first piece that leaves a last one; it is too short as often as not."""
    short = random.random() < 1 / 2
    while True:
        case = _room(random, Grade.FIRST, unit)
        first = drawn(random, case.least, case.plank, case.step)
        if (case.row - first) % case.plank and (last_piece(first, case) < case.least) is short:
            return replace(case, first=first)


def _offering(random: Random, grade: Grade, unit: Unit) -> Case:
    """Return a row in which some first pieces fail, rather where a whole plank does, with four offered, one of which will do."""
    while True:
        case = _room(random, grade, unit)
        every = range(case.step, case.plank, case.step)
        good = [first for first in every if keeps(first, case)]
        ends = [first for first in every if first >= case.least and not keeps(first, case)]
        over = case.row % case.plank
        if good and len(ends) >= len(_OFFERED) and over and (over < case.least or random.random() < 1 / 2):
            break
    offered = [
        random.choice(good),
        *random.sample(ends, len(_OFFERED) - 2),
        random.randrange(case.step, case.least, case.step),
    ]
    random.shuffle(offered)
    return replace(case, offered=tuple(offered))


def _cycle(random: Random, case: Case, unit: Unit) -> Case:
    """Return the case with a shift after which the rows come again in a few rows, and all of it on the tape."""
    tape = 2 * grain(unit)
    periods = [rows for rows in range(3, 10) if case.plank % (rows * tape) == 0]
    period = random.choice(periods)
    part = random.choice([part for part in range(1, period) if gcd(part, period) == 1])
    return replace(case, shift=case.plank // period * part, period=period)


def _given(case: Case, unit: Unit) -> tuple[Block, ...]:
    rows = [
        ("Row", shown(case.row, unit)),
        (
            "Planks",
            f"{shown(case.plank, unit)} long; after the first piece come whole planks, then the last piece",
        ),
        ("Minimum piece", f"{shown(case.least, unit)}, for the first and the last piece"),
    ]
    if case.first:
        rows.append(("First piece", shown(case.first, unit)))
    if case.shift:
        rows.append(
            ("Fixed step", f"in the last question each row starts {shown(case.shift, unit)} farther on")
        )
    return (given(*rows),)


def _ask_first(case: Case, unit: Unit) -> tuple[Question, ...]:
    last, whole = last_piece(case.first, case), _whole(case.first, case)
    kept = "yes" if last >= case.least else "no"
    return (
        Question(
            asks="How many whole planks come between the first and the last piece?",
            kind=Kind.COUNT,
            answer=whole,
            wrong=slips(
                whole,
                (
                    case.row // case.plank,
                    "that is how many go into the whole row; take the first piece off before",
                ),
                (whole + 1, "the plank the last piece is cut from is no whole one"),
            ),
        ),
        Question(
            asks="How long is the last piece?",
            kind=Kind.LENGTH,
            answer=last,
            wrong=slips(
                last,
                (
                    case.row % case.plank,
                    "that leaves the first piece out: take it off before the whole planks",
                ),
                (
                    case.plank - last,
                    "that is what is left of the last plank; the last piece is what the row lacks",
                ),
            ),
        ),
        Question(
            asks=f"Are both ends {shown(case.least, unit)} at least?",
            kind=Kind.CHOICE,
            answer=kept,
            choices=("yes", "no"),
        ),
    )


def _whole(first: Ticks, case: Case) -> int:
    return (case.row - first - 1) // case.plank


def _work_first(case: Case, unit: Unit) -> tuple[str, ...]:
    last, whole = last_piece(case.first, case), _whole(case.first, case)
    return (
        (
            f"Take off the first piece: {shown(case.row, unit)} - {shown(case.first, unit)} = "
            f"{shown(case.row - case.first, unit)}."
        ),
        f"Whole planks of {shown(case.plank, unit)} in that: {whole}, together {shown(whole * case.plank, unit)}.",
        (
            f"Left for the last piece: {shown(case.row - case.first, unit)} - {shown(whole * case.plank, unit)} = "
            f"{shown(last, unit)}."
        ),
        (
            f"The shorter end is {shown(min(case.first, last), unit)}, the minimum {shown(case.least, unit)}: "
            f"{'yes' if last >= case.least else 'no'}."
        ),
    )


def _ask_starters(case: Case, unit: Unit) -> tuple[Question, ...]:
    (shortest, longest), even = bounds(case), _even(case)
    right = next(word for word, first in zip(_OFFERED, case.offered, strict=True) if keeps(first, case))
    offers = ", ".join(
        f"{word}: {shown(first, unit)}" for word, first in zip(_OFFERED, case.offered, strict=True)
    )
    over = case.row % case.plank
    return (
        Question(
            asks="What is the shortest first piece with which both ends keep the minimum?",
            kind=Kind.LENGTH,
            answer=shortest,
            wrong=slips(shortest, (case.least, "with that the last piece is too short here")),
        ),
        Question(
            asks="What is the longest? (A whole plank is the longest there is.)",
            kind=Kind.LENGTH,
            answer=longest,
            wrong=slips(longest, (case.plank, "a whole plank leaves too short a last piece here")),
        ),
        Question(
            asks=f"Which of these keeps the minimum at both ends? {offers}",
            kind=Kind.CHOICE,
            answer=right,
            choices=_OFFERED,
        ),
        Question(
            asks="First and last piece are to be equally long, and half a plank at least. How long is each?",
            kind=Kind.LENGTH,
            answer=even,
            wrong=slips(even, (over // 2, "that is less than half a plank: lay one whole plank less")),
        ),
        Question(
            asks="How many whole planks lie between these two?",
            kind=Kind.COUNT,
            answer=(case.row - 2 * even) // case.plank,
            wrong=slips(
                (case.row - 2 * even) // case.plank,
                (
                    case.row // case.plank,
                    "that is how many go into the whole row; the two ends take the length of one",
                ),
            ),
        ),
    )


def _even(case: Case) -> Ticks:
    return (case.row % case.plank + case.plank) // 2


def _work_starters(case: Case, unit: Unit) -> tuple[str, ...]:
    (shortest, longest), even = bounds(case), _even(case)
    over, plank = case.row % case.plank, shown(case.plank, unit)
    right = next(word for word, first in zip(_OFFERED, case.offered, strict=True) if keeps(first, case))
    return (
        (
            f"Whole planks go {case.row // case.plank} times into the row and leave {shown(over, unit)}. So the first and "
            f"last piece together are {shown(over, unit)}, or {shown(over, unit)} + {plank} = "
            f"{shown(over + case.plank, unit)}."
        ),
        (
            f"Both ends have to be {shown(case.least, unit)} at least and {plank} at most. The shortest first piece "
            f"so is {shown(shortest, unit)} (last piece {shown(last_piece(shortest, case), unit)}), the longest "
            f"{shown(longest, unit)} (last piece {shown(last_piece(longest, case), unit)})."
        ),
        "Last pieces of those offered: "
        + ", ".join(
            f"{word} {shown(last_piece(first, case), unit)}"
            for word, first in zip(_OFFERED, case.offered, strict=True)
        )
        + f". Only {right} keeps the minimum at both ends.",
        (
            f"Equal ends of half a plank at least share the longer sum: {shown(over + case.plank, unit)} / 2 = "
            f"{shown(even, unit)}, with {(case.row - 2 * even) // case.plank} whole planks between."
        ),
    )


def _ask_cycle(case: Case) -> Question:
    best = _best(case)
    spacing = case.plank // case.period
    return Question(
        asks="Row 1 may start as it likes, and each row after it starts by the fixed step farther on, round the plank. "
        "With the best start, how long is the shortest end piece of all rows?",
        kind=Kind.LENGTH,
        answer=best,
        wrong=slips(
            best,
            (spacing, "that is how far the first pieces are apart; the last pieces have to be looked at too"),
        ),
    )


def _best(case: Case) -> Ticks:
    """Return the best shortest end: shortest first and shortest last piece add up to one spacing and what is over."""
    spacing = case.plank // case.period
    return (_over(spacing, case) + spacing) // 2


def _over(spacing: Ticks, case: Case) -> Ticks:
    """Return what spacings leave over of the row; where nothing, the last pieces may be whole spacings."""
    return case.row % spacing or spacing


def _work_cycle(case: Case, unit: Unit) -> tuple[str, ...]:
    spacing, best = case.plank // case.period, _best(case)
    return (
        (
            f"The fixed step comes round to whole planks after {case.period} rows, so the first pieces are spaced "
            f"{shown(case.plank, unit)} / {case.period} = {shown(spacing, unit)} apart over the plank."
        ),
        (
            f"The last pieces are spaced alike. The shortest first and the shortest last piece add up to what the row "
            f"leaves over in such spacings (a whole one where nothing), {shown(_over(spacing, case), unit)}, or to a spacing more: "
            f"{shown(_over(spacing, case) + spacing, unit)}. Best is to share the latter: {shown(best, unit)} each."
        ),
    )


def solve(case: Case) -> tuple[Answer, ...]:
    """Return the answers by laying rows from every first piece on the tape and looking at their ends."""
    if case.grade is Grade.FIRST:
        pieces = laid(case.first, case.row, case.plank)
        return len(pieces) - 2, pieces[-1], "no" if min(pieces) < case.least else "yes"
    every = range(case.step, case.plank + 1, case.step)
    rows = {first: laid(first, case.row, case.plank) for first in every}
    good = [first for first, row in rows.items() if min(row[0], row[-1]) >= case.least]
    even = only(first for first, row in rows.items() if row[0] == row[-1] and 2 * first >= case.plank)
    answers = (
        good[0],
        good[-1],
        only(word for word, first in zip(_OFFERED, case.offered, strict=True) if first in good),
        even,
        len(rows[even]) - 2,
    )
    return answers if case.grade is Grade.SECOND else (*answers, _tried(rows, case))


def _tried(rows: dict[Ticks, tuple[Ticks, ...]], case: Case) -> Ticks:
    """Return the longest shortest end over all starts of row 1; starts a spacing apart lay the same rows."""
    ends = {first: min(row[0], row[-1]) for first, row in rows.items()}
    starts = range(case.step, case.plank // case.period + 1, case.step)
    return max(
        min(ends[(start + row * case.shift) % case.plank or case.plank] for row in range(case.period))
        for start in starts
    )
