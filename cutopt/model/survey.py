"""What came of a survey: every measure against the shape that fits them all best."""

from dataclasses import dataclass
from fractions import Fraction
from math import hypot

from cutopt.model.rooms import Point
from cutopt.units import Ticks

__all__ = ["MeasureReport", "Size", "SurveyReport", "SurveyedCorner"]

Size = Ticks | Fraction
"""A length in whole ticks, or an angle in degrees as a fraction."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureReport:
    """One measure ("wall A-B", "diagonal A-C", "angle at B") and what it came to.

    ``residual`` is measured - adjusted: above zero where the tape reads too much. ``standardised`` is
    the residual over its own standard deviation; ``None`` where no other measure checks this one.
    A ``flagged`` measure is most likely misread, and ``fitting`` what it would have to read to fit the
    others.
    """

    name: str
    measured: Size
    adjusted: Size
    residual: Size
    standardised: float | None = None
    flagged: bool = False
    fitting: Size | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyedCorner:
    """A corner in the room's axes, and how well it is known.

    ``spread`` is the standard deviation along x and y in ticks, by the accuracy given for the measures,
    the first corner and the line of the first wall being held.
    """

    name: str
    at: Point
    spread: tuple[Ticks, Ticks]


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyReport:
    """How well the measures of one room fit together.

    ``redundancy`` is how many measures there are beyond those that fix the shape. ``closure`` is by how
    much the walls, walked with the angles as measured, miss the first corner; ``None`` where an angle is
    missing. ``sigma0`` is how large the residuals are against the accuracy given (about 1 as expected);
    ``None`` at redundancy 0. ``unlike`` are corners that turn the other way than told, ``elsewhere`` those
    that another shape, which the measures fit as well, has in another place.
    """

    room: str
    measures: tuple[MeasureReport, ...]
    corners: tuple[SurveyedCorner, ...]
    redundancy: int
    closure: Point | None = None
    sigma0: float | None = None
    unlike: tuple[str, ...] = ()
    elsewhere: tuple[str, ...] = ()

    @property
    def suspects(self) -> tuple[MeasureReport, ...]:
        """The measures one of which is most likely misread; several where nothing tells them apart."""
        return tuple(measure for measure in self.measures if measure.flagged)

    @property
    def flagged(self) -> MeasureReport | None:
        """The measure most likely misread, where there is one and it can be told from the others."""
        return self.suspects[0] if len(self.suspects) == 1 else None

    @property
    def closing_error(self) -> Ticks | None:
        """The length of ``closure``, to the nearest tick."""
        return None if self.closure is None else round(hypot(*self.closure))
