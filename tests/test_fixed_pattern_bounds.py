"""Bounds of fixed patterns: planks for chosen pieces held to matchings in general graphs, and prices."""

from dataclasses import replace

import networkx as nx
import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from pattern_floors import fewest_planks, job_of
from runs import run_of

from cutopt.model.job import Ends, Pattern
from cutopt.planner.bound import price_bound
from cutopt.planner.fixed.bounds import bound_by_prices
from cutopt.planner.fixed.laid import lay_on
from cutopt.planner.fixed.pieces import Pieces
from cutopt.planner.fixed.pieces import fewest_planks as counted_planks
from cutopt.planner.fixed.refusal import legal_starts
from cutopt.planner.limits import never
from cutopt.planner.problem import build_problem

STEADY = settings(derandomize=True, deadline=None, max_examples=120)


def rows_of(length, count, pattern, **rules):
    return job_of([run_of(line, length) for line in range(1, count + 1)], pattern, **rules)


def test_prices_know_that_runs_within_a_plank_may_be_cut_in_two():
    rows = [("Loft", 1), ("Loft", 2), ("Loft", 3), ("Bay", 1), ("Bay", 2)]
    runs = [run_of(line, 8, room=room, row=row) for row, (room, line) in enumerate(rows, 1)]
    job = job_of(runs, Pattern.HALF, plank=12, min_piece=2, max_waiting=None)
    problem = build_problem(job.floor, job.plank, job.rules)
    assert (
        bound_by_prices(problem, legal_starts(problem).fields, [(0, 0)], 1000, never) <= fewest_planks(job)[0]
    )


def test_prices_for_all_starts_prove_what_those_of_the_only_start_do():
    # Between these rooms four planks may wait at the price of one: given back once, however often rooms are mixed.
    rows = [("Loft", line, 1700) for line in range(1, 13)] + [("Bay", line, 3100) for line in range(1, 13)]
    runs = [run_of(line, length, room=room, row=row) for row, (room, line, length) in enumerate(rows, 1)]
    job = job_of(runs, Pattern.HALF, plank=1200, max_waiting=4)
    problem = build_problem(job.floor, job.plank, job.rules)
    fields = legal_starts(problem).fields
    starts = 550, 650
    only = [
        replace(field, possible=np.arange(len(field)) == start)
        for field, start in zip(fields, starts, strict=True)
    ]
    alone = price_bound(lay_on(problem, only, starts, rounding=True))
    assert alone.given_back == alone.prices.plank
    assert bound_by_prices(problem, only, [starts] * 3, 1000, never) == alone.planks == 53


@STEADY
@given(
    st.lists(st.tuples(st.integers(1, 12), st.integers(1, 12)), min_size=1, max_size=7),
    st.integers(0, 2),
    st.sampled_from(Ends),
)
def test_planks_for_chosen_pieces_are_a_largest_matching(rows, loss, ends):
    plank = 12
    columns = np.array(rows, dtype=np.int64)
    none = np.zeros(0, dtype=np.int64)
    pieces = Pieces(
        starter=columns[:, :1],
        end=columns[:, 1:],
        between=np.ones((len(rows), 1), dtype=np.int64),
        count=np.ones(len(rows), dtype=np.int64),
        single=none,
        single_count=none,
    )
    job = rows_of(30, 2, Pattern.HALF, plank=plank, ends=ends, kerf=loss)
    problem = build_problem(job.floor, job.plank, job.rules)
    graph = nx.Graph()
    every = [("starter", s) for s, _ in rows] + [("end", e) for _, e in rows]
    graph.add_nodes_from(range(len(every)))
    graph.add_edges_from(
        (a, b)
        for a, (ours, one) in enumerate(every)
        for b, (theirs, other) in enumerate(every)
        if a < b and one + other + loss <= plank and (ends is Ends.SQUARE or ours != theirs)
    )
    paired = len(nx.max_weight_matching(graph, maxcardinality=True))
    # A plank between in every row, and every piece a plank but for those that share one.
    wanted = len(rows) + len(every) - paired
    by_length = -(-(sum(length + loss for _, length in every) + len(rows) * (plank + loss)) // (plank + loss))
    assert by_length <= wanted
    assert counted_planks(pieces, problem).tolist() == [wanted]
