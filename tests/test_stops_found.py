"""Stops read off walls, things and doorways, edge rows and directions: from job files to rows and sheets."""

from fractions import Fraction

import pytest
from told_jobs import doorway, floor_of, inches, job_of, refusal_of, room, stop, thing

from cutopt.errors import JobError
from cutopt.pipeline import plan_job
from cutopt.planner import Limits
from cutopt.planner.limits import Unwatched
from cutopt.sheet import Besides, render_sheet
from cutopt.units import TICKS_PER_INCH

QUICK = Limits(seconds=60, searches=0)
PARLOUR = room("Parlour", [203, 170])
HEARTH = thing("hearth", [70, 152], [60, 18], kind="hearth")


def rips(floor):
    """Name, side, wide and narrow end of every rip, in inches."""
    ((_, solution),) = floor.stops
    return [
        (rip.stop.name, rip.stop.side.value, inches(rip.wide), inches(rip.narrow))
        for rip in solution.best.rips
    ]


def solution_of(floor):
    ((_, solution),) = floor.stops
    return solution


def edge_rows(floor):
    (edges,) = floor.edges
    return inches(edges.first_width), inches(edges.last_width)


# Stops


def test_a_whole_row_at_the_hearth_front_decides_where_the_rows_begin():
    """After a story board over several stop points (flooringforum.com, "what did you do today", page 250)."""
    floor = floor_of(
        PARLOUR, HEARTH, stop("hearth front", "Parlour", thing="hearth", side="before", full=True)
    )
    assert edge_rows(floor) == (2, 3)  # 152 leaves 2, 170 less 2 leaves 3
    assert rips(floor) == [
        ("wall A-B", "after", 2, 2),
        ("wall C-D", "before", 3, 3),
        ("hearth front", "before", 5, 5),
    ]
    assert all(rip.is_ok for rip in solution_of(floor).best.rips)
    assert 152 in map(inches, floor.ground.fields[0].lines)


def test_walls_and_things_count_with_the_usual_least_rip_where_rows_go_by_stops():
    """The wall behind the hearth counts beside it: once a thing at the middle of a wall hid the wall."""
    floor = floor_of(PARLOUR, HEARTH, layout={"edges": "stops"})
    assert [name for name, *_ in rips(floor)] == ["wall A-B", "wall C-D", "hearth"]
    assert {inches(rip.wanted) for rip in solution_of(floor).best.rips} == {2}
    narrowest = min(narrow for *_, narrow in rips(floor))
    # Wall A-B gets t, C-D (170 - t) mod 5 = 5 - t, the hearth (152 - t) mod 5 = 2 - t or 7 - t: best at t = 5 - t
    # or at t = 7 - t with 5 - t = 3/2 only.
    assert narrowest == Fraction(5, 2)


def test_a_thing_has_a_stop_on_either_side_and_may_be_named_for_each():
    island = thing("island", [60, 60], [50, 31])
    front = stop("island front", "Parlour", thing="island", side="before", full=True)
    back = stop("island back", "Parlour", thing="island", side="after", min_rip=1)
    assert sorted(rips(floor_of(PARLOUR, island, front, back))[2:]) == [
        ("island back", "after", 4, 4),
        ("island front", "before", 5, 5),
    ]
    assert [name for name, *_ in rips(floor_of(PARLOUR, island, front))] == [
        "wall A-B",
        "wall C-D",
        "island front",
    ]


def test_vents_and_sides_shorter_than_a_plank_is_wide_are_no_stops_unless_named():
    post = thing("post", [60, 61], [4, 4])
    vent = thing("vent", [90, 61], [10, 3], kind="vent")
    layout = {"edges": "stops"}
    assert [name for name, *_ in rips(floor_of(PARLOUR, post, vent, layout=layout))] == [
        "wall A-B",
        "wall C-D",
    ]
    named = stop("post", "Parlour", thing="post", side="before")
    assert [name for name, *_ in rips(floor_of(PARLOUR, post, vent, named))][2:] == ["post"]


def test_a_named_wall_and_a_place_want_what_they_are_told():
    floor = floor_of(
        PARLOUR,
        stop("window", "Parlour", wall="D-C", min_rip=4),
        stop("table", "Parlour", at=83, side="after", full=True),
    )
    wanted = {rip.stop.name: inches(rip.wanted) for rip in solution_of(floor).best.rips}
    assert wanted == {"wall A-B": 2, "window": 4, "table": 5}
    assert rips(floor)[-1] == ("table", "after", 5, 5)


@pytest.mark.parametrize(
    "idle",
    [{"at": 500}, {"wall": "B-C"}, {"wall": "A-B", "side": "before"}, {"thing": "hearth", "side": "after"}],
)
def test_a_named_stop_where_no_row_ends_is_told_and_decides_nothing(idle):
    floor = floor_of(PARLOUR, HEARTH, stop("here", "Parlour", **idle), layout={"edges": "stops"})
    assert [warning for warning in floor.warnings if warning.startswith("stop")] == [
        (
            'stop "here" in room "Parlour": no row ends there lengthwise, so it decides nothing; '
            "check its place, its side and the direction of the rows"
        )
    ]
    assert "here" not in [name for name, *_ in rips(floor)]


def test_jambs_are_the_stops_of_a_doorway_that_rows_run_into():
    floor = floor_of(
        PARLOUR,
        room("Hall", [60, 100]),
        doorway(["Parlour", "Hall"], ["B-C", "D-A"], [22, 40], 36, depth=5, name="arch"),
        stop("arch", "Parlour", doorway="arch"),
    )
    found = [
        (rip.stop.side.value, inches(rip.stop.low))
        for rip in solution_of(floor).best.rips
        if "arch" in rip.stop.name
    ]
    assert found == [("after", 22), ("before", 58)]


def test_a_doorway_across_the_rows_has_its_stop_in_its_middle_or_at_its_strip():
    def stops_of(**keys):
        floor = floor_of(
            PARLOUR,
            room("Hall", [203, 100]),
            doorway(["Parlour", "Hall"], ["C-D", "A-B"], [80, 80], 36, depth=5, name="arch", **keys),
            stop("arch", "Parlour", doorway="arch"),
        )
        rows = [rip.stop for _, solution in floor.stops for rip in solution.best.rips]
        return [(one.side.value, inches(one.low)) for one in rows if "arch" in one.name]

    middle = Fraction(345, 2)
    assert stops_of() == [("before", middle), ("after", middle)]
    # The Hall's rows, balanced between strip and far wall, would leave 1-3/4 in at its near wall: mended, too.
    assert stops_of(strip=2) == [("before", middle - 1), ("after", middle + 1)]


def test_rows_that_would_leave_a_sliver_at_a_wall_between_are_moved_unasked():
    """Rows set out from the way out's strip: 101 in to the far wall, the last row whole, the first 1 in at the wall."""
    way_out = doorway(["Porch"], ["A-B"], [10], 36, depth=5, strip=1, name="out")
    (asked,) = floor_of(room("Porch", [90, 101]), way_out, layout={"edges": "full first"}).runs[:1]
    floor = floor_of(room("Porch", [90, 101]), way_out)
    assert asked.width == 5 * TICKS_PER_INCH
    assert all(rip.is_ok for rip in solution_of(floor).best.rips)
    assert floor_of(room("Porch", [90, 101])).stops == ()


def test_a_tapered_wall_is_told_by_both_ends_of_its_rip():
    bay = room("Bay", outline=[[0, 0], [100, 0], [100, 62], [0, 61]])
    floor = floor_of(bay, layout={"edges": "stops"})
    assert (
        rips(floor)[0] == ("wall A-B", "after", Fraction(5), Fraction(5))
        or rips(floor)[0][2] == rips(floor)[0][3]
    )
    _, side, wide, narrow = rips(floor)[1]
    assert (side, wide - narrow) == ("before", 1)
    last = floor.runs[-1]
    assert (inches(last.wide), inches(last.narrow)) == (wide, narrow)


def test_stops_that_cannot_all_have_their_wish_are_named_in_the_sheet():
    planned = plan_job(
        job_of(
            PARLOUR,
            HEARTH,
            stop("hearth front", "Parlour", thing="hearth", side="before", full=True),
            stop("table edge", "Parlour", at=83, side="before", full=True),
        ),
        QUICK,
        Unwatched(),
    )
    assert [one.name for one in solution_of(planned.floor).conflict] == ["hearth front", "table edge"]
    lines = sheet(planned)
    assert any("hearth front" in line for line in lines)
    assert all(len(line) <= 80 for line in lines)


# Edge rows


@pytest.mark.parametrize(
    ("edges", "expected"),
    [
        ("auto", (5, 3)),  # 168 leaves 3, over the least rip
        ("balance", (4, 4)),
        ("full first", (5, 3)),
        ("full last", (3, 5)),
        ("halves", (Fraction(3, 2), Fraction(3, 2))),
        ("stops", (4, 4)),
    ],
)
def test_edge_rows_by_policy(edges, expected):
    assert edge_rows(floor_of(room("Parlour", [100, 168]), layout={"edges": edges})) == expected


def test_a_room_may_have_a_policy_of_its_own():
    den, hall = room("Den", [100, 168], edges="full last"), room("Hall", [100, 168])
    floor = floor_of(den, hall, layout={"edges": "balance"})
    widths = [(inches(edges.first_width), inches(edges.last_width)) for edges in floor.edges]
    (own, usual) = widths
    assert own == edge_rows(floor_of(room("Den", [100, 168]), layout={"edges": "full last"}))
    assert usual == edge_rows(floor_of(room("Den", [100, 168]), layout={"edges": "balance"}))
    assert own != usual


def test_rows_given_outright_have_no_policy():
    given = '[[room]]\nname = "Loft"\nrows = [{ length = 90, count = 3 }]\nedges = "balance"'
    (told,) = refusal_of(given)
    assert told.startswith('"balance" needs a room with walls - loft.toml: room[1].edges')


def test_a_first_width_goes_before_stops():
    floor = floor_of(PARLOUR, stop("window", "Parlour", wall="C-D", full=True), layout={"first_width": 3})
    assert edge_rows(floor) == (3, 2)
    assert floor.stops == ()


# Directions


def sheet(planned):
    besides = Besides(surveys=planned.surveys, trials=planned.trials, setout=planned.setout)
    return render_sheet(planned.plan, planned.job, planned.floor, besides=besides).splitlines()


def plan(*tables, **head):
    return plan_job(job_of(*tables, **head), QUICK, Unwatched())


LOFT = room("Loft", [61, 24])
RULES = {"stagger": 8, "min_piece": 8, "h_joint": 0, "stair_step": 0}


def test_directions_are_compared_and_the_best_is_taken():
    planned = plan(LOFT, length=36, rules=RULES, layout={"direction": "best"})
    assert [trial.degrees for trial in planned.trials] == [0, 90, 45, 135]
    best = min(planned.trials, key=lambda trial: trial.rank())
    assert planned.job.layout.direction == best.degrees
    assert planned.plan.totals.planks == best.planks == min(trial.planks for trial in planned.trials)
    lines = sheet(planned)
    (table,) = [n for n, line in enumerate(lines) if line.strip().upper() == "DIRECTIONS COMPARED"]
    assert lines[table + 2].split() == ["rows", "run", "planks", "boxes", "slivers", "joints"]
    assert sum("taken" in line for line in lines[table : table + 7]) == 1
    assert all(len(line) <= 80 for line in lines)


def test_directions_without_a_plan_are_told_and_another_is_taken():
    """The first row is wider than the floor but on the diagonal."""
    planned = plan(room("Nook", [3.5, 3.5]), layout={"direction": "best", "first_width": 4})
    assert planned.job.layout.direction in {45, 135}
    lines = sheet(planned)
    told = [line for line in lines if ": no plan (" in line]
    assert [line.strip().split(":")[0] for line in told] == ["along x", "along y"]


def test_without_a_plan_in_any_direction_the_first_one_says_why():
    with pytest.raises(JobError, match="wider than the floor inside its gaps"):
        plan(room("Nook", [2, 2]), layout={"direction": "best", "first_width": 4})


@pytest.mark.parametrize("direction", [45, 135])
def test_plans_on_the_slant_pass_the_check(direction):
    planned = plan(
        LOFT, thing("post", [20, 11], [4, 6]), length=36, rules=RULES, layout={"direction": direction}
    )
    assert planned.breaches == ()
    assert planned.plan.totals.planks > 0


def test_a_room_told_the_other_way_round_takes_as_many_planks():
    along = plan(LOFT, thing("post", [20, 11], [4, 6]), length=36, rules=RULES)
    across = plan(
        room("Loft", [24, 61]),
        thing("post", [7, 20], [6, 4]),
        length=36,
        rules=RULES,
        layout={"direction": "y"},
    )
    assert along.plan.bound.proven
    assert across.plan.bound.proven
    assert across.plan.totals.planks == along.plan.totals.planks


# Figures of the trade


def test_what_remained_mid_job():
    """A remodel diary: 91 in by 216 in left, boards of 5 in: 18 rows and 1 in, 1/2 in with a gap of 1/2 in."""
    floor = floor_of(room("Left", [216, 91]), layout={"edges": "full first"})
    assert floor.edges[0].rows == 19
    assert edge_rows(floor) == (5, 1)
    assert sum(run.area2 for run in floor.runs) == 2 * 216 * 91 * 8128**2  # 136.5 sq ft
    short = floor_of(room("Left", [216, "90-1/2"]), layout={"edges": "full first"})
    assert edge_rows(short) == (5, Fraction(1, 2))


def test_rows_over_53_ft():
    """fcimag.com, how to develop a plan for wood flooring layout: 53 ft of 3-1/4 in strip are 195.7 rows."""
    floor = floor_of(room("Great room", [40, "53 ft"]), width="3-1/4", layout={"edges": "full first"})
    last = inches(floor.runs[-1].width)
    assert len(floor.runs) == 196
    assert float(195 + last / Fraction(13, 4)) == pytest.approx(195.7, abs=0.05)


@pytest.mark.parametrize(("gap", "edge"), [(0, "17/8"), ("1/2", "13/8"), ("3/4", "11/8")])
def test_balanced_edges_of_a_room_113_and_a_half_wide(gap, edge):
    """Vector of a published case: boards of 2-3/8 in, 46 whole rows between two balanced edges."""
    floor = floor_of(room("Den", [144, 113.5]), width="2-3/8", gap=gap, layout={"edges": "balance"})
    assert edge_rows(floor) == (Fraction(edge), Fraction(edge))
    assert len(floor.runs) == 48


@pytest.mark.parametrize(
    ("across", "edges", "expected", "shared"),
    [(41, "balance", "5/2", False), (43, "halves", "3/2", True), (41, "halves", "1/2", True)],
)
def test_textbook_balance_and_what_may_share_planks(across, edges, expected, shared):
    """verydays.com: boards of 4 in with 1 in over give 2-1/2 in at both edges, which no one board holds."""
    planned = plan(
        room("Den", [40, across]),
        width=4,
        length=48,
        min_rip="1/2",
        rules={"share_rips": "yes"},
        layout={"edges": edges},
    )
    assert edge_rows(planned.floor) == (Fraction(expected), Fraction(expected))
    strips = [plank for plank in planned.plan.planks if plank.strip is not None]
    assert bool(strips) == shared
