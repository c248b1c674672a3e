"""The sections that a job and a layout have in common: the unit, the plank, and the rules."""

from typing import assert_never

from cutopt.jobfile._layout import read_pitch
from cutopt.jobfile._report import nearest, one_of
from cutopt.jobfile._table import Table
from cutopt.jobfile._values import PlankValues, RuleValue
from cutopt.model.job import PlankKind
from cutopt.rulebook import RULES, Measure, Rule
from cutopt.units import Unit, unit_word

__all__ = ["PLANK_KEYS", "read_plank", "read_rules", "read_unit", "rule_keys"]

PLANK_KEYS = (
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


def read_rules(table: Table) -> dict[str, RuleValue | None]:
    """Return the rules a section names, by job key; None for a value that is wrong."""
    entries = [entry for entry in RULES if _section_and_key(entry)[0] == table.place]
    return {entry.key: _rule(table, entry) for entry in entries if _section_and_key(entry)[1] in table}


def _section_and_key(entry: Rule) -> tuple[str, str]:
    section, _, key = entry.key.partition(".")
    return section, key


def rule_keys(section: str) -> tuple[str, ...]:
    """Return the keys of the rules of a section, without its name."""
    return tuple(key for of, key in map(_section_and_key, RULES) if of == section)


def read_unit(top: Table) -> Unit | None:
    """Return the unit of a file; a wrong one is noted, with the one that may be meant."""
    words = tuple(Unit)
    value = top.text("unit")
    if value is None or value in words:
        return None if value is None else Unit(value)
    meant = unit_word(value)
    hint = f'did you mean "{meant}"? ' if meant else nearest(value, words)
    top.wrong("unit", "is not known here", hint + one_of(words))
    return None


def read_plank(table: Table, *, described: bool) -> PlankValues:
    """Return what a [plank] table says; what a plank cannot do without is asked for where it is ``described``."""
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
