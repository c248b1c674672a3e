"""Floors that the check once refused as planned: from job files to checked plans."""

import pytest
from told_jobs import doorway, job_of, room

from cutopt.pipeline import plan_job
from cutopt.planner import Limits
from cutopt.planner.limits import Unwatched
from cutopt.sheet import render_sheet

RULES = {"stagger": 2, "min_piece": 2, "h_joint": 0, "stair_step": 0}
HALL = room("Hall", [40, 24])
FLOORS = {
    "a way out of no depth": [HALL, doorway(["Hall"], ["B-C"], [2], 10)],
    "rooms without a wall between them": [
        room("Hall", [40, 24], at=[0, 0]),
        room("Study", [33, 24], at=[40, 0]),
        doorway(["Hall", "Study"], ["B-C", "A-D"], [0, 0], 24),
    ],
    "a strip where there is no wall": [
        room("Hall", [40, 24], at=[0, 0]),
        room("Study", [33, 24], at=[40, 0]),
        doorway(["Hall", "Study"], ["B-C", "A-D"], [0, 0], 24, strip=2),
    ],
    "a slanted wall with a tip in the first row": [
        room("Bay", outline=[[0, 0], [20, 3], [20, 12], [1, 13.5]])
    ],
    "a doorway at the corner of a room out of square": [
        room("Hall", outline=[[0, 0], [33, 3], [33, 31], [0, 32.5]]),
        room("Study", outline=[[0, 0], [33, 0.5], [33, 12], [0, 12]]),
        doorway(["Hall", "Study"], ["B-C", "A-B"], [1, 0], 8, depth=0.5),
    ],
}


@pytest.mark.parametrize("tables", FLOORS.values(), ids=FLOORS)
@pytest.mark.parametrize("gap", [0, "1/4"])
def test_these_floors_pass_the_check(tables, gap):
    job = job_of(*tables, length=24, gap=gap, min_rip=0, rules=RULES)
    planned = plan_job(job, Limits(seconds=60, searches=0), Unwatched())
    assert planned.breaches == ()
    assert sum(run.area2 for run in planned.floor.runs) > 0


def test_the_heading_of_a_tapered_row_keeps_to_80_columns():
    """Once it ran on: a length, where the run begins and both widths of its rip."""
    bay = room("Bay", outline=[[0, 0], [54.3, 0.3], [54.3, 12.1], [1.7, 13.9]])
    job = job_of(bay, length=24, min_rip=0, rules=RULES)
    planned = plan_job(job, Limits(seconds=60, searches=0), Unwatched())
    lines = render_sheet(planned.plan, planned.job, planned.floor).splitlines()
    assert any("ripped to a taper" in line for line in lines)
    assert max(map(len, lines)) <= 80
