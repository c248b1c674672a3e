"""Rules that a layout keeps from being judged, by what it does not tell."""

from collections.abc import Iterator, Mapping

from cutopt.model.job import Pattern, PlankKind
from cutopt.model.layouts import Layout, Untold

__all__ = ["untold_rules"]

_WORKED_OUT = "a layout tells none, they are worked out from its pieces"
_ALWAYS = {
    "numbering": _WORKED_OUT,
    "run length": "rows are taken to be as long as their pieces",
    "area": "areas are worked out from lengths and widths",
    "pieces of a plank": _WORKED_OUT,
    "offcuts": "what is left over is worked out from the pieces",
    "the floor on the plan": "a layout has no place on a plan",
    "touching runs": "rows are taken to touch all along",
    "sharing rips": "strips ripped off beside a piece are no part of a layout",
    "lots kept apart": "a layout tells no lots",
    "totals": _WORKED_OUT,
    "lower bound": "a layout tells none",
}
_PLANK_LENGTH = (
    "plank length",
    "piece length",
    "cut ends at walls",
    "factory ends",
    "stair-step",
    "pattern",
    "cut step",
)
_PLANKS = ("plank length", "factory ends", "cut step", "waiting offcuts", "sharing offcuts")
_FROM_KIND = {
    "rules.stagger": "stagger",
    "rules.min_piece": "minimum piece",
    "rules.h_joint": "H-joint",
    "rules.stair_step": "stair-step",
    "plank.ends": "factory ends",
}
_OF_PATTERN = ("rules.h_joint", "rules.stair_step")
_BY_WIDTH = (PlankKind.ENGINEERED_WOOD, PlankKind.SOLID_STRIP)
"""Kinds of which the usual stagger goes by the width of a plank."""


def untold_rules(layout: Layout) -> Mapping[str, str]:
    """Return why rules cannot be judged, by the names that the check has for them.

    What the check finds against these rests on what was filled in, and a rule of which it finds nothing is not kept
    for that.
    """
    found: dict[str, str] = {}
    for rule, reason in _reasons(layout):
        found.setdefault(rule, reason)
    return found


def _reasons(layout: Layout) -> Iterator[tuple[str, str]]:
    yield from _ALWAYS.items()
    if Untold.PLANK_LENGTH in layout.untold:
        yield from dict.fromkeys(_PLANK_LENGTH, _reason(Untold.PLANK_LENGTH)).items()
    if Untold.PLANKS in layout.untold:
        yield from dict.fromkeys(_PLANKS, _reason(Untold.PLANKS)).items()
    if Untold.RULES in layout.untold:
        yield from _of_kind(layout)
    yield from _of_widths(layout)


def _reason(untold: Untold) -> str:
    return f"the layout does not tell {untold.value}"


def _of_kind(layout: Layout) -> Iterator[tuple[str, str]]:
    """Yield the rules that are neither told nor usual, there being no kind of plank to have usual ones."""
    fixed = layout.rules.pattern is not Pattern.RANDOM
    for key, rule in _FROM_KIND.items():
        if key not in layout.told and not (fixed and key in _OF_PATTERN):
            yield rule, f"the layout tells neither {key} nor the kind of plank, whose usual rules would hold"


def _of_widths(layout: Layout) -> Iterator[tuple[str, str]]:
    widths = any(row.width is not None for row in layout.rows)
    unknown = Untold.WIDTHS in layout.untold
    if unknown or not widths:
        yield from dict.fromkeys(("row width", "minimum rip"), _reason(Untold.WIDTHS)).items()
    if unknown and layout.plank.kind in _BY_WIDTH and "rules.stagger" not in layout.told:
        yield "stagger", "the layout does not tell how wide a plank is, by which its kind is staggered"
