"""A job file's values, checked one by one; what is not set, or was wrong, is None.

Lengths in ticks. Only the builder gives meaning to what is missing.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias

from cutopt.jobfile._estimator import NOT_ESTIMATED, EstimatorValues
from cutopt.jobfile._layout import Pitch
from cutopt.model.job import AS_USUAL, LayoutSpec, PlankKind
from cutopt.model.rooms import Doorway, Room, RowsRoom, Stop
from cutopt.units import Ticks, Unit

__all__ = ["JobValues", "PlankValues", "RuleValue", "only_rows"]

RuleValue: TypeAlias = int | str | Fraction
"""Ticks, a count, a word, or a share, as the rule book's measure of the rule says."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlankValues:
    """What the file says about the plank and its box. ``names_kind`` is true for a wrong kind as well."""

    names_kind: bool
    kind: PlankKind | None
    length: Ticks | None
    width: Ticks | None
    pitch: Pitch | None
    width_tolerance: Ticks | None
    thickness: Ticks | None
    per_box: int | None
    single_length: bool | None
    box_coverage_mm2: Fraction | None
    box_price: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobValues:
    """What the file says.

    ``rules`` holds the rules set, by job key; ``keys`` those named, rightly or wrongly. Each room stands with its
    place in the file.
    """

    title: str | None
    unit: Unit | None
    describes_plank: bool
    plank: PlankValues
    rules: Mapping[str, RuleValue]
    keys: frozenset[str]
    rooms: tuple[tuple[str, Room], ...]
    doorways: tuple[Doorway, ...] = ()
    stops: tuple[Stop, ...] = ()
    layout: LayoutSpec = AS_USUAL
    estimator: EstimatorValues = NOT_ESTIMATED


def only_rows(values: JobValues) -> bool:
    """Whether every room gives its rows outright, so that no wall, gap or edge row is worked out."""
    return all(isinstance(room, RowsRoom) for _, room in values.rooms)
