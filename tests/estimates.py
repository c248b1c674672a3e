"""Jobs and tallies by their figures alone, with nothing laid."""

from decimal import Decimal
from fractions import Fraction

from cutopt.model.estimate import Tally
from cutopt.model.job import Ends, Job, Order, PlankSpec, Rules
from cutopt.model.pricing import Pricing, RiskSpec
from cutopt.units import TICKS_PER_MM, Unit

__all__ = ["PLANK", "job_of", "tally_of"]

PLANK = PlankSpec(length=1000 * TICKS_PER_MM, width=200 * TICKS_PER_MM, per_box=8, ends=Ends.HANDED)
RULES = Rules(stagger=0, min_piece=0, h_joint=0, stair_step=0, cut_step=1)


def job_of(plank=PLANK, *, culls=0, spare=0, damage=(0, 0), title="Loft", **pricing):
    """A job without rooms; ``pricing`` as the job file has it."""
    money = {"return_fee", "trip", "delay"}
    return Job(
        title=title,
        unit=Unit.MM,
        plank=plank,
        rules=RULES,
        order=Order(culls=Fraction(culls), spare=spare),
        rooms=(),
        pricing=Pricing(**{key: Decimal(str(one)) if key in money else one for key, one in pricing.items()}),
        risk=RiskSpec(damage=(Fraction(damage[0]), Fraction(damage[1]))),
    )


def tally_of(job, planks, *, lost=(1, 2, 3, 4), bound=None):
    """So many planks of a job; ``lost`` are percent of them gone to slants, rips, kerf and ends."""
    whole2 = 2 * planks * job.plank.length * job.plank.width
    slants2, rips2, kerf2, ends2 = (whole2 * share // 100 for share in lost)
    return Tally(
        planks=planks,
        bound=planks if bound is None else bound,
        cuts=planks // 2,
        pieces=2 * planks,
        peak_waiting=3,
        net2=whole2 - slants2 - rips2 - kerf2 - ends2,
        slants2=slants2,
        rips2=rips2,
        kerf2=kerf2,
        ends2=ends2,
        reason="as told",
    )
