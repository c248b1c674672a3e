"""Hands: which offcut can start a row and which can end one."""

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import pairwise
from random import Random

from cutopt.model.plan import Keeps
from cutopt.model.teaching import Answer, Grade, Kind, Question
from cutopt.model.words import Block, Line, Table
from cutopt.teach.topics._handed import Case, Offcut, end_hand, explain, most, start_hand, usable
from cutopt.teach.topics._parts import Parts, slips
from cutopt.teach.topics._rows import plank_length
from cutopt.teach.topics._tape import drawn, given, listed, only, para, shown, size, step, steps
from cutopt.units import Ticks, Unit

__all__ = ["Case", "Offcut", "exercise", "explain", "solve"]

_NEXT = 9
_WRONG_HAND = "wrong hand: their factory end would be at the wall and their cut end at the joint"


def exercise(random: Random, grade: Grade, unit: Unit) -> Parts:
    """Return an exercise on hands."""
    case = _DRAWN[grade](random, unit)
    questions, working = _ASKED[grade](case, unit)
    return Parts(
        title="Hands of offcuts",
        given=tuple(_given(case, unit)),
        questions=questions,
        working=steps(*working),
        solve=partial(solve, case),
    )


def _first(random: Random, unit: Unit) -> Case:
    """Return offcuts of which some keep the left end, some the right one, and some neither."""
    plank, grid = plank_length(random, unit), step(Grade.FIRST, unit)
    kept = [Keeps.LEFT, Keeps.RIGHT, Keeps.NONE, *random.choices((Keeps.LEFT, Keeps.RIGHT), k=2)]
    random.shuffle(kept)
    rows = sorted(random.sample(range(1, _NEXT), len(kept)))
    return Case(
        grade=Grade.FIRST,
        from_left=random.random() < 1 / 2,
        offcuts=tuple(
            Offcut(
                row=row, length=drawn(random, size(6, 150, unit), plank - size(6, 150, unit), grid), keeps=one
            )
            for row, one in zip(rows, kept, strict=True)
        ),
    )


def _second(random: Random, unit: Unit) -> Case:
    """Return offcuts of either hand, of which some but not all are long enough for the starter and the end piece."""
    while True:
        case = _wanting(random, Grade.SECOND, 1, unit)
        if all(
            0 < len(usable(case, hand, piece)) < len(usable(case, hand))
            for hand, piece in ((start_hand(case), case.starters[0]), (end_hand(case), case.ends[0]))
        ):
            return case


def _third(random: Random, unit: Unit) -> Case:
    """Return offcuts for the pieces of three rows, where their hand costs a piece two times in three."""
    costing = random.random() < 2 / 3
    while True:
        case = _wanting(random, Grade.THIRD, 3, unit)
        handed = _most(case, case.starters, start_hand(case)) + _most(case, case.ends, end_hand(case))
        if handed and (not costing or handed < _turned(case)):
            return case


def _wanting(random: Random, grade: Grade, rows: int, unit: Unit) -> Case:
    case, grid = _first(random, unit), step(Grade.SECOND, unit)
    more = range(_NEXT - 1, 0, -1)
    row = next(row for row in more if row not in {one.row for one in case.offcuts})
    extra = Offcut(row=row, length=case.offcuts[0].length + grid, keeps=case.offcuts[0].keeps)
    lengths = [one.length for one in case.offcuts]
    starters, ends = (
        tuple(drawn(random, min(lengths), max(lengths), grid) for _ in range(rows)) for _ in range(2)
    )
    return Case(
        grade=grade,
        from_left=case.from_left,
        offcuts=tuple(sorted((*case.offcuts, extra), key=lambda one: one.row)),
        starters=starters,
        ends=ends,
    )


_DRAWN = {Grade.FIRST: _first, Grade.SECOND: _second, Grade.THIRD: _third}


def _most(case: Case, wanted: tuple[Ticks, ...], hand: Keeps) -> int:
    return most(wanted, [one.length for one in case.offcuts if one.keeps is hand])


def _turned(case: Case) -> int:
    """Return how many pieces the offcuts give where planks may be turned: one factory end will do."""
    lengths = [one.length for one in case.offcuts if one.keeps is not Keeps.NONE]
    return most((*case.starters, *case.ends), lengths)


def _given(case: Case, unit: Unit) -> Iterator[Block]:
    way = "left to right" if case.from_left else "right to left"
    yield para(
        f"Click planks, laid in every row from {way}; none can be turned. Cut ends go to the walls. These offcuts are "
        "waiting, named after the row whose plank they are left of:"
    )
    yield Line()
    told = _KEPT if case.grade is Grade.FIRST else _origin(case)
    rows = [(str(one.row), shown(one.length, unit), told[one.keeps]) for one in case.offcuts]
    yield Table((("row", "length", "what it is"), *rows), frozenset({0, 1}))
    if case.starters:
        yield Line()
        yield given(*_wanted(case, unit))


_KEPT = {
    Keeps.LEFT: "keeps the left factory end",
    Keeps.RIGHT: "keeps the right factory end",
    Keeps.NONE: "cut at both ends",
}


def _origin(case: Case) -> dict[Keeps, str]:
    """Return how offcuts came about: what is left of an end piece's plank keeps the hand of a starter."""
    return {
        start_hand(case): "left when the last piece of the row was cut",
        end_hand(case): "left when the first piece of the row was cut",
        Keeps.NONE: "left between a first and a last piece cut from one plank",
    }


def _wanted(case: Case, unit: Unit) -> Iterator[tuple[str, str]]:
    if case.grade is Grade.SECOND:
        yield (
            f"Row {_NEXT}",
            f"starts with {shown(case.starters[0], unit)} and ends with {shown(case.ends[0], unit)}; offcuts are cut to that",
        )
        return
    rows = f"Rows {_NEXT} to {_NEXT + len(case.starters) - 1}"
    yield rows, f"start with {listed(case.starters, unit)}; end with {listed(case.ends, unit)}"
    yield "Each offcut", "is cut to one piece at most"


def _ask_first(case: Case, _: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    part, offcut = (str(hand(case)) for hand in (end_hand, start_hand))
    return (
        (
            Question(
                asks="A whole plank is cut for the end of a row. Which part of it ends the row, left or right?",
                kind=Kind.CHOICE,
                answer=part,
                choices=("left", "right"),
                wrong=(
                    (
                        offcut,
                        "that part's factory end would be at the wall, and its cut end at the joint",
                    ),
                ),
            ),
            _ask_usable("can start a row", case, start_hand(case), end_hand(case)),
            _ask_usable("can end a row", case, end_hand(case), start_hand(case)),
        ),
        (
            (
                f"Rows end at the {'right' if case.from_left else 'left'} wall. There the cut end goes to the wall and the "
                f"{part} factory end to the joint: the {part} part. What is left of it is the {offcut} part."
            ),
            f"A row's first piece is the other way round: offcuts that keep the {offcut} end can start a row.",
            f"Those that keep the {part} end can end one. Those cut at both ends join nothing.",
        ),
    )


def _ask_usable(does: str, case: Case, hand: Keeps, other: Keeps, length: Ticks = 0) -> Question:
    right, every = usable(case, hand, length), tuple(one.row for one in case.offcuts)
    long = tuple(one.row for one in case.offcuts if one.length >= length)
    middles = tuple(sorted({*usable(case, Keeps.NONE, length), *right}))
    return Question(
        asks=f"Which of the offcuts {does}? Give the rows they are left of.",
        kind=Kind.ROWS,
        answer=right,
        wrong=slips(
            right,
            (usable(case, other, length), _WRONG_HAND),
            (usable(case, other), _WRONG_HAND),
            (usable(case, hand), "the hand is right, but not all of them are long enough"),
            (middles, "what is cut at both ends has no factory end for the joint"),
            (long, "those are long enough, but their hand counts as well"),
            (every, "an offcut fits at one end of a row only: look at the factory end it keeps"),
        ),
    )


def _ask_second(case: Case, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    start, end = start_hand(case), end_hand(case)
    starter, last = case.starters[0], case.ends[0]
    fitting = [one.length for one in case.offcuts if one.keeps is start and one.length >= starter]
    neither = usable(case, Keeps.NONE)
    return (
        (
            _ask_usable(f"can start row {_NEXT}", case, start, end, starter),
            _ask_usable(f"can end row {_NEXT}", case, end, start, last),
            Question(
                asks="How long is the shortest of those that can start it?",
                kind=Kind.LENGTH,
                answer=min(fitting),
                wrong=slips(
                    min(fitting),
                    (
                        min(one.length for one in case.offcuts if one.length >= starter),
                        "that is the shortest long enough, but its hand is wrong",
                    ),
                ),
            ),
            Question(
                asks="Which offcuts can neither start nor end a row, however short it is? Give their rows.",
                kind=Kind.ROWS,
                answer=neither,
                wrong=slips(neither, (usable(case, end), "those can end a row")),
            ),
        ),
        (
            *_told_hands(case),
            (
                f"Of those left of last pieces (rows {_named(usable(case, start))}), {shown(starter, unit)} or longer: "
                f"{_named(usable(case, start, starter))}; the shortest is {shown(min(fitting), unit)}."
            ),
            (
                f"Of those left of first pieces (rows {_named(usable(case, end))}), {shown(last, unit)} or longer: "
                f"{_named(usable(case, end, last))}."
            ),
            f"Cut at both ends, fit for nothing: {_named(neither)}.",
        ),
    )


def _told_hands(case: Case) -> Iterator[str]:
    start, end = start_hand(case), end_hand(case)
    yield (
        f"What ends a row is the {end} part of a plank, so its offcut keeps the {start} end: it can start a row. What "
        f"starts a row is the {start} part, so its offcut keeps the {end} end: it can end a row."
    )


def _named(rows: tuple[int, ...]) -> str:
    return ", ".join(map(str, rows)) or "none"


def _ask_third(case: Case, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    start, end = start_hand(case), end_hand(case)
    starters, ends = _most(case, case.starters, start), _most(case, case.ends, end)
    swapped = _most(case, case.starters, end), _most(case, case.ends, start)
    turned, idle = _turned(case), _idle(case)
    return (
        (
            _ask_most("first pieces", starters, swapped[0], len(usable(case, start))),
            _ask_most("last pieces", ends, swapped[1], len(usable(case, end))),
            Question(
                asks="Square-edged planks may be turned round. How many first and last pieces could be cut from these "
                "offcuts then, at most?",
                kind=Kind.COUNT,
                answer=turned,
                wrong=slips(turned, (starters + ends, "that is without turning: now either hand will do")),
            ),
            Question(
                asks="Without turning again: which offcuts are too short, or of no hand, for every one of the pieces? Give "
                "their rows.",
                kind=Kind.ROWS,
                answer=idle,
                wrong=slips(
                    idle, (usable(case, Keeps.NONE), "some are too short for every piece of their hand")
                ),
            ),
        ),
        (
            *_told_hands(case),
            _told_most("First pieces", case, case.starters, start, unit),
            _told_most("Last pieces", case, case.ends, end, unit),
            f"Turned, every offcut with a factory end will do for either: {turned} pieces.",
            f"Of no hand, or shorter than every piece of their hand: {_named(idle)}.",
        ),
    )


def _ask_most(name: str, right: int, other: int, every: int) -> Question:
    return Question(
        asks=f"How many of the {name} can be cut from these offcuts, at most?",
        kind=Kind.COUNT,
        answer=right,
        wrong=slips(
            right,
            (every, "those are all of the right hand; not each is long enough for a piece of its own"),
            (other, "wrong hand: count those that keep the other end"),
        ),
    )


def _idle(case: Case) -> tuple[int, ...]:
    least = {start_hand(case): min(case.starters), end_hand(case): min(case.ends)}
    return tuple(one.row for one in case.offcuts if one.keeps not in least or one.length < least[one.keeps])


def _told_most(name: str, case: Case, wanted: tuple[Ticks, ...], hand: Keeps, unit: Unit) -> str:
    offcuts = sorted(one.length for one in case.offcuts if one.keeps is hand)
    return (
        f"{name}, shortest first: {listed(sorted(wanted), unit)}. Offcuts of their hand: {listed(offcuts, unit)}. Take "
        f"for each piece the shortest that will do: {_most(case, wanted, hand)}."
    )


_ASKED = {Grade.FIRST: _ask_first, Grade.SECOND: _ask_second, Grade.THIRD: _ask_third}

_Ends = tuple[bool, bool]
"""Whether the left and the right end of a piece is a factory end."""

_ENDS: dict[Keeps, _Ends] = {
    Keeps.LEFT: (True, False),
    Keeps.RIGHT: (False, True),
    Keeps.NONE: (False, False),
}
_WHOLE: _Ends = (True, True)


def solve(case: Case) -> tuple[Answer, ...]:
    """Return the answers by laying every offcut at either end of a row and looking whether its joints close."""
    if case.grade is Grade.FIRST:
        part = only(keeps for keeps in (Keeps.LEFT, Keeps.RIGHT) if _lies(keeps, case, last=True))
        return str(part), _laid(case, 0, last=False), _laid(case, 0, last=True)
    neither = {one.row for one in case.offcuts} - {*_laid(case, 0, last=False), *_laid(case, 0, last=True)}
    if case.grade is Grade.SECOND:
        first = _laid(case, case.starters[0], last=False)
        shortest = min(one.length for one in case.offcuts if one.row in first)
        return first, _laid(case, case.ends[0], last=True), shortest, tuple(sorted(neither))
    return (
        _tried([_laid(case, piece, last=False) for piece in case.starters]),
        _tried([_laid(case, piece, last=True) for piece in case.ends]),
        _tried([_either(case, piece) for piece in (*case.starters, *case.ends)]),
        _never(case),
    )


def _laid(case: Case, length: Ticks, *, last: bool) -> tuple[int, ...]:
    return tuple(
        one.row for one in case.offcuts if one.length >= length and _lies(one.keeps, case, last=last)
    )


def _either(case: Case, length: Ticks) -> tuple[int, ...]:
    return tuple(sorted({*_laid(case, length, last=False), *_laid(case, length, last=True)}))


def _lies(keeps: Keeps, case: Case, *, last: bool) -> bool:
    """Say whether a row closes with the offcut laid first (or last) and a whole plank beside it."""
    laid = [_WHOLE, _ENDS[keeps]] if last else [_ENDS[keeps], _WHOLE]
    row = laid if case.from_left else laid[::-1]
    return all(here[1] and there[0] for here, there in pairwise(row))


def _tried(choices: Sequence[Sequence[int]], taken: frozenset[int] = frozenset()) -> int:
    """Return the most pieces that get an offcut of their own, by trying all ways to hand them out."""
    if not choices:
        return 0
    here, rest = choices[0], choices[1:]
    given_one = (1 + _tried(rest, taken | {row}) for row in here if row not in taken)
    return max((_tried(rest, taken), *given_one))


def _never(case: Case) -> tuple[int, ...]:
    used = {row for piece in case.starters for row in _laid(case, piece, last=False)}
    used |= {row for piece in case.ends for row in _laid(case, piece, last=True)}
    return tuple(one.row for one in case.offcuts if one.row not in used)
