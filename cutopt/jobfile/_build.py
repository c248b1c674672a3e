"""From checked values to a Job: what the file leaves open comes from the rule book, and says so."""

from fractions import Fraction

from cutopt.errors import Problem, UnsupportedError
from cutopt.jobfile._settled import Settled, rules_of, settle, spec_of
from cutopt.jobfile._values import JobValues, PlankValues, RuleValue, only_rows
from cutopt.jobfile._warnings import job_warnings
from cutopt.model.job import (
    Assumption,
    Job,
    Order,
    PlankKind,
    SourceKind,
)
from cutopt.model.pricing import StudySpec, Vary
from cutopt.rulebook import RULES, Measure, Rule
from cutopt.units import Unit, format_length

__all__ = ["build_job"]

_UNTITLED = "Plank floor"
_OF_EDGES = ("rules.gap", "rules.min_rip")
"""Rules that rows given outright have no use for."""


def build_job(values: JobValues, where: str) -> Job:
    """Return the job that sound values mean, still without a catalogue of planks.

    Raises UnsupportedError for planks of several lengths.
    """
    plank, unit = values.plank, values.unit
    if plank.length is None or plank.width is None or plank.per_box is None or unit is None:
        raise ValueError("the values were not checked")
    _refuse_mixed_lengths(plank, where)
    settled = settle(values, unit, plank.length, plank.width, without=_OF_EDGES if only_rows(values) else ())
    spec = spec_of(plank, settled, length=plank.length, width=plank.width, per_box=plank.per_box)
    return Job(
        title=values.title or _UNTITLED,
        unit=unit,
        plank=spec,
        rules=rules_of(settled),
        order=Order(culls=settled.share("order.culls"), spare=settled.ticks("order.spare")),
        rooms=tuple(room for _, room in values.rooms),
        doorways=values.doorways,
        stops=values.stops,
        layout=values.layout,
        assumptions=tuple(
            _assumption(entry, settled, unit) for entry in RULES if entry.key in settled.values
        ),
        warnings=job_warnings(values, spec, unit),
        pricing=values.estimator.pricing,
        risk=values.estimator.risk,
        study=_study(values),
        table=values.estimator.table,
    )


def _study(values: JobValues) -> StudySpec:
    told = values.estimator.vary
    return StudySpec(
        vary=tuple(Vary(what=what, choices=tuple(choice for _, choice in choices)) for what, choices in told),
        every=values.estimator.every,
    )


def _refuse_mixed_lengths(plank: PlankValues, where: str) -> None:
    single = plank.kind is not PlankKind.SOLID_STRIP if plank.single_length is None else plank.single_length
    if not single:
        raise UnsupportedError(
            Problem(
                what="planks of mixed lengths are not planned yet",
                where=f"{where}: plank.single_length",
                remedy="if every plank has the length given, set single_length = true",
            )
        )


def _assumption(entry: Rule, settled: Settled, unit: Unit) -> Assumption:
    usual = settled.usual.get(entry.key)
    return Assumption(
        key=entry.key,
        name=entry.name,
        value=_text(entry, settled.values[entry.key], unit),
        source=SourceKind.JOB if usual is None else usual.source,
        citation="" if usual is None else usual.citation,
    )


def _text(entry: Rule, value: RuleValue, unit: Unit) -> str:
    if entry.measure is Measure.LENGTH and isinstance(value, int):
        return "off" if value == 0 and entry.can_be_off else format_length(value, unit, value or None)
    if entry.measure is Measure.SHARE:
        return f"{float(Fraction(value) * 100):.6g} %"
    return str(value)
