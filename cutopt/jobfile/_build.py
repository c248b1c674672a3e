"""From checked values to a Job: what the file leaves open comes from the rule book, and says so."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from cutopt.errors import Problem, UnsupportedError
from cutopt.jobfile._values import JobValues, PlankValues, RuleValue, only_rows
from cutopt.jobfile._warnings import job_warnings
from cutopt.model.job import (
    Assumption,
    Ends,
    Job,
    Lay,
    Order,
    Pattern,
    PlankKind,
    PlankSpec,
    Rules,
    ShareOffcuts,
    ShareRips,
    SourceKind,
)
from cutopt.model.pricing import StudySpec, Vary
from cutopt.rulebook import RULES, Measure, Rule, UsualValue, usual_rules
from cutopt.units import Ticks, Unit, format_length

__all__ = ["build_job"]

_UNTITLED = "Plank floor"


@dataclass(frozen=True, slots=True)
class _Settled:
    """What every rule came to, by job key, and the usual values behind those the file leaves open."""

    values: Mapping[str, RuleValue]
    usual: Mapping[str, UsualValue]

    def ticks(self, key: str) -> Ticks:
        value = self.values.get(key, 0)
        if not isinstance(value, int):
            raise TypeError(f"{key} is not a number")
        return value

    def word(self, key: str) -> str:
        return str(self.values[key])


def build_job(values: JobValues, where: str) -> Job:
    """Return the job that sound values mean, still without a catalogue of planks.

    Raises UnsupportedError for planks of several lengths.
    """
    plank, unit = values.plank, values.unit
    if plank.length is None or plank.width is None or plank.per_box is None or unit is None:
        raise ValueError("the values were not checked")
    _refuse_mixed_lengths(plank, where)
    settled = _settle(values, unit, plank.length, plank.width)
    spec = PlankSpec(
        length=plank.length,
        width=plank.width if plank.pitch is None else plank.pitch.one,
        nominal_width=None if plank.pitch is None else plank.width,
        width_tolerance=plank.width_tolerance or 0,
        thickness=plank.thickness,
        per_box=plank.per_box,
        ends=Ends(settled.word("plank.ends")),
        kerf=settled.ticks("plank.kerf"),
        kind=plank.kind,
        box_coverage_mm2=plank.box_coverage_mm2,
        box_price=plank.box_price,
    )
    return Job(
        title=values.title or _UNTITLED,
        unit=unit,
        plank=spec,
        rules=_rules(settled),
        order=Order(culls=Fraction(settled.values["order.culls"]), spare=settled.ticks("order.spare")),
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


def _settle(values: JobValues, unit: Unit, length: Ticks, width: Ticks) -> _Settled:
    """Give every rule its value: the file's, else the usual one. A fixed pattern turns two of them off."""
    pattern = Pattern(str(values.rules.get("rules.pattern", Pattern.RANDOM)))
    usual = usual_rules(values.plank.kind, unit, length, width, pattern)
    given = dict(values.rules)
    if pattern is not Pattern.RANDOM:
        given.pop("rules.h_joint", None)
        given.pop("rules.stair_step", None)
    if only_rows(values):
        usual.pop("rules.gap", None)
        usual.pop("rules.min_rip", None)
    merged = {key: value.value for key, value in usual.items()} | given
    kept = {key: value for key, value in usual.items() if key not in given}
    return _Settled(merged, kept)


def _rules(settled: _Settled) -> Rules:
    waiting = settled.values["rules.max_waiting"]
    return Rules(
        stagger=settled.ticks("rules.stagger"),
        # no piece is shorter than a tick, and a rule of 0 asks for no more
        min_piece=max(1, settled.ticks("rules.min_piece")),
        h_joint=settled.ticks("rules.h_joint"),
        stair_step=settled.ticks("rules.stair_step"),
        cut_step=settled.ticks("rules.cut_step"),
        min_rip=settled.ticks("rules.min_rip"),
        gap=settled.ticks("rules.gap"),
        fit=settled.ticks("rules.fit"),
        max_waiting=waiting if isinstance(waiting, int) else None,
        pattern=Pattern(settled.word("rules.pattern")),
        lay=Lay(settled.word("rules.lay")),
        share_offcuts=ShareOffcuts(settled.word("rules.share_offcuts")),
        share_rips=ShareRips(settled.word("rules.share_rips")),
    )


def _assumption(entry: Rule, settled: _Settled, unit: Unit) -> Assumption:
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
