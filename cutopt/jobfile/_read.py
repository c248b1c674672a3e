"""From the raw TOML document to checked values: one function a section."""

from collections.abc import Mapping
from typing import assert_never

from cutopt.jobfile._estimator import ESTIMATOR_KEYS, read_estimator
from cutopt.jobfile._layout import read_layout, read_pitch
from cutopt.jobfile._openings import read_doorways, read_stops
from cutopt.jobfile._report import nearest, one_of
from cutopt.jobfile._rooms import read_rooms
from cutopt.jobfile._table import LengthReader, Table
from cutopt.jobfile._values import JobValues, PlankValues, RuleValue
from cutopt.model.job import PlankKind
from cutopt.rulebook import RULES, Measure, Rule
from cutopt.units import Unit, unit_word

__all__ = ["read_values"]

_TOP_KEYS = (
    "title",
    "unit",
    "plank",
    "rules",
    "order",
    "layout",
    "room",
    "doorway",
    "stop",
    *ESTIMATOR_KEYS,
)
_PLANK_KEYS = (
    "kind",
    "length",
    "width",
    "pitch",
    "width_tolerance",
    "thickness",
    "per_box",
    "box_coverage",
    "box_price",
    "single_length",
)
_ABOVE_ZERO = frozenset({"rules.cut_step"})


def read_values(document: Mapping[str, object], lengths: LengthReader) -> JobValues:
    """Return every value of the document; problems go to the report of ``lengths``."""
    top = Table(document, "", lengths, _TOP_KEYS)
    lengths.unit = _unit(top)
    lengths.unit_is_wrong = "unit" in top and lengths.unit is None
    title = top.line("title")
    top.require("plank", "describe the plank in a [plank] table: kind, length, width, per_box")
    plank_table = top.table("plank", _PLANK_KEYS + _rule_keys("plank"), "write a [plank] table")
    plank = _plank(plank_table, described=top.has_table("plank"))
    sections = [_section(plank_table)]
    sections += [
        _section(top.table(name, _rule_keys(name), f"write a [{name}] table")) for name in ("rules", "order")
    ]
    rules = {key: value for section in sections for key, value in section.items()}
    layout = read_layout(top)
    rooms = read_rooms(top)
    walled = [room for _, room in rooms]
    complete = len(rooms) == top.entries("room")
    doorways = read_doorways(top, walled, complete=complete)
    stops = read_stops(top, walled, doorways, complete=complete and len(doorways) == top.entries("doorway"))
    estimator = read_estimator(top)
    lengths.report_missing_unit()
    unit = lengths.unit or lengths.units_met.get("plank.length")
    return JobValues(
        title=title,
        unit=unit,
        describes_plank=top.has_table("plank"),
        plank=plank,
        rules={key: value for key, value in rules.items() if value is not None},
        keys=frozenset(rules),
        rooms=rooms,
        doorways=doorways,
        stops=stops,
        layout=layout,
        estimator=estimator,
    )


def _section(table: Table) -> dict[str, RuleValue | None]:
    """Return the rules a section names, by job key; None for a value that is wrong."""
    entries = [entry for entry in RULES if _section_and_key(entry)[0] == table.place]
    return {entry.key: _rule(table, entry) for entry in entries if _section_and_key(entry)[1] in table}


def _section_and_key(entry: Rule) -> tuple[str, str]:
    section, _, key = entry.key.partition(".")
    return section, key


def _rule_keys(section: str) -> tuple[str, ...]:
    return tuple(key for of, key in map(_section_and_key, RULES) if of == section)


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
        pitch=read_pitch(table),
        width_tolerance=table.length("width_tolerance", above_zero=False),
        thickness=table.length("thickness"),
        per_box=table.count("per_box", least=1),
        single_length=table.flag("single_length"),
        box_coverage_mm2=table.area("box_coverage"),
        box_price=table.price("box_price"),
    )


def _rule(table: Table, entry: Rule) -> RuleValue | None:
    _, key = _section_and_key(entry)
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
