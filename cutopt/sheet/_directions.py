"""Directions compared: what each comes to, and which was taken."""

from collections.abc import Sequence
from fractions import Fraction

from cutopt.model.directions import DirectionTrial
from cutopt.model.words import Block, Heading, Table
from cutopt.sheet._text import clean, para

__all__ = ["directions"]

_TITLES = ("rows run", "planks", "boxes", "slivers", "joints", "")
_WORDS = {Fraction(0): "along x", Fraction(90): "along y"}


def directions(trials: Sequence[DirectionTrial], taken: Fraction | None) -> list[Block]:
    """Return the table of the directions compared; nothing where none were."""
    if not trials:
        return []
    rows = [_TITLES, *(_cells(trial, taken=trial.degrees == taken) for trial in trials if not trial.failed)]
    failed = (f"{_way(trial.degrees)}: no plan ({clean(trial.failed)})" for trial in trials if trial.failed)
    return [
        Heading("Directions compared"),
        Table(tuple(rows)),
        *(para(text, first="  ", rest="    ") for text in failed),
    ]


def _cells(trial: DirectionTrial, *, taken: bool) -> tuple[str, ...]:
    remarks = [*["taken"] * taken, "proven fewest" if trial.proven else "not proven"]
    if trial.breaches:
        remarks.append("rules broken")
    figures = (trial.planks, trial.boxes, trial.slivers, trial.joints)
    return _way(trial.degrees), *map(str, figures), ", ".join(remarks)


def _way(degrees: Fraction) -> str:
    return _WORDS.get(degrees, f"at {float(degrees):g} degrees")
