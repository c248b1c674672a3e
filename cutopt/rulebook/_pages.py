"""The pages of the rule book: each rule with what is usual, why, and what sets it, ready to be printed."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from cutopt.model.book import Page, Setting, Usually
from cutopt.model.job import Pattern, PlankKind, SourceKind
from cutopt.model.pricing import Varied
from cutopt.rulebook import _sources as of
from cutopt.rulebook._rules import RULES, Measure, Rule
from cutopt.rulebook._usual import LONG_IN_WIDTHS, UsualValue, staggers_by_width, usual_rules
from cutopt.rulebook._why import why
from cutopt.units import TICKS_PER_MM, Ticks, Unit, format_length

__all__ = ["pages"]

_ROOMY = (10_000 * TICKS_PER_MM, 500 * TICKS_PER_MM)
"""A plank so long and wide that no usual figure has to give way to it."""

_BOTH = (Unit.IN, Unit.MM)
_FIXED = (Pattern.HALF, Pattern.THIRD)

_TAKES: Mapping[Measure, str] = {
    Measure.LENGTH: "a length",
    Measure.COUNT: "a whole number",
    Measure.SHARE: "a share",
}

_NOTES: Mapping[str, tuple[str, ...]] = {
    "rules.stagger": ("A plank shorter than three times this gets a third of its length.",),
    "rules.min_piece": ("A plank shorter than three times this gets a third of its length.",),
    "rules.min_rip": (
        "A plank narrower than twice this gets half its width.",
        "Rows given outright have no edges left to share out.",
    ),
}
"""Where the usual value gives way."""

_BEST_EFFORT = Setting(
    "cutopt plan JOB --best-effort", "breaks it where the rules clash, in few places and by little"
)
_OPTIONS: Mapping[str, tuple[Setting, ...]] = {
    "rules.stagger": (_BEST_EFFORT,),
    "rules.min_piece": (_BEST_EFFORT,),
    "rules.h_joint": (_BEST_EFFORT,),
    "rules.stair_step": (_BEST_EFFORT,),
    "rules.min_rip": (
        Setting("[layout] edges, first_width", "say outright who gets what is left across the rows"),
        Setting("[[stop]] min_rip", "is for the rows at that stop alone"),
        Setting("cutopt estimate JOB --vary first_width=A,B,...", "tries other widths of the first row"),
    ),
    "rules.gap": (Setting("[[room.fixed]] gap", "is for that thing alone"),),
    "rules.fit": (
        Setting(
            "cutopt plan JOB --forgiving",
            "uses the time left to let walls be out by more, with as few planks",
        ),
    ),
    "rules.share_offcuts": (
        Setting("cutopt plan JOB --stock FILE", "keeps lots apart too, where the file tells of lots"),
    ),
    "order.culls": (Setting("cutopt estimate JOB --risk", "tells how sure the order is with that share"),),
    "order.spare": (Setting("cutopt estimate JOB --risk", "tells how sure the order is with so many"),),
}
"""What else bears on a rule, besides the job key that sets it and the values a study may vary."""


def pages(kind: PlankKind | None = None, unit: Unit | None = None) -> tuple[Page, ...]:
    """Return a page for every rule, in the order of :data:`RULES`.

    With a ``kind`` the usual values are those of that kind alone; without a ``unit`` lengths stand in inches and in
    millimetres.
    """
    return tuple(_page(entry, kind, unit) for entry in RULES)


def _page(entry: Rule, kind: PlankKind | None, unit: Unit | None) -> Page:
    systems = _BOTH if unit is None else (unit,)
    usual = tuple(_usual(entry, kind, systems))
    return Page(
        key=entry.key,
        name=entry.name,
        says=entry.says,
        takes=_takes(entry),
        usual=usual,
        span=_span(entry, usual, systems),
        notes=_NOTES.get(entry.key, ()),
        why=why(entry.key),
        example=f"{_name(entry)} = {_example(entry, usual, systems[0])}",
        options=(*_varied(entry), *_OPTIONS.get(entry.key, ())),
    )


def _takes(entry: Rule) -> str:
    if entry.measure is Measure.CHOICE:
        return " or ".join(filter(None, (", ".join(entry.choices[:-1]), entry.choices[-1])))
    choices = "".join(f', or "{choice}"' for choice in entry.choices)
    return _TAKES[entry.measure] + choices + (", 0 for off" if entry.can_be_off else "")


# What is usual


@dataclass(frozen=True, slots=True, kw_only=True)
class _Case:
    """Where a usual value holds, and that value in each system shown."""

    when: str
    values: tuple[UsualValue, ...]


def _usual(entry: Rule, kind: PlankKind | None, systems: Sequence[Unit]) -> list[Usually]:
    """Return the usual values; kinds that agree in all of them stand as one."""
    kinds = tuple(PlankKind) if kind is None else (kind,)
    by_kind = [[*_of_kind(entry, each, systems)] for each in kinds]
    anyone = [[replace(line, kind=None) for line in lines] for lines in by_kind]
    if len(kinds) > 1 and all(lines == anyone[0] for lines in anyone):
        return anyone[0]
    return [line for lines in by_kind for line in lines]


def _of_kind(entry: Rule, kind: PlankKind, systems: Sequence[Unit]) -> Iterator[Usually]:
    for case in _cases(entry, kind, systems):
        first = case.values[0]
        yield Usually(
            kind=kind,
            when=case.when,
            value=_text(entry, case.values, systems),
            source=first.source,
            citation=first.citation,
            ticks=_ticks(entry, case.values, systems),
        )
    if entry.key == "rules.stagger" and kind is PlankKind.ENGINEERED_WOOD:
        yield _three_widths(kind)


def _cases(entry: Rule, kind: PlankKind, systems: Sequence[Unit]) -> Iterator[_Case]:
    if entry.key == "rules.stagger":
        yield from _by_width(kind, systems)
        return
    random = _values(entry.key, kind, systems, Pattern.RANDOM)
    yield _Case(when="", values=random)
    fixed = [_values(entry.key, kind, systems, pattern) for pattern in _FIXED]
    if fixed != [random, random]:
        yield _Case(when="pattern half, third", values=fixed[0])


def _values(key: str, kind: PlankKind, systems: Sequence[Unit], pattern: Pattern) -> tuple[UsualValue, ...]:
    return tuple(usual_rules(kind, system, *_ROOMY, pattern)[key] for system in systems)


def _by_width(kind: PlankKind, systems: Sequence[Unit]) -> Iterator[_Case]:
    bands = [staggers_by_width(kind, system) for system in systems]
    least: Ticks = 0
    for band in zip(*bands, strict=True):
        below = band[0][0]
        yield _Case(when=_widths(least, below, systems[0]), values=tuple(usual for _, usual in band))
        least = below or 0


def _widths(least: Ticks, below: Ticks | None, unit: Unit) -> str:
    """Return which planks are at least one width and under another (ticks), nothing for all of them."""
    if below is None:
        return f"over {format_length(least - 1, unit)} wide" if least else ""
    if not least:
        return f"under {format_length(below, unit)} wide"
    return f"{format_length(least, unit)} to {format_length(below - 1, unit)} wide"


def _three_widths(kind: PlankKind) -> Usually:
    return Usually(
        kind=kind,
        when=f"{LONG_IN_WIDTHS} widths long or more",
        value="3 widths, if more",
        source=of.WOOD_THREE_WIDTHS.kind,
        citation=of.WOOD_THREE_WIDTHS.citation,
    )


def _ticks(entry: Rule, values: Sequence[UsualValue], systems: Sequence[Unit]) -> Mapping[Unit, Ticks] | None:
    if entry.measure is not Measure.LENGTH:
        return None
    return {system: value.number for system, value in zip(systems, values, strict=True)}


def _text(entry: Rule, values: Sequence[UsualValue], systems: Sequence[Unit]) -> str:
    first, *others = (_shown(entry, value, system) for value, system in zip(values, systems, strict=True))
    return first if set(others) <= {first} else f"{first} ({others[0]})"


def _shown(entry: Rule, value: UsualValue, unit: Unit) -> str:
    if entry.measure is Measure.LENGTH:
        ticks = value.number
        return "off" if ticks == 0 and entry.can_be_off else format_length(ticks, unit)
    if entry.measure is Measure.SHARE:
        return f"{float(Fraction(value.number) * 100):g} %"
    return str(value.value)


def _span(entry: Rule, usual: Sequence[Usually], systems: Sequence[Unit]) -> str:
    """Return the usual values in short: the one there is, from the least length to the largest, or all words.

    Lengths that a fixed pattern turns off, the only derived ones, are left out.
    """
    lines = [line for line in usual if line.source is not SourceKind.DERIVED or line.ticks is None]
    values = [*dict.fromkeys(line.value for line in lines)]
    lengths = [line.ticks for line in lines if line.ticks is not None]
    if len(values) == 1 or entry.measure is not Measure.LENGTH:
        return ", ".join(values)
    spans = [
        f"{format_length(min(of_system), system)} to {format_length(max(of_system), system)}"
        for system in systems
        for of_system in [[length[system] for length in lengths]]
    ]
    return spans[0] if len(spans) == 1 else f"{spans[0]} ({spans[1]})"


# What sets it


def _name(entry: Rule) -> str:
    return entry.key.partition(".")[2]


def _example(entry: Rule, usual: Sequence[Usually], unit: Unit) -> str:
    """Return a value that may well stand in a job file: for a length a usual one, or the cut step."""
    if entry.measure is Measure.CHOICE:
        return f'"{entry.choices[-1]}"'
    if entry.measure is Measure.SHARE:
        return '"2%"'
    if entry.measure is Measure.COUNT:
        return "4"
    lengths = [line.ticks[unit] for line in usual if line.ticks is not None]
    length = next(filter(None, lengths), usual_rules(None, unit, *_ROOMY)["rules.cut_step"].number)
    return f'"{format_length(length, unit, mark=False)} {unit}"'


def _varied(entry: Rule) -> Iterator[Setting]:
    if _name(entry) in set(Varied):
        values = ",".join(entry.choices) if entry.measure is Measure.CHOICE else "A,B,..."
        yield Setting(
            f"cutopt estimate JOB --vary {_name(entry)}={values}", "tells what the floor comes to with each"
        )
