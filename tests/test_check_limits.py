"""The independent check at its limits: what just holds, what just does not, what one plank can give."""

from fractions import Fraction

import pytest
from plan_documents import MM, Document, findings, load, piece, plank, row

from cutopt.check import Fault, Rule


def faults(document: Document) -> list[Fault]:
    return [finding.fault for finding in findings(document)]


# The limits: exactly at the value passes, one tick more does not.

LIMITS = [
    ("handed", "stagger", 300 * MM, {Fault.JOINTS_CLOSE}),
    ("handed", "min_piece", 300 * MM, {Fault.STARTER_SHORT, Fault.END_PIECE_SHORT}),
    ("handed", "h_joint", 300 * MM, {Fault.H_CLOSE}),
    ("handed", "stair_step", 300 * MM, {Fault.STEPS_ALIKE}),
    ("half", "stagger", 600 * MM, {Fault.JOINTS_CLOSE}),
    ("third", "stagger", 333 * MM, {Fault.JOINTS_CLOSE}),
    ("third", "min_piece", 333 * MM, {Fault.STARTER_SHORT, Fault.END_PIECE_SHORT}),
    ("two_runs", "stagger", 300 * MM, {Fault.JOINTS_CLOSE}),
    ("two_runs", "h_joint", 300 * MM, {Fault.H_CLOSE}),
    ("two_runs", "stair_step", 300 * MM, {Fault.STEPS_ALIKE}),
    ("two_runs", "min_piece", 600 * MM, {Fault.STARTER_SHORT, Fault.END_PIECE_SHORT}),
    ("slanted", "min_piece", 500 * MM, {Fault.END_PIECE_SHORT}),
    ("singles", "stagger", 400 * MM, {Fault.JOINTS_CLOSE}),
]


@pytest.mark.parametrize(("name", "rule", "limit", "expected"), LIMITS)
def test_a_rule_holds_to_the_tick(name, rule, limit, expected):
    document = load(name)
    document["rules"][rule] = limit
    assert findings(document) == ()
    document["rules"][rule] = limit + 1
    found = findings(document)
    assert {finding.fault for finding in found} == expected
    assert {finding.wanted for finding in found} == {limit + 1}
    assert max(finding.found for finding in found) <= limit


@pytest.mark.parametrize(
    ("name", "step", "off"), [("handed", 300 * MM, 450 * MM), ("third", 333 * MM, 500 * MM)]
)
def test_cut_step_spares_planks_used_without_trim(name, step, off):
    document = load(name)
    document["rules"]["cut_step"] = step
    assert Fault.OFF_STEP not in faults(document)
    document["rules"]["cut_step"] = off
    names = {finding.pieces for finding in findings(document) if finding.fault is Fault.OFF_STEP}
    # In both plans 2.1 shares its plank without trim; only the lone starters count.
    assert names == ({("1.1",), ("4.1",)} if name == "handed" else set())


def test_max_waiting_to_the_plank_and_lifted():
    document = load("square")
    document["rules"]["max_waiting"] = 3
    assert findings(document) == ()
    document["rules"]["max_waiting"] = 2
    assert faults(document) == [Fault.TOO_MANY_WAITING]
    document["rules"]["max_waiting"] = None
    assert findings(document) == ()


@pytest.mark.parametrize("loss", ["kerf", "fit"])
def test_kerf_and_fit_count_between_pieces(loss):
    document = load("singles")
    place = document["plank"] if loss == "kerf" else document["rules"]
    assert findings(document) == ()
    # Plank 1 holds three pieces and two kerfs in 1200 mm, 4 mm to spare: 2 mm more for each just fits.
    place[loss] = (5 if loss == "kerf" else 2) * MM
    assert Fault.PLANK_TOO_FULL not in faults(document)
    place[loss] += 1
    (finding,) = (f for f in findings(document) if f.rule is Rule.PLANK_LENGTH)
    assert (finding.planks, finding.found, finding.wanted) == ((1,), 1200 * MM + 2, 1200 * MM)


def test_fit_changes_no_offcut():
    document = load("singles")
    document["rules"]["fit"] = 2 * MM
    assert findings(document) == ()


def shifted(offset: int) -> Document:
    """Return a plan where only rows 2 and 3 touch.

    Row 2 goes from 0 to 2400 mm with a joint at 1200, row 3 from ``offset`` on with its first joint 600 mm in.
    """
    document = load("half")
    document["rules"] |= {"pattern": "random", "stagger": 600 * MM, "h_joint": 0, "stair_step": 0}
    row(document, 2)["line"] = 9
    row(document, 3)["line"] = 10
    row(document, 3)["offset"] = offset
    return document


def test_a_joint_at_the_very_end_of_the_common_stretch_counts():
    # Row 2 has its joint at 1200; row 3 begins there: its own first joint, 600 further on, is just far enough.
    document = shifted(1200 * MM)
    assert findings(document) == ()
    document["rules"]["stagger"] += 1
    assert faults(document) == [Fault.JOINTS_CLOSE]
    # One tick to the right, the joint of row 2 is outside of the common stretch.
    document = shifted(1200 * MM + 1)
    document["rules"]["stagger"] += 2
    assert findings(document) == ()


def test_runs_that_only_meet_do_not_touch():
    document = load("handed")
    document["rules"]["stair_step"] = 301 * MM
    row(document, 4)["offset"] = 3000 * MM - 1
    assert [finding.rows for finding in findings(document)] == [(1, 2, 3), (2, 3, 4)]
    row(document, 4)["offset"] = 3000 * MM
    assert [finding.rows for finding in findings(document)] == [(1, 2, 3)]


def test_h_joint_needs_a_run_between():
    document = load("handed")
    document["rules"]["h_joint"] = 300 * MM + 1
    document["rules"]["stair_step"] = 0
    assert {finding.rows for finding in findings(document)} == {(1, 2, 3), (2, 3, 4)}
    # With rows 3 and 4 moved one line on, row 2 touches no row after it, and 3 none before.
    for number in (3, 4):
        row(document, number)["line"] += 1
    assert findings(document) == ()


def test_fixed_patterns_put_h_joint_and_stair_step_off():
    document = load("third")
    document["rules"] |= {"h_joint": 300 * MM, "stair_step": 300 * MM}
    assert findings(document) == ()
    document["rules"]["pattern"] = "random"
    assert {finding.rule for finding in findings(document)} == {Rule.STAIR_STEP}
    document = load("half")
    document["rules"]["h_joint"] = 600 * MM
    assert findings(document) == ()
    document["rules"] |= {"pattern": "random", "stair_step": 0}
    assert {finding.rule for finding in findings(document)} == {Rule.H_JOINT}


def test_a_pattern_keeps_one_start_within_a_field():
    document = load("third")
    document["rules"]["pattern"] = "half"
    assert {finding.fault for finding in findings(document)} == {Fault.OFF_PATTERN}
    document = load("half")
    # Within one cut step of each other the rows are on the pattern; a tick more and one of them is not.
    document["rules"]["stagger"] = 590 * MM
    row(document, 2)["offset"] = MM
    assert findings(document) == ()
    row(document, 2)["offset"] = MM + 1
    (finding,) = findings(document)
    assert (finding.fault, finding.rows) == (Fault.OFF_PATTERN, (2,))


def test_two_fields_may_start_a_pattern_apart():
    document = load("half")
    row(document, 3)["offset"] += 100 * MM
    row(document, 3)["line"] = 1
    row(document, 3)["room"] = row(document, 3)["field"] = "Nook"
    assert findings(document) == ()


# What is possible on one plank.


def test_a_single_piece_may_be_called_cut_where_it_can_be_trimmed():
    document = load("singles")
    piece(document, "6.1")["left"] = "cut"
    for keeps in ("left", "right", "none"):
        plank(document, 6)["offcuts"][0]["keeps"] = keeps
        assert findings(document) == ()
    plank(document, 6)["offcuts"][0]["keeps"] = "both"
    assert faults(document) == [Fault.OFFCUT_KEEPS]


def test_a_part_kept_from_before_has_the_ends_it_has():
    document = load("handed")
    # Plank 1 is a part of 600 mm whose left end was cut long ago: the starter is all of it.
    plank(document, 1).update(length=600 * MM, factory="right", offcuts=[])
    document["totals"]["cuts"] -= 1
    document["totals"]["waste_factor_percent"] = 5.0
    assert findings(document) == ()
    plank(document, 1)["factory"] = "left"
    assert faults(document) == [Fault.FACTORY_AMID, Fault.NOT_TRIMMED]
    plank(document, 1)["factory"] = "both"
    assert faults(document) == [Fault.NOT_TRIMMED]


def test_stair_step_is_off_with_planks_of_several_lengths():
    document = load("handed")
    document["rules"]["stair_step"] = 301 * MM
    assert {finding.rule for finding in findings(document)} == {Rule.STAIR_STEP}
    plank(document, 9).update(length=1300 * MM)
    plank(document, 9)["offcuts"][0]["length"] += 100 * MM
    document["totals"]["waste_factor_percent"] = float(Fraction(11 * 1200 + 100, 12000) * 100 - 100)
    assert findings(document) == ()


@pytest.mark.parametrize(
    ("stated", "holds"),
    [
        (13.207547169811321, True),
        (13.2075, True),
        (13.21, True),
        (13.2, True),
        (13.0, False),
        (13.209, False),
    ],
)
def test_a_figure_may_be_rounded_but_not_changed(stated, holds):
    document = load("singles")
    document["totals"]["waste_factor_percent"] = stated
    assert (findings(document) == ()) is holds


@pytest.mark.parametrize(
    ("planks", "culls", "spare", "per_box", "boxes"),
    [
        (11, "0", 0, 11, 1),
        (11, "0", 1, 11, 2),
        (11, "1/12", 0, 12, 1),
        (11, "1/12", 0, 11, 2),
        (11, "0", 6, 1, 17),
    ],
)
def test_boxes_are_rounded_once(planks, culls, spare, per_box, boxes):
    document = load("handed")
    assert document["totals"]["planks"] == planks
    document["order"] = {"culls": culls, "spare": spare}
    document["plank"]["per_box"] = per_box
    document["totals"]["boxes"] = boxes
    assert findings(document) == ()
