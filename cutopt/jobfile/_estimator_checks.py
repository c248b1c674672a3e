"""Checks between what a job file says for an estimator and the rest of it."""

from fractions import Fraction

from cutopt.jobfile._estimator import Told
from cutopt.jobfile._report import Report
from cutopt.jobfile._values import JobValues
from cutopt.model.pricing import Steps, TableSpec, Varied
from cutopt.units import TICKS_PER_INCH, Ticks, Unit, format_length

__all__ = ["check_choices", "check_estimator"]

_MOST_DAMAGE = Fraction(1, 2)
_MOST_MISMEASURE: Ticks = 12 * TICKS_PER_INCH
"""Beyond a foot a measure is misread, which is no chance (limit of our own choice)."""
_MOST_STEPS = 200
_MOST_ROOMS = 5000
_NAMES = {Varied.MIN_PIECE: "minimum piece", Varied.KERF: "kerf", Varied.FIRST_WIDTH: "first row"}


def check_estimator(values: JobValues, unit: Unit, report: Report) -> None:
    """Note every contradiction in what is said of risks, of what is varied and of tables of rooms."""
    _check_risk(values, unit, report)
    for what, told in values.estimator.vary:
        check_choices(what, told, (values.plank.length, values.plank.width), unit, report)
    if values.estimator.table is not None:
        _check_table(values.estimator.table, unit, report)


def _check_risk(values: JobValues, unit: Unit, report: Report) -> None:
    risk = values.estimator.risk
    least, most = risk.damage
    if least > most:
        report.add(
            f"the damage goes from {_percent(least)} down to {_percent(most)}",
            "risk.damage",
            "write the least share first, then the most",
        )
    if most > _MOST_DAMAGE:
        report.add(
            f"no floor is laid with {_percent(most)} of the planks spoiled",
            "risk.damage",
            f"give the share spoiled while cutting and laying, at most {_percent(_MOST_DAMAGE)}",
        )
    if risk.mismeasure > _MOST_MISMEASURE:
        report.add(
            f"a tape is not out by {format_length(risk.mismeasure, unit)}",
            "risk.mismeasure",
            "give how far a room's measures usually are out, such as 1/8 in or 3 mm",
        )


def _percent(share: Fraction) -> str:
    return f"{float(share * 100):.6g} %"


def check_choices(
    what: Varied, told: Told, plank: tuple[Ticks | None, Ticks | None], unit: Unit, report: Report
) -> None:
    """Note each choice that asks for more than a plank, its length and width, has."""
    if what not in _NAMES:
        return
    most, of = (plank[1], "width") if what is Varied.FIRST_WIDTH else (plank[0], "length")
    for place, choice in told:
        if most is not None and isinstance(choice, int) and choice > most:
            report.add(
                f"the {_NAMES[what]}, {format_length(choice, unit)}, is over the plank's {of}, "
                f"{format_length(most, unit)}",
                place,
                f"make it shorter, or check the plank's {of}",
            )


def _check_table(table: TableSpec, unit: Unit, report: Report) -> None:
    sound = [_check_steps(steps, f"waste_table.{key}", unit, report) for key, steps in _sides(table)]
    rooms = len(table.shapes) * len(range(*_bounds(table.along))) * len(range(*_bounds(table.across)))
    if all(sound) and rooms > _MOST_ROOMS:
        report.add(
            f"{rooms} rooms are too many for a table",
            "waste_table",
            f"ask for at most {_MOST_ROOMS}: make the steps longer",
        )


def _sides(table: TableSpec) -> tuple[tuple[str, Steps], tuple[str, Steps]]:
    return ("along", table.along), ("across", table.across)


def _bounds(steps: Steps) -> tuple[Ticks, Ticks, Ticks]:
    return steps.first, steps.last + 1, steps.step


def _check_steps(steps: Steps, place: str, unit: Unit, report: Report) -> bool:
    if steps.first > steps.last:
        report.add(
            f"the steps go from {format_length(steps.first, unit)} down to {format_length(steps.last, unit)}",
            place,
            "write the shortest length first, then the longest",
        )
        return False
    if len(range(*_bounds(steps))) > _MOST_STEPS:
        report.add(
            f"{len(range(*_bounds(steps)))} lengths are too many",
            place,
            f"ask for at most {_MOST_STEPS}: make the step longer",
        )
        return False
    return True
