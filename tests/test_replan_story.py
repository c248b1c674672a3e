"""Histories of a floor by chance: rows laid, pieces and planks spoiled, rows measured anew, parts found; and on again."""

from collections import Counter, defaultdict
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test
from plan_documents import NAMES, PLANS

from cutopt.check import check_plan
from cutopt.errors import JobError, NoPlanInTimeError, RulesClashError
from cutopt.jobfile import read_job
from cutopt.model.hand import Lot, Stock
from cutopt.model.job import KeepLots
from cutopt.model.plan import HandPart, Keeps, Source
from cutopt.model.replan import Changes, RowMeasure
from cutopt.pipeline import look, plan_job, replan
from cutopt.planfile import read_plan, write_plan
from cutopt.planner import Limits
from cutopt.planner.limits import Unwatched
from cutopt.units import TICKS_PER_INCH

EXAMPLES = sorted((Path(__file__).parents[1] / "examples").glob("*.toml"))
QUICK = Limits(seconds=0.15, searches=0)
STORED = {name: read_plan(PLANS / f"{name}.json") for name in NAMES}

shares = st.floats(0, 1, exclude_max=True)


def planned_again(plan, **changes):
    return replan(plan, Changes(**changes), QUICK, Unwatched())


def last_row(plan):
    return plan.rows[-1].run.row


def chosen(share, values):
    return values[int(share * len(values))]


class Floor(RuleBasedStateMachine):
    """A floor on its way, and by the side of it what was done to every plank of it."""

    def __init__(self):
        super().__init__()
        self.plan = None
        self.laid = 0
        self.gone = defaultdict(Counter)  # of every plank the lengths that were cut from it and are spoiled
        self.closed = {}  # planks that are lost, and the pieces they had given by then
        self.supply = None

    @initialize(name=st.sampled_from(NAMES))
    def begin(self, name):
        self.plan = STORED[name]
        self.supply = self.plan.totals.boxes * self.plan.plank.per_box

    def go_on(self, **changes):
        """Replan, or find that it cannot be done, which changes nothing; hold what lay there before."""
        before = self.plan
        try:
            again = planned_again(before, laid_rows=self.laid, **changes)
        except (JobError, RulesClashError, NoPlanInTimeError):
            return None
        self.plan = again.plan
        kept = {(row.run.field, row.run.line, row.run.run): row for row in again.left.kept}
        after = {(row.run.field, row.run.line, row.run.run): row for row in again.plan.rows}
        for place, row in kept.items():
            assert [piece.length for piece in after[place].pieces] == [piece.length for piece in row.pieces]
            assert after[place].run == row.run
            lost = again.left.replaced
            for now, then in zip(after[place].pieces, row.pieces, strict=True):
                if then.id not in lost:
                    assert (now.plank, now.left, now.right) == (then.plank, then.left, then.right)
        if changes.get("stock"):
            have = changes["stock"].planks
            self.supply = None if have is None else have + again.plan.totals.planks - again.fresh
        self.count(again)
        return again

    def count(self, again):
        """Planks opened and fresh ones are all there are; what is in hand is what was bought less those opened."""
        opened = again.plan.totals.planks - again.fresh
        boxed = {plank.plank for plank in again.plan.planks if plank.source is Source.BOX}
        assert again.plan.totals.planks == len(boxed) + len(again.plan.spoiled)
        assert 0 <= again.fewest <= again.fresh
        if self.supply is not None and again.have is not None:
            assert again.have == max(0, self.supply - opened)
        missing = 0 if again.have is None else max(0, again.fresh - again.have)
        assert again.short >= missing if again.shares else again.short == missing

    @rule(share=shares)
    def lay_rows(self, share):
        if self.plan:
            self.laid = min(last_row(self.plan) - 1, self.laid + 1 + int(2 * share))
            before = self.plan.totals.planks
            again = self.go_on()
            assert again is None or again.plan.totals.planks <= before

    @rule(share=shares)
    def spoil_a_piece(self, share):
        to_lay = (
            [piece for row in self.plan.rows if row.run.row > self.laid for piece in row.pieces]
            if self.plan
            else []
        )
        if to_lay:
            piece = chosen(share, to_lay)
            before = self.plan
            if self.go_on(spoiled=(piece.id,)) and self.plan is not before:
                self.gone[piece.plank][piece.length] += 1

    @rule(share=shares)
    def spoil_a_plank(self, share):
        if self.plan:
            number = chosen(share, self.plan.planks).plank
            again = self.go_on(spoiled=(f"p{number}",))
            if again:
                given = [
                    piece.length for row in again.plan.rows for piece in row.pieces if piece.plank == number
                ]
                self.closed[number] = sorted(given)

    @rule(share=shares, inches=st.integers(-6, 6))
    def measure_a_row(self, share, inches):
        if self.plan:
            row = self.laid + 1 + int(share * (last_row(self.plan) - self.laid))
            self.go_on(rows={row: RowMeasure(longer=inches * TICKS_PER_INCH // 2)})

    @rule(inches=st.integers(-6, 6))
    def measure_the_rest(self, inches):
        if self.plan:
            self.go_on(rest=inches * TICKS_PER_INCH // 4)

    @rule(share=shares)
    def measure_across(self, share):
        if self.plan:
            self.go_on(left_across=1 + int(share * 4 * self.plan.plank.width))

    @rule(
        planks=st.none() | st.integers(0, 12),
        share=shares,
        keeps=st.sampled_from(Keeps),
        count=st.integers(0, 3),
    )
    def find_parts(self, planks, share, keeps, count):
        if self.plan:
            length = self.plan.plank.length // 4 + int(share * self.plan.plank.length * 3 / 4)
            self.go_on(stock=Stock(planks=planks, parts=(HandPart(length=length, keeps=keeps),) * count))

    @rule(counts=st.lists(st.integers(0, 8), min_size=2, max_size=3), keep=st.sampled_from(KeepLots))
    def find_lots(self, counts, keep):
        """Lots are told only once: what was used of each later is not counted."""
        if self.plan and self.plan.rules.lots is KeepLots.MIX:
            lots = tuple(Lot(name=name, planks=planks) for name, planks in zip("ABC", counts, strict=False))
            self.go_on(stock=Stock(planks=sum(counts), lots=lots, keep=keep))

    @invariant()
    def every_plan_holds_and_is_stored_whole(self):
        if self.plan:
            assert check_plan(self.plan) == ()
            assert read_plan(write_plan(self.plan)) == self.plan
            assert look(self.plan, Changes(laid_rows=self.laid)).plan == self.plan

    @invariant()
    def no_plank_is_used_twice(self):
        if not self.plan:
            return
        cut = defaultdict(Counter)
        for row in self.plan.rows:
            for piece in row.pieces:
                cut[piece.plank][piece.length] += 1
        begun = {plank.plank for plank in self.plan.planks if plank.done or plank.lost}
        for number in begun:
            lengths = [*cut[number].elements(), *self.gone[number].elements()]
            used = sum(lengths) + (len(lengths) - 1) * self.plan.plank.kerf
            saved = (
                0 if not any(row.run.left_slant or row.run.right_slant for row in self.plan.rows) else used
            )
            assert used - saved <= self.plan.plank.length
        for number, given in self.closed.items():
            assert number not in begun or sorted(cut[number].elements()) == given


def test_no_history_breaks_a_rule_a_count_or_the_program():
    run_state_machine_as_test(
        Floor,
        settings=settings(derandomize=True, deadline=None, max_examples=24, stateful_step_count=7),
    )


@pytest.mark.parametrize("name", NAMES)
def test_going_on_after_any_row_of_a_stored_plan_takes_no_more_planks(name):
    plan = STORED[name]
    for laid in range(last_row(plan) + 1):
        again = planned_again(plan, laid_rows=laid)
        assert again.plan.totals.planks <= plan.totals.planks
        assert again.plan.bound.planks >= min(plan.bound.planks, again.plan.totals.planks) or not again.same
        assert check_plan(again.plan) == ()


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_going_on_within_an_example_takes_no_more_planks(path):
    plan = plan_job(read_job(path), Limits(seconds=1, searches=0), Unwatched()).plan
    again = planned_again(plan, laid_rows=last_row(plan) // 2)
    assert again.plan.totals.planks <= plan.totals.planks
    assert check_plan(again.plan) == ()
