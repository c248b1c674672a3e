"""The two ends of a row: what the first piece makes of the last one, and the minimum piece explained."""

from collections.abc import Iterator
from dataclasses import dataclass

from cutopt.model.teaching import Grade
from cutopt.model.words import Block, Heading, Line
from cutopt.teach.topics._rows import laid, picture
from cutopt.teach.topics._tape import given, grain, listed, para, shown, size, steps
from cutopt.units import Ticks, Unit

__all__ = ["Case", "bounds", "explain", "keeps", "last_piece"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A row and its planks, the minimum piece, and first pieces: the one told of (grade 1) or those offered.

    In grade 3 rows move on by ``shift`` each, which makes whole planks of ``period`` shifts. First pieces are
    multiples of ``step``.
    """

    grade: Grade
    row: Ticks
    plank: Ticks
    least: Ticks
    first: Ticks = 0
    offered: tuple[Ticks, ...] = ()
    shift: Ticks = 0
    period: int = 0
    step: Ticks


def last_piece(first: Ticks, case: Case) -> Ticks:
    """Return what the row lacks after its first piece and whole planks; a whole plank counts."""
    return (case.row - first) % case.plank or case.plank


def keeps(first: Ticks, case: Case) -> bool:
    """Say whether both ends are as long as the minimum piece at least."""
    return min(first, last_piece(first, case)) >= case.least


def bounds(case: Case) -> tuple[Ticks, Ticks]:
    """Return the shortest and the longest first piece that leave both ends long enough."""
    over = case.row % case.plank
    ends = (case.least, over, over - case.least, over - case.least + case.plank, case.plank)
    good = [end for end in ends if 0 < end <= case.plank and keeps(end, case)]
    return min(good), max(good)


def explain(unit: Unit) -> tuple[Block, ...]:
    """Return the minimum piece explained on a row of 130 in in planks of 48 in (3300 and 1220 mm)."""
    case = Case(
        grade=Grade.SECOND,
        row=size(130, 3300, unit),
        plank=size(48, 1220, unit),
        least=size(8, 200, unit),
        step=grain(unit),
    )
    starts = (size(28, 700, unit), *bounds(case))
    rows = [laid(first, case.row, case.plank) for first in starts]
    return (
        Heading("Minimum piece"),
        para(
            "The first and the last piece of a row are not to be shorter than a least length: short ends are hard to "
            "fix, come loose and look patched. The first piece settles the last one, so both are to be thought of "
            "before the first cut."
        ),
        Line(),
        *picture(rows),
        Line(),
        given(
            ("Row, planks", f"{shown(case.row, unit)} and {shown(case.plank, unit)}"),
            ("Minimum piece", shown(case.least, unit)),
            ("First pieces", listed((row[0] for row in rows), unit)),
            ("Last pieces", listed((row[-1] for row in rows), unit)),
        ),
        Line(),
        *steps(*_explained(case, starts[0], unit)),
        Line(),
        *_sources(unit),
    )


def _explained(case: Case, first: Ticks, unit: Unit) -> Iterator[str]:
    over = case.row % case.plank
    low, high = bounds(case)
    yield (
        f"Take whole planks off the row: {shown(over, unit)} is over. First and last piece together are that, or a "
        f"plank more: {shown(over + case.plank, unit)}."
    )
    yield (
        f"Start with {shown(first, unit)} and the row ends with {shown(last_piece(first, case), unit)}: "
        f"{'kept' if keeps(first, case) else 'broken'}."
    )
    yield f"The shortest first piece that keeps the minimum at both ends is {shown(low, unit)}, the longest {shown(high, unit)}."
    yield (
        f"Between them first pieces longer than {shown(over - case.least, unit)} and shorter than {shown(over, unit)} "
        "leave too short a last piece."
    )


def _sources(unit: Unit) -> Iterator[Block]:
    metric = unit.is_metric
    yield para("How much, by kind of floor (the product's own sheet always wins):")
    yield given(
        (
            "Click vinyl",
            f"{'200 mm (150 mm' if metric else '8 in (6 in'} is also met): common practice, no source",
        ),
        (
            "Laminate",
            (
                f"{'300 mm; 200 mm' if metric else '12 in; 8 in'} with some makers: common practice, no source; a how-to "
                f"(dontknowfloors.com) starts rows with offcuts over {'254 mm' if metric else '10 in'}"
            ),
        ),
        (
            "Wood",
            (
                f"the grade's shortest board, {'229 mm' if metric else '9 in'} by the grading rules of maple: common "
                "practice for cut pieces, no source"
            ),
        ),
    )
