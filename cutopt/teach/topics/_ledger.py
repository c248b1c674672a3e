"""What planks were cut into and what was lost of them, waste factors, and all that explained."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from cutopt.model.teaching import Grade
from cutopt.model.words import Block, Heading, Line, Table
from cutopt.teach.topics._numbers import percent
from cutopt.teach.topics._tape import given, grain, listed, para, shown, size, steps
from cutopt.units import Ticks, Unit

__all__ = ["HABIT", "Case", "Cut", "cut_table", "explain"]

HABIT = Fraction(1, 10)
_WIDE = 66


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """So many planks, each cut into these pieces."""

    planks: int
    pieces: tuple[Ticks, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A floor that has been laid: the planks' length, what they were cut into, kerf and minimum piece.

    ``whole`` planks were laid uncut and ``spoiled`` ones thrown away; every cut takes the kerf. All planks are
    equally wide, so that lengths stand for areas.
    """

    grade: Grade
    plank: Ticks
    whole: int
    cuts: tuple[Cut, ...]
    kerf: Ticks = 0
    least: Ticks = 0
    spoiled: int = 0
    per_box: int

    @property
    def opened(self) -> int:
        """All planks taken out of their boxes."""
        return self.whole + sum(cut.planks for cut in self.cuts) + self.spoiled

    @property
    def boxes(self) -> int:
        """The boxes that hold so many."""
        return -(-self.opened // self.per_box)

    @property
    def bought(self) -> int:
        """The planks of all boxes."""
        return self.boxes * self.per_box

    @property
    def net(self) -> Ticks:
        """What is laid, end to end."""
        return self.whole * self.plank + sum(cut.planks * sum(cut.pieces) for cut in self.cuts)

    @property
    def sawn(self) -> Ticks:
        """What the saw took."""
        return self.kerf * sum(cut.planks * len(cut.pieces) for cut in self.cuts)

    def rest(self, cut: Cut) -> Ticks:
        """Return what is left of one plank when its pieces are cut."""
        return self.plank - sum(cut.pieces) - len(cut.pieces) * self.kerf

    def offcuts(self, *, kept: bool) -> Ticks:
        """Return all offcuts that are as long as the minimum piece at least (kept), or those that are not (scrap)."""
        return sum(cut.planks * self.rest(cut) for cut in self.cuts if (self.rest(cut) >= self.least) is kept)

    def over(self, planks: int) -> Fraction:
        """Return by what share so many planks are more than what is laid."""
        return Fraction(planks * self.plank, self.net) - 1

    @property
    def habit(self) -> int:
        """The boxes that are bought where a tenth is added to what is laid."""
        return ceil(self.net * (1 + HABIT) / (self.plank * self.per_box))


def cut_table(case: Case, unit: Unit) -> Table:
    """Return what the planks became, a line for those cut alike."""
    rows = [(str(case.whole), "laid whole")]
    rows += [(str(cut.planks), f"cut into {listed(cut.pieces, unit)} and an offcut") for cut in case.cuts]
    rows += [(str(case.spoiled), "spoiled, thrown away")] if case.spoiled else []
    return Table((("planks", "each"), *rows), frozenset({0}))


def explain(unit: Unit) -> tuple[Block, ...]:
    """Return waste explained on a floor of 30 planks."""
    case = Case(
        grade=Grade.THIRD,
        plank=size(48, 1220, unit),
        whole=18,
        cuts=(
            Cut(planks=6, pieces=(size(30, 760, unit), size(12, 300, unit))),
            Cut(planks=5, pieces=(size(34, 860, unit),)),
        ),
        kerf=grain(unit) * (3 if unit.is_metric else 2),
        least=size(8, 200, unit),
        spoiled=1,
        per_box=8,
    )
    return (
        Heading("Waste factor"),
        para(
            "How much more is opened, or bought, than the floor is large, as a percent of the floor. Planks of one "
            "width are compared by their length. Thirty planks of a floor:"
        ),
        Line(),
        cut_table(case, unit),
        Line(),
        *_bar(case),
        Line(),
        given(
            (
                "Planks",
                f"{shown(case.plank, unit)} long, {case.per_box} a box; minimum piece {shown(case.least, unit)}",
            ),
            ("Laid (net)", shown(case.net, unit)),
            ("Saw", f"{shown(case.sawn, unit)}, {shown(case.kerf, unit)} with each cut"),
            ("Scrap", f"{shown(case.offcuts(kept=False), unit)}: offcuts under the minimum piece"),
            ("Kept", f"{shown(case.offcuts(kept=True), unit)}: offcuts that could still be laid"),
            ("Spoiled", shown(case.spoiled * case.plank, unit)),
            ("Never opened", f"{case.bought - case.opened} planks of {case.boxes} boxes"),
        ),
        Line(),
        *steps(
            f"As laid: {case.opened} planks opened over the net, less 1: {percent(case.over(case.opened))}.",
            f"As bought: all {case.bought} planks over the net, less 1: {percent(case.over(case.bought))}.",
            "Saw, scrap, kept offcuts and spoiled planks add up to the waste as laid; with what was never opened "
            "they add up to the waste as bought.",
            f"The habit of adding 10 % buys {case.habit} boxes, {case.habit * case.per_box} planks, for the "
            f"{case.opened} this floor opened: {'enough' if _enough(case) else 'too few'}. A percent knows neither the "
            "room nor the planks.",
        ),
        Line(),
        para(
            "Sources: shops and how-to articles say 5 to 10 % for straight floors (askvity.info, floorref.com) and 10 to "
            "15 % at a slant; a trade dictionary asks to play the laying through instead (boden-wand-decke.de). That the "
            "net, not what is bought, is the hundred percent is the convention here: common practice, no source."
        ),
    )


def _enough(case: Case) -> bool:
    return case.habit * case.per_box >= case.opened


def _bar(case: Case) -> Iterator[Line]:
    """Yield all that was bought as one line to scale, a sign for what each part of it became."""
    parts = (
        ("#", "laid", case.net),
        ("|", "saw", case.sawn),
        ("x", "scrap", case.offcuts(kept=False)),
        ("o", "kept", case.offcuts(kept=True)),
        ("!", "spoiled", case.spoiled * case.plank),
        (".", "never opened", (case.bought - case.opened) * case.plank),
    )
    total = sum(length for _, _, length in parts)
    yield Line("  " + "".join(sign * max(1, length * _WIDE // total) for sign, _, length in parts))
    yield Line("  " + "   ".join(f"{sign} {name}" for sign, name, _ in parts))
