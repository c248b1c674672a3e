"""From the raw TOML document to checked values: one function a section."""

from collections.abc import Mapping
from typing import assert_never

from cutopt.jobfile._report import nearest, one_of
from cutopt.jobfile._rooms import read_rooms
from cutopt.jobfile._table import LengthReader, Table
from cutopt.jobfile._values import JobValues, PlankValues, RuleValue
from cutopt.model.job import PlankKind
from cutopt.rulebook import RULES, Measure, Rule
from cutopt.units import Unit, unit_word

__all__ = ["read_values"]

_PLANK_KEYS = ("kind", "length", "width", "per_box", "box_coverage", "box_price", "single_length")
_ABOVE_ZERO = frozenset({"rules.cut_step"})


def read_values(document: Mapping[str, object], lengths: LengthReader) -> JobValues:
    """Return every value of the document; problems go to the report of ``lengths``."""
    top = Table(document, "", lengths, ("title", "unit", "plank", "rules", "order", "room"))
    lengths.unit = _unit(top)
    lengths.unit_is_wrong = "unit" in top and lengths.unit is None
    title = top.line("title")
    top.require("plank", "describe the plank in a [plank] table: kind, length, width, per_box")
    sections = {
        "plank": top.table("plank", _PLANK_KEYS + _rule_keys("plank"), "write a [plank] table"),
        "rules": top.table("rules", _rule_keys("rules"), "write a [rules] table"),
        "order": top.table("order", _rule_keys("order"), "write an [order] table"),
    }
    plank = _plank(sections["plank"], described=top.has_table("plank"))
    rules = {entry.key: value for entry in RULES if (value := _rule(sections, entry)) is not None}
    keys = frozenset(entry.key for entry in RULES if _key(entry) in sections[_section(entry)])
    rooms = read_rooms(top)
    lengths.report_missing_unit()
    unit = lengths.unit or lengths.units_met.get("plank.length")
    return JobValues(
        title=title,
        unit=unit,
        describes_plank=top.has_table("plank"),
        plank=plank,
        rules=rules,
        keys=keys,
        rooms=rooms,
    )


def _section(entry: Rule) -> str:
    return entry.key.partition(".")[0]


def _key(entry: Rule) -> str:
    return entry.key.partition(".")[2]


def _rule_keys(section: str) -> tuple[str, ...]:
    return tuple(_key(entry) for entry in RULES if _section(entry) == section)


def _unit(top: Table) -> Unit | None:
    words = tuple(Unit)
    value = top.text("unit")
    if value is None or value in words:
        return None if value is None else Unit(value)
    meant = unit_word(value)
    hint = f'did you mean "{meant}"? ' if meant else nearest(value, words)
    top.wrong("unit", "is not known here", hint + one_of(words))
    return None


def _plank(table: Table, *, described: bool) -> PlankValues:
    if described:
        table.require("length", 'give the length of a plank, such as 48 or "1220 mm"')
        table.require("width", "give the cover width of a plank (the exposed face)")
        table.require("per_box", "give the number of planks in a box")
    kind = table.choice("kind", tuple(PlankKind))
    return PlankValues(
        names_kind="kind" in table,
        kind=None if kind is None else PlankKind(kind),
        length=table.length("length"),
        width=table.length("width"),
        per_box=table.count("per_box", least=1),
        single_length=table.flag("single_length"),
        box_coverage_mm2=table.area("box_coverage"),
        box_price=table.price("box_price"),
    )


def _rule(sections: Mapping[str, Table], entry: Rule) -> RuleValue | None:
    table, key = sections[_section(entry)], _key(entry)
    match entry.measure:
        case Measure.LENGTH:
            return table.length(key, above_zero=entry.key in _ABOVE_ZERO)
        case Measure.COUNT:
            return table.count_or_word(key, entry.choices)
        case Measure.SHARE:
            return table.share(key)
        case Measure.CHOICE:
            return table.choice(key, entry.choices)
        case _:
            assert_never(entry.measure)
