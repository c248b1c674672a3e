"""First and last pieces that share a plank, the fewest planks for them, and sharing explained."""

from dataclasses import dataclass

from cutopt.model.teaching import Grade
from cutopt.model.words import Block, Heading, Line
from cutopt.teach.topics._tape import given, grain, listed, para, shown, size, steps
from cutopt.units import Ticks, Unit

__all__ = ["Case", "explain", "fewest", "fewest_turned", "kerf_of", "left_over", "pairs", "shares"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """Planks, the kerf, and the pieces at the ends of rows, row by row.

    Grade 1 has one ``row`` with the ``first`` piece alone, and a ``closet`` whose rows are one piece each. With
    ``turns`` the planks are square-edged and may be turned round.
    """

    grade: Grade
    plank: Ticks
    kerf: Ticks
    firsts: tuple[Ticks, ...]
    lasts: tuple[Ticks, ...] = ()
    row: Ticks = 0
    closet: Ticks = 0
    turns: bool = False


def kerf_of(unit: Unit) -> Ticks:
    """Return what a saw takes: 1/8 in or 3 mm (common practice, no source)."""
    return grain(unit) * (3 if unit.is_metric else 2)


def shares(one: Ticks, other: Ticks, case: Case) -> bool:
    """Say whether two pieces come from one plank: one cut between them, T + (m - 1) k <= P with m = 2."""
    return one + other + case.kerf <= case.plank


def left_over(one: Ticks, other: Ticks, case: Case) -> Ticks:
    """Return what is left between two pieces of one plank; a cut beside each takes its kerf."""
    return max(0, case.plank - one - other - 2 * case.kerf)


def pairs(case: Case) -> tuple[tuple[Ticks, Ticks], ...]:
    """Return first and last pieces paired so that most of them share a plank.

    The longest first piece accepts fewest last pieces, and all others accept those too: so it chooses first, and
    takes the longest that fits.
    """
    found, left = [], sorted(case.lasts, reverse=True)
    for first in sorted(case.firsts, reverse=True):
        last = next((last for last in left if shares(first, last, case)), None)
        if last is not None:
            left.remove(last)
            found.append((first, last))
    return tuple(found)


def fewest(case: Case) -> int:
    """Return the fewest planks for all pieces, a first and a last piece of each plank at most."""
    return len(case.firsts) + len(case.lasts) - len(pairs(case))


def fewest_turned(case: Case) -> int:
    """Return the fewest planks where planks may be turned, so that any two pieces may share: longest with shortest."""
    left = sorted((*case.firsts, *case.lasts))
    planks = 0
    while left:
        longest = left.pop()
        if left and shares(longest, left[0], case):
            del left[0]
        planks += 1
    return planks


def explain(unit: Unit) -> tuple[Block, ...]:
    """Return sharing explained on the ends of three rows and planks of 48 in (1220 mm)."""
    case = Case(
        grade=Grade.SECOND,
        plank=size(48, 1220, unit),
        kerf=kerf_of(unit),
        firsts=(size(30, 760, unit), size(20, 500, unit), size(12, 300, unit)),
        lasts=(size(16, 400, unit), size(26, 660, unit), size(34, 860, unit)),
    )
    plank, kerf = shown(case.plank, unit), shown(case.kerf, unit)
    first, last = case.firsts[0], case.lasts[0]
    return (
        Heading("Sharing planks"),
        para(
            "A row's first piece is one end of a plank and its last piece the other. So one plank can give a first and a "
            "last piece, of one row or of two, if both fit into it with the cut between them:"
        ),
        Line(),
        Line("  <=============|  |----|  |==========================>"),
        Line("   a last piece     left        a first piece"),
        Line(),
        given(
            ("Planks", f"{plank}, the saw takes {kerf}"),
            ("First pieces", listed(case.firsts, unit)),
            ("Last pieces", listed(case.lasts, unit)),
        ),
        Line(),
        *steps(
            "Rule: m pieces of T together come from a plank P when T + (m - 1) x kerf <= P.",
            f"{shown(first, unit)} + {shown(last, unit)} + {kerf} = {shown(first + last + case.kerf, unit)}, no more than "
            f"{plank}: they share. What is left between them lies between two cuts: {plank} - "
            f"{shown(first + last, unit)} - 2 x {kerf} = {shown(left_over(first, last, case), unit)}; it has no "
            "factory end.",
            "Two first pieces never share a plank that cannot be turned: each needs the same factory end of it. Nor do "
            "two last pieces.",
            "The longest first piece chooses first, and takes the longest last piece that fits. Here: "
            + "; ".join(f"{shown(one, unit)} with {shown(other, unit)}" for one, other in pairs(case))
            + ".",
            f"Fewest planks: {len(case.firsts) + len(case.lasts)} pieces less {len(pairs(case))} pairs = {fewest(case)}.",
        ),
        Line(),
        para(
            "Sources: that the last plank's cut-off starts the next row is said by 98905.com and dontknowfloors.com; the "
            "rest is arithmetic. A kerf of 1/8 in (3 mm), and nothing where vinyl is scored and snapped: common "
            "practice, no source."
        ),
    )
