"""Offcuts and the factory ends they keep: which can start a row, which can end one, and hands explained."""

from dataclasses import dataclass

from cutopt.model.plan import Keeps
from cutopt.model.teaching import Grade
from cutopt.model.words import Block, Heading, Line
from cutopt.teach.topics._tape import given, grain, para, shown, size, steps
from cutopt.units import Ticks, Unit

__all__ = ["Case", "Offcut", "end_hand", "explain", "most", "start_hand", "usable"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """What was left of a plank that was cut for a row."""

    row: int
    length: Ticks
    keeps: Keeps


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A floor laid from one side to the other, offcuts of its rows, and the pieces that are wanted next."""

    grade: Grade
    from_left: bool
    offcuts: tuple[Offcut, ...]
    starters: tuple[Ticks, ...] = ()
    ends: tuple[Ticks, ...] = ()


def start_hand(case: Case) -> Keeps:
    """Return the factory end that a row's first piece keeps: its cut end goes to the wall where rows start."""
    return Keeps.RIGHT if case.from_left else Keeps.LEFT


def end_hand(case: Case) -> Keeps:
    """Return the factory end that a row's last piece keeps."""
    return Keeps.LEFT if case.from_left else Keeps.RIGHT


def usable(case: Case, hand: Keeps, length: Ticks = 0) -> tuple[int, ...]:
    """Return the rows whose offcuts are of this hand and long enough."""
    return tuple(one.row for one in case.offcuts if one.keeps is hand and one.length >= length)


def most(wanted: tuple[Ticks, ...], lengths: list[Ticks]) -> int:
    """Return how many of the wanted pieces the offcuts give, one each: the shortest that will do for the shortest."""
    left = sorted(lengths)
    found = 0
    for piece in sorted(wanted):
        while left and left[0] < piece:
            del left[0]
        if left:
            del left[0]
            found += 1
    return found


def explain(unit: Unit) -> tuple[Block, ...]:
    """Return hands explained on one plank of 48 in (1220 mm) that is cut for the end of a row."""
    plank, end = size(48, 1220, unit), size(20, 500, unit)
    kerf = grain(unit) * (3 if unit.is_metric else 2)
    return (
        Heading("Hands of offcuts"),
        para(
            "Planks with tongues and grooves, or click edges, fit in one way only: a right factory end (>) goes into a "
            "left one (<). A cut end fits nothing, so it belongs at a wall. Laid from left to right:"
        ),
        Line(),
        Line("  a plank              <===================>"),
        Line("  cut for a row's end  <=======|  |========>"),
        Line("                       left part  right part"),
        Line(),
        Line("  row 2   wall |========><===================><==================| wall"),
        Line("  row 1   wall <===================><===================><=======| wall"),
        Line(),
        given(
            ("Plank", f"{shown(plank, unit)}, the saw takes {shown(kerf, unit)}"),
            ("End piece", f"{shown(end, unit)}: the left part, its cut end at the right wall"),
            (
                "Offcut",
                f"{shown(plank - end - kerf, unit)}: the right part, which keeps the right end, and can start a row",
            ),
        ),
        Line(),
        *steps(
            "What ends a row is a left part; its offcut is a right part and can start a row, never end one.",
            "What starts a row is a right part; its offcut is a left part and can end a row, never start one.",
            "What is left between a starter and an end piece of one plank has no factory end. It joins nothing.",
            "Laid from right to left all of this is mirrored.",
            "Turning a plank round swaps its short ends, and its long sides as well: that is no way out with tongue and "
            "groove or click edges. Square edges may be turned; mind the print and the bevel.",
        ),
        Line(),
        para(
            "Sources: that click planks have another profile on each side is told by engineerfix.com; laying from left "
            "to right is usual, not universal (dontknowfloors.com); that the last plank's cut-off starts the next row by "
            "98905.com. Which part keeps which end follows from geometry. Cut ends to the walls: common practice, no "
            "source."
        ),
    )
