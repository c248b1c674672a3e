"""Edge rips: how wide the first and the last row are, and the row that stops in front of something."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from random import Random

from cutopt.model.teaching import Answer, Grade, Kind, Question
from cutopt.model.words import Block
from cutopt.teach.topics._edges import Case, even_edges, explain, keeps, last_row, part, widest_first
from cutopt.teach.topics._parts import Parts, slips
from cutopt.teach.topics._rows import laid
from cutopt.teach.topics._tape import drawn, given, grain, only, shown, size, step, steps
from cutopt.units import Ticks, Unit

__all__ = ["Case", "exercise", "explain", "solve"]

_OFFERED = ("A", "B", "C", "D")
_WIDTHS = ((4, 90), (5, 120), (6, 150), (7, 180), (8, 200))


def exercise(random: Random, grade: Grade, unit: Unit) -> Parts:
    """Return an exercise on edge rips."""
    case = _DRAWN[grade](random, unit)
    questions, working = _ASKED[grade](case, unit)
    return Parts(
        title="Edge rips",
        given=_given(case, unit),
        questions=questions,
        working=steps(*working),
        solve=partial(solve, case),
    )


def _room(random: Random, grade: Grade, over: Ticks, width: Ticks, unit: Unit) -> Case:
    """Return a room in which so many whole rows leave ``over``."""
    gap = part(random.choice((4, 6, 8)), random.choice((6, 8, 10)), unit)
    return Case(
        grade=grade,
        room=random.randint(12, 28) * width + over + 2 * gap,
        gap=gap,
        width=width,
        least=size(*random.choice(((1, 30), (2, 50))), unit),
        step=grain(unit),
    )


def _first(random: Random, unit: Unit) -> Case:
    """Return a room whose last row is too narrow as often as not."""
    width, grid = size(*random.choice(_WIDTHS), unit), step(Grade.SECOND, unit)
    case = _room(random, Grade.FIRST, 0, width, unit)
    low, high = (grid, case.least - grid) if random.random() < 1 / 2 else (case.least, width - grid)
    return replace(case, room=case.room + drawn(random, low, high, grid))


def _second(random: Random, unit: Unit) -> Case:
    """Return a room with a ripped first row: its strip and the last row's share a plank as often as not, or just fail."""
    grid = 2 * step(Grade.THIRD, unit)
    while True:
        width = size(*random.choice(_WIDTHS), unit)
        kerf = part(2, 3, unit)
        over = random.choice((width - grid, drawn(random, grid, width - grid, grid)))
        case = replace(_room(random, Grade.SECOND, over, width, unit), kerf=kerf)
        low, high = random.choice(((case.least, over - case.least), (over + case.least, width - grid)))
        if low <= high and (over <= width - kerf or random.random() < 1 / 2):
            return replace(case, first=drawn(random, low, high, grid))


def _third(random: Random, unit: Unit) -> Case:
    """Return a room with a hearth in it, and four first rows offered of which one leaves no sliver."""
    tape = grain(unit)
    while True:
        width = size(*random.choice(_WIDTHS), unit)
        case = _room(random, Grade.THIRD, drawn(random, tape, width - tape, tape), width, unit)
        case = replace(case, hearth=random.randint(5, 10) * width + drawn(random, 0, width, tape))
        every = range(tape, width + tape, tape)
        good = [first for first in every if keeps(first, case)]
        bad = [first for first in every if first >= case.least and not keeps(first, case)]
        if good and len(bad) >= len(_OFFERED) and good[-1] < width:
            break
    offered = [random.choice(good), *random.sample(bad, len(_OFFERED) - 1)]
    random.shuffle(offered)
    return replace(case, offered=tuple(offered))


_DRAWN = {Grade.FIRST: _first, Grade.SECOND: _second, Grade.THIRD: _third}


def _given(case: Case, unit: Unit) -> tuple[Block, ...]:
    rows = [
        ("Room", f"{shown(case.room, unit)} across the rows, from wall to wall"),
        (
            "Gap",
            f"{shown(case.gap, unit)} at each wall{' and in front of the hearth' if case.hearth else ''}",
        ),
        ("Planks", f"{shown(case.width, unit)} wide"),
        ("Minimum rip", shown(case.least, unit)),
    ]
    if case.kerf:
        rows.append(("Saw", f"takes {shown(case.kerf, unit)} with each cut"))
    if case.hearth:
        front = f"its front stands {shown(case.hearth, unit)} from the first wall; rows end in front of it and go on beside it"
        rows.append(("Hearth", front))
    return (given(*rows),)


def _ask_first(case: Case, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    rows, over = divmod(case.clear, case.width)
    kept = "yes" if over >= case.least else "no"
    return (
        (
            Question(
                asks="How wide is the floor, from gap to gap?",
                kind=Kind.LENGTH,
                answer=case.clear,
                wrong=slips(
                    case.clear,
                    (case.room, "that is the room; the gaps are forgotten"),
                    (case.room - case.gap, "there is a gap at both walls"),
                ),
            ),
            Question(asks="How many whole rows fit in?", kind=Kind.COUNT, answer=rows),
            _ask_over(case),
            Question(
                asks="Is that as wide as the minimum rip at least?",
                kind=Kind.CHOICE,
                answer=kept,
                choices=("yes", "no"),
            ),
        ),
        (
            _clear(case, unit),
            _wholes(case, unit),
            f"The last row is {shown(over, unit)} wide, the minimum {shown(case.least, unit)}: {kept}.",
        ),
    )


def _ask_over(case: Case) -> Question:
    over = case.clear % case.width
    return Question(
        asks="Row 1 is a whole one. How wide is the last row?",
        kind=Kind.LENGTH,
        answer=over,
        wrong=slips(
            over,
            (case.room % case.width, "the gaps are forgotten: take them off before the whole rows"),
            ((case.room - case.gap) % case.width, "there is a gap at both walls"),
            (
                case.width - over,
                "that is what is ripped off the last plank; the row is as wide as what is lacking",
            ),
        ),
    )


def _clear(case: Case, unit: Unit) -> str:
    return f"Take off both gaps: {shown(case.room, unit)} - 2 x {shown(case.gap, unit)} = {shown(case.clear, unit)}."


def _wholes(case: Case, unit: Unit) -> str:
    rows, over = divmod(case.clear, case.width)
    return (
        f"Whole rows of {shown(case.width, unit)} in that: {rows}, together {shown(rows * case.width, unit)}. "
        f"Left over for the last row: {shown(over, unit)}."
    )


def _ask_second(case: Case, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    even, last = even_edges(case), last_row(case.first, case.clear, case)
    between = (case.clear - 2 * even) // case.width
    shared = "yes" if case.first + last + case.kerf <= case.width else "no"
    over = case.clear % case.width
    return (
        (
            _ask_over(case),
            Question(
                asks="First and last row are to be equally wide, and half a plank at least. How wide is each?",
                kind=Kind.LENGTH,
                answer=even,
                wrong=slips(
                    even,
                    (
                        over // 2,
                        "that is less than half a plank: lay one whole row less and share its width too",
                    ),
                    ((case.room % case.width + case.width) // 2, "the gaps are forgotten"),
                ),
            ),
            Question(
                asks="How many whole rows lie between these two?",
                kind=Kind.COUNT,
                answer=between,
                wrong=slips(
                    between,
                    (between + 1, "that is how many fit in; one of them is shared by the two edge rows"),
                ),
            ),
            Question(
                asks=f"Row 1 is ripped to {shown(case.first, unit)} instead. How wide is the last row?",
                kind=Kind.LENGTH,
                answer=last,
                wrong=slips(
                    last,
                    (over, "that is the last row where row 1 is whole"),
                    (case.width - last, "that is what is ripped off the last plank"),
                ),
            ),
            Question(
                asks="Can these two strips be ripped from one plank, side by side?",
                kind=Kind.CHOICE,
                answer=shared,
                choices=("yes", "no"),
                wrong=_unshared(last, case),
            ),
        ),
        (
            _clear(case, unit),
            _wholes(case, unit),
            (
                f"Equal edges share that and one whole row: ({shown(over, unit)} + {shown(case.width, unit)}) / 2 = "
                f"{shown(even, unit)}, with one whole row less between them: {between}."
            ),
            (
                f"With row 1 at {shown(case.first, unit)}: {shown(case.clear, unit)} - {shown(case.first, unit)} = "
                f"{shown(case.clear - case.first, unit)}, less whole rows leaves {shown(last, unit)}."
            ),
            (
                f"Side by side: {shown(case.first, unit)} + {shown(last, unit)} + {shown(case.kerf, unit)} for the saw = "
                f"{shown(case.first + last + case.kerf, unit)}, of a plank of {shown(case.width, unit)}: {shared}. "
                "(Equal edges of half a plank never share one.)"
            ),
        ),
    )


def _unshared(last: Ticks, case: Case) -> tuple[tuple[Answer, str], ...]:
    both = case.first + last
    if both + case.kerf <= case.width:
        return (
            (
                "no",
                "side by side they fit; the one keeps the side for the first wall, the other that for the last",
            ),
        )
    if both <= case.width:
        return (("yes", "the kerf is forgotten: with the saw's cut they are wider than the plank"),)
    return (("yes", "together they are wider than the plank"),)


def _ask_third(case: Case, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    at_hearth, at_wall = (last_row(case.width, across, case) for across in (case.front, case.clear))
    offers = tuple(zip(_OFFERED, case.offered, strict=True))
    right, widest = only(word for word, first in offers if keeps(first, case)), widest_first(case)
    stop = last_row(widest, case.front, case)
    return (
        (
            Question(
                asks="Row 1 is a whole one. How wide is what is laid of the row that stops in front of the hearth?",
                kind=Kind.LENGTH,
                answer=at_hearth,
                wrong=slips(
                    at_hearth,
                    (
                        case.hearth % case.width,
                        "the gaps are forgotten, at the wall and in front of the hearth",
                    ),
                    ((case.hearth - case.gap) % case.width, "there is a gap in front of the hearth as well"),
                    (case.width - at_hearth, "that is what the hearth takes of the row"),
                ),
            ),
            Question(
                asks="And how wide is the last row, at the far wall?",
                kind=Kind.LENGTH,
                answer=at_wall,
                wrong=slips(at_wall, (case.room % case.width, "the gaps are forgotten")),
            ),
            Question(
                asks="Row 1 may be ripped. Which of these keeps the minimum rip in row 1, in front of the hearth and in the "
                f"last row? {', '.join(f'{word}: {shown(first, unit)}' for word, first in offers)}",
                kind=Kind.CHOICE,
                answer=right,
                choices=_OFFERED,
                wrong=tuple((word, _sliver(first, case, unit)) for word, first in offers if word != right),
            ),
            Question(
                asks="How wide may row 1 be at most, so that all three keep it?",
                kind=Kind.LENGTH,
                answer=widest,
                wrong=slips(widest, (case.width, "a whole row leaves a sliver here")),
            ),
            Question(
                asks="Row 1 is as wide as that. How wide is the row in front of the hearth?",
                kind=Kind.LENGTH,
                answer=stop,
                wrong=slips(stop, (at_hearth, "that is the width where row 1 is whole")),
            ),
        ),
        tuple(_work_third(case, offers, unit)),
    )


def _sliver(first: Ticks, case: Case, unit: Unit) -> str:
    at_hearth, at_wall = (last_row(first, across, case) for across in (case.front, case.clear))
    where = f"{shown(at_hearth, unit)} in front of the hearth" if at_hearth < case.least else ""
    wall = f"{shown(at_wall, unit)} in the last row" if at_wall < case.least else ""
    return f"that leaves {' and '.join(filter(None, (where, wall)))}"


def _work_third(case: Case, offers: tuple[tuple[str, Ticks], ...], unit: Unit) -> Iterator[str]:
    at_hearth, at_wall = (last_row(case.width, across, case) for across in (case.front, case.clear))
    width, least, widest = shown(case.width, unit), shown(case.least, unit), widest_first(case)
    yield (
        f"Up to the hearth the rows cover {shown(case.hearth, unit)} - 2 x {shown(case.gap, unit)} = "
        f"{shown(case.front, unit)}; take off whole rows of {width}: {shown(at_hearth, unit)}."
    )
    yield (
        f"Up to the far wall: {shown(case.room, unit)} - 2 x {shown(case.gap, unit)} = {shown(case.clear, unit)}; "
        f"take off whole rows: {shown(at_wall, unit)}."
    )
    yield (
        f"Whatever is ripped off row 1 is added to both, less {width} where that is more than a whole row. "
        + "; ".join(
            f"{word}: {shown(last_row(first, case.front, case), unit)} and {shown(last_row(first, case.clear, case), unit)}"
            for word, first in offers
        )
        + f". Only one keeps {least} at both."
    )
    yield (
        f"Make row 1 narrower until none is under {least}: at {shown(widest, unit)} the row in front of the hearth "
        f"is {shown(last_row(widest, case.front, case), unit)}, the last {shown(last_row(widest, case.clear, case), unit)}."
    )


_ASKED = {Grade.FIRST: _ask_first, Grade.SECOND: _ask_second, Grade.THIRD: _ask_third}


def solve(case: Case) -> tuple[Answer, ...]:
    """Return the answers by laying row after row across the room, from every width of row 1 on the tape."""
    whole = laid(case.width, case.clear, case.width)
    if case.grade is Grade.FIRST:
        rows = sum(row == case.width for row in whole)
        over = only(row for row in whole if row < case.width)
        return sum(whole), rows, over, "no" if over < case.least else "yes"
    if case.grade is Grade.SECOND:
        return _solve_second(case)
    floor = {first: _both_ends(first, case) for first in range(case.step, case.width + 1, case.step)}
    good = [first for first, ends in floor.items() if min(first, *ends) >= case.least]
    right = only(word for word, first in zip(_OFFERED, case.offered, strict=True) if first in good)
    return *floor[case.width], right, good[-1], floor[good[-1]][0]


def _solve_second(case: Case) -> tuple[Answer, ...]:
    tried = (even for even in range(case.step, case.width, case.step) if 2 * even >= case.width)
    even = only(half for half in tried if (case.clear - 2 * half) % case.width == 0)
    rows, ripped = laid(even, case.clear, case.width), laid(case.first, case.clear, case.width)
    rest = case.width - ripped[0] - case.kerf
    return (
        laid(case.width, case.clear, case.width)[-1],
        even,
        len(rows) - 2,
        ripped[-1],
        "yes" if rest >= ripped[-1] else "no",
    )


def _both_ends(first: Ticks, case: Case) -> tuple[Ticks, Ticks]:
    return laid(first, case.front, case.width)[-1], laid(first, case.clear, case.width)[-1]
