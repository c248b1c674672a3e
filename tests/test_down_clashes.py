"""Rules that clash beside rows that lie already: two ways of deciding, tolls by the check, the least breaches."""

from dataclasses import replace

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from layings import chains, count_ways, every_laying, jogged
from planner_jobs import down_rows

from cutopt.check import Rule, check_plan
from cutopt.model.floor import Floor
from cutopt.model.job import Ends, Job, Order, PlankSpec
from cutopt.model.plan import Bound, Cutting
from cutopt.numbering import number
from cutopt.planner import Limits, plan_cuts
from cutopt.planner.clash import Answer
from cutopt.planner.clash.bend import eased
from cutopt.planner.clash.chain import decide_chain
from cutopt.planner.clash.parts import group_runs, is_chain, only
from cutopt.planner.clash.solver import decide_by_solver
from cutopt.planner.clash.toll import BREACH, total_toll
from cutopt.planner.construct.draft import replay
from cutopt.planner.construct.greedy import cut_thriftily
from cutopt.planner.limits import never
from cutopt.units import Unit

STEADY = settings(derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))
SMALL = 500


@st.composite
def beside(draw):
    """A tiny floor beside rows that lie already; runs may touch no more than they name."""
    problem = draw(st.one_of(chains(most_rows=3, plank=6), jogged(plank=5)))
    touches = st.sampled_from([None, (1,), (2,), (1, 2), ()]) if draw(st.booleans()) else st.none()
    runs = tuple(replace(run, touches=draw(touches)) for run in problem.runs)
    return replace(problem, runs=runs, down=tuple(draw(down_rows("Loft", problem.plank))))


def spec_of(problem):
    return PlankSpec(length=problem.plank, width=1, per_box=1, ends=Ends.HANDED)


def breaches(problem, laid):
    """What the check finds too close or too short, as (how many, by how much in all)."""
    floor = Floor(runs=problem.runs, down=problem.down)
    job = Job(title="", unit=Unit.MM, plank=spec_of(problem), rules=problem.rules, order=Order(), rooms=())
    plan = number(floor, Cutting(runs=laid, bound=Bound(planks=0, reason="none")), job, 0)
    found = [finding for finding in check_plan(plan) if finding.rule is not Rule.BOUND]
    assert {finding.rule for finding in found} <= {
        Rule.MIN_PIECE,
        Rule.STAGGER,
        Rule.H_JOINT,
        Rule.STAIR_STEP,
    }
    return len(found), sum(finding.wanted - finding.found for finding in found)


def tolls(problem, ways):
    return divmod(total_toll(problem, eased(problem), ways), BREACH)


@settings(STEADY, max_examples=80)
@given(beside(), st.data())
def test_any_laying_breaks_as_many_rules_by_as_much_as_the_check_finds(problem, data):
    loose = eased(problem)
    ways = [data.draw(st.integers(0, len(choices) - 1)) for choices in loose.choices]
    assert tolls(problem, ways) == breaches(problem, replay(loose, cut_thriftily(loose, ways)))


@settings(STEADY, max_examples=80)
@given(beside())
def test_two_ways_of_deciding_agree_with_trying_every_laying(problem):
    loose = eased(problem)
    if count_ways(loose) > SMALL:
        return
    can_be = min(tolls(problem, ways) for ways in every_laying(loose)) == (0, 0)
    if not all(map(len, problem.choices)):
        assert not can_be
        return
    parts = [only(problem, group) for group in group_runs(problem)]
    answers = [decide_by_solver(part, never).answer for part in parts]
    assert (set(answers) == {Answer.POSSIBLE}) is can_be
    for part, answer in zip(parts, answers, strict=True):
        assert not is_chain(part) or decide_chain(part, never).answer is answer


class Easy:
    """A watch that ends a search as soon as there is a plan."""

    planned = False

    def report(self, _bound, best, _seconds):
        self.planned = best is not None

    def stop(self):
        return self.planned


@settings(STEADY, max_examples=50)
@given(beside())
def test_a_best_effort_has_the_fewest_and_smallest_breaches(problem):
    loose = eased(problem)
    if count_ways(loose) > SMALL:
        return
    floor = Floor(runs=problem.runs, down=problem.down)
    cutting = plan_cuts(floor, spec_of(problem), problem.rules, Limits(best_effort=True), Easy())
    least = min(tolls(problem, ways) for ways in every_laying(loose))
    assert breaches(problem, cutting.runs) == least
