"""What the independent check says: remarks that are no breach, and findings in words."""

import json
from dataclasses import replace

from plan_documents import MM, PLANS, findings, load, piece, row

from cutopt.check import Fault, Rule, check_plan, describe, remarks
from cutopt.planfile import read_plan


def test_remarks_name_short_singles_and_slivers():
    document = load("singles")
    document["rules"] |= {"min_piece": 391 * MM, "min_rip": 200 * MM + 1}
    plan = read_plan(json.dumps(document))
    assert check_plan(plan) == ()
    told = remarks(plan)
    assert [f.rows for f in told if f.fault is Fault.SINGLE_SHORT] == [(3,), (4,), (5,), (6,)]
    assert [f.rows for f in told if f.fault is Fault.ROW_NARROW] == [(nth,) for nth in range(1, 7)]


def mm(ticks: int) -> str:
    return f"{ticks / MM:g} mm"


def test_findings_in_words():
    document = load("two_runs")
    document["rules"]["stagger"] = 300 * MM + MM
    document["totals"] |= {"cuts": 4, "net_area_mm2": 1.0}
    piece(document, "2b.2")["left"] = "factory"
    assert [describe(finding, mm) for finding in findings(document)] == [
        (
            "factory ends: a part of a plank cannot have both factory ends - row 2, piece 2b.2, plank 6"
            " - found 800 mm, wanted 1200 mm"
        ),
        (
            "stagger: joints of neighbouring rows are too close - rows 1, 2,"
            " 800 mm along run 2 of row 2 - found 300 mm, wanted at least 301 mm"
        ),
        "totals: the count of cuts is wrong - found 4, wanted 5",
        "totals: the net area is wrong - found 1.0 mm2, wanted 1700000.0 mm2",
    ]


def test_figures_of_every_kind_in_words():
    document = load("two_runs")
    row(document, 2, 2)["run"] = 3
    row(document, 1)["area2"] = 2 * 3000 * MM * 200 * MM + 2 * MM * MM
    document["totals"]["waste_factor_percent"] = 5.0
    document["bound"]["proven"] = False
    told = [describe(finding, mm) for finding in findings(document)]
    assert told[0] == (
        "numbering: the runs of a row are not numbered on - row 2, run 3 of row 2 - found 3, wanted 2"
    )
    assert told[3:] == [
        (
            "area: a run's area is more than length times width - row 1"
            " - found 600001.00 mm2, wanted at most 600000.00 mm2"
        ),
        "totals: the net area is wrong - found 1700000.0 mm2, wanted 1700001.0 mm2",
        "totals: the waste factor is wrong - found 5.0 %, wanted 12.9411 %",
        (
            "lower bound: not called proven, though the bound meets the planks"
            " - found not proven, wanted proven"
        ),
    ]


def test_a_figure_that_is_no_number_is_wrong():
    plan = read_plan(PLANS / "handed.json")
    totals = replace(plan.totals, net_area_mm2=float("nan"), waste_factor_percent=float("inf"))
    found = check_plan(replace(plan, totals=totals))
    assert [finding.fault for finding in found] == [Fault.NET_AREA, Fault.WASTE_FACTOR]


def test_every_fault_can_be_told():
    for fault in Fault:
        assert fault.words
        assert isinstance(fault.rule, Rule)
    # Two faults with the same words would be one fault (and one enum member).
    assert len({fault.words for fault in Fault}) == len(list(Fault))
