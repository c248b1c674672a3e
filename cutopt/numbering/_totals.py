"""The counts a plan states."""

from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate
from math import ceil

from cutopt.model.floor import Floor
from cutopt.model.job import Job
from cutopt.model.plan import Source, Totals
from cutopt.numbering._arrange import Arranged
from cutopt.units import TICKS_PER_MM

__all__ = ["totals"]


def totals(floor: Floor, planks: Sequence[Arranged], job: Job, spoiled: int) -> Totals:
    """Return planks, boxes, crosscuts, the worst number of waiting planks, net area and waste factor.

    ``spoiled`` whole planks count among those opened, parts that were in hand do not; all count as waste.
    """
    net = Fraction(sum(run.area2 for run in floor.runs), 2)
    # The strips of one plank count once.
    count = len({plank.cut.plank for plank in planks if plank.cut.source is Source.BOX}) + spoiled
    whole = job.plank.length
    lengths = sum((plank.cut.length or whole) + plank.cut.lost for plank in planks if plank.cut.strip is None)
    opened = (lengths + spoiled * whole) * job.plank.width
    return Totals(
        planks=count,
        boxes=_boxes(count, job),
        cuts=sum(plank.cuts for plank in planks),
        peak_waiting=_peak_waiting(planks),
        net_area_mm2=float(net / TICKS_PER_MM**2),
        waste_factor_percent=float((opened / net - 1) * 100),
    )


def _boxes(planks: int, job: Job) -> int:
    """Return the boxes that cover planks, culls and spare, rounded up once."""
    need = planks / (1 - job.order.culls) + job.order.spare
    return ceil(need / job.plank.per_box)


def _peak_waiting(planks: Sequence[Arranged]) -> int:
    """Return how many planks wait after the worst row: one waits from its first row until its last."""
    spans: defaultdict[int, list[int]] = defaultdict(list)
    for plank in planks:
        spans[plank.cut.plank] += [plank.first_row, plank.last_row]
    change = [0] * (max((plank.last_row for plank in planks), default=0) + 1)
    for rows in spans.values():
        change[min(rows)] += 1
        change[max(rows)] -= 1
    return max(accumulate(change))
