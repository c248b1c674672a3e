"""Mends of layouts by chance: what is mended is mended, nothing new is broken, and no move is larger than need be."""

from itertools import product

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from mendings import INCH, UNCOUNTED, faults, lengths_of, plan_of, starters
from planner_jobs import jogged_jobs, planned, row_jobs, settled_jobs

from cutopt.check import Rule, check_plan
from cutopt.mend import mend
from cutopt.mend._around import around
from cutopt.mend._moves import moves
from cutopt.mend._recut import can_be_recut, recut
from cutopt.model.job import Lay

STEADY = settings(
    derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much]
)
LOOKS = 40  # ends with a plan all but always
PLANK, STEP = 48 * INCH, INCH // 2
JOINTS = {Rule.STAGGER, Rule.H_JOINT, Rule.STAIR_STEP}
NEAR = {"stagger": Rule.STAGGER, "H-joint": Rule.H_JOINT, "stair-step": Rule.STAIR_STEP}


@st.composite
def good_layouts(draw):
    """Rows by their starters, each drawn among all that keep the rules; the room's length; which way it is laid."""
    length = draw(st.integers(130, 480)) * STEP
    strict = {"stagger": 6 * INCH, "min_piece": 8 * INCH, "h_joint": INCH, "stair_step": INCH}
    lay = draw(st.sampled_from(Lay))
    rows = []
    for _ in range(draw(st.integers(3, 9))):
        able = [at for at in range(STEP, PLANK + 1, STEP) if _keeps([*rows, at], length, strict)]
        if not able:
            break
        rows.append(draw(st.sampled_from(able)))
    return rows, length, lay, strict


def _keeps(rows, length, rules):
    def apart(one, other):
        return _around_the_plank(one - other)

    last = rows[-1]
    end = (length - last) % PLANK or PLANK
    return (
        min(last, end) >= rules["min_piece"]
        and (len(rows) < 2 or apart(last, rows[-2]) >= rules["stagger"])
        and (len(rows) < 3 or apart(last, rows[-3]) >= rules["h_joint"])
        and (len(rows) < 3 or apart(last + rows[-3], 2 * rows[-2]) >= rules["stair_step"])
    )


def _plan(rows, length, lay, rules):
    lengths = [lengths_of(start, length, PLANK) for start in rows]
    return plan_of(lengths, plank=PLANK, lay=lay, cut_step=STEP, **rules)


@settings(STEADY, max_examples=60)
@given(good_layouts(), st.data())
def test_a_planted_shift_is_mended_by_a_move_no_larger(layout, data):
    rows, length, lay, rules = layout
    assert faults(_plan(*layout)) == {}
    row = data.draw(st.integers(0, len(rows) - 1))
    shift = data.draw(st.integers(1, PLANK // STEP - 1)) * STEP
    shifted = [*rows[:row], (rows[row] + shift) % PLANK or PLANK, *rows[row + 1 :]]
    plan = _plan(shifted, length, lay, rules)
    before = faults(plan)
    assume(before)
    for key in before:
        done = mend(plan, key[1], faults, key)
        assert done is not None
        assert _around_the_plank(done.after - done.before) <= _around_the_plank(shift)
        after = faults(done.plan)
        assert after < before
        assert after[key] < before[key]
        assert done.also == before.total() - after.total() - 1
        moved = [
            nth for nth, (a, b) in enumerate(zip(shifted, starters(done.plan), strict=True), 1) if a != b
        ]
        assert moved == [done.row]


@settings(STEADY, max_examples=15)
@given(st.lists(st.integers(4, 24), min_size=2, max_size=4), st.integers(40, 120), st.sampled_from(Lay))
def test_no_smaller_move_mends(starts, length, lay):
    """Against laying the breach's rows from every start that there is; steps of 2 in."""
    rules = {"stagger": 6 * INCH, "min_piece": 8 * INCH, "h_joint": 2 * INCH, "stair_step": 2 * INCH}
    coarse = 2 * INCH
    rows = [start * coarse for start in starts]

    def laid(rows):
        lengths = [lengths_of(start, length * coarse, PLANK) for start in rows]
        return plan_of(lengths, plank=PLANK, lay=lay, **rules | {"cut_step": coarse})

    plan = laid(rows)
    before = faults(plan)
    assume(before)
    key = min(before)
    sizes = []
    for row, start in product(key[1], range(coarse, PLANK + 1, coarse)):
        after = faults(laid([*rows[: row - 1], start, *rows[row:]]))
        if after < before and after[key] < before[key]:
            sizes.append(_around_the_plank(start - rows[row - 1]))
    done = mend(plan, key[1], faults, key)
    assert (_around_the_plank(done.after - done.before) if done else None) == min(sizes, default=None)


def _around_the_plank(shift):
    return min(shift % PLANK, -shift % PLANK)


TINY = st.one_of(row_jobs(), jogged_jobs(), settled_jobs())


@settings(STEADY, max_examples=40)
@given(TINY, st.data())
def test_a_run_laid_anew_is_cut_from_planks_that_there_are(job, data):
    """Slanted walls, square and handed ends, kerfs and shared planks: whatever moves, only rules of the trade break."""
    plan = planned(job, looks=LOOKS)
    assume(plan)
    able = [(laid, move) for laid in plan.rows if can_be_recut(plan, laid) for move in moves(plan, laid)]
    assume(able)
    laid, move = data.draw(st.sampled_from(able))
    done = recut(plan, move)
    broken = {finding.rule for finding in check_plan(done.plan)} - UNCOUNTED
    assert broken <= JOINTS | {Rule.MIN_PIECE, Rule.MAX_WAITING, Rule.CUT_STEP}
    assert [len(run.pieces) for run in done.plan.rows if run.run is not laid.run] == [
        len(run.pieces) for run in plan.rows if run.run is not laid.run
    ]
    before = faults(done.plan)
    for key in sorted(before)[:2]:
        mended = mend(done.plan, key[1], faults, key)
        if mended:
            assert faults(mended.plan) < before
            assert faults(mended.plan)[key] < before[key]


@settings(STEADY, max_examples=40)
@given(TINY, st.data())
def test_the_sieve_finds_what_the_check_finds(job, data):
    plan = planned(job, looks=LOOKS)
    assume(plan)
    able = [move for laid in plan.rows if can_be_recut(plan, laid) for move in moves(plan, laid)]
    assume(able)
    plan = recut(plan, data.draw(st.sampled_from(able))).plan
    near = {
        (NEAR.get(rule, Rule.MIN_PIECE), rows)
        for laid in plan.rows
        for rule, rows, _ in around(plan, laid).breaches(around(plan, laid).own_joints)
    }
    checked = {(f.rule, f.rows) for f in check_plan(plan) if f.rule in JOINTS | {Rule.MIN_PIECE}}
    assert near == checked
