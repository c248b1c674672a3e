"""Exercises on hands, sharing, rips, boxes and waste: proven by a second route, and by published examples."""

from dataclasses import replace

import pytest

from cutopt.errors import OurBugError
from cutopt.model.plan import Keeps
from cutopt.model.teaching import Grade, Kind, Mark, Topic
from cutopt.sheet import printed
from cutopt.teach import class_set, exercise_blocks, explain, key_blocks, make, mark
from cutopt.teach._answers import written
from cutopt.teach.topics import (
    _boxes,
    _edges,
    _handed,
    _hands,
    _numbers,
    _orders,
    _pairs,
    _rips,
    _sharing,
    _waste,
)
from cutopt.units import Unit, parse_length

OURS = (Topic.HANDS, Topic.SHARING, Topic.RIPS, Topic.BOXES, Topic.WASTE)
UNITS = tuple(Unit)
GRADES = tuple(Grade)


def inches(text: str) -> int:
    return parse_length(text, Unit.IN)


def spread(topic, seeds):
    """Yield exercises over all grades and units; making one solves it by the topic's other route."""
    for seed in range(seeds):
        yield make(topic, GRADES[seed % 3], seed, UNITS[seed // 3 % 5])


@pytest.mark.parametrize("topic", OURS)
def test_a_thousand_exercises_have_exactly_the_answers_they_state_and_slips_are_wrong(topic):
    told = {}
    for exercise in spread(topic, 1000):
        finest = 320 if exercise.unit.is_metric else 8128 // 16
        stated = [written(one.answer, one.kind, exercise.unit) for one in exercise.questions]
        assert all(one.mark is Mark.RIGHT for one in mark(exercise, stated)), exercise
        for nth, question in enumerate(exercise.questions):
            assert question.kind is not Kind.LENGTH or question.answer % finest == 0
            if question.kind is Kind.CHOICE:
                told.setdefault((exercise.grade, nth, question.choices), set()).add(question.answer)
            alone = replace(exercise, questions=(question,))
            for wrong, reason in question.wrong:
                (judged,) = mark(alone, [written(wrong, question.kind, exercise.unit)])
                assert (judged.mark, judged.reason) == (Mark.WRONG, reason)
    assert all(answers == set(choices) for (_, _, choices), answers in told.items())


@pytest.mark.parametrize(
    ("topic", "reasons"),
    [
        (
            Topic.HANDS,
            ("wrong hand", "not all of them are long enough", "cut at both ends", "without turning"),
        ),
        (Topic.SHARING, ("kerf is forgotten", "wrong hand", "any row's", "turned round", "two cuts")),
        (
            Topic.RIPS,
            ("gaps are forgotten", "kerf is forgotten", "gap at both walls", "less than half a plank"),
        ),
        (
            Topic.BOXES,
            (
                "rounded twice",
                "binary fractions",
                "grossed up",
                "that adds",
                "spare planks are forgotten",
                "round up",
            ),
        ),
        (
            Topic.WASTE,
            ("share of what was opened", "whole boxes", "kerf is forgotten", "adds it to the floor"),
        ),
    ],
)
def test_the_usual_slips_are_known(topic, reasons):
    known = {reason for sheet in spread(topic, 150) for asked in sheet.questions for _, reason in asked.wrong}
    assert [one for one in reasons if not any(one in reason for reason in known)] == []


# Published examples, given to the solvers.


def by_area(floor: int, percent: int, plank: int, per_box: int = 1) -> tuple:
    case = _orders.ByArea(floor=floor, percent=percent, plank=plank, per_box=per_box)
    found = _boxes.solve(case)
    assert found[2] == _orders.boxes_of(case)
    return found


def test_a_floor_of_66_m2_takes_46_boxes():
    # University of Waterloo, CEMC Problem of the Week B 2023-24, "Jafar's New Floor":
    # planks of 0.2 m2, 8 a box, 10 % more: 330 planks, 363 with waste, 45.375 so 46 boxes.
    assert by_area(6600, 10, 20, 8) == (330, 363, 46)


def test_a_fifth_for_waste_is_345_6_sq_ft_added_and_360_grossed_up():
    # Oak floor of 16 x 18 ft, "allow 1/5 for matching and waste" (allexperts.com, answer to a textbook's problem):
    # 345.6 sq ft where a fifth is added to the area, 360 where a fifth of what is bought is lost.
    assert by_area(28800, 20, 10)[1] == 3456
    lost = _orders.ByPlanks(rooms=(16 * 18,), spare=0, culls=20, per_box=1)
    assert _boxes.solve(lost)[0] == 360
    assert lost.bought == 360


@pytest.mark.parametrize(
    ("floor", "percent", "pack", "packs"),
    [
        (20_000, 10, 1243, 18),  # builderstips.blogspot.com: 5 x 4 m, 10 %, packs of 1.243 m2: 17.7, 18 packs
        (
            120_00,
            10,
            24_00,
            6,
        ),  # a retailer's measuring guide: 10 x 12 ft, 10 %, boxes of 24 sq ft: 5.5, 6 boxes
        (876_0, 0, 17_6, 50),  # a retailer's help page: 876 sq ft in cartons of 17.6: 49.77, 50 cartons
        (
            18_0,
            10,
            24_5,
            1,
        ),  # Syracuse University, an IST256 exercise: 3 x 6 ft, 10 %, boxes of 24.5 sq ft: 1
    ],
)
def test_published_packs(floor, percent, pack, packs):
    assert by_area(floor, percent, pack)[2] == packs


def rips(room: str, width: str, gap: str, **more) -> _edges.Case:
    kerf, first = inches(more.get("kerf", "0")), inches(more.get("first", "1"))
    return _edges.Case(
        grade=more.get("grade", Grade.SECOND),
        room=inches(room),
        gap=inches(gap),
        width=inches(width),
        least=inches("1"),
        kerf=kerf,
        first=first,
        step=inches("1/16"),
    )


def test_boards_of_4_in_with_1_in_over_are_ripped_to_2_and_a_half_and_share_none():
    # verydays.com: 1/4 in lines at both walls, 4 in boards, 1 in left over: (4 + 1) / 2 = 2-1/2 in at each edge.
    case = rips("49-1/2", "4", "1/4", first="2-1/2", kerf="1/8")
    assert _rips.solve(case) == (inches("1"), inches("2-1/2"), 11, inches("2-1/2"), "no")
    assert _edges.even_edges(case) == inches("2-1/2")


@pytest.mark.parametrize(("kerf", "shared"), [("1/8", "yes"), ("1", "yes"), ("1-1/16", "no")])
def test_3_in_over_can_be_two_strips_of_one_board_of_4_in_where_the_cut_fits_in_too(kerf, shared):
    # The same boards with 3 in over, not 1: 1-1/2 in at each edge, 3 in of 4 in, and what the saw takes.
    case = rips("47", "4", "0", first="1-1/2", kerf=kerf)
    assert _rips.solve(case)[3:] == (inches("1-1/2"), shared)


def test_a_room_of_141_in_is_balanced():
    # By division: 141 in less two gaps of 1/4 in is 140-1/2: 20 rows of 7 in and 1/2 in, or 3-3/4 + 19 x 7 + 3-3/4.
    assert _rips.solve(rips("141", "7", "1/4"))[:3] == (inches("1/2"), inches("3-3/4"), 19)
    assert _rips.solve(rips("147", "7", "1/4", grade=Grade.FIRST)) == (
        inches("146-1/2"),
        20,
        inches("6-1/2"),
        "yes",
    )


def test_adding_10_percent_in_binary_fractions_buys_a_box_too_many():
    assert by_area(220_00, 10, 22_00)[2] == 11
    assert _numbers.by_float(220_00, 10, 22_00) == 12
    for unit, floor in ((Unit.IN, "220 sq ft"), (Unit.MM, "24 m2")):
        text = " ".join(" ".join(printed(explain("boxes", unit))).split())
        assert f"{floor} and 10 %" in text
        assert "11 boxes exactly. A program that counts in binary fractions makes it 12" in text


# Figures worked out by hand.


def hands(*, from_left: bool, grade: Grade = Grade.FIRST, **wanted) -> _handed.Case:
    kept = {1: ("30", Keeps.LEFT), 2: ("20", Keeps.RIGHT), 3: ("26", Keeps.NONE), 5: ("12", Keeps.RIGHT)}
    return _handed.Case(
        grade=grade,
        from_left=from_left,
        offcuts=tuple(
            _handed.Offcut(row=row, length=inches(length), keeps=keeps)
            for row, (length, keeps) in kept.items()
        ),
        **{name: tuple(map(inches, pieces)) for name, pieces in wanted.items()},
    )


def test_laid_left_to_right_left_parts_end_rows_and_right_parts_start_them():
    assert _hands.solve(hands(from_left=True)) == ("left", (2, 5), (1,))
    assert _hands.solve(hands(from_left=False)) == ("right", (1,), (2, 5))


def test_offcuts_of_the_wrong_hand_are_no_help_unless_planks_may_be_turned():
    case = hands(from_left=True, grade=Grade.THIRD, starters=("25", "15"), ends=("40", "35"))
    assert _hands.solve(case) == (1, 0, 2, (1, 3, 5))


def sharing(grade: Grade, firsts: str, lasts: str, **more) -> _pairs.Case:
    ends = [tuple(map(inches, pieces.split())) for pieces in (firsts, lasts)]
    return _pairs.Case(
        grade=grade, plank=inches("48"), kerf=inches("1/8"), firsts=ends[0], lasts=ends[1], **more
    )


def test_one_plank_serves_both_ends_of_a_row_of_143_and_a_half_inches():
    # 144 in room, 1/4 in gaps, 48 in planks, 1/8 in kerf: the two ends are 47-1/2 in together.
    case = sharing(Grade.FIRST, "20", "", row=inches("143-1/2"), closet=inches("16"))
    # Three closet rows of 16 in are 48 in without the cuts between them: two come from a plank.
    assert _sharing.solve(case) == (inches("27-1/2"), "yes", 3, 2)


def test_pairs_share_where_the_cut_fits_in_and_their_hand_allows_it():
    case = sharing(Grade.SECOND, "30 12 13", "18 17-7/8 40")
    # 30 + 18 is a whole plank without the cut; 30 + 17-7/8 + 1/8 just fits, and nothing is left.
    assert _sharing.solve(case) == ((2,), 0, "no", 4)
    assert _sharing.solve(replace(case, turns=True)) == ((2,), 0, "yes", 4)


def test_the_chain_opens_more_planks_than_the_best_pairs():
    case = sharing(Grade.THIRD, "40 30 20 10", "36 26 16 20")
    # Chain: 36+30, 26+20 (fits), 16+10 (fits). Pairs: 30+16, 20+26, 10+36. Turned: 10+36, 16+30, 20+26 (and 20, 40).
    pieces, cuts = 40 + 30 + 20 + 10 + 36 + 26 + 16 + 20, 8
    left = inches(str(5 * 48 - pieces - cuts // 8))
    assert _sharing.solve(case) == (6, 5, left, 5)


def test_waste_of_a_floor_of_30_planks():
    cuts = (
        _waste.Cut(planks=6, pieces=(inches("30"), inches("12"))),
        _waste.Cut(planks=5, pieces=(inches("34"),)),
    )
    case = _waste.Case(
        grade=Grade.SECOND,
        plank=inches("48"),
        whole=18,
        cuts=cuts,
        kerf=inches("1/8"),
        least=inches("8"),
        per_box=8,
    )
    # 29 x 48 = 1392 in opened, 18 x 48 + 6 x 42 + 5 x 34 = 1286 in laid; 17 cuts; 6 x 5-3/4 in scrap, 5 x 13-7/8 kept.
    assert _waste.solve(case) == (inches("2-1/8"), inches("34-1/2"), inches("69-3/8"), 820, 270)
    spoiled = replace(case, grade=Grade.THIRD, spoiled=1)
    # 1440 / 1286, 1536 / 1286, 96 / 1286; 1286 x 1.1 / 48 = 29.47 planks, 4 boxes.
    assert _waste.solve(spoiled) == (1200, 1940, 750, 4, "yes")


# Sheets and explanations.


def fits(blocks):
    lines = printed(blocks)
    assert all(line.isascii() and len(line) <= 80 for line in lines), lines
    return "\n".join(lines)


@pytest.mark.parametrize("topic", OURS)
def test_sheets_fit_the_terminal_and_the_learner_is_not_told(topic):
    for exercise in spread(topic, 45):
        assert "Answer" not in fits(exercise_blocks(exercise))
        assert fits(key_blocks(exercise)).count("Answer: ") == len(exercise.questions)


@pytest.mark.parametrize("topic", OURS)
def test_a_class_set_has_no_two_alike(topic):
    for grade in GRADES:
        sheets = class_set(topic, grade, 7, 20, Unit.IN)
        assert len({(sheet.given, sheet.questions) for sheet in sheets}) == 20


@pytest.mark.parametrize(
    ("topic", "inch", "metric"),
    [
        (Topic.HANDS, '27-7/8"', "717 mm"),
        (Topic.SHARING, "6 pieces less 3 pairs = 3", "54 mm"),
        (Topic.RIPS, '(1/2" + 7") / 2 = 3-3/4"', "(178 mm + 180 mm) / 2 = 179 mm"),
        (Topic.BOXES, "rounded up once: 21", "come to 22 boxes"),
        (Topic.WASTE, "less 1: 12.0 %", "less 1: 12.2 %"),
    ],
)
def test_every_topic_is_explained_with_figures_and_sources(topic, inch, metric):
    for unit in UNITS:
        text = fits(explain(topic, unit))
        assert "Sources:" in text
    assert inch in " ".join(fits(explain(topic, Unit.IN)).split())
    assert metric in " ".join(fits(explain(topic, Unit.MM)).split())


# A topic that works its answers out wrongly is caught by its solver.


@pytest.mark.parametrize(
    ("topic", "module", "name", "slip"),
    [
        (Topic.SHARING, _sharing, "shares", lambda one, other, case: one + other <= case.plank),
        (Topic.SHARING, _sharing, "left_over", lambda one, other, case: case.plank - one - other),
        (Topic.HANDS, _hands, "start_hand", _handed.end_hand),
        (Topic.HANDS, _hands, "most", lambda wanted, lengths: min(len(wanted), len(lengths))),
        (Topic.RIPS, _rips, "even_edges", lambda case: case.clear % case.width // 2),
        (Topic.RIPS, _rips, "widest_first", lambda case: case.width),
        (Topic.BOXES, _boxes, "boxes_of", lambda order: int(order.bought / order.per_box)),
        (Topic.WASTE, _waste, "tenths", lambda share: int(share / (1 + share) * 1000) * 10),
    ],
)
def test_wrong_working_is_refused(monkeypatch, topic, module, name, slip):
    monkeypatch.setattr(module, name, slip)
    with pytest.raises(OurBugError):
        list(spread(topic, 60))
