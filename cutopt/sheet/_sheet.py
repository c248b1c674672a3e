"""The whole sheet, in the order it is read."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from cutopt.model.directions import DirectionTrial
from cutopt.model.floor import Floor
from cutopt.model.hand import LotShare
from cutopt.model.job import Job
from cutopt.model.plan import Plan
from cutopt.model.setout import NOTHING_SET_OUT, SetOut
from cutopt.model.survey import SurveyReport
from cutopt.model.tolerance import RowTolerance
from cutopt.model.words import Block, Heading, Line
from cutopt.sheet._along import along_rows
from cutopt.sheet._cautions import cautions
from cutopt.sheet._directions import directions
from cutopt.sheet._leftovers import leftovers
from cutopt.sheet._lengths import Lengths
from cutopt.sheet._round import areas, doorways, run_limits, things
from cutopt.sheet._rows import cut_sheet
from cutopt.sheet._sections import assumed, notes, order, result, rooms, summary, title
from cutopt.sheet._setout import laying_order, working_lines
from cutopt.sheet._stock import in_hand
from cutopt.sheet._stops import stops
from cutopt.sheet._survey import survey
from cutopt.sheet._text import printed
from cutopt.sheet._tolerance import allowed, tolerance

__all__ = ["BARE", "Besides", "render_sheet", "summary"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Besides:
    """What a sheet tells besides the plan.

    Surveys, directions compared, what is set out, how far walls may be out, a small picture, and what is
    taken of what is in hand, where that was told.
    """

    surveys: tuple[SurveyReport, ...] = ()
    trials: tuple[DirectionTrial, ...] = ()
    setout: SetOut = NOTHING_SET_OUT
    tolerances: tuple[RowTolerance, ...] = ()
    picture: str = ""
    shares: tuple[LotShare, ...] = ()


BARE = Besides()
"""Nothing besides the plan."""


def render_sheet(
    plan: Plan,
    job: Job,
    floor: Floor,
    breaches: Mapping[int, Sequence[str]] | None = None,
    besides: Besides = BARE,
) -> str:
    """Return the printed result of a plan: plain lines of at most 80 columns, ended by a line feed.

    ``breaches`` holds, by row number, what a best-effort plan could not keep there; each is marked
    ``!!`` under its row. The text is ASCII but for what the job file brings in.
    """
    setout = besides.setout
    above = (
        title(plan, breaches or {}),
        assumed(plan, job),
        survey(besides.surveys, job.unit),
        rooms(plan, floor),
        areas(setout, plan),
        directions(besides.trials, job.layout.direction),
        *(stops(solution, Lengths.of(plan), datum="the origin of the plan") for _, solution in floor.stops),
        along_rows(floor.along, plan),
        run_limits(setout, plan),
        in_hand(plan, besides.shares) if besides.shares else order(plan),
        result(plan, broken=bool(breaches)),
        notes(plan, job, floor),
        _picture(besides.picture),
        working_lines(setout, plan),
        doorways(setout, plan),
        things(setout, plan),
        laying_order(setout, plan),
    )
    below = (leftovers(plan), tolerance(besides.tolerances, plan), cautions(plan))
    allowances = {one.name: allowed(one, plan.unit) for one in besides.tolerances}
    cuts = cut_sheet(plan, breaches or {}, allowances=allowances)
    lines = [*_printed(above), *cuts, *_printed(below)]
    return "\n".join(lines) + "\n"


def _printed(parts: Iterable[Iterable[Block]]) -> list[str]:
    return printed(block for part in parts for block in part)


def _picture(text: str) -> list[Block]:
    return [Heading("Picture"), *map(Line, text.splitlines())] if text else []
