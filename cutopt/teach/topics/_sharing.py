"""Sharing planks: one plank for both ends of a row, or for the ends of two rows, and the fewest planks for all."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from itertools import product
from random import Random

from cutopt.model.teaching import Answer, Grade, Kind, Question
from cutopt.model.words import Block, Line, Table
from cutopt.teach.topics._pairs import (
    Case,
    explain,
    fewest,
    fewest_turned,
    kerf_of,
    left_over,
    pairs,
    shares,
)
from cutopt.teach.topics._parts import Parts, slips
from cutopt.teach.topics._rows import plank_length
from cutopt.teach.topics._sawing import solve
from cutopt.teach.topics._tape import drawn, given, grain, para, shown, size, step, steps
from cutopt.units import Ticks, Unit

__all__ = ["Case", "exercise", "explain", "solve"]

_KERF = "the kerf is forgotten: the saw takes its part with the cut between them"


def exercise(random: Random, grade: Grade, unit: Unit) -> Parts:
    """Return an exercise on sharing planks."""
    case = _DRAWN[grade](random, unit)
    questions, working = _ASKED[grade](case, unit)
    return Parts(
        title="Sharing planks",
        given=tuple(_given(case, unit)),
        questions=questions,
        working=steps(*working),
        solve=partial(solve, case),
    )


def _first(random: Random, unit: Unit) -> Case:
    """Return a row whose ends share a plank as often as not, and a closet where the kerf costs a piece now and then."""
    sharing, tape = random.random() < 1 / 2, grain(unit)
    while True:
        plank, kerf, grid = plank_length(random, unit), kerf_of(unit), step(Grade.FIRST, unit)
        first = drawn(random, size(6, 150, unit), plank - grid, grid)
        last = random.choice((drawn(random, grid, plank - grid, grid), plank - first, plank - first - tape))
        pieces = random.randint(2, 5)
        closet = random.choice((plank // pieces // tape * tape, drawn(random, plank // 6, plank // 2, grid)))
        case = Case(
            grade=Grade.FIRST,
            plank=plank,
            kerf=kerf,
            firsts=(first,),
            row=first + last + random.randint(1, 3) * plank,
            closet=closet,
        )
        if last >= grid and shares(first, last, case) is sharing:
            return case


def _second(random: Random, unit: Unit) -> Case:
    """Return the ends of three rows, one of which may fit beside row 1's first piece but for the kerf."""
    while True:
        case = _ends(random, Grade.SECOND, 3, unit)
        first = case.firsts[0]
        if random.random() < 1 / 2:
            close = case.plank - first - grain(unit)
            case = replace(case, lasts=(*case.lasts[:2], close))
        others = [shares(first, last, case) for last in case.lasts]
        if any(others) and not all(others) and _clean(case):
            turns = random.random() < 1 / 2
            return replace(case, turns=turns)


def _third(random: Random, unit: Unit) -> Case:
    """Return the ends of four rows for which the chain opens more planks than need be, two times in three."""
    telling = random.random() < 2 / 3
    while True:
        case = _ends(random, Grade.THIRD, 4, unit)
        if _clean(case) and (not telling or fewest_turned(case) < fewest(case) < _chained(case)):
            return case


_DRAWN = {Grade.FIRST: _first, Grade.SECOND: _second, Grade.THIRD: _third}


def _ends(random: Random, grade: Grade, rows: int, unit: Unit) -> Case:
    plank, grid = plank_length(random, unit), step(Grade.SECOND, unit)
    firsts, lasts = (
        tuple(drawn(random, size(8, 200, unit), plank - grid, grid) for _ in range(rows)) for _ in range(2)
    )
    return Case(grade=grade, plank=plank, kerf=kerf_of(unit), firsts=firsts, lasts=lasts)


def _clean(case: Case) -> bool:
    """Say whether something is left of every pair that shares a plank, so that what is left adds up whoever pairs."""
    kinds = product(case.firsts, case.lasts)
    return all(left_over(one, other, case) > 0 for one, other in kinds if shares(one, other, case))


def _chained(case: Case) -> int:
    """Return the planks where a last piece shares with the next row's first piece only."""
    return 2 * len(case.firsts) - sum(
        shares(last, first, case) for last, first in zip(case.lasts, case.firsts[1:], strict=False)
    )


def _given(case: Case, unit: Unit) -> Iterator[Block]:
    kind = "square-edged, so they may be turned round" if case.turns else "click edges, so none can be turned"
    rows = [
        (
            "Planks",
            f"{shown(case.plank, unit)} long; {kind}; the saw takes {shown(case.kerf, unit)} with each cut",
        )
    ]
    if case.grade is Grade.FIRST:
        rows += [
            (
                "Row",
                f"{shown(case.row, unit)} long; it starts with {shown(case.firsts[0], unit)}, then whole planks",
            ),
            (
                "Closet",
                f"rows of one piece, {shown(case.closet, unit)}; both its ends, at walls, may be cut ends",
            ),
        ]
    yield given(*rows)
    if case.grade is not Grade.FIRST:
        yield Line()
        yield para(
            "Each row's first and last piece. Between them are whole planks, and cut ends go to the walls:"
        )
        yield Line()
        ends = enumerate(zip(case.firsts, case.lasts, strict=True), start=1)
        told = [(str(row), shown(first, unit), shown(last, unit)) for row, (first, last) in ends]
        yield Table((("row", "first", "last"), *told), frozenset({0, 1, 2}))


def _ask_first(case: Case, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    first = case.firsts[0]
    last = (case.row - first) % case.plank
    whole, both = (case.row - first) // case.plank, shares(first, last, case)
    shared, planks = "yes" if both else "no", whole + 2 - both
    closets = (case.plank + case.kerf) // (case.closet + case.kerf)
    fits = "one plank gives both" if both else "each end takes a plank"
    return (
        (
            Question(
                asks="How long is the last piece?",
                kind=Kind.LENGTH,
                answer=last,
                wrong=slips(
                    last,
                    (case.plank - last, "that is what is left of its plank"),
                    (case.row % case.plank, "take the first piece off before the whole planks"),
                ),
            ),
            Question(
                asks="Can first and last piece be cut from one plank?",
                kind=Kind.CHOICE,
                answer=shared,
                choices=("yes", "no"),
                wrong=_wrong_shared(first, last, case),
            ),
            Question(
                asks="How many planks does the row take at least?",
                kind=Kind.COUNT,
                answer=planks,
                wrong=slips(
                    planks,
                    (whole, "those are the whole ones; the two ends are cut from planks too"),
                    (whole + 1 + both, fits),
                ),
            ),
            Question(
                asks="How many closet rows come from one plank?",
                kind=Kind.COUNT,
                answer=closets,
                wrong=slips(
                    closets,
                    (case.plank // case.closet, _KERF),
                    (
                        case.plank // (case.closet + case.kerf),
                        "the last one needs no cut behind it where it just comes out",
                    ),
                ),
            ),
        ),
        (
            (
                f"{shown(case.row, unit)} - {shown(first, unit)} - {whole} x {shown(case.plank, unit)} = "
                f"{shown(last, unit)}."
            ),
            f"{_told_pair(first, last, case, unit)} So {fits}.",
            f"Whole planks: {whole}; for the ends: {2 - both}. Together {planks}.",
            (
                f"{closets} closet rows need {closets} x {shown(case.closet, unit)} + {closets - 1} x "
                f"{shown(case.kerf, unit)} = {shown(_needs(closets, case), unit)}; one more would need "
                f"{shown(_needs(closets + 1, case), unit)}."
            ),
        ),
    )


def _needs(closets: int, case: Case) -> Ticks:
    return closets * case.closet + (closets - 1) * case.kerf


def _wrong_shared(one: Ticks, other: Ticks, case: Case) -> tuple[tuple[Answer, str], ...]:
    if shares(one, other, case):
        return (
            ("no", "the first piece is one end of a plank, the last the other: both fit in, with the cut"),
        )
    return (("yes", _KERF if one + other <= case.plank else "together they are longer than the plank"),)


def _told_pair(one: Ticks, other: Ticks, case: Case, unit: Unit) -> str:
    return (
        f"{shown(one, unit)} + {shown(other, unit)} + {shown(case.kerf, unit)} for the cut = "
        f"{shown(one + other + case.kerf, unit)}, {'no more' if shares(one, other, case) else 'more'} than "
        f"{shown(case.plank, unit)}."
    )


def _ask_second(case: Case, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    first, other = case.firsts[0], case.firsts[1]
    with_first = tuple(row for row, last in enumerate(case.lasts, start=1) if shares(first, last, case))
    no_kerf = tuple(row for row, last in enumerate(case.lasts, start=1) if first + last <= case.plank)
    beside = case.lasts[with_first[0] - 1]
    rest = left_over(first, beside, case)
    both = case.turns and shares(first, other, case)
    return (
        (
            Question(
                asks="Which rows' last pieces can be cut from one plank with the first piece of row 1?",
                kind=Kind.ROWS,
                answer=with_first,
                wrong=slips(
                    with_first,
                    (no_kerf, _KERF),
                    (tuple(row for row in with_first if row > 1), "row 1 itself may share a plank as well"),
                ),
            ),
            Question(
                asks=f"That piece and the last one of row {with_first[0]} are cut from one plank. How long is what is left "
                "between them?",
                kind=Kind.LENGTH,
                answer=rest,
                wrong=slips(
                    rest,
                    (rest + 2 * case.kerf, "the kerf is forgotten: there is a cut beside each piece"),
                    (rest + case.kerf, "there are two cuts: one beside each piece"),
                ),
            ),
            Question(
                asks="Can the first pieces of rows 1 and 2 be cut from one plank?",
                kind=Kind.CHOICE,
                answer="yes" if both else "no",
                choices=("yes", "no"),
                wrong=_wrong_kind(first, other, case),
            ),
            _ask_fewest(case),
        ),
        (
            *(
                f"Row {row}: {_told_pair(first, last, case, unit)}"
                for row, last in enumerate(case.lasts, start=1)
            ),
            (
                f"Left: {shown(case.plank, unit)} - {shown(first, unit)} - {shown(beside, unit)} - 2 x "
                f"{shown(case.kerf, unit)} = {shown(rest, unit)}."
            ),
            (f"Two first pieces: {_told_pair(first, other, case, unit)} {_told_kind(case)}"),
            _told_turned(case, unit) if case.turns else _told_fewest(case, unit),
        ),
    )


def _wrong_kind(one: Ticks, other: Ticks, case: Case) -> tuple[tuple[Answer, str], ...]:
    if not case.turns:
        return (("yes", "wrong hand: both need the same factory end of the plank, and it has that end once"),)
    if shares(one, other, case):
        return (("no", "square-edged planks may be turned round, so two first pieces may share one"),)
    return _wrong_shared(one, other, case)


def _told_kind(case: Case) -> str:
    if case.turns:
        return "Turned round, either end of a plank will do."
    return "Whatever they come to, both need the same factory end, and a plank has that once: no."


def _ask_fewest(case: Case) -> Question:
    pieces = len(case.firsts) + len(case.lasts)
    right, other = (fewest_turned(case), fewest(case)) if case.turns else (fewest(case), fewest_turned(case))
    hand = (
        "turned round, any two pieces may share"
        if case.turns
        else "wrong hand: two first (or two last) pieces never share"
    )
    return Question(
        asks="What is the fewest planks that all these first and last pieces can be cut from?",
        kind=Kind.COUNT,
        answer=right,
        wrong=slips(
            right,
            (pieces, "that is a plank for each piece; pairs that fit share one"),
            (other, hand),
            (_chained(case), "last pieces may share with any row's first piece, not the next row's only"),
        ),
    )


def _told_fewest(case: Case, unit: Unit) -> str:
    found = pairs(case)
    told = "; ".join(f"{shown(first, unit)} with {shown(last, unit)}" for first, last in found) or "none"
    return (
        f"The longest first piece chooses first, and takes the longest last piece that fits. Pairs: {told}. "
        f"{len(case.firsts) + len(case.lasts)} pieces less {len(found)} = {fewest(case)} planks."
    )


def _told_turned(case: Case, unit: Unit) -> str:
    pieces = sorted((*case.firsts, *case.lasts), reverse=True)
    return (
        f"Turned round, any two may share: of {', '.join(shown(piece, unit) for piece in pieces)} the longest goes with "
        f"the shortest left if they fit, else alone: {fewest_turned(case)} planks."
    )


def _ask_third(case: Case, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    chained, best, turned = _chained(case), fewest(case), fewest_turned(case)
    pieces = (*case.firsts, *case.lasts)
    left = best * case.plank - sum(pieces) - len(pieces) * case.kerf
    return (
        (
            Question(
                asks="Each last piece shares a plank with the next row's first piece where they fit, and with no other. How "
                "many planks are opened for all these pieces?",
                kind=Kind.COUNT,
                answer=chained,
                wrong=slips(
                    chained,
                    (best, "that is the best there is, with any row's pieces paired"),
                    (_no_kerf(case), _KERF),
                ),
            ),
            _ask_fewest(case),
            Question(
                asks="How long is all that is left of those fewest planks together?",
                kind=Kind.LENGTH,
                answer=left,
                wrong=slips(
                    left,
                    (
                        best * case.plank - sum(pieces),
                        "the kerf is forgotten: there is a cut beside every piece",
                    ),
                    (
                        left + (len(pieces) - best) * case.kerf,
                        "there is a cut beside every piece, not one a plank",
                    ),
                ),
            ),
            Question(
                asks="What would be the fewest if the planks were square-edged and could be turned round?",
                kind=Kind.COUNT,
                answer=turned,
                wrong=slips(
                    turned, (best, "turned round, two first or two last pieces may share a plank too")
                ),
            ),
        ),
        (
            *(
                f"Last of row {row}, first of row {row + 1}: {_told_pair(last, first, case, unit)}"
                for row, (last, first) in enumerate(zip(case.lasts, case.firsts[1:], strict=False), start=1)
            ),
            f"{len(pieces)} pieces less {len(pieces) - chained} that share = {chained} planks.",
            _told_fewest(case, unit),
            (
                f"Left: {best} x {shown(case.plank, unit)} - {shown(sum(pieces), unit)} of pieces - {len(pieces)} x "
                f"{shown(case.kerf, unit)} of cuts = {shown(left, unit)}."
            ),
            _told_turned(case, unit),
        ),
    )


def _no_kerf(case: Case) -> int:
    fit = (last + first <= case.plank for last, first in zip(case.lasts, case.firsts[1:], strict=False))
    return 2 * len(case.firsts) - sum(fit)


_ASKED = {Grade.FIRST: _ask_first, Grade.SECOND: _ask_second, Grade.THIRD: _ask_third}
