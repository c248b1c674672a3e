"""Floors for the planner, drawn by Hypothesis, and their plans; one tick stands for one step of the saw."""

from dataclasses import dataclass, replace

from enumerator import layings_at_most
from hypothesis import strategies as st
from runs import run_of

from cutopt.check import check_plan
from cutopt.errors import RulesClashError
from cutopt.model.floor import DownRun, Floor
from cutopt.model.job import Ends, Job, Lay, Order, PlankSpec, Rules, ShareOffcuts
from cutopt.model.plan import Plan
from cutopt.numbering import number
from cutopt.planner import Limits, plan_cuts
from cutopt.units import Unit

__all__ = [
    "FloorJob",
    "clash_of",
    "cutting_of",
    "down_rows",
    "floors",
    "jogged_jobs",
    "mirrored",
    "off_step_jobs",
    "planned",
    "row_jobs",
    "settled_jobs",
]

MOST_LAYINGS = 800
LOOKS = 120
# Once a plan is as good as its bound the search looks only for one with fewer planks waiting, which no law on
# planks asks for. A search looks once a row, so this is one search for many rows or a few for few.
TIDYING = 15


@dataclass(frozen=True)
class FloorJob:
    """What the planner is asked, written so that a failing example can be read."""

    floor: Floor
    plank: PlankSpec
    rules: Rules

    def ruled(self, **changed):
        return replace(self, rules=replace(self.rules, **changed))

    def with_plank(self, **changed):
        return replace(self, plank=replace(self.plank, **changed))

    def job(self):
        return Job(title="", unit=Unit.MM, plank=self.plank, rules=self.rules, order=Order(), rooms=())

    def __repr__(self):
        runs = [
            (r.room, r.line, r.offset, r.length, *((r.left_slant, r.right_slant) if slanted(r) else ()))
            for r in self.floor.runs
        ]
        plank, rules = self.plank, self.rules
        return (
            f"<runs (room, line, offset, length, slants) {runs}; plank {plank.length} {plank.ends.value} kerf "
            f"{plank.kerf}; stagger {rules.stagger} min_piece {rules.min_piece} h_joint {rules.h_joint} "
            f"stair_step {rules.stair_step} cut_step {rules.cut_step} fit {rules.fit} max_waiting "
            f"{rules.max_waiting} {rules.lay.value} share {rules.share_offcuts.value}"
            + "".join(f"; down {d.field} {d.line} {d.offset} {d.length} {d.joints}" for d in self.floor.down)
            + "".join(
                f"; {r.row}.{r.run} touches {r.touches}" for r in self.floor.runs if r.touches is not None
            )
            + ">"
        )


class Patience:
    """A watch that ends a search so many looks after it has a plan: no clock decides one."""

    def __init__(self, looks):
        self.looks = self.left = looks

    def report(self, bound, best, seconds):  # noqa: ARG002 - what a watch is told
        if best is None:  # a room begins, or has no plan yet
            self.left = self.looks
        elif best == bound:  # what follows only tidies up
            self.left = min(self.left, TIDYING)

    def stop(self):
        self.left -= 1
        return self.left < 0


def cutting_of(job, *, seed=0, looks=LOOKS):
    """What the planner answers within some looks at its search."""
    limits = Limits(seconds=600, seed=seed)
    return plan_cuts(job.floor, job.plank, job.rules, limits, Patience(looks))


def planned(job: FloorJob, *, seed=0, looks=LOOKS) -> Plan | None:
    """The checked plan of a floor, ``None`` where the planner proves that its rules clash."""
    try:
        cutting = cutting_of(job, seed=seed, looks=looks)
    except RulesClashError:
        return None
    plan = number(job.floor, cutting, job.job(), seed)
    assert check_plan(plan) == ()
    assert [laid.run for laid in plan.rows] == list(job.floor.runs)
    assert plan.totals.planks >= plan.bound.planks
    assert cutting.bound.proven == (plan.totals.planks == plan.bound.planks)
    return plan


def clash_of(job: FloorJob) -> str:
    """What the planner says where it proves that the rules clash; empty where it does not."""
    try:
        cutting_of(job)
    except RulesClashError as clash:
        return str(clash)
    return ""


def slanted(run):
    return run.left_slant or run.right_slant


def mirrored(job):
    """The floor seen in a mirror and laid from the other side."""
    runs = tuple(
        replace(run, offset=-run.right, left_slant=run.right_slant, right_slant=run.left_slant)
        for run in job.floor.runs
    )
    other = {Lay.LEFT_TO_RIGHT: Lay.RIGHT_TO_LEFT, Lay.RIGHT_TO_LEFT: Lay.LEFT_TO_RIGHT}
    down = tuple(
        replace(run, offset=-run.right, joints=tuple(-joint for joint in reversed(run.joints)))
        for run in job.floor.down
    )
    return replace(job, floor=Floor(runs=runs, down=down)).ruled(lay=other[job.rules.lay])


@st.composite
def _planks(draw):
    return PlankSpec(
        length=draw(st.integers(8, 16)),
        width=100,
        per_box=8,
        ends=draw(st.sampled_from(Ends)),
        kerf=draw(st.sampled_from([0, 0, 1, 2])),
    )


@st.composite
def _rules(draw, plank, cut_steps):
    return Rules(
        stagger=draw(st.integers(0, plank.length // 3)),
        min_piece=draw(st.integers(1, plank.length // 3)),
        h_joint=draw(st.integers(0, 2)),
        stair_step=draw(st.integers(0, 2)),
        cut_step=draw(st.sampled_from(cut_steps)),
        fit=draw(st.sampled_from([0, 0, 0, 1])),
        max_waiting=draw(st.sampled_from([None, None, 6, 6, 2, 2, 1, 0])),
        lay=draw(st.sampled_from(Lay)),
        share_offcuts=draw(st.sampled_from([ShareOffcuts.JOB, ShareOffcuts.JOB, ShareOffcuts.ROOM])),
    )


def _few_enough(job):
    """Leave the last rows out until everything can be tried."""
    runs = job.floor.runs
    while len(runs) > 1 and layings_at_most(Floor(runs=runs), job.plank, job.rules) > MOST_LAYINGS:
        runs = runs[:-1]
    return replace(job, floor=replace(job.floor, runs=runs))


@st.composite
def down_rows(draw, field, plank):
    """One or two rows of up to two runs that lie already, regular or of planks of any length."""
    found = []
    for line in (0, -1)[: draw(st.integers(1, 2))]:
        at = draw(st.integers(-4, 4))
        for _ in range(draw(st.integers(1, 2))):
            length = draw(st.integers(2, 3 * plank))
            inner = range(at + 1, at + length)
            regular = inner[draw(st.integers(0, plank - 1)) :: plank]
            joints = regular if draw(st.booleans()) else draw(st.sets(st.sampled_from(inner), max_size=4))
            found.append(
                DownRun(field=field, line=line, offset=at, length=length, joints=tuple(sorted(joints)))
            )
            at += length + draw(st.integers(0, 2))
    return found


@st.composite
def settled_jobs(draw):
    """Tiny floors beside rows that lie already, some with runs that touch no more than they name.

    The rules are strict: else hardly any joint that lies already matters.
    """
    job = draw(st.one_of(row_jobs(), jogged_jobs()))
    plank = job.plank.length
    job = job.ruled(
        stagger=draw(st.integers(plank // 4, plank // 2)),
        min_piece=draw(st.integers(1, plank // 2)),
        h_joint=draw(st.integers(0, plank // 3)),
        stair_step=draw(st.integers(0, plank // 3)),
    )
    fields = dict.fromkeys(run.field for run in job.floor.runs)
    down = [run for field in fields for run in draw(down_rows(field, plank))]
    parted = draw(st.booleans())
    touches = st.one_of(st.none(), st.sets(st.integers(1, 2)).map(lambda found: tuple(sorted(found))))
    runs = tuple(replace(run, touches=draw(touches) if parted else None) for run in job.floor.runs)
    return replace(job, floor=Floor(runs=runs, down=tuple(down)))


@st.composite
def row_jobs(draw, cut_steps=(1,)):
    """Two to five rows of one run, in one room or two, alike or not, some walls slanted."""
    plank = draw(_planks())
    rules = draw(_rules(plank, cut_steps))
    alike = draw(st.booleans())
    length = draw(st.integers(2, 3 * plank.length + 2))
    second_room = draw(st.integers(2, 9))
    slanted = draw(st.integers(0, 3)) == 0
    runs = []
    for row in range(1, draw(st.integers(2, 5)) + 1):
        own = length if alike else draw(st.integers(2, 3 * plank.length + 2))
        slants = (draw(st.integers(-1, 1)), draw(st.integers(-1, 1))) if slanted else (0, 0)
        offset = 0 if alike else draw(st.integers(0, 4))
        room, line = ("Loft", row) if row < second_room else ("Den", row - second_room + 1)
        runs.append(run_of(line, own, offset=offset, room=room, row=row, slants=slants))
    return _few_enough(FloorJob(Floor(runs=tuple(runs)), plank, rules))


@st.composite
def jogged_jobs(draw, cut_steps=(1,)):
    """Rows of one or two runs, so that runs touch several."""
    plank = draw(_planks())
    rules = draw(_rules(plank, cut_steps))
    runs = []
    for row in range(1, draw(st.integers(2, 3)) + 1):
        at = draw(st.integers(0, 4))
        for nth in range(1, draw(st.integers(1, 2)) + 1):
            length = draw(st.integers(2, 2 * plank.length))
            runs.append(run_of(row, length, offset=at, nth=nth))
            at += length + draw(st.integers(1, 3))
    return _few_enough(FloorJob(Floor(runs=tuple(runs)), plank, rules))


@st.composite
def off_step_jobs(draw):
    """Tiny floors whose lengths, or rules alone, are no multiples of the cut step."""
    if draw(st.booleans()):
        return draw(st.one_of(row_jobs(cut_steps=(2, 3)), jogged_jobs(cut_steps=(2, 3))))
    job = draw(st.one_of(row_jobs(), jogged_jobs()))
    runs = tuple(
        replace(
            run,
            offset=2 * run.offset,
            length=2 * run.length,
            left_slant=2 * run.left_slant,
            right_slant=2 * run.right_slant,
        )
        for run in job.floor.runs
    )
    amounts = {
        rule: max(least, 2 * getattr(job.rules, rule) - draw(st.integers(0, 1)))
        for rule, least in (("min_piece", 1), ("stagger", 0), ("h_joint", 0), ("stair_step", 0))
    }
    plank = replace(job.plank, length=2 * job.plank.length, kerf=2 * job.plank.kerf)
    rules = replace(job.rules, **amounts, fit=2 * job.rules.fit, cut_step=2)
    return _few_enough(FloorJob(Floor(runs=runs), plank, rules))


@st.composite
def floors(draw):
    """Four to ten rows, alike or not, in planks of some dozen steps: too many layings to try them all."""
    length = draw(st.integers(20, 48))
    plank = PlankSpec(
        length=length,
        width=100,
        per_box=8,
        ends=draw(st.sampled_from(Ends)),
        kerf=draw(st.sampled_from([0, 1])),
    )
    rules = Rules(
        stagger=draw(st.integers(0, length // 4)),
        min_piece=draw(st.integers(1, length // 4)),
        h_joint=draw(st.integers(0, 3)),
        stair_step=draw(st.integers(0, 3)),
        cut_step=1,
        fit=draw(st.sampled_from([0, 0, 1])),
        max_waiting=draw(st.sampled_from([6, 2, None])),
        lay=draw(st.sampled_from(Lay)),
    )
    rows = draw(st.integers(4, 10))
    along = st.integers(length // 2, 4 * length)
    lengths = [draw(along)] * rows if draw(st.booleans()) else [draw(along) for _ in range(rows)]
    runs = [
        run_of(row, along, offset=0 if len(set(lengths)) == 1 else draw(st.integers(0, length // 2)))
        for row, along in enumerate(lengths, 1)
    ]
    return FloorJob(Floor(runs=tuple(runs)), plank, rules)
