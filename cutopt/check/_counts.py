"""The counts a plan states: waiting planks, totals and the bound, counted anew."""

import math
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from itertools import accumulate

from cutopt.check._finding import Amount, Fault, Finding
from cutopt.check._ledger import Ledger, room_left
from cutopt.check._nesting import saved_among
from cutopt.model.plan import Plan
from cutopt.units import TICKS_PER_MM, Ticks

__all__ = ["check_counts"]

_FLOAT_NOISE = Fraction(1, 10**12)


def check_counts(ledger: Ledger) -> Iterator[Finding]:
    """Yield every count that the plan's own pieces do not bear out."""
    totals, planks = ledger.plan.totals, ledger.opened()
    row, peak = _peak_waiting(ledger)
    most = ledger.plan.rules.max_waiting
    if most is not None and peak > most:
        yield Finding(fault=Fault.TOO_MANY_WAITING, rows=(row,), found=peak, wanted=most)
    yield from _compare(Fault.PLANKS, totals.planks, planks)
    yield from _compare(Fault.BOXES, totals.boxes, _boxes(planks, ledger.plan))
    yield from _compare(Fault.CUTS, totals.cuts, _cuts(ledger))
    yield from _compare(Fault.PEAK_WAITING, totals.peak_waiting, peak)
    yield from _areas(ledger)
    yield from _bound(ledger.plan, planks)


def _compare(fault: Fault, found: Amount, wanted: Amount) -> Iterator[Finding]:
    if found != wanted:
        yield Finding(fault=fault, found=found, wanted=wanted)


def _peak_waiting(ledger: Ledger) -> tuple[int, int]:
    """Return the first row after which most planks wait, and how many.

    A plank waits after its first row and every later one, until its last piece is laid.
    """
    change: dict[int, int] = {}
    for uses in ledger.taken.values():
        rows = [used.row for used in uses]
        first, last = min(rows), max(rows)
        if first < last:
            change[first] = change.get(first, 0) + 1
            change[last] = change.get(last, 0) - 1
    rows_in_order = sorted(change)
    waiting = list(accumulate(change[row] for row in rows_in_order))
    peak = max(waiting, default=0)
    return (rows_in_order[waiting.index(peak)] if peak else 0), peak


def _boxes(planks: int, plan: Plan) -> int:
    """Return the boxes that cover planks, culls and spare, rounded up once."""
    needed = Fraction(planks) / (1 - plan.order.culls) + plan.order.spare
    return math.ceil(needed / plan.plank.per_box)


def _cuts(ledger: Ledger) -> int:
    """Count crosscuts: m - 1 for m pieces of a plank or strip, and one more where anything is left over."""
    kerf = ledger.plan.plank.kerf
    return sum(
        len(uses) - 1 + (room_left(uses, length, kerf) + saved_among(uses, ledger) > 0)
        for uses, length in ledger.parts()
    )


def _areas(ledger: Ledger) -> Iterator[Finding]:
    plan = ledger.plan
    net = Fraction(sum(laid.run.area2 for laid in plan.rows), 2)
    net_mm2 = net / TICKS_PER_MM**2
    if not _states(plan.totals.net_area_mm2, net_mm2):
        yield Finding(fault=Fault.NET_AREA, found=plan.totals.net_area_mm2, wanted=_rounded(net_mm2))
    if net <= 0:
        return
    lengths = sum(ledger.plank_length(plank) + _lost(plank, ledger) for plank in ledger.taken)
    opened = (lengths + len(plan.spoiled) * plan.plank.length) * plan.plank.width
    waste = (opened / net - 1) * 100
    if not _states(plan.totals.waste_factor_percent, waste):
        yield Finding(
            fault=Fault.WASTE_FACTOR, found=plan.totals.waste_factor_percent, wanted=_rounded(waste)
        )


def _lost(plank: int, ledger: Ledger) -> Ticks:
    """Return what was spoiled of a plank."""
    cut = ledger.listed.get(plank)
    return cut.lost if cut else 0


def _states(stated: float, exact: Fraction) -> bool:
    """Whether a figure is the exact one, rounded to as many decimals as it is given with."""
    if not math.isfinite(stated):
        return False
    exponent = Decimal(repr(stated)).as_tuple().exponent
    decimals = max(1, -int(exponent))
    allowed = Fraction(1, 2 * 10**decimals) + abs(exact) * _FLOAT_NOISE
    return abs(Fraction(stated) - exact) <= allowed


def _rounded(exact: Fraction) -> float:
    return float(round(exact, 4))


def _bound(plan: Plan, planks: int) -> Iterator[Finding]:
    """Hold the bound against the planks: above them it is false, equal to them it proves the plan."""
    bound = plan.bound
    if bound.planks > planks:
        yield Finding(fault=Fault.BOUND_ABOVE, found=bound.planks, wanted=planks)
    elif bound.proven and bound.planks < planks:
        yield Finding(fault=Fault.NOT_PROVEN, found=bound.planks, wanted=planks)
    elif not bound.proven and bound.planks == planks:
        yield Finding(fault=Fault.IS_PROVEN, found="not proven", wanted="proven")
