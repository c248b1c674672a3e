"""What guides the search: worth along chains, kinds of plans, searches by turns; and an end by their number."""

import sys
from dataclasses import replace
from itertools import islice, pairwise

import numpy as np
import pytest
from command import cutopt as as_process
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from inside import inside as cutopt
from layings import problem_of, rows_of, run
from planner_jobs import floors
from runs import run_of

from cutopt.check import check_plan
from cutopt.model.floor import Floor
from cutopt.model.job import Ends, PlankSpec, Rules, ShareOffcuts
from cutopt.model.plan import Cutting
from cutopt.planfile import read_plan
from cutopt.planner import Limits, plan_cuts
from cutopt.planner.bound import price_bound
from cutopt.planner.bound.prices import PriceList
from cutopt.planner.construct.beam import Temper, _keep_best, search
from cutopt.planner.construct.chains import can_chain, chain_worths
from cutopt.planner.construct.front import Front
from cutopt.planner.construct.guides import attempts, first_attempts, priced_hope
from cutopt.planner.construct.worth import worth_at
from cutopt.planner.exact import Answer, settle
from cutopt.planner.limits import never
from cutopt.planner.problem import build_problem

STEADY = settings(
    derandomize=True, deadline=None, max_examples=40, suppress_health_check=[HealthCheck.too_slow]
)


# Worth along chains, worked out by hand. Planks of 10; a row of 13 is laid 4 + 9, 5 + 8, ... 9 + 4, never
# from one plank.


def thirteens(count, **rules):
    return rows_of([13] * count, plank=10, **{"min_piece": 4, "max_waiting": 6} | rules)


def by_length(worth, sort="start"):
    """What planks of 0 to 10 that can give a starter (an end piece) are worth."""
    return getattr(worth, sort)(np.arange(11)).tolist()


def test_before_one_run_a_plank_earns_what_the_run_pays_less_the_fresh_plank():
    before, after = chain_worths(thirteens(2), [0.0, 1.3], holding=0.05)
    assert by_length(after) == by_length(after, "end") == [0.0] * 11
    assert by_length(before) == pytest.approx([0.0] * 4 + [0.3] * 7)
    assert by_length(before, "end") == pytest.approx([0.0] * 4 + [0.3] * 7)


def test_before_two_runs_a_plank_for_a_long_starter_earns_twice():
    # A starter of 7 or more leaves an end piece of 6 or less, whose plank has 4 left or more for the next run.
    before, *_ = chain_worths(thirteens(3), [0.0, 1.3, 1.3], holding=0.05)
    assert by_length(before) == pytest.approx([0.0] * 4 + [0.3] * 3 + [0.6] * 4)
    assert by_length(before, "end") == pytest.approx([0.0] * 4 + [0.3] * 3 + [0.6] * 4)


def test_waiting_costs_from_run_to_run_and_never_more_than_a_plank_is_worth():
    pays_last = [0.0, 0.0, 0.0, 1.3]
    worths = chain_worths(thirteens(4), pays_last, holding=0.125)
    assert [by_length(worth)[5] for worth in worths] == pytest.approx([0.05, 0.175, 0.3, 0.0])
    worths = chain_worths(thirteens(4), pays_last, holding=0.2)
    assert [by_length(worth)[5] for worth in worths] == pytest.approx([0.0, 0.1, 0.3, 0.0])


def test_whatever_a_run_pays_a_plank_that_spares_no_fresh_one_is_worth_nothing():
    # 18 is 4 + 10 + 4, 8 + 10, 10 + 8 or 9 + 9: two planks, however a plank for the starter of 4 is used.
    before, _ = chain_worths(rows_of([13, 18], plank=10, min_piece=4), [0.0, 5.0], holding=0.05)
    assert by_length(before) == pytest.approx([0.0] * 8 + [1.0] * 3)
    # 8 is one piece, or 4 + 4 from one plank.
    before, _ = chain_worths(rows_of([13, 8], plank=10, min_piece=4), [0.0, 5.0], holding=0.05)
    assert by_length(before) == pytest.approx([0.0] * 8 + [1.0] * 3)


def test_with_square_ends_one_table_is_for_either_piece():
    # A wall that slants by 2 asks for starters of 6 or more; end pieces begin at 4.
    handed, square = (
        chain_worths(
            problem_of([run(1, 13), run(2, 13, slants=(2, 0))], plank=10, min_piece=4, ends=ends),
            [0.0, 1.3],
            holding=0.05,
        )[0]
        for ends in (Ends.HANDED, Ends.SQUARE)
    )
    assert by_length(handed) == pytest.approx([0.0] * 6 + [0.3] * 5)
    assert by_length(handed, "end") == pytest.approx([0.0] * 4 + [0.3] * 7)
    assert by_length(square) == by_length(square, "end") == pytest.approx([0.0] * 4 + [0.3] * 7)


def test_single_pieces_earn_one_after_another_each_with_its_cut():
    whole, sawn = (
        chain_worths(rows_of([6, 4, 4], plank=10, min_piece=6, kerf=kerf), [0.5] * 3, holding=0.0)[0]
        for kerf in (0, 1)
    )
    for sort in ("start", "end", "both"):
        assert by_length(whole, sort) == pytest.approx([0.0] * 4 + [0.5] * 4 + [1.0] * 3)
        assert by_length(sawn, sort) == pytest.approx([0.0] * 4 + [0.5] * 5 + [1.0] * 2)


@STEADY
@given(floors(), st.data())
def test_worth_is_never_above_a_plank_and_never_falls_with_length(job, data):
    problem = build_problem(job.floor, job.plank, job.rules)
    pays = data.draw(st.lists(st.floats(0, 6), min_size=len(problem.runs), max_size=len(problem.runs)))
    holding = data.draw(st.sampled_from([0.0, 0.03, 0.2]))
    for worth in chain_worths(problem, pays, holding):
        for table in (worth.starts, worth.ends, worth.boths):
            assert table.min() >= 0
            assert table.max() <= 1
            assert (np.diff(table) >= 0).all()
        assert problem.handed or (worth.starts == worth.ends).all()


def test_chains_are_for_floors_where_places_are_few_and_tables_small():
    assert can_chain(thirteens(2))
    assert can_chain(thirteens(2, max_waiting=0))
    assert not can_chain(thirteens(2, max_waiting=None))
    assert not can_chain(rows_of([10**8], plank=10**8, max_waiting=6))


# Kinds of plans


def front_of(*plans, places=2):
    """Half-made plans: the joint of one run looked back to, and the planks kept for starters."""
    joints = np.array([[joint] for joint, *_ in plans])
    starts = np.array([[*waiting, *[0] * (places - len(waiting))] for _, *waiting in plans])
    none = np.zeros_like(starts)
    planks = np.zeros(len(plans), dtype=np.int64)
    return Front(planks=planks, first=joints, last=joints + 30, starts=starts, ends=none, boths=none)


def test_plans_are_of_one_kind_where_no_length_differs_seen_no_closer_than_the_grain():
    front = front_of((50, 23, 12), (55, 28, 11), (50, 34, 12), (61, 23, 12), (50, 23))
    closely, coarsely = front.fingerprint(), front.fingerprint(10)
    assert len(set(closely.tolist())) == 5
    assert coarsely[0] == coarsely[1]
    assert len(set(coarsely[1:].tolist())) == 4


def test_the_best_of_each_kind_is_kept_before_the_second_of_any():
    front = front_of((50, 20), (50, 21), (50, 22), (80, 20), (50, 20))
    rank = np.array([1.0, 1.1, 1.2, 2.0, 3.0])
    chance = np.random.default_rng(0)

    def kept(width, grain, hopeful=(True,) * 5):
        temper = Temper(width=width, noise=0.0, grain=grain)
        return _keep_best(front, rank, np.array(hopeful), temper, chance).tolist()

    assert kept(2, 1) == [0, 1]
    assert kept(2, 10) == [0, 3]
    assert kept(3, 10) == [0, 3, 1]
    # The last goes on just like the first.
    assert kept(9, 1) == [0, 1, 2, 3]
    assert kept(2, 10, hopeful=(False, True, True, False, True)) == [1, 2]


# Searches by turns


def one_stretch(**rules):
    return thirteens(8, **rules)


def two_rooms():
    problem = thirteens(16)
    runs = (replace(run, length=17, room="Den") if run.line > 8 else run for run in problem.runs)
    return replace(problem, runs=tuple(runs))


def turns(problem, count, seed=0):
    return list(islice(attempts(problem, price_bound(problem), seed), count))


def by_chains(attempt):
    """Say whether each run has a worth of its own, which only chains give."""
    return len({id(guide) for guide in attempt.guides}) == len(attempt.guides)


def told(attempt):
    """All that an attempt says, to be compared."""
    tables = [[one.starts.tolist(), one.ends.tolist(), one.boths.tolist()] for one in attempt.guides]
    return attempt.order.runs, attempt.temper, tables


def test_the_same_seed_makes_the_same_attempts_and_another_seed_others():
    problem = two_rooms()
    first, again, other = (list(map(told, turns(problem, 14, seed))) for seed in (0, 0, 1))
    assert first == again
    assert {temper.seed for _, temper, _ in first}.isdisjoint(temper.seed for _, temper, _ in other)


def test_one_stretch_several_and_very_many_runs_lean_on_other_guides():
    one, several, many = (
        [by_chains(attempt) for attempt in turns(problem, 12)]
        for problem in (one_stretch(), two_rooms(), thirteens(401))
    )
    assert 0 < one.count(True) < several.count(True) < many.count(True) == 12
    assert (one[0], several[0]) == (False, True)
    assert by_chains(next(first_attempts(thirteens(401), 0)))
    assert not by_chains(next(first_attempts(thirteens(400), 0)))


def test_where_any_number_may_wait_nothing_leans_on_chains():
    assert not any(by_chains(attempt) for attempt in turns(one_stretch(max_waiting=None), 24))


def test_a_lean_that_comes_again_leans_by_another_amount():
    # Planks wait over rows that have no use for them, so that waiting costs.
    problem = rows_of([13, 19, 16, 14] * 2, plank=10, min_piece=4, max_waiting=6)
    chains = [attempt for attempt in turns(problem, 21) if by_chains(attempt)]
    assert len(chains) == 3
    tables = [told(attempt)[2] for attempt in chains]
    assert all(one != other for one, other in pairwise(tables))


# An end by the number of searches

OPEN = """unit = "mm"
[plank]
length = 1220
width = 180
per_box = 8
ends = "handed"
kerf = 3
[rules]
stagger = 305
min_piece = 330
h_joint = 50
stair_step = 0
cut_step = 6
gap = 0
max_waiting = 2
[[room]]
name = "Net loft"
rows = [{ length = 2515, count = 8 }]
"""


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "job.toml").write_text(OPEN, encoding="utf-8")
    return tmp_path


def test_counted_searches_give_every_process_the_same_plan(folder):
    args = ("plan", "job.toml", "--searches", "2", "--json", "-")
    one, other = (as_process(*args, cwd=folder, env={"PYTHONHASHSEED": seed}) for seed in ("1", "2"))
    assert one.returncode == 0
    assert one.stdout == other.stdout
    assert b"the search was ended after 2 searches" in one.stdout


def test_no_search_at_all_still_gives_a_checked_plan_and_says_what_ended_it(folder):
    done = cutopt("plan", "job.toml", "--searches", "0", "--json", "plan.json", cwd=folder)
    assert done.returncode == 0
    assert "the search was ended after 0 searches" in done.stdout.decode()
    assert check_plan(read_plan((folder / "plan.json").read_text(encoding="utf-8"))) == ()


def test_fewer_searches_than_none_are_refused(folder):
    done = cutopt("plan", "job.toml", "--searches", "-1", cwd=folder)
    assert done.returncode == 2
    assert done.stdout == b""
    assert "'--searches'" in done.stderr.decode()
    with pytest.raises(ValueError, match="not -1"):
        Limits(searches=-1)


class Looks:
    """A watch that counts what it is told and ends nothing."""

    def __init__(self):
        self.reports = 0

    def report(self, bound, best, seconds):  # noqa: ARG002 - what a watch is told
        self.reports += 1

    def stop(self):
        return False


def test_as_many_searches_are_made_as_may_be():
    made = []
    for searches in (0, 3):
        looks = Looks()
        runs = tuple(run_of(row, 2515) for row in range(1, 9))
        spec = PlankSpec(length=1220, width=180, per_box=8, ends=Ends.HANDED, kerf=3)
        rules = Rules(stagger=305, min_piece=330, h_joint=50, stair_step=0, cut_step=6, max_waiting=2)
        plan_cuts(Floor(runs=runs), spec, rules, Limits(seconds=600, searches=searches), looks)
        made.append(looks.reports)
    # Told of the bound by area and of the quick search; then of each search.
    assert made == [2, 5]


def test_a_question_that_may_take_no_work_stays_open():
    problem = thirteens(4)
    assert settle(problem, 8, never).answer is Answer.FOUND
    assert settle(problem, 8, never, work=0).answer is Answer.UNDECIDED


def test_planks_that_wait_for_single_pieces_are_worth_what_these_are():
    # Two runs of 4 fill a plank of 10 but for 2: five planks, which a hope without single pieces rules out.
    problem = rows_of([4] * 10, plank=10, min_piece=3, max_waiting=6)
    priced = price_bound(problem)
    assert priced.planks == 5
    first = next(attempts(problem, priced, 0))
    hope = priced_hope(priced, first.order)
    draft = search(first.order.problem, first.guides, hope=hope, at_most=5, temper=first.temper)
    assert draft is not None
    assert draft.planks == 5


def test_a_waiting_plank_earns_single_pieces_and_a_starter_together():
    prices = PriceList(
        plank=100,
        lengths=np.array([3]),
        start=np.array([[25]]),
        end=np.array([[45]]),
        single=({4: 50},),
        border=np.zeros(0, dtype=np.int64),
    )
    worth = worth_at(rows_of([4] * 2, plank=10, min_piece=3), prices, 0)
    lengths = np.arange(11)
    assert worth.start(lengths).tolist() == [0, 0, 0, 0.25, 0.5, 0.5, 0.5, 0.75, 1, 1, 1]
    assert worth.end(lengths).tolist() == [0, 0, 0, 0.45, 0.5, 0.5, 0.5, 0.95, 1, 1, 1]
    assert worth.both(lengths).tolist() == [0, 0, 0, 0.45, 0.5, 0.5, 0.7, 0.95, 1, 1, 1.2]


def flats(count):
    """Flats of a hall and a den, one after another; offcuts stay in their room."""
    rooms = [
        (f"{name} {flat}", length, rows)
        for flat in range(count)
        for name, length, rows in (("Hall", 25, 3), ("Den", 37, 4))
    ]
    runs, row = [], 0
    for room, length, rows in rooms:
        for line in range(1, rows + 1):
            row += 1
            runs.append(run_of(line, length, room=room, row=row))
    return Floor(runs=tuple(runs))


def by_room(floor):
    rules = Rules(
        stagger=2, min_piece=3, h_joint=0, stair_step=0, cut_step=1, share_offcuts=ShareOffcuts.ROOM
    )
    spec = PlankSpec(length=10, width=1, per_box=1, ends=Ends.HANDED, kerf=0)
    return plan_cuts(floor, spec, rules, Limits(seconds=5))


def test_rooms_that_are_alike_are_planned_once_and_cut_from_planks_of_their_own():
    one, many = by_room(flats(1)), by_room(flats(300))
    lengths = [[piece.length for piece in pieces] for pieces in one.runs]
    assert [[piece.length for piece in pieces] for pieces in many.runs] == lengths * 300
    assert many.bound.planks == 300 * one.bound.planks
    rooms = [
        {piece.plank for pieces in many.runs[at : at + 7] for piece in pieces} for at in range(0, 2100, 7)
    ]
    assert len(set.union(*rooms)) == sum(map(len, rooms))
    assert set.union(*rooms) == set(range(1, sum(map(len, rooms)) + 1))


def test_rooms_not_proven_are_named(monkeypatch):
    doubted = replace(by_room(flats(1)).bound, proven=False)
    monkeypatch.setattr(
        sys.modules["cutopt.planner.solve"],
        "_plan",
        lambda problem, _: Cutting(runs=((),) * len(problem.runs), bound=doubted),
    )
    reason = by_room(flats(3)).bound.reason
    assert reason.endswith('; fewest in each but "Hall 0", "Den 0", "Hall 1", "Den 1" and 2 more')
