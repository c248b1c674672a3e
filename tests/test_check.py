"""The independent check: good plans pass, each wrong plan gives exactly the finding it deserves."""

from collections.abc import Callable

import pytest
from plan_documents import MM, NAMES, PLANS, Document, findings, load, piece, plank, row

from cutopt.check import Fault, Rule, check_plan
from cutopt.planfile import read_plan

Edit = Callable[[Document], None]


def faults(document: Document) -> list[Fault]:
    return [finding.fault for finding in findings(document)]


@pytest.mark.parametrize("name", NAMES)
def test_good_plan_passes(name):
    assert check_plan(read_plan(PLANS / f"{name}.json")) == ()


def test_every_shape_of_plan_is_stored():
    assert NAMES == ["half", "handed", "nested", "singles", "slanted", "square", "third", "two_runs"]


# One wrong plan for each fault. Where one change would break two things, the second is put right.


def row_numbers_jump(plan):
    row(plan, 4)["row"] = 5
    for nth, laid in enumerate(row(plan, 5)["pieces"], 1):
        old, laid["id"] = laid["id"], f"5.{nth}"
        listed = plank(plan, laid["plank"])["pieces"]
        listed[listed.index(old)] = laid["id"]


def run_numbers_jump(plan):
    row(plan, 2, 2)["run"] = 3
    for laid in row(plan, 2, 3)["pieces"]:
        old, laid["id"] = laid["id"], laid["id"].replace("b", "c")
        listed = plank(plan, laid["plank"])["pieces"]
        listed[listed.index(old)] = laid["id"]


def row_parted(plan):
    row(plan, 2, 2)["room"] = row(plan, 2, 2)["field"] = "Other"


def line_falls(plan):
    row(plan, 4)["line"] = 3
    row(plan, 4)["offset"] = 4000 * MM


def room_in_two_fields(plan):
    row(plan, 3)["field"] = "Elsewhere"


def ids_swapped(plan):
    first, second = piece(plan, "3.2"), piece(plan, "3.3")
    first["id"], second["id"] = "3.3", "3.2"
    plank(plan, first["plank"])["pieces"], plank(plan, second["plank"])["pieces"] = ["3.3"], ["3.2"]


def plank_zero(plan):
    piece(plan, "1.2")["plank"] = plank(plan, 2)["plank"] = 0


def run_longer(plan):
    row(plan, 1)["length"] += 1
    row(plan, 1)["area2"] = 2 * 3000 * MM * 200 * MM


def row_wider(plan):
    row(plan, 1)["width"] = 200 * MM + 1
    row(plan, 1)["area2"] = 2 * 3000 * MM * 200 * MM


def no_width(plan):
    row(plan, 1)["width"] = 0
    row(plan, 1)["area2"] = 2 * 3000 * MM * 200 * MM


def area_too_large(plan):
    row(plan, 1)["area2"] = 2 * 3000 * MM * 200 * MM + 1


def no_area(plan):
    row(plan, 2)["area2"] = 0
    row(plan, 1)["area2"] = 2 * 3000 * MM * 200 * MM
    plan["totals"] |= {"net_area_mm2": 1_800_000.0, "waste_factor_percent": 46.7}


def slant_unknown(plan):
    row(plan, 1)["left_slant"] = 30 * MM


def off_step(plan):
    piece(plan, "1.1")["length"] -= 1
    row(plan, 1)["length"] -= 1
    row(plan, 1)["offset"] += 1
    row(plan, 1)["area2"] = 2 * 3000 * MM * 200 * MM - 2 * 200 * MM
    plank(plan, 1)["offcuts"][0]["length"] += 1
    plan["totals"]["net_area_mm2"] = 2_399_999.375


def no_piece_length(plan):
    row(plan, 4)["pieces"].append(piece(plan, "4.3") | {"id": "4.4", "length": 0})


def piece_too_long(plan):
    laid = row(plan, 4)["pieces"]
    laid[:] = [*laid[:1], laid[1] | {"length": 2400 * MM}]
    plan["planks"].pop()
    plan["totals"] |= {"planks": 10, "boxes": 3, "waste_factor_percent": 0.0}
    plan["bound"]["proven"] = True


def plank_twice(plan):
    plan["planks"].append(plank(plan, 2))


def plank_unlisted(plan):
    plan["planks"].remove(plank(plan, 2))


def plank_unused(plan):
    plan["planks"].append({"plank": 12, "pieces": [], "offcuts": []})


def piece_unknown(plan):
    plank(plan, 2)["pieces"].append("9.9")


def piece_unlisted(plan):
    plank(plan, 4)["pieces"].remove("3.4")


def piece_listed_twice(plan):
    plank(plan, 4)["pieces"].append("3.4")


def wrong_plank(plan):
    plank(plan, 4)["pieces"].remove("3.4")
    plank(plan, 1)["pieces"].insert(0, "3.4")


def factory_amid(plan):
    plank(plan, 4)["pieces"].reverse()


def both_factory(plan):
    piece(plan, "1.1")["left"] = "factory"


def not_trimmed(plan):
    piece(plan, "4.3")["right"] = "cut"


def offcut_missing(plan):
    plank(plan, 1)["offcuts"] = []


def offcut_too_many(plan):
    plank(plan, 2)["offcuts"] = [{"length": 1, "keeps": "none"}]


def offcut_length(plan):
    plank(plan, 1)["offcuts"][0]["length"] += 1


def offcut_keeps(plan):
    plank(plan, 1)["offcuts"][0]["keeps"] = "right"


def pattern(plan):
    row(plan, 3)["offset"] += 2 * MM
    plan["rules"]["stagger"] = 590 * MM


def too_many_waiting(plan):
    plan["rules"]["max_waiting"] = 1


TOTALS = ("planks", "boxes", "cuts", "peak_waiting", "net_area_mm2", "waste_factor_percent")
TOTAL_FAULTS = (Fault.PLANKS, Fault.BOXES, Fault.CUTS, Fault.PEAK_WAITING, Fault.NET_AREA, Fault.WASTE_FACTOR)


def bound_above(plan):
    plan["bound"]["planks"] = 12


def not_proven(plan):
    plan["bound"]["proven"] = True


def is_proven(plan):
    plan["bound"]["planks"] = 11


WRONG: list[tuple[str, Edit, Fault, dict[str, object]]] = [
    ("handed", row_numbers_jump, Fault.ROW_ORDER, {"rows": (5,), "found": 5, "wanted": 4}),
    ("two_runs", run_numbers_jump, Fault.RUN_ORDER, {"rows": (2,), "run": 3, "found": 3, "wanted": 2}),
    ("two_runs", row_parted, Fault.ROW_PARTED, {"rows": (2,), "run": 2}),
    ("handed", line_falls, Fault.LINE_ORDER, {"rows": (4,), "found": 3, "wanted": 4}),
    ("handed", room_in_two_fields, Fault.ROOM_FIELDS, {"rows": (3,), "found": "Elsewhere", "wanted": "Loft"}),
    ("handed", plank_zero, Fault.PLANK_NUMBER, {"planks": (0,)}),
    ("handed", run_longer, Fault.RUN_SUM, {"rows": (1,), "found": 3000 * MM, "wanted": 3000 * MM + 1}),
    ("handed", row_wider, Fault.ROW_TOO_WIDE, {"rows": (1,), "found": 200 * MM + 1, "wanted": 200 * MM}),
    ("handed", no_width, Fault.NO_WIDTH, {"rows": (1,), "found": 0}),
    ("handed", area_too_large, Fault.AREA_TOO_LARGE, {"rows": (1,)}),
    ("handed", no_area, Fault.NO_AREA, {"rows": (2,), "found": 0}),
    ("handed", slant_unknown, Fault.SLANT, {"rows": (1,), "pieces": ("1.1",), "place": 0, "wanted": 30 * MM}),
    (
        "handed",
        off_step,
        Fault.OFF_STEP,
        {"rows": (1,), "pieces": ("1.1",), "found": 600 * MM - 1, "wanted": MM},
    ),
    ("handed", plank_unlisted, Fault.PLANK_UNLISTED, {"planks": (2,), "pieces": ("1.2",)}),
    ("handed", plank_unused, Fault.PLANK_UNUSED, {"planks": (12,)}),
    ("handed", piece_unknown, Fault.PIECE_UNKNOWN, {"planks": (2,), "pieces": ("9.9",)}),
    ("handed", piece_unlisted, Fault.PIECE_UNLISTED, {"planks": (4,), "pieces": ("3.4",), "rows": (3,)}),
    ("handed", piece_listed_twice, Fault.PIECE_LISTED_TWICE, {"planks": (4,), "found": 2}),
    ("handed", wrong_plank, Fault.WRONG_PLANK, {"planks": (1,), "pieces": ("3.4",), "found": 1, "wanted": 4}),
    ("handed", both_factory, Fault.BOTH_FACTORY, {"planks": (1,), "found": 600 * MM, "wanted": 1200 * MM}),
    ("handed", not_trimmed, Fault.NOT_TRIMMED, {"planks": (11,), "pieces": ("4.3",)}),
    ("handed", offcut_missing, Fault.OFFCUT_COUNT, {"planks": (1,), "found": 0, "wanted": 1}),
    ("handed", offcut_too_many, Fault.OFFCUT_COUNT, {"planks": (2,), "found": 1, "wanted": 0}),
    ("handed", offcut_length, Fault.OFFCUT_LENGTH, {"found": 600 * MM + 1, "wanted": 600 * MM}),
    ("handed", offcut_keeps, Fault.OFFCUT_KEEPS, {"planks": (1,), "found": "right", "wanted": "left"}),
    ("handed", too_many_waiting, Fault.TOO_MANY_WAITING, {"rows": (2,), "found": 2, "wanted": 1}),
    ("handed", bound_above, Fault.BOUND_ABOVE, {"found": 12, "wanted": 11}),
    ("handed", not_proven, Fault.NOT_PROVEN, {"found": 10, "wanted": 11}),
    ("handed", is_proven, Fault.IS_PROVEN, {"found": "not proven", "wanted": "proven"}),
    (
        "half",
        pattern,
        Fault.OFF_PATTERN,
        {"rows": (3,), "place": 600 * MM, "found": 600 * MM, "wanted": 598 * MM},
    ),
]


@pytest.mark.parametrize(("name", "edit", "fault", "parts"), WRONG, ids=[case[1].__name__ for case in WRONG])
def test_wrong_plan_gives_exactly_its_finding(name, edit, fault, parts):
    document = load(name)
    edit(document)
    (finding,) = findings(document)
    assert finding.fault is fault
    assert finding.rule is fault.rule
    assert {part: getattr(finding, part) for part in parts} == parts


@pytest.mark.parametrize(("key", "fault"), list(zip(TOTALS, TOTAL_FAULTS, strict=True)))
@pytest.mark.parametrize("change", [1, -1])
def test_wrong_total_gives_exactly_its_finding(key, fault, change):
    document = load("handed")
    right = document["totals"][key]
    document["totals"][key] += change
    (finding,) = findings(document)
    assert (finding.fault, finding.found) == (fault, right + change)
    assert finding.wanted == right


# Findings that come in pairs by their nature: two ends, two rows, two pieces.


def test_swapped_ids_name_both_pieces():
    document = load("handed")
    ids_swapped(document)
    assert [(f.fault, f.found, f.wanted) for f in findings(document)] == [
        (Fault.PIECE_ID, "3.3", "3.2"),
        (Fault.PIECE_ID, "3.2", "3.3"),
    ]


def test_a_plank_listed_twice_lists_its_pieces_twice():
    document = load("handed")
    plank_twice(document)
    assert [(f.fault, f.planks, f.found) for f in findings(document)] == [
        (Fault.PLANK_TWICE, (2,), 2),
        (Fault.PIECE_LISTED_TWICE, (2,), 2),
    ]


def test_pieces_listed_from_the_wrong_end_of_a_handed_plank():
    document = load("handed")
    factory_amid(document)
    assert [(f.fault, f.pieces) for f in findings(document)] == [
        (Fault.FACTORY_AMID, ("2.1",)),
        (Fault.FACTORY_AMID, ("3.4",)),
        (Fault.NOT_TRIMMED, ("2.1",)),
        (Fault.NOT_TRIMMED, ("3.4",)),
    ]


def test_a_square_plank_may_be_listed_from_either_end():
    document = load("square")
    for listed in document["planks"]:
        listed["pieces"].reverse()
    assert findings(document) == ()


def test_two_starters_cannot_share_a_handed_plank():
    document = load("square")
    document["plank"]["ends"] = "handed"
    assert [(f.fault, f.pieces) for f in findings(document)] == [
        (Fault.FACTORY_AMID, ("4.1",)),
        (Fault.NOT_TRIMMED, ("4.1",)),
    ]


def test_an_inner_piece_must_be_whole():
    document = load("handed")
    piece(document, "1.2")["length"] -= 100 * MM
    piece(document, "1.1")["length"] += 100 * MM
    plank(document, 1)["offcuts"][0]["length"] -= 100 * MM
    plank(document, 2)["offcuts"] = [{"length": 100 * MM, "keeps": "none"}]
    document["totals"]["cuts"] += 1
    assert Fault.BOTH_FACTORY in faults(document)
    piece(document, "1.2")["right"] = "cut"
    plank(document, 2)["offcuts"][0]["keeps"] = "right"
    (finding,) = (f for f in findings(document) if f.rule is Rule.CUT_ENDS)
    assert (finding.fault, finding.pieces) == (Fault.CUT_END_INSIDE, ("1.2",))
    assert finding.place == 1800 * MM


def test_a_piece_without_length():
    document = load("handed")
    no_piece_length(document)
    found = findings(document)
    assert found[0].fault is Fault.NO_LENGTH
    assert (found[0].pieces, found[0].place) == (("4.4",), 3000 * MM)


def test_a_run_without_pieces_and_a_plan_without_runs():
    document = load("singles")
    row(document, 6)["pieces"] = []
    assert faults(document)[:2] == [Fault.NO_PIECES, Fault.PIECE_UNKNOWN]
    document["rows"] = []
    assert faults(document)[0] is Fault.NO_RUNS


def test_a_piece_longer_than_the_plank_is_reported_once():
    document = load("handed")
    piece_too_long(document)
    assert [f.fault for f in findings(document) if f.rule in (Rule.PIECE_LENGTH, Rule.PLANK_LENGTH)] == [
        Fault.PIECE_TOO_LONG
    ]


def test_a_slanted_end_is_no_factory_end():
    document = load("slanted")
    piece(document, "3.1")["left"] = "factory"
    assert faults(document) == [Fault.SLANTED_FACTORY]


def test_a_plank_shared_between_rooms():
    document = load("singles")
    document["rules"]["share_offcuts"] = "room"
    assert [(f.fault, f.planks, f.rows, f.found) for f in findings(document)] == [
        (Fault.OTHER_ROOM, (1,), (1, 2, 3), 2),
        (Fault.OTHER_ROOM, (3,), (1, 4), 2),
        (Fault.OTHER_ROOM, (4,), (2, 5), 2),
    ]
