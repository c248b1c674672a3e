"""Ordering boxes: planks, culls and spare, rounded up once; and the same by area with a percentage."""

from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import partial
from itertools import count
from math import ceil
from random import Random

from cutopt.model.teaching import Answer, Grade, Kind, Question
from cutopt.model.words import Block
from cutopt.teach.topics._numbers import area, by_float, plain
from cutopt.teach.topics._orders import (
    ByArea,
    ByPlanks,
    boxes_added,
    boxes_apart,
    boxes_of,
    boxes_twice,
    explain,
    told_boxes,
)
from cutopt.teach.topics._parts import Parts, slips
from cutopt.teach.topics._tape import given, steps
from cutopt.units import Unit

__all__ = ["ByArea", "ByPlanks", "exercise", "explain", "solve"]

_PERCENTS = (5, 7, 8, 10, 12, 15)


def exercise(random: Random, grade: Grade, unit: Unit) -> Parts:
    """Return an exercise on ordering boxes."""
    if grade is Grade.SECOND:
        floor = _floor(random, unit)
        return _parts(_given_area(floor, unit), _ask_area(floor, unit), floor)
    order = _order(random, grade)
    return _parts(_given_planks(order), (_ask_plain if grade is Grade.FIRST else _ask_culls)(order), order)


def _parts(
    told: Block, asked: tuple[tuple[Question, ...], tuple[str, ...]], case: ByPlanks | ByArea
) -> Parts:
    questions, working = asked
    return Parts(
        title="Ordering boxes",
        given=(told,),
        questions=questions,
        working=steps(*working),
        solve=partial(solve, case),
    )


def _order(random: Random, grade: Grade) -> ByPlanks:
    """Return an order; with culls, one in which rounding apart or adding the percent is paid for, two times in three."""
    telling = random.random() < 2 / 3
    while True:
        rooms = 1 if grade is Grade.FIRST else 2
        order = ByPlanks(
            rooms=tuple(random.randint(35, 240) for _ in range(rooms)),
            spare=random.randint(2, 9),
            culls=0 if grade is Grade.FIRST else random.choice(_PERCENTS),
            per_box=random.randint(5, 12),
        )
        boxes = boxes_of(order)
        if not telling or boxes not in (
            (boxes_apart(order),) if rooms == 1 else (boxes_apart(order), boxes_added(order))
        ):
            return order


def _floor(random: Random, unit: Unit) -> ByArea:
    """Return a floor; one time in three its boxes come out even, where binary fractions buy one more."""
    even = random.random() < 1 / 3
    while True:
        plank = random.choice((20, 21, 22, 24, 25, 36) if unit.is_metric else (200, 225, 240, 250, 300, 400))
        percent, per_box = random.choice((5, 10, 15)), random.randint(6, 12)
        size = random.randint(90, 700) * 10 if unit.is_metric else random.randint(100, 700) * 100
        if even:
            size = plank * per_box * random.randint(5, 40) * 100 // (100 + percent)
        floor = ByArea(floor=size, percent=percent, plank=plank, per_box=per_box)
        if _by_float(floor) > boxes_of(floor) if even else random.random() < 1 / 2 or _slips(floor):
            return floor


def _by_float(floor: ByArea) -> int:
    return by_float(floor.floor, floor.percent, floor.plank * floor.per_box)


def _slips(floor: ByArea) -> bool:
    """Say whether rounding twice is paid for."""
    return boxes_of(floor) != boxes_twice(floor)


def _given_planks(order: ByPlanks) -> Block:
    rooms = " and ".join(f"{room}" for room in order.rooms)
    rows = [("Planks to lay", f"{rooms}{', in two rooms of one order' if len(order.rooms) > 1 else ''}")]
    if order.culls:
        rows.append(
            (
                "Culls",
                f"{order.culls} % of the planks bought are put aside; the spare ones come on top, good ones",
            )
        )
    return given(*rows, ("Spare", f"{order.spare} planks"), ("Box", f"{order.per_box} planks"))


def _given_area(floor: ByArea, unit: Unit) -> Block:
    return given(
        ("Floor", f"{area(floor.floor, unit)} net"),
        ("Added", f"{floor.percent} % of the floor, for waste and all"),
        ("Planks", f"{area(floor.plank, unit)} each"),
        ("Box", f"{floor.per_box} planks"),
    )


def _ask_plain(order: ByPlanks) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    boxes, planks = boxes_of(order), order.laid + order.spare
    over, whole = boxes * order.per_box - order.laid, boxes - ceil(Fraction(order.laid, order.per_box))
    return (
        (
            Question(
                asks="How many planks are to be bought?",
                kind=Kind.COUNT,
                answer=planks,
                wrong=slips(planks, (order.laid, "the spare planks are forgotten")),
            ),
            _ask_boxes(
                boxes,
                (planks // order.per_box, "a part of a box cannot be bought: round up"),
                (boxes_apart(order), "rounded twice: add the spare planks before rounding up to boxes"),
                (ceil(Fraction(order.laid, order.per_box)), "the spare planks are forgotten"),
            ),
            Question(
                asks="How many planks are over when the floor is laid, with the spare ones?",
                kind=Kind.COUNT,
                answer=over,
                wrong=slips(
                    over, (over - order.spare, "the spare planks are over as well"), (order.spare, _FULL)
                ),
            ),
            _ask_unopened(whole, over // order.per_box + 1),
        ),
        (
            f"{order.laid} + {order.spare} = {planks} planks.",
            told_boxes(planks, order.per_box, boxes),
            f"{boxes} x {order.per_box} - {order.laid} = {over} planks are over.",
            _told_unopened(order, boxes),
        ),
    )


_FULL = "whole boxes are bought, so there are more over than the spare ones"


def _ask_boxes(boxes: int, *wrong: tuple[Answer, str]) -> Question:
    return Question(
        asks="How many boxes are to be bought?", kind=Kind.COUNT, answer=boxes, wrong=slips(boxes, *wrong)
    )


def _ask_unopened(whole: int, rounded: int) -> Question:
    return Question(
        asks="No plank turns out bad, and one box is opened after the other. How many boxes are never opened?",
        kind=Kind.COUNT,
        answer=whole,
        wrong=slips(whole, (rounded, "a box that a plank has been taken of is opened")),
    )


def _told_unopened(order: ByPlanks, boxes: int) -> str:
    opened = ceil(Fraction(order.laid, order.per_box))
    return (
        f"The floor opens {order.laid} / {order.per_box} = {plain(Fraction(order.laid, order.per_box))}, rounded up: "
        f"{opened} boxes; {boxes} - {opened} = {boxes - opened} stay shut."
    )


def _ask_area(floor: ByArea, unit: Unit) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    net, planks, boxes = ceil(floor.planks), ceil(floor.bought), boxes_of(floor)
    wanted = Fraction(floor.floor * (100 + floor.percent), 100)
    box, gross = floor.plank * floor.per_box, 100 - floor.percent
    return (
        (
            Question(
                asks="How many planks cover the net floor, rounded up?",
                kind=Kind.COUNT,
                answer=net,
                wrong=slips(net, (int(floor.planks), "round up: the floor is to be covered")),
            ),
            Question(
                asks="How many planks are it with the percentage, rounded up once?",
                kind=Kind.COUNT,
                answer=planks,
                wrong=slips(
                    planks,
                    (ceil(Fraction(net * (100 + floor.percent), 100)), "rounded twice: go back to the area"),
                    (
                        ceil(floor.planks * 100 / gross),
                        "that is grossed up: divided by what is left of 100 %",
                    ),
                ),
            ),
            _ask_boxes(
                boxes,
                (boxes_twice(floor), "rounded twice: add the percentage before rounding up to boxes"),
                (_by_float(floor), _FLOAT),
                (ceil(floor.planks / floor.per_box), "the percentage is forgotten"),
                (int(floor.bought / floor.per_box), "a part of a box cannot be bought: round up"),
                (ceil(floor.planks * 100 / gross / floor.per_box), "that is grossed up, not added"),
            ),
        ),
        (
            f"{area(floor.floor, unit)} / {area(floor.plank, unit)} = {plain(floor.planks)}, rounded up: {net} planks.",
            (
                f"With {floor.percent} %: {plain(wanted / 100)} / {plain(Fraction(floor.plank, 100))} = {plain(floor.bought)}, "
                f"rounded up: {planks} planks."
            ),
            f"A box covers {floor.per_box} x {area(floor.plank, unit)} = {area(box, unit)}.",
            (
                f"In boxes: {plain(wanted / 100)} / {plain(Fraction(box, 100))} = {plain(floor.bought / floor.per_box)}, "
                f"rounded up once: {boxes}."
            ),
        ),
    )


_FLOAT = "it comes out even here; a computer that counts in binary fractions ends a hair above and rounds up"


def _ask_culls(order: ByPlanks) -> tuple[tuple[Question, ...], tuple[str, ...]]:
    good, boxes = ceil(order.bought - order.spare), boxes_of(order)
    added = ceil(Fraction(order.laid * (100 + order.culls), 100))
    whole = boxes - ceil(Fraction(order.laid, order.per_box))
    return (
        (
            Question(
                asks="How many planks are to be bought so that enough are left to lay when the culls are out, rounded up "
                "(both rooms together, without spare)?",
                kind=Kind.COUNT,
                answer=good,
                wrong=slips(
                    good,
                    (
                        added,
                        (
                            f"that adds {order.culls} %; the culls are {order.culls} % of what is bought, so divide by "
                            f"{plain(Fraction(100 - order.culls, 100))}"
                        ),
                    ),
                    (
                        sum(ceil(Fraction(100 * room, 100 - order.culls)) for room in order.rooms),
                        "rounded twice: add the rooms first",
                    ),
                    (order.laid, "the culls are forgotten"),
                ),
            ),
            _ask_boxes(
                boxes,
                (boxes_apart(order), "rounded twice: rooms and spare planks are one order, rounded up once"),
                (boxes_added(order), "that adds the culls' percent; they are a share of what is bought"),
                (int(order.bought / order.per_box), "a part of a box cannot be bought: round up"),
                (ceil((order.bought - order.spare) / order.per_box), "the spare planks are forgotten"),
            ),
            Question(
                asks="How many would it be with every room, and the spare planks, rounded up to boxes by themselves?",
                kind=Kind.COUNT,
                answer=boxes_apart(order),
                wrong=slips(boxes_apart(order), (boxes, "that is all of it rounded up once")),
            ),
            _ask_unopened(whole, (boxes * order.per_box - order.laid) // order.per_box + 1),
        ),
        tuple(_work_culls(order, good, boxes)),
    )


def _work_culls(order: ByPlanks, good: int, boxes: int) -> Iterator[str]:
    share = plain(Fraction(100 - order.culls, 100))
    yield (
        f"Of the planks bought {order.culls} % are out, so {share} of them are laid: "
        f"({' + '.join(map(str, order.rooms))}) / {share} = {plain(order.bought - order.spare)}, rounded up: {good}."
    )
    yield f"With the spare ones, not rounded yet: {plain(order.bought)}."
    yield told_boxes(order.bought, order.per_box, boxes)
    parts = [Fraction(100 * room, 100 - order.culls) for room in order.rooms] + [Fraction(order.spare)]
    yield (
        "By themselves: "
        + " + ".join(f"{plain(part / order.per_box)} up to {ceil(part / order.per_box)}" for part in parts)
        + f" = {boxes_apart(order)}."
    )
    yield _told_unopened(order, boxes)


def solve(case: ByPlanks | ByArea) -> tuple[Answer, ...]:
    """Return the answers by buying one plank, or box, more until there are enough, in whole numbers."""
    if isinstance(case, ByArea):
        return (
            _least(lambda planks: planks * case.plank >= case.floor),
            _least(lambda planks: _covers(planks, case)),
            _least(lambda boxes: _covers(boxes * case.per_box, case)),
        )
    boxes = _least(lambda boxes: _enough(boxes * case.per_box - case.spare, case.laid, case.culls))
    unopened = boxes - _least(lambda opened: opened * case.per_box >= case.laid)
    if not case.culls:
        return case.laid + case.spare, boxes, boxes * case.per_box - case.laid, unopened
    alone = [_alone(room, case) for room in case.rooms]
    spare = _least(lambda boxes: boxes * case.per_box >= case.spare)
    return _least(lambda planks: _enough(planks, case.laid, case.culls)), boxes, sum(alone) + spare, unopened


def _least(enough: Callable[[int], bool]) -> int:
    return next(number for number in count() if enough(number))


def _enough(planks: int, wanted: int, culls: int) -> bool:
    return planks * (100 - culls) >= wanted * 100


def _covers(planks: int, floor: ByArea) -> bool:
    return planks * floor.plank * 100 >= floor.floor * (100 + floor.percent)


def _alone(room: int, case: ByPlanks) -> int:
    return _least(lambda boxes: _enough(boxes * case.per_box, room, case.culls))
