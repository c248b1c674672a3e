"""Figures published elsewhere, recomputed by the whole program or by one stage of it; each with its source.

Row counts, balanced edges and the area of a box stand with the layout (``test_layout.py``) and the units
(``test_units.py``).
"""

from fractions import Fraction
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from planner_jobs import FloorJob, planned
from runs import run_of

from cutopt.check import Fault, check_plan
from cutopt.jobfile import parse_job
from cutopt.layout import lay_out
from cutopt.model.floor import Floor
from cutopt.model.job import Ends, PlankSpec, Rules
from cutopt.model.plan import Bound, Cutting, Part, PieceCut
from cutopt.numbering import number
from cutopt.pipeline import plan_job
from cutopt.planner import Limits
from cutopt.planner.limits import Unwatched
from cutopt.sheet import render_sheet
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM

STEADY = settings(derandomize=True, deadline=None)
PATIENT = 100_000


# Planks and boxes of whole rooms


def job_file(*, unit, plank, per_box, size, spare, rules="", more=""):  # noqa: PLR0913 - a job
    length, width = plank
    return f"""
unit = "{unit}"
[plank]
kind = "glue-down vinyl"
length = {length}
width = {width}
per_box = {per_box}
{more}
[rules]
gap = 0
{rules}
[order]
spare = {spare}
[[room]]
name = "Loft"
size = {list(size)}
"""


@pytest.mark.parametrize(
    ("asked", "planks", "boxes"),
    [
        # 66 square metres in planks of 0.2, 8 a box, 10 % more: 330 planks, 363 with what is bought beyond,
        # 45.375 boxes, so 46 (University of Waterloo CEMC, Problem of the Week B 2023-24, "Jafar's New
        # Floor"; the shape of the room is ours)
        ({"unit": "m", "plank": (1, 0.2), "per_box": 8, "size": (11, 6), "spare": 33}, 330, 46),
        # 168 x 144 in, packs of 24 sq ft (6 x 36 in, 16 a box: floorref.com): with 5 % 8 packs, with 15 % 9
        # (98905.com; its 5 % and 15 % of 112 planks, rounded up, are ours)
        ({"unit": "in", "plank": (36, 6), "per_box": 16, "size": (168, 144), "spare": 6}, 112, 8),
        ({"unit": "in", "plank": (36, 6), "per_box": 16, "size": (168, 144), "spare": 17}, 112, 9),
        # 10 x 12 ft, boxes of 24 sq ft, 10 %: 132 sq ft, 5.5 boxes, so 6 (a retailer's measuring guide)
        ({"unit": "in", "plank": (36, 6), "per_box": 16, "size": (120, 144), "spare": 8}, 80, 6),
        # 12 x 15 ft in tiles of 12 in, 10 %: 180 and 198 (contractor's examination, estatepass.ai)
        (
            {
                "unit": "in",
                "plank": (12, 12),
                "per_box": 1,
                "size": (180, 144),
                "spare": 18,
                "rules": "stagger = 0\nmin_piece = 12\nh_joint = 0\nstair_step = 0",
            },
            180,
            198,
        ),
    ],
)
def test_planks_and_boxes_of_worked_examples(asked, planks, boxes):
    plan = plan_job(parse_job(job_file(**asked)), Limits(seconds=15), Unwatched()).plan
    assert (plan.totals.planks, plan.bound.planks, plan.totals.boxes) == (planks, planks, boxes)
    assert plan.totals.waste_factor_percent == pytest.approx(0, abs=1e-9)


def test_the_price_of_a_worked_example():
    # 46 boxes at 74.50 each are 3427 (University of Waterloo CEMC, as above)
    asked = {"unit": "m", "plank": (1, 0.2), "per_box": 8, "size": (11, 6), "spare": 33}
    job = parse_job(job_file(**asked, more="box_price = 74.50"))
    planned_job = plan_job(job, Limits(seconds=15), Unwatched())
    assert "46 x 74.50 = 3427.00" in render_sheet(planned_job.plan, job, planned_job.floor)


BAY_AND_ALCOVES = """outline = [
    [0, 0.6], [1.1, 0.6], [1.1, 0], [2.9, 0], [2.9, 0.6], [4, 0.6],
    [4, 3.6], [2.8, 3.6], [2.8, 3.2], [1.2, 3.2], [1.2, 3.6], [0, 3.6],
]"""


@pytest.mark.parametrize(
    ("unit", "room", "area"),
    [
        # 12 ft 3 in by 8 ft 9 in: 107.1875 sq ft (school engineering, "Estimating Flooring Materials")
        ("in", 'size = ["12\' 3\\"", "8\' 9\\""]', Fraction("107.1875") * 144 * TICKS_PER_INCH**2),
        # A main part of 4 x 2.6, two alcoves of 1.2 x 0.4 and a bay of 1.8 x 0.6 m: 12.44 square metres
        # (a floorboard retailer's help page; where they lie along the walls is ours)
        (
            "m",
            BAY_AND_ALCOVES,
            Fraction("12.44") * 10**6 * TICKS_PER_MM**2,
        ),
    ],
)
def test_net_area_of_worked_examples(unit, room, area):
    head = f"unit = '{unit}'\n[plank]\nkind = 'laminate'\nlength = '1 m'\nwidth = '10 cm'\nper_box = 8\n"
    floor = lay_out(parse_job(f"{head}[rules]\ngap = 0\n[[room]]\nname = 'Loft'\n{room}\n"))
    assert Fraction(sum(run.area2 for run in floor.runs), 2) == area


# Rows started with the last offcut


def chain(length, plank, rows):
    """Cut rows as the habit goes: each starts with what the last plank of the row before has left."""
    runs, at, opened = [], 0, 0
    for _ in range(rows):
        # ``at`` is what has been used of the plank at hand; 0 means a fresh one is begun.
        pieces, rest = [], length
        while rest:
            opened += not at
            piece = min(plank - at, rest)
            part = Part.WHOLE if piece == plank else Part.END if piece == rest else Part.STARTER
            pieces.append(PieceCut(part=part, length=piece, plank=opened))
            rest, at = rest - piece, (at + piece) % plank
        runs.append(tuple(pieces))
    return tuple(runs)


def chain_plan(length, plank, rows, **rules):
    every = {"stagger": 0, "min_piece": 1, "h_joint": 0, "stair_step": 1, "cut_step": 1, "max_waiting": None}
    floor = Floor(runs=tuple(run_of(row, length) for row in range(1, rows + 1)))
    spec = PlankSpec(length=plank, width=100, per_box=8, ends=Ends.HANDED)
    job = FloorJob(floor, spec, Rules(**every | rules))
    runs = chain(length, plank, rows)
    return number(floor, Cutting(runs=runs, bound=Bound(planks=1, reason="")), job.job(), 0)


def test_the_chain_of_offcuts_by_hand():
    # Rows of 130 in, planks of 48 in, shift (-130) mod 48 = 14: worked out by hand. That the habit makes steps
    # is the warning of hunker.com, "How to stagger floating floors".
    plan = chain_plan(130, 48, 4, min_piece=8, stagger=6)
    rows = [[piece.length for piece in row.pieces] for row in plan.rows]
    assert [row[0] for row in rows] == [48, 14, 28, 42]
    assert [row[-1] for row in rows] == [34, 20, 6, 40]
    found = [(finding.fault, finding.rows, finding.found) for finding in check_plan(plan)]
    assert found == [
        (Fault.END_PIECE_SHORT, (3,), 6),
        (Fault.STEPS_ALIKE, (1, 2, 3), 0),
        (Fault.STEPS_ALIKE, (2, 3, 4), 0),
    ]


@STEADY
@given(st.integers(10, 60), st.data())
def test_a_chain_of_offcuts_steps_by_what_the_row_leaves_of_its_planks(plank, data):
    length = data.draw(st.integers(plank + 1, 4 * plank))
    stagger = data.draw(st.integers(0, plank // 2))
    rows = data.draw(st.integers(3, 7))
    plan = chain_plan(length, plank, rows, stagger=stagger)
    shift = -length % plank
    found = check_plan(plan)
    steps = [finding.rows for finding in found if finding.fault is Fault.STEPS_ALIKE]
    assert steps == [(row, row + 1, row + 2) for row in range(1, rows - 1)]
    too_close = min(shift, plank - shift) < stagger
    assert too_close or Fault.JOINTS_CLOSE not in {finding.fault for finding in found}
    if length > 3 * plank:  # every stretch of the row holds joints of both rows
        close = [finding.rows for finding in found if finding.fault is Fault.JOINTS_CLOSE]
        assert close == [(row, row + 1) for row in range(1, rows) if too_close]


# Pieces all fixed: a matching


@st.composite
def fixed_floors(draw, ends):
    """Rows that can be laid in one way each: slanted walls leave starter and end piece no room to move.

    Both pieces are over a plank together, so that no shorter starter will do either.
    """
    plank, kerf = 100, draw(st.integers(0, 4))
    least = 20
    pieces = draw(
        st.lists(
            st.tuples(st.integers(least, plank - 1), st.integers(least, plank - 1)).filter(
                lambda pair: sum(pair) > plank
            ),
            min_size=2,
            max_size=12,
        )
    )
    runs = tuple(
        run_of(row, starter + end + plank, slants=(starter - least, end - least))
        for row, (starter, end) in enumerate(pieces, 1)
    )
    rules = Rules(stagger=0, min_piece=least, h_joint=0, stair_step=0, cut_step=1, max_waiting=None)
    spec = PlankSpec(length=plank, width=100, per_box=8, ends=ends, kerf=kerf)
    return FloorJob(Floor(runs=runs), spec, rules), pieces


@settings(STEADY, max_examples=40)
@given(st.data())
@pytest.mark.parametrize("ends", Ends)
def test_fixed_pieces_share_as_many_planks_as_a_largest_matching(ends, data):
    job, pieces = data.draw(fixed_floors(ends))
    cuts = [(part, nth) for nth in range(len(pieces)) for part in (0, 1)]
    graph = nx.Graph()
    graph.add_edges_from(
        (one, other)
        for one in cuts
        for other in cuts
        if one < other
        and (ends is Ends.SQUARE or one[0] != other[0])
        and pieces[one[1]][one[0]] + pieces[other[1]][other[0]] + job.plank.kerf <= job.plank.length
    )
    shared = len(nx.max_weight_matching(graph, maxcardinality=True))
    plan = planned(job)
    assert [(row.pieces[0].length, row.pieces[-1].length) for row in plan.rows] == pieces
    assert plan.totals.planks == len(pieces) + len(cuts) - shared


# Rows of single pieces: bin packing

INSTANCES = [
    line.split()
    for line in (Path(__file__).parent / "data" / "binpacking" / "or-library.txt").read_text().splitlines()
    if not line.startswith("#")
]


@pytest.mark.parametrize("instance", INSTANCES, ids=[instance[0] for instance in INSTANCES])
def test_rows_of_single_pieces_take_as_few_planks_as_the_bins_of_a_solved_instance(instance):
    # Falkenauer (1996) in the OR-Library; data/binpacking has citation, licence and optima.
    capacity, optimum, *items = map(int, instance[1:])
    job = FloorJob(
        Floor(runs=tuple(run_of(row, item) for row, item in enumerate(items, 1))),
        PlankSpec(length=capacity, width=100, per_box=8, ends=Ends.HANDED),
        Rules(stagger=0, min_piece=capacity, h_joint=0, stair_step=0, cut_step=1, max_waiting=None),
    )
    plan = planned(job, looks=PATIENT)
    assert (plan.totals.planks, plan.bound.planks) == (optimum, optimum)
    assert [laid.pieces[0].length for laid in plan.rows] == items
