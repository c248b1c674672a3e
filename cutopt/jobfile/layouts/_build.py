"""From what a layout's file says to a Layout: what is not told is as usual, and named."""

from collections.abc import Iterator, Sequence

from cutopt.jobfile._settled import rules_of, settle, spec_of
from cutopt.jobfile._values import JobValues
from cutopt.model.job import Order, Pattern
from cutopt.model.layouts import Layout, LayoutRow, Untold
from cutopt.units import TICKS_PER_MM, Ticks

__all__ = ["build_layout"]

_UNTITLED = "Layout"
_SOME_WIDTH = 100 * TICKS_PER_MM
"""Stands for a width that nothing tells; no rule that rests on it is judged."""

_FROM_KIND = ("plank.ends", "rules.stagger", "rules.min_piece", "rules.h_joint", "rules.stair_step")
_OF_PATTERN = ("rules.h_joint", "rules.stair_step")


def build_layout(values: JobValues, rows: Sequence[LayoutRow], *, starts_told: bool) -> Layout:
    """Return the layout of sound values: ``values`` has no rooms but a unit, and there are rows.

    The longest piece stands for a plank whose length is not told, or for planks of several lengths.
    """
    if values.unit is None:
        raise ValueError("the values were not checked")
    untold = frozenset(_untold(values, rows, starts_told=starts_told))
    length = _length(values, rows) if Untold.PLANK_LENGTH in untold else values.plank.length or 0
    width = values.plank.width or max((row.width for row in rows if row.width), default=_SOME_WIDTH)
    settled = settle(values, values.unit, length, width, without=_without(rows))
    return Layout(
        title=values.title or _UNTITLED,
        unit=values.unit,
        plank=spec_of(values.plank, settled, length=length, width=width, per_box=values.plank.per_box or 1),
        rules=rules_of(settled),
        order=Order(culls=settled.share("order.culls"), spare=settled.ticks("order.spare")),
        rows=tuple(rows),
        told=frozenset(values.rules),
        untold=untold,
    )


def _length(values: JobValues, rows: Sequence[LayoutRow]) -> Ticks:
    return max(values.plank.length or 0, *(piece.length for row in rows for piece in row.pieces))


def _without(rows: Sequence[LayoutRow]) -> tuple[str, ...]:
    """Return the rules that have no use here: rows are net of gaps, and slivers are seen where widths are told."""
    return ("rules.gap",) if any(row.width for row in rows) else ("rules.gap", "rules.min_rip")


def _untold(values: JobValues, rows: Sequence[LayoutRow], *, starts_told: bool) -> Iterator[Untold]:
    """Yield what the file leaves open. A whole piece needs no word on its plank, nor rows of one length on starts."""
    length = values.plank.length if values.plank.single_length is not False else None
    if length is None:
        yield Untold.PLANK_LENGTH
    if any(piece.plank is None and piece.length != length for row in rows for piece in row.pieces):
        yield Untold.PLANKS
    if not starts_told and len({sum(piece.length for piece in row.pieces) for row in rows}) > 1:
        yield Untold.STARTS
    fixed = values.rules.get("rules.pattern", Pattern.RANDOM) != Pattern.RANDOM
    needed = [key for key in _FROM_KIND if not (fixed and key in _OF_PATTERN)]
    if values.plank.kind is None and any(key not in values.rules for key in needed):
        yield Untold.RULES
    if values.plank.width is None:
        yield Untold.WIDTHS
