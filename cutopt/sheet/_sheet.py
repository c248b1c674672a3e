"""The whole sheet, in the order it is read."""

from collections.abc import Mapping, Sequence

from cutopt.model.floor import Floor
from cutopt.model.job import Job
from cutopt.model.plan import Plan
from cutopt.sheet._cautions import cautions
from cutopt.sheet._leftovers import leftovers
from cutopt.sheet._rows import cut_sheet
from cutopt.sheet._sections import assumed, notes, order, result, rooms, summary, title

__all__ = ["render_sheet", "summary"]


def render_sheet(
    plan: Plan, job: Job, floor: Floor, breaches: Mapping[int, Sequence[str]] | None = None
) -> str:
    """Return the printed result of a plan: plain lines of at most 80 columns, ended by a line feed.

    ``breaches`` holds, by row number, what a best-effort plan could not keep there; each is marked
    ``!!`` under its row. The text is ASCII but for what the job file brings in.
    """
    parts = (
        title(plan, breaches or {}),
        assumed(plan, job),
        rooms(plan, floor),
        order(plan),
        result(plan, broken=bool(breaches)),
        notes(plan, job, floor),
        cut_sheet(plan, breaches or {}),
        leftovers(plan),
        cautions(plan),
    )
    return "\n".join(line for part in parts for line in part) + "\n"
