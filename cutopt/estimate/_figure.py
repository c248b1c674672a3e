"""The figure of one job, and of several that are ordered together."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Self

from cutopt.estimate._boxes import (
    HABITS,
    boxes_needed,
    habit_boxes,
    plank_mm2,
    planks_needed,
    printed_coverage,
)
from cutopt.estimate._money import price_and_tax
from cutopt.model.estimate import Figure, Habit, Losses, Tally
from cutopt.model.job import Job, PlankSpec
from cutopt.units import TICKS_PER_MM, Unit

__all__ = ["figure", "same_order", "together"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Terms:
    """What an order is of and how it is reckoned."""

    title: str
    unit: Unit
    plank: PlankSpec
    culls: Fraction
    tax: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sum:
    """What adds up over jobs: counts, and areas in square millimetres."""

    jobs: int = 0
    planks: int = 0
    bound: int = 0
    spare: int = 0
    cuts: int = 0
    pieces: int = 0
    net: Fraction = Fraction(0)
    slants: Fraction = Fraction(0)
    rips: Fraction = Fraction(0)
    kerf: Fraction = Fraction(0)
    ends: Fraction = Fraction(0)

    def plus(self, other: Self, count: int) -> "_Sum":
        """Return this and ``count`` times another."""
        return _Sum(
            jobs=self.jobs + count * other.jobs,
            planks=self.planks + count * other.planks,
            bound=self.bound + count * other.bound,
            spare=self.spare + count * other.spare,
            cuts=self.cuts + count * other.cuts,
            pieces=self.pieces + count * other.pieces,
            net=self.net + count * other.net,
            slants=self.slants + count * other.slants,
            rips=self.rips + count * other.rips,
            kerf=self.kerf + count * other.kerf,
            ends=self.ends + count * other.ends,
        )


def figure(job: Job, tally: Tally) -> Figure:
    """Return what a job comes to: boxes for planks, culls and spare rounded up once, their price, and all losses.

    Price and tax are rounded to the cent, half a cent up.
    """
    terms = _Terms(
        title=job.title, unit=job.unit, plank=job.plank, culls=job.order.culls, tax=job.pricing.tax
    )
    return _ordered(
        terms,
        _Sum(
            jobs=1,
            planks=tally.planks,
            bound=tally.bound,
            spare=job.order.spare,
            cuts=tally.cuts,
            pieces=tally.pieces,
            net=_mm2(tally.net2),
            slants=_mm2(tally.slants2),
            rips=_mm2(tally.rips2),
            kerf=_mm2(tally.kerf2),
            ends=_mm2(tally.ends2),
        ),
    )


def together(title: str, figures: Sequence[tuple[Figure, int]]) -> Figure:
    """Return one order for figures, each so many times over: planks, culls and spare summed, then rounded up once.

    Never more boxes than apart: a sum rounded up is at most the sum of what is rounded up. Raises ``ValueError``
    where there is nothing to order, or not all is of the same order (:func:`same_order`).
    """
    if not figures:
        raise ValueError("no figures to order together")
    first = figures[0][0]
    if not all(same_order(first, other) for other, _ in figures):
        raise ValueError("figures of different planks or order terms cannot be ordered together")
    whole = _Sum()
    for one, count in figures:
        whole = whole.plus(_sum_of(one), count)
    terms = _Terms(title=title, unit=first.unit, plank=first.plank, culls=first.culls, tax=first.tax_share)
    return _ordered(terms, whole)


def same_order(a: Figure, b: Figure) -> bool:
    """Say whether two figures can be one order: the same plank and box, culls and tax."""
    return (a.plank, a.culls, a.tax_share) == (b.plank, b.culls, b.tax_share)


def _mm2(area2: int) -> Fraction:
    """Return square millimetres for twice an area in square ticks."""
    return Fraction(area2, 2 * TICKS_PER_MM**2)


def _sum_of(one: Figure) -> _Sum:
    losses = one.losses
    return _Sum(
        jobs=one.jobs,
        planks=one.planks,
        bound=one.bound,
        spare=one.spare,
        cuts=one.cuts,
        pieces=one.pieces,
        net=losses.net,
        slants=losses.slants,
        rips=losses.rips,
        kerf=losses.kerf,
        ends=losses.ends,
    )


def _ordered(terms: _Terms, whole: _Sum) -> Figure:
    plank = terms.plank
    boxes = boxes_needed(whole.planks, terms.culls, whole.spare, plank.per_box)
    box = printed_coverage(plank).told
    unpriced = Figure(
        title=terms.title,
        unit=terms.unit,
        plank=plank,
        culls=terms.culls,
        spare=whole.spare,
        planks=whole.planks,
        bound=whole.bound,
        boxes=boxes,
        cuts=whole.cuts,
        pieces=whole.pieces,
        losses=_losses(terms, whole, boxes),
        habits=tuple(Habit(share=share, boxes=habit_boxes(whole.net, share, box)) for share in HABITS),
        unopened=boxes - boxes_needed(whole.planks, terms.culls, 0, plank.per_box),
        tax_share=terms.tax,
        jobs=whole.jobs,
    )
    if plank.box_price is None:
        return unpriced
    price, tax = price_and_tax(boxes, plank.box_price, terms.tax)
    return replace(unpriced, price=price, tax=tax)


def _losses(terms: _Terms, whole: _Sum, boxes: int) -> Losses:
    area = plank_mm2(terms.plank)
    counted_on = planks_needed(whole.planks, terms.culls, 0)
    return Losses(
        net=whole.net,
        slants=whole.slants,
        rips=whole.rips,
        kerf=whole.kerf,
        ends=whole.ends,
        culls=(counted_on - whole.planks) * area,
        spare=whole.spare * area,
        rounding=(boxes * terms.plank.per_box - counted_on - whole.spare) * area,
    )
