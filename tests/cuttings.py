"""Cuttings that are right by construction: planks cut into legal parts first, rows put together from them."""

from dataclasses import dataclass

from hypothesis import strategies as st

from cutopt.model.floor import Floor, Run
from cutopt.model.job import Ends, Job, Lay, Order, PlankSpec, Rules
from cutopt.model.plan import Bound, Cutting, Part, PieceCut
from cutopt.units import Unit

P = 1000
STEP = 1


@dataclass(frozen=True)
class Case:
    """A job without rules on joints, its floor, and a cutting of it."""

    job: Job
    floor: Floor
    cutting: Cutting


def job_of(*, ends=Ends.HANDED, kerf=0, lay=Lay.LEFT_TO_RIGHT, per_box=8, order=None):
    return Job(
        title="Slip house",
        unit=Unit.MM,
        plank=PlankSpec(length=P, width=100, per_box=per_box, ends=ends, kerf=kerf),
        rules=Rules(
            stagger=0, min_piece=1, h_joint=0, stair_step=0, cut_step=STEP, max_waiting=None, lay=lay
        ),
        order=order or Order(),
        rooms=(),
    )


def floor_of(lengths):
    runs = tuple(
        Run(room="A", field="A", line=n, row=n, run=1, offset=0, length=length, width=100, area2=200 * length)
        for n, length in enumerate(lengths, 1)
    )
    return Floor(runs=runs)


def case_of(rows, job=None):
    """Rows of (part, length, plank), in the order laid."""
    runs = tuple(
        tuple(PieceCut(part=part, length=length, plank=plank) for part, length, plank in row) for row in rows
    )
    planks = len({piece.plank for run in runs for piece in run})
    return Case(
        job=job or job_of(),
        floor=floor_of([sum(piece.length for piece in run) for run in runs]),
        cutting=Cutting(runs=runs, bound=Bound(planks=planks, reason="by construction")),
    )


_KEEPERS = {
    Ends.HANDED: [(), (Part.STARTER,), (Part.END,), (Part.STARTER, Part.END)],
    Ends.SQUARE: [
        (),
        (Part.STARTER,),
        (Part.END,),
        (Part.STARTER, Part.END),
        (Part.STARTER, Part.STARTER),
        (Part.END, Part.END),
    ],
}


@st.composite
def _plank(draw, ends, kerf):
    """The parts of one plank: (part, length), within the plank's length."""
    parts = [*draw(st.sampled_from(_KEEPERS[ends])), *[Part.SINGLE] * draw(st.integers(0, 3))]
    if not parts:
        return [(Part.WHOLE, P)]
    room = P - kerf * (len(parts) - 1) - len(parts)
    cuts = sorted(draw(st.lists(st.integers(0, room), min_size=len(parts), max_size=len(parts))))
    if draw(st.booleans()):
        cuts[-1] = room  # used up exactly
    lengths = [1 + after - before for before, after in zip([0, *cuts], cuts, strict=False)]
    return [
        (Part.WHOLE if length == P else part, length)
        for part, length in zip(draw(st.permutations(parts)), lengths, strict=True)
    ]


@st.composite
def cases(draw):
    ends = draw(st.sampled_from(Ends))
    kerf = draw(st.integers(0, 5))
    planks = draw(st.lists(_plank(ends, kerf), min_size=1, max_size=8))
    parts = [(part, length, plank) for plank, of_plank in enumerate(planks) for part, length in of_plank]
    parts = draw(st.permutations(parts))
    starters, ends_, wholes, singles = (
        [item for item in parts if item[0] is kind]
        for kind in (Part.STARTER, Part.END, Part.WHOLE, Part.SINGLE)
    )
    rows = [[single] for single in singles]
    fresh = len(planks)
    while starters or ends_:
        first = starters.pop() if starters else (Part.WHOLE, P, fresh)
        last = ends_.pop() if ends_ else (Part.WHOLE, P, fresh + 1)
        rows.append([first, *([wholes.pop()] if wholes and draw(st.booleans()) else []), last])
        fresh += 2
    rows += [[whole] for whole in wholes]
    job = job_of(ends=ends, kerf=kerf, lay=draw(st.sampled_from(Lay)))
    return case_of(draw(st.permutations(rows)), job)
