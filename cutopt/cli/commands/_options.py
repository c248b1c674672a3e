"""Options that several commands have."""

import math
from enum import StrEnum
from typing import Annotated

import typer

__all__ = ["BestEffort", "Paper", "Seed", "TimeLimit", "seconds_above_zero"]


class Paper(StrEnum):
    """Paper to draw on."""

    A4 = "a4"
    LETTER = "letter"


def seconds_above_zero(seconds: float) -> float:
    """Return a time to search; one that is none is wrong usage."""
    if not (math.isfinite(seconds) and seconds > 0):
        raise typer.BadParameter(f"{seconds:g} is no time to search; give seconds above zero, such as 10.")
    return seconds


TimeLimit = Annotated[
    float, typer.Option(metavar="S", callback=seconds_above_zero, help="Seconds the search may take.")
]
Seed = Annotated[int, typer.Option(metavar="N", min=0, max=2**31 - 1, help="Start of the random choices.")]
BestEffort = Annotated[
    bool,
    typer.Option(
        "--best-effort",
        help="Where the rules cannot all be met, plan with the fewest and smallest breaches.",
    ),
]
