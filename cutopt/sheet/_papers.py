"""What is told on printed papers: the sections of the sheet, its rows, and the lists beside them."""

from collections.abc import Iterable, Mapping, Sequence

from cutopt.model.floor import Floor
from cutopt.model.job import Job
from cutopt.model.papers import PaperWords
from cutopt.model.plan import Plan
from cutopt.model.words import Block, Heading
from cutopt.sheet._cautions import cautions
from cutopt.sheet._directions import directions
from cutopt.sheet._leftovers import leftovers
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._round import areas, doorways, run_limits, things, warnings
from cutopt.sheet._rows import how_to_read
from cutopt.sheet._saw import rips, saw_settings
from cutopt.sheet._sections import assumed, notes, order, product_first, result, rooms, summary, unkept
from cutopt.sheet._setout import laying_order, working_lines
from cutopt.sheet._sheet import BARE, Besides
from cutopt.sheet._stops import stops
from cutopt.sheet._survey import survey
from cutopt.sheet._text import clean, para
from cutopt.sheet._tolerance import tolerance
from cutopt.sheet._work import rows_to_lay

__all__ = ["paper_words"]


def paper_words(
    plan: Plan,
    job: Job,
    floor: Floor,
    breaches: Mapping[int, Sequence[str]] | None = None,
    besides: Besides = BARE,
) -> PaperWords:
    """Return what the printed papers say of a plan; the arguments are those of :func:`render_sheet`."""
    setout, broken = besides.setout, breaches or {}
    cover = (
        unkept(broken),
        [product_first()],
        rooms(plan, floor),
        areas(setout, plan),
        order(plan),
        result(plan, broken=bool(broken)),
        notes(plan, job, floor),
        cautions(plan),
        warnings(setout),
        assumed(plan, job),
        survey(besides.surveys, job.unit),
        directions(besides.trials, job.layout.direction),
        *(stops(solution, Lengths.of(plan), datum="the origin of the plan") for _, solution in floor.stops),
        run_limits(setout, plan),
    )
    setting_out = (
        working_lines(setout, plan),
        doorways(setout, plan),
        things(setout, plan),
        laying_order(setout, plan),
        tolerance(besides.tolerances, plan),
    )
    return PaperWords(
        title=clean(plan.title) or "Floor plan",
        answer=summary(plan, broken=bool(broken)),
        cover=_joined(cover),
        setting_out=_joined(setting_out),
        legend=tuple(map(para, how_to_read(plan))),
        rows=rows_to_lay(plan, broken),
        settings=saw_settings(plan),
        rips=rips(plan),
        leftovers=_body(leftovers(plan)),
    )


def _joined(parts: Iterable[Iterable[Block]]) -> tuple[Block, ...]:
    return tuple(block for part in parts for block in part)


def _body(section: Iterable[Block]) -> tuple[Block, ...]:
    """Return a section without its heading, for a page that has one."""
    return tuple(block for block in section if not isinstance(block, Heading))
