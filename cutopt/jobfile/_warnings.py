"""What a reader should know though nothing is wrong."""

from fractions import Fraction

from cutopt.jobfile._values import JobValues, only_rows
from cutopt.model.job import EdgePolicy, Pattern, PlankSpec
from cutopt.rulebook import rule
from cutopt.units import TICKS_PER_MM, Unit, format_area, format_length

__all__ = ["job_warnings"]

_COVERAGE_TOLERANCE = Fraction(1, 100)


def job_warnings(values: JobValues, plank: PlankSpec, unit: Unit) -> tuple[str, ...]:
    """Return the warnings of a sound job, each a sentence that begins with its job key."""
    found = (
        _box_coverage(plank, unit),
        *(
            _over_half(values, plank, unit, key)
            for key in ("rules.stagger", "rules.h_joint", "rules.stair_step")
        ),
        *(_off_by_pattern(values, key) for key in ("rules.h_joint", "rules.stair_step")),
        _gap_without_walls(values),
        _idle_stops(values),
    )
    return tuple(warning for warning in found if warning is not None)


def _box_coverage(plank: PlankSpec, unit: Unit) -> str | None:
    """Compare the box's printed coverage with its planks: a misread figure orders the wrong number of boxes."""
    printed = plank.box_coverage_mm2
    width = plank.nominal_width or plank.width
    computed = Fraction(plank.length * width * plank.per_box, TICKS_PER_MM**2)
    if printed is None or abs(printed - computed) <= _COVERAGE_TOLERANCE * computed:
        return None
    return (
        f"plank.box_coverage: the box is said to cover {format_area(printed, unit)}, but {plank.per_box} planks of "
        f"{format_length(plank.length, unit)} x {format_length(width, unit)} cover "
        f"{format_area(computed, unit)}; check per_box and the cover width"
    )


def _over_half(values: JobValues, plank: PlankSpec, unit: Unit, key: str) -> str | None:
    """Joints of long rows recur every plank length, so none is ever further than half a plank from the next."""
    value = values.rules.get(key)
    if not isinstance(value, int) or 2 * value <= plank.length or _is_fixed(values):
        return None
    return (
        f"{key}: {rule(key).name} {format_length(value, unit)} is over half the plank; rows with several joints "
        "cannot keep that"
    )


def _is_fixed(values: JobValues) -> bool:
    return values.rules.get("rules.pattern", Pattern.RANDOM) != Pattern.RANDOM


def _off_by_pattern(values: JobValues, key: str) -> str | None:
    if not _is_fixed(values) or not values.rules.get(key):
        return None
    return f"{key}: {rule(key).name} is off, for the pattern repeats its joints by nature"


def _gap_without_walls(values: JobValues) -> str | None:
    if not values.rules.get("rules.gap") or not only_rows(values):
        return None
    return "rules.gap: not used, for every room gives its rows outright, net of gaps"


def _idle_stops(values: JobValues) -> str | None:
    """Tell of stops where the layout says outright where the rows begin."""
    layout = values.layout
    if not values.stops or (
        layout.first_width is None and layout.edges in (EdgePolicy.AUTO, EdgePolicy.STOPS)
    ):
        return None
    told = f'layout.edges = "{layout.edges}"' if layout.first_width is None else "layout.first_width"
    return f"stop: not used, for {told} says where the rows begin"
