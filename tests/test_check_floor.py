"""Runs that no floor can have: on top of one another, or at walls that slant beyond their ends."""

import pytest
from plan_documents import MM, findings, load, row

from cutopt.check import Fault

WIDTH = 200 * MM


def test_two_runs_of_a_row_cannot_lie_on_the_same_floor():
    document = load("two_runs")
    row(document, 2, 2)["offset"] = 100 * MM
    found = {finding.fault: finding for finding in findings(document)}
    overlap = found[Fault.RUNS_OVERLAP]
    assert (overlap.rows, overlap.run) == ((2,), 2)
    assert overlap.found == 2 * WIDTH * (1100 + 1400) * MM
    # From 0 to 1500 mm, and a tick at either end for the rounding of spans.
    assert overlap.wanted == 2 * WIDTH * (1500 * MM + 2)


@pytest.mark.parametrize("overlap", [0, 1, 2, 3])
def test_spans_rounded_outwards_may_overlap_by_a_tick_at_either_end(overlap):
    document = load("two_runs")
    row(document, 2, 2)["offset"] = row(document, 2, 1)["length"] - overlap
    faults = [finding.fault for finding in findings(document)]
    assert (Fault.RUNS_OVERLAP in faults) == (overlap > 2)


def test_spans_may_overlap_where_the_floor_does_not():
    document = load("two_runs")
    first, second = row(document, 2, 1), row(document, 2, 2)
    second["offset"] = 900 * MM
    # A slanted stop: either run lacks half of what the spans share.
    for run in (first, second):
        run["area2"] = 2 * WIDTH * (run["length"] - 100 * MM)
    assert Fault.RUNS_OVERLAP not in [finding.fault for finding in findings(document)]


@pytest.mark.parametrize("end", ["left_slant", "right_slant"])
@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize("beyond", [0, 1])
def test_a_wall_slants_by_no_more_than_its_run_is_long(end, sign, beyond):
    document = load("two_runs")
    single = row(document, 2, 1)
    (piece,) = single["pieces"]
    piece["left"] = piece["right"] = "cut"
    single[end] = piece[end] = sign * (single["length"] + beyond)
    found = [finding for finding in findings(document) if finding.fault is Fault.SLANT_LONG]
    assert [(finding.found, finding.wanted) for finding in found] == beyond * [
        (single["length"] + 1, single["length"])
    ]
