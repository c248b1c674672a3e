"""Where rules clash: the fewest and smallest breaches, and plans made without a search."""

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from inside import inside as cutopt
from job_texts import ATTIC
from layings import (
    INCH,
    SIXTEENTH,
    STEADY,
    attic,
    chains,
    checked,
    count_ways,
    every_laying,
    jogged,
    keeps_all,
    rows_of,
    run,
    shortfalls,
)

from cutopt.check import Rule as Checked
from cutopt.errors import NoPlanInTimeError, RulesClashError
from cutopt.model.floor import Floor
from cutopt.model.job import Ends, Pattern, PlankSpec, Rules
from cutopt.planner import Limits, plan_cuts
from cutopt.planner.clash import bend_rules
from cutopt.planner.clash.bend import eased, least_broken
from cutopt.planner.clash.fewest import fewest_breaches
from cutopt.planner.clash.parts import is_chain
from cutopt.planner.clash.rest import bent_problem
from cutopt.planner.clash.toll import BREACH, total_toll
from cutopt.planner.clash.tries import try_laying
from cutopt.planner.construct.draft import replay
from cutopt.planner.construct.greedy import cut_thriftily
from cutopt.planner.limits import Clock, Unwatched, never
from cutopt.planner.problem import build_problem

SMALL = 3000


def least(problem, loose):
    """The fewest breaches, and among those the least they fall short, by trying every laying."""
    found = (shortfalls(problem, loose, ways) for ways in every_laying(loose))
    return min((len(short), sum(short)) for short in found)


@settings(STEADY, max_examples=80)
@given(st.one_of(chains(plank=6), jogged(plank=5)))
def test_breaches_are_fewest_and_smallest_by_trying_every_laying(problem):
    loose = eased(problem)
    if count_ways(loose) > SMALL:
        return
    ways = least_broken(problem, never, 0)
    short = shortfalls(problem, loose, ways)
    assert divmod(total_toll(problem, loose, ways), BREACH) == (len(short), sum(short))
    assert (len(short), sum(short)) == least(problem, loose)


@settings(STEADY, max_examples=80)
@given(chains(plank=6))
def test_breaches_counted_row_by_row_are_fewest_by_trying_every_laying(problem):
    loose = eased(problem)
    if count_ways(loose) > SMALL or not is_chain(problem):
        return
    ways = fewest_breaches(problem, loose, never)
    assert len(shortfalls(problem, loose, ways)) == least(problem, loose)[0]


def test_the_worked_example_breaks_rules_in_3_places():
    # Rows 1-3, 4-6 and 7-9 cannot be laid within the rules, so no fewer will do.
    problem = attic()
    assert len(shortfalls(problem, eased(problem), least_broken(problem, never, 0))) == 3


def test_in_haste_there_is_an_answer_all_the_same():
    problem = attic()
    ways = least_broken(problem, lambda: True, 0)
    assert len(ways) == 10
    assert len(shortfalls(problem, eased(problem), ways)) < 10


@settings(STEADY, max_examples=80)
@given(st.one_of(chains(plank=6), jogged(plank=5)))
def test_once_breaches_are_chosen_no_laying_of_the_rest_breaks_more(problem):
    loose = eased(problem)
    ways = least_broken(problem, never, 0)
    short = shortfalls(problem, loose, ways)
    bent = bent_problem(problem, loose, ways)
    if count_ways(bent) > SMALL:
        return
    layings = [laying for laying in every_laying(bent) if keeps_all(bent, laying)]
    assert layings
    for laying in layings:
        assert sorted(shortfalls(problem, bent, laying)) == sorted(short)


def test_runs_far_from_a_breach_keep_their_freedom():
    problem = rows_of([13, 28, 28, 28], plank=10, min_piece=7, cut_step=1)
    bent = bent_problem(problem, eased(problem), least_broken(problem, never, 0))
    assert [len(choices) for choices in bent.choices] == [1, 3, 3, 3]


class Easy:
    """A watch that ends a search as soon as there is a plan."""

    planned = False

    def report(self, _bound, best, _seconds):
        self.planned = best is not None

    def stop(self):
        return self.planned


BENT = {Checked.MIN_PIECE, Checked.STAGGER, Checked.H_JOINT, Checked.STAIR_STEP}


@settings(STEADY, max_examples=50)
@given(st.one_of(chains(plank=6), jogged(plank=5)), st.sampled_from([0, 1, None]))
def test_the_independent_check_finds_the_fewest_breaches_and_no_others(problem, max_waiting):
    loose = eased(problem)
    if count_ways(loose) > SMALL:
        return
    spec = PlankSpec(length=problem.plank, width=1, per_box=1, ends=Ends.HANDED)
    rules = replace(problem.rules, max_waiting=max_waiting)
    cutting = plan_cuts(Floor(runs=problem.runs), spec, rules, Limits(best_effort=True), Easy())
    findings = checked(replace(problem, rules=rules), spec, cutting.runs)[1]
    assert {finding.rule for finding in findings} <= BENT
    short = [finding.wanted - finding.found for finding in findings]
    assert (len(short), sum(short)) == least(problem, loose)


def test_a_best_effort_without_time_for_a_search_is_a_sound_cutting():
    def no_time(_problem, _clock):
        raise NoPlanInTimeError

    problem = attic()
    spec = PlankSpec(length=problem.plank, width=1, per_box=1, ends=Ends.HANDED)
    clock = Clock(Limits(best_effort=True), Unwatched())
    cutting = bend_rules(problem, RulesClashError(), clock, no_time)
    assert {finding.rule for finding in checked(problem, spec, cutting.runs)[1]} <= BENT


def test_a_run_that_cannot_be_laid_is_refused_before_any_search():
    runs = (run(1, 100), run(2, 37))
    spec = PlankSpec(length=36, width=1, per_box=1, ends=Ends.HANDED)
    rules = Rules(stagger=0, min_piece=19, h_joint=0, stair_step=0, cut_step=1)
    with pytest.raises(RulesClashError, match="min piece"):
        plan_cuts(Floor(runs=runs), spec, rules, Limits(seconds=60))


def short_on_pattern(rows, plank, shift, start, min_piece):
    """How many pieces are short when the pattern starts so; rows are over a plank and begin alike."""
    short = 0
    for line, length in enumerate(rows, 1):
        first = (start + line * shift - 1) % plank + 1
        pieces = first, (length - first - 1) % plank + 1
        short += sum(piece < min_piece for piece in pieces)
    return short


@settings(STEADY, max_examples=60)
@given(
    st.lists(st.integers(13, 40), min_size=1, max_size=5),
    st.sampled_from([(Pattern.HALF, 6), (Pattern.THIRD, 4)]),
    st.integers(1, 6),
)
def test_a_pattern_is_kept_and_breaks_no_more_than_its_best_start(rows, pattern, min_piece):
    name, shift = pattern
    rules = Rules(stagger=shift - 1, min_piece=min_piece, h_joint=0, stair_step=0, cut_step=1, pattern=name)
    spec = PlankSpec(length=12, width=1, per_box=1, ends=Ends.SQUARE)
    floor = Floor(runs=tuple(run(line, length) for line, length in enumerate(rows, 1)))
    cutting = plan_cuts(floor, spec, rules, Limits(best_effort=True), Easy())
    findings = checked(build_problem(floor, spec, rules), spec, cutting.runs)[1]
    assert {finding.rule for finding in findings} <= {Checked.MIN_PIECE}
    starts = product((shift, -shift), range(12))
    assert len(findings) <= min(short_on_pattern(rows, 12, *start, min_piece) for start in starts)


SPECS = {ends: PlankSpec(length=20, width=1, per_box=1, ends=ends, kerf=1) for ends in Ends}


@st.composite
def floors(draw):
    """Rows of up to three runs that keep their rules however they are laid, and any cap on waiting."""
    runs = []
    for line in range(1, draw(st.integers(1, 8)) + 1):
        at = 0
        for nth in range(1, draw(st.integers(1, 3)) + 1):
            length = draw(st.integers(1, 50))
            runs.append(run(line, length, offset=at, nth=nth))
            at += length + 1
    spec = SPECS[draw(st.sampled_from(Ends))]
    rules = Rules(
        stagger=0,
        min_piece=draw(st.integers(1, 4)),
        h_joint=0,
        stair_step=0,
        cut_step=1,
        max_waiting=draw(st.sampled_from([None, 0, 1, 2, 6])),
    )
    return build_problem(Floor(runs=tuple(runs)), spec, rules), spec


@settings(STEADY, max_examples=150)
@given(floors(), st.randoms(use_true_random=False))
def test_a_thrifty_cutting_of_any_laying_passes_the_check(made, chance):
    problem, spec = made
    ways = [chance.randrange(len(choices)) for choices in problem.choices]
    draft = cut_thriftily(problem, ways)
    plan, findings = checked(problem, spec, replay(problem, draft))
    assert findings == []
    assert plan.totals.planks == draft.planks


@pytest.mark.parametrize(("max_waiting", "planks"), [(None, 3), (2, 3), (1, 4), (0, 4)])
def test_offcuts_are_used_as_far_as_they_may_wait(max_waiting, planks):
    # Starter 6 and end piece 8, then starter 2 and end piece 4: each from the other's plank.
    problem = rows_of([14, 16], plank=10, max_waiting=max_waiting)
    ways = [
        choices.first.tolist().index(first) for choices, first in zip(problem.choices, (6, 2), strict=True)
    ]
    assert cut_thriftily(problem, ways).planks == planks


def test_ten_thousand_rows_are_cut_thriftily():
    rows = [(100 + 7919 * row % 40) * INCH for row in range(10_000)]
    problem = rows_of(rows, plank=36 * INCH, stagger=6 * INCH, min_piece=6 * INCH, cut_step=SIXTEENTH)
    draft = cut_thriftily(problem, try_laying(problem, never))
    assert len(replay(problem, draft)) == 10_000
    assert draft.planks * 36 * INCH < 1.05 * sum(rows)


def test_best_effort_prints_the_sheet_with_each_breach_marked_and_exits_1(tmp_path):
    (tmp_path / "job.toml").write_text(ATTIC.replace("count = 10", "count = 3"), encoding="utf-8")
    done = cutopt("plan", "job.toml", "--best-effort", "--json", "plan.json", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (1, b"")
    sheet = done.stdout.decode()
    assert "!! BEST EFFORT: this plan breaks the rules in 1 place" in sheet
    assert sheet.count("\n  !! ") == 1
    assert "cannot be kept" in sheet.partition("NOTES")[2]
    again = cutopt("check", "plan.json", cwd=tmp_path)
    assert again.returncode == 1
