"""Waste factors, as laid and as bought, what is lost where, and the habit of adding 10 %."""

from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import partial
from itertools import count
from random import Random

from cutopt.model.teaching import Answer, Grade, Kind, Question
from cutopt.model.words import Block, Line
from cutopt.teach.topics._ledger import HABIT, Case, Cut, cut_table, explain
from cutopt.teach.topics._numbers import percent, percent_slips, plain, tenths
from cutopt.teach.topics._parts import Parts, slips
from cutopt.teach.topics._rows import plank_length
from cutopt.teach.topics._tape import drawn, given, grain, shown, size, step, steps
from cutopt.units import Ticks, Unit

__all__ = ["Case", "Cut", "exercise", "explain", "solve"]


def exercise(random: Random, grade: Grade, unit: Unit) -> Parts:
    """Return an exercise on waste factors."""
    case = _third(random, unit) if grade is Grade.THIRD else _cut(random, grade, unit)
    questions, working = _ASKED[grade](case, unit)
    return Parts(
        title="Waste factor",
        given=_given(case, unit),
        questions=questions,
        working=steps(*working),
        solve=partial(solve, case),
    )


def _cut(random: Random, grade: Grade, unit: Unit) -> Case:
    """Return planks cut to pieces; above the first grade some offcuts are kept and some are scrap."""
    plank, grid = plank_length(random, unit), step(grade, unit)
    least = size(*random.choice(((6, 150), (8, 200), (10, 250))), unit)
    kerf = 0 if grade is Grade.FIRST else grain(unit) * (3 if unit.is_metric else 2)
    scrap = drawn(random, grid, least - 2 * kerf - grid, grid)
    keep = drawn(random, least, plank // 2 - kerf, grid)
    last = drawn(random, least, min(plank // 2, plank - least - scrap - 2 * kerf), grid)
    cuts = (
        Cut(planks=random.randint(4, 12), pieces=(last, plank - last - scrap - 2 * kerf)),
        Cut(planks=random.randint(4, 12), pieces=(plank - keep - kerf,)),
    )
    return Case(
        grade=grade,
        plank=plank,
        whole=random.randint(20, 90),
        cuts=cuts[:1] if grade is Grade.FIRST else cuts,
        kerf=kerf,
        least=least,
        per_box=random.randint(5, 12),
    )


def _third(random: Random, unit: Unit) -> Case:
    """Return planks some of which are spoiled; the habit buys too few as often as not."""
    enough = random.random() < 1 / 2
    while True:
        case = replace(_cut(random, Grade.THIRD, unit), spoiled=random.randint(1, 4))
        if (case.habit * case.per_box >= case.opened) is enough and case.bought > case.opened:
            return case


def _given(case: Case, unit: Unit) -> tuple[Block, ...]:
    kerf = f"the saw takes {shown(case.kerf, unit)} with each cut" if case.kerf else "cuts take nothing away"
    rows = [
        ("Planks", f"{shown(case.plank, unit)} long, all equally wide; {kerf}"),
        ("Box", f"{case.per_box} planks; as many boxes were bought as had to be opened"),
    ]
    if case.grade is Grade.SECOND:
        rows[1] = ("Minimum piece", f"{shown(case.least, unit)}; shorter offcuts are scrap, others are kept")
    return (given(*rows), Line(), cut_table(case, unit))


def _tenths(asks: str, answer: int, wrong: tuple[tuple[Answer, str], ...]) -> Question:
    return Question(asks=f"{asks} (To 0.1 %.)", kind=Kind.PERCENT, answer=answer, grain=10, wrong=wrong)


def _ask_laid(case: Case) -> Question:
    waste, opened = case.over(case.opened), case.opened * case.plank
    fresh = case.opened - case.spoiled
    return _tenths(
        "What is the waste factor as laid: planks opened over the net floor, less 1?",
        tenths(waste),
        percent_slips(
            tenths(waste),
            (
                1 - Fraction(case.net, opened),
                "that is the share of what was opened; the floor is the hundred percent",
            ),
            (case.over(case.bought), "that is as bought: here count what was opened"),
            (case.over(fresh), "the spoiled planks were opened as well"),
            (case.over(case.opened) + 1, "take 1, the floor itself, off"),
        ),
    )


def _ask_bought(case: Case) -> Question:
    waste = case.over(case.bought)
    return _tenths(
        "And as bought: all planks of the boxes over the net floor, less 1?",
        tenths(waste),
        percent_slips(
            tenths(waste),
            (case.over(case.opened), "that is as laid: count whole boxes here"),
            (
                1 - Fraction(case.net, case.bought * case.plank),
                "that is the share of what was bought; the floor is the hundred percent",
            ),
        ),
    )


def _told_laid(case: Case, unit: Unit) -> str:
    return (
        f"As laid: {case.opened} x {shown(case.plank, unit)} / {shown(case.net, unit)} - 1 = "
        f"{percent(case.over(case.opened))}."
    )


def _told_bought(case: Case, unit: Unit) -> str:
    return (
        f"Boxes: {case.opened} / {case.per_box}, rounded up: {case.boxes}, with {case.bought} planks. As bought: "
        f"{case.bought} x {shown(case.plank, unit)} / {shown(case.net, unit)} - 1 = {percent(case.over(case.bought))}."
    )


def _told_net(case: Case, unit: Unit) -> str:
    parts = [f"{case.whole} x {shown(case.plank, unit)}"]
    parts += [f"{cut.planks} x {shown(sum(cut.pieces), unit)}" for cut in case.cuts]
    return f"Laid end to end: {' + '.join(parts)} = {shown(case.net, unit)}."


def _ask_first(case: Case, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    lost = case.offcuts(kept=False)
    return (
        (
            Question(
                asks="How many planks were opened?",
                kind=Kind.COUNT,
                answer=case.opened,
                wrong=slips(case.opened, (case.whole, "the planks that were cut were opened as well")),
            ),
            Question(
                asks="How long are all offcuts together?",
                kind=Kind.LENGTH,
                answer=lost,
                wrong=slips(lost, (case.rest(case.cuts[0]), "that is the offcut of one plank")),
            ),
            _ask_laid(case),
            _ask_bought(case),
        ),
        (
            f"Opened: {case.whole} + {case.cuts[0].planks} = {case.opened}.",
            (
                f"Left of each cut plank: {shown(case.plank, unit)} - {shown(sum(case.cuts[0].pieces), unit)} = "
                f"{shown(case.rest(case.cuts[0]), unit)}; {case.cuts[0].planks} times: {shown(lost, unit)}."
            ),
            _told_net(case, unit),
            _told_laid(case, unit),
            _told_bought(case, unit),
        ),
    )


def _ask_second(case: Case, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    scrap, kept = case.offcuts(kept=False), case.offcuts(kept=True)
    per_plank = case.kerf * sum(cut.planks for cut in case.cuts)
    share = Fraction(scrap, case.net)
    return (
        (
            Question(
                asks="How much did the saw take, end to end?",
                kind=Kind.LENGTH,
                answer=case.sawn,
                wrong=slips(
                    case.sawn, (per_plank, "a plank that is cut into two pieces and an offcut takes two cuts")
                ),
            ),
            _ask_offcuts(
                "How much is scrap: offcuts shorter than the minimum piece?", scrap, case, kept=False
            ),
            _ask_offcuts("How much are the offcuts that are kept?", kept, case, kept=True),
            _ask_laid(case),
            _tenths(
                "How much of that, in percent of the net floor, is scrap?",
                tenths(share),
                percent_slips(
                    tenths(share),
                    (
                        Fraction(scrap + kept, case.net),
                        "that is all offcuts; some are long enough to be kept",
                    ),
                    (
                        Fraction(scrap, case.opened * case.plank),
                        "that is the share of what was opened; the floor is the hundred percent",
                    ),
                    (Fraction(kept, case.net), "those are the offcuts that are kept"),
                ),
            ),
        ),
        (
            (
                f"Cuts, one for each piece: {' + '.join(f'{cut.planks} x {len(cut.pieces)}' for cut in case.cuts)}; "
                f"each takes {shown(case.kerf, unit)}: {shown(case.sawn, unit)}."
            ),
            *(_told_rest(cut, case, unit) for cut in case.cuts),
            _told_net(case, unit),
            _told_laid(case, unit),
            (
                f"Scrap: {shown(scrap, unit)} / {shown(case.net, unit)} = {percent(share)}. Saw, scrap and kept offcuts "
                f"together are what was opened and not laid: {shown(case.opened * case.plank - case.net, unit)}."
            ),
        ),
    )


def _ask_offcuts(asks: str, answer: Ticks, case: Case, *, kept: bool) -> Question:
    no_saw = sum(
        cut.planks * (case.plank - sum(cut.pieces))
        for cut in case.cuts
        if (case.rest(cut) >= case.least) is kept
    )
    one = sum(case.rest(cut) for cut in case.cuts if (case.rest(cut) >= case.least) is kept)
    return Question(
        asks=asks,
        kind=Kind.LENGTH,
        answer=answer,
        wrong=slips(
            answer,
            (no_saw, "the kerf is forgotten: the saw takes its part of every plank"),
            (one, "that is the offcut of one plank"),
            (case.offcuts(kept=not kept), "those are the others: compare with the minimum piece"),
        ),
    )


def _told_rest(cut: Cut, case: Case, unit: Unit) -> str:
    rest = case.rest(cut)
    return (
        f"Left of a plank cut into {len(cut.pieces)}: {shown(case.plank, unit)} - {shown(sum(cut.pieces), unit)} - "
        f"{len(cut.pieces)} x {shown(case.kerf, unit)} = {shown(rest, unit)}, "
        f"{'kept' if rest >= case.least else 'scrap'}; {cut.planks} times: {shown(cut.planks * rest, unit)}."
    )


def _ask_third(case: Case, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    unopened = Fraction((case.bought - case.opened) * case.plank, case.net)
    enough = "yes" if case.habit * case.per_box >= case.opened else "no"
    tenth = Fraction(case.net, case.plank) * (1 + HABIT)
    return (
        (
            _ask_laid(case),
            _ask_bought(case),
            _tenths(
                "How much of that, in percent of the net floor, lies in planks never opened?",
                tenths(unopened),
                percent_slips(
                    tenths(unopened),
                    (
                        Fraction(case.bought - case.opened, case.bought),
                        "that is the share of what was bought; the floor is the hundred percent",
                    ),
                ),
            ),
            Question(
                asks="Somebody adds 10 % to the net floor and buys that in boxes. How many?",
                kind=Kind.COUNT,
                answer=case.habit,
                wrong=slips(
                    case.habit,
                    (int(tenth / case.per_box), "a part of a box cannot be bought: round up"),
                    (
                        -(-case.opened * 11 // (10 * case.per_box)),
                        "that adds 10 % to what was opened; the habit adds it to the floor",
                    ),
                    (case.boxes, "those are the boxes that were bought"),
                ),
            ),
            Question(
                asks="Would those boxes have been enough for the planks that were opened?",
                kind=Kind.CHOICE,
                answer=enough,
                choices=("yes", "no"),
            ),
        ),
        (
            f"Opened, spoiled ones too: {case.opened}.",
            _told_net(case, unit),
            _told_laid(case, unit),
            _told_bought(case, unit),
            (
                f"Never opened: {case.bought} - {case.opened} = {case.bought - case.opened} planks, "
                f"{shown((case.bought - case.opened) * case.plank, unit)} of {shown(case.net, unit)}: {percent(unopened)}."
            ),
            (
                f"The habit: {shown(case.net, unit)} x 1.1 / {shown(case.plank, unit)} = {plain(tenth)} planks, in boxes "
                f"of {case.per_box} rounded up: {case.habit}. Those hold {case.habit * case.per_box} planks, "
                f"{case.opened} were opened: {enough}."
            ),
        ),
    )


_ASKED = {Grade.FIRST: _ask_first, Grade.SECOND: _ask_second, Grade.THIRD: _ask_third}


def solve(case: Case) -> tuple[Answer, ...]:
    """Return the answers by sawing plank after plank and putting every part on its heap."""
    laid, sawn, scrap, kept = _heaps(case)
    opened = case.spoiled + case.whole + sum(1 for cut in case.cuts for _ in range(cut.planks))
    boxes = next(boxes for boxes in count() if boxes * case.per_box >= opened)
    bought = boxes * case.per_box
    waste = _told_to_tenths(opened * case.plank - laid, laid)
    if case.grade is Grade.FIRST:
        return opened, scrap, waste, _told_to_tenths(bought * case.plank - laid, laid)
    if case.grade is Grade.SECOND:
        return sawn, scrap, kept, waste, _told_to_tenths(scrap, laid)
    habit = next(boxes for boxes in count() if 10 * boxes * case.per_box * case.plank >= 11 * laid)
    return (
        waste,
        _told_to_tenths(bought * case.plank - laid, laid),
        _told_to_tenths((bought - opened) * case.plank, laid),
        habit,
        "no" if habit * case.per_box < opened else "yes",
    )


def _heaps(case: Case) -> tuple[Ticks, Ticks, Ticks, Ticks]:
    """Return what is laid, sawn away, scrap and kept."""
    laid, sawn, scrap, kept = case.whole * case.plank, 0, 0, 0
    for cut in case.cuts:
        for _ in range(cut.planks):
            left = case.plank
            for piece in cut.pieces:
                left -= piece + case.kerf
                laid, sawn = laid + piece, sawn + case.kerf
            scrap, kept = (scrap + left, kept) if left < case.least else (scrap, kept + left)
    return laid, sawn, scrap, kept


def _told_to_tenths(part: Ticks, whole: Ticks) -> int:
    return int((Decimal(part) * 10**3 / whole).quantize(Decimal(1), ROUND_HALF_UP)) * 10
