"""Jobs to study in inches, and a planner that never plans."""

from dataclasses import replace
from fractions import Fraction

from rooms import inch, job, size

from cutopt.errors import CutoptError
from cutopt.model.estimate import Figure, Losses, StudyRow
from cutopt.model.job import CataloguePlank, Job, PlankSpec
from cutopt.model.pricing import StudySpec, Varied, Vary
from cutopt.model.rooms import RowSpec, RowsRoom, RunSpec
from cutopt.pipeline import plan_job
from cutopt.planner import Limits, Unwatched
from cutopt.units import Unit

__all__ = ["all_boxes", "catalogue", "closet", "figure_of", "real_boxes", "row", "small", "studied"]


def small(along="100", across="35", **settings) -> Job:
    """One room that is planned at once."""
    return job(size(along, across), **settings)


def studied(one: Job, *vary: tuple[Varied, tuple[object, ...]], every=False) -> Job:
    choices = tuple(Vary(what=what, choices=choices) for what, choices in vary)
    return replace(one, study=StudySpec(vary=choices, every=every))


def catalogue(one: Job, **lengths) -> Job:
    """Planks by name, like the job's but for their length in inches."""
    planks = (
        CataloguePlank(name=name, plank=replace(one.plank, length=inch(length), kerf=inch("1/8")))
        for name, length in lengths.items()
    )
    return replace(one, catalogue=tuple(planks))


def closet(*lengths: str) -> RowsRoom:
    """Rows given outright, by their lengths in inches."""
    rows = tuple(RowSpec(runs=(RunSpec(offset=0, length=inch(length)),)) for length in lengths)
    return RowsRoom(name="Closet", rows=rows)


def figure_of(*, planks: int, boxes: int, plank: PlankSpec, price=None) -> Figure:
    none, whole = Fraction(0), Fraction(1000)
    losses = Losses(
        net=whole,
        slants=none,
        rips=none,
        kerf=none,
        ends=Fraction(planks),
        culls=none,
        spare=none,
        rounding=none,
    )
    return Figure(
        title="",
        unit=Unit.IN,
        plank=plank,
        culls=none,
        spare=0,
        planks=planks,
        bound=planks,
        boxes=boxes,
        cuts=0,
        pieces=planks,
        losses=losses,
        habits=(),
        unopened=0,
        price=price,
    )


def row(figure: Figure | None, name="") -> StudyRow:
    return StudyRow(changed=(), name=name, figure=figure)


def all_boxes(of):
    """A planner of many jobs by what one needs, and the sizes of what it was asked for at once."""
    asked = []

    def boxes_of(jobs):
        asked.append(len(jobs))
        return [of(one) for one in jobs]

    return boxes_of, asked


def real_boxes(one: Job) -> int | None:
    try:
        return plan_job(one, Limits(seconds=60, searches=1), Unwatched()).plan.totals.boxes
    except CutoptError:
        return None
