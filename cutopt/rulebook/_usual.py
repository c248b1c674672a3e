"""The usual value of each rule, by kind of plank, with its source.

A metric job gets the round metric figure, an inch job the round inch one: the two are never converted.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from cutopt.model.job import Ends, Lay, Pattern, PlankKind, ShareOffcuts, ShareRips, SourceKind
from cutopt.rulebook import _sources as of
from cutopt.rulebook._sources import Source
from cutopt.units import TICKS_PER_INCH, TICKS_PER_MM, Ticks, Unit

__all__ = ["LONG_IN_WIDTHS", "UsualValue", "rules_by_kind", "staggers_by_width", "usual_rules"]

_WIDTHS_APART = 3
LONG_IN_WIDTHS = 4 * _WIDTHS_APART
"""Engineered wood so many widths long or more staggers by three of them: a quarter of the plank at the most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualValue:
    """What a rule is taken to be when the job does not say.

    ``value`` is in ticks for a length, a plain number for a count, the word itself for a choice.
    """

    key: str
    value: int | str
    source: SourceKind
    citation: str

    @property
    def number(self) -> int:
        """The value of a length (ticks), count or share; TypeError for a word."""
        if isinstance(self.value, str):
            raise TypeError(f"{self.key} is set by a word")
        return self.value


@dataclass(frozen=True, slots=True)
class _Length:
    """A round figure in each system: sixteenths of an inch, and millimetres."""

    sixteenths: int
    mm: int
    source: Source

    def usual(self, key: str, unit: Unit) -> UsualValue:
        ticks = self.mm * TICKS_PER_MM if unit.is_metric else self.sixteenths * TICKS_PER_INCH // 16
        return _value(key, ticks, self.source)


def _inches(inches: int, mm: int, source: Source) -> _Length:
    return _Length(16 * inches, mm, source)


_STAGGER: Mapping[PlankKind, _Length] = {
    PlankKind.GLUE_DOWN_VINYL: _inches(6, 150, of.VINYL_GLUE_STAGGER),
    PlankKind.CLICK_VINYL: _inches(8, 200, of.CLICK_STAGGER),
    PlankKind.LAMINATE: _inches(12, 300, of.LAMINATE_STAGGER),
}
_WOOD_STAGGER_BY_WIDTH = (
    (3 * TICKS_PER_INCH, _inches(6, 150, of.WOOD_STAGGER)),
    (5 * TICKS_PER_INCH + 1, _inches(8, 200, of.WOOD_STAGGER)),
)
_WIDE_WOOD_STAGGER = _inches(10, 250, of.WOOD_STAGGER)

_BY_KIND: Mapping[str, Mapping[PlankKind, _Length]] = {
    "plank.kerf": {
        PlankKind.GLUE_DOWN_VINYL: _Length(0, 0, of.VINYL_KERF),
        PlankKind.CLICK_VINYL: _Length(0, 0, of.VINYL_KERF),
        PlankKind.LAMINATE: _Length(2, 3, of.SAW_KERF),
        PlankKind.ENGINEERED_WOOD: _Length(2, 3, of.SAW_KERF),
        PlankKind.SOLID_STRIP: _Length(2, 3, of.SAW_KERF),
    },
    "rules.min_piece": {
        PlankKind.GLUE_DOWN_VINYL: _inches(6, 150, of.GLUE_PIECE),
        PlankKind.CLICK_VINYL: _inches(8, 200, of.CLICK_PIECE),
        PlankKind.LAMINATE: _inches(12, 300, of.LAMINATE_PIECE),
        PlankKind.ENGINEERED_WOOD: _inches(9, 230, of.WOOD_PIECE),
        PlankKind.SOLID_STRIP: _inches(9, 230, of.WOOD_PIECE),
    },
    "rules.gap": {
        PlankKind.GLUE_DOWN_VINYL: _Length(2, 3, of.GLUE_GAP),
        PlankKind.CLICK_VINYL: _Length(4, 6, of.CLICK_GAP),
        PlankKind.LAMINATE: _Length(6, 10, of.LAMINATE_GAP),
        PlankKind.ENGINEERED_WOOD: _Length(8, 12, of.ENGINEERED_GAP),
        PlankKind.SOLID_STRIP: _Length(12, 19, of.SOLID_GAP),
    },
    "rules.h_joint": dict.fromkeys(PlankKind, _inches(2, 50, of.H_JOINT)),
    "rules.stair_step": dict.fromkeys(PlankKind, _inches(1, 25, of.STAIR_STEP)),
}
_ENDS: Mapping[PlankKind, tuple[Ends, Source]] = {
    PlankKind.GLUE_DOWN_VINYL: (Ends.SQUARE, of.SQUARE_ENDS),
    PlankKind.CLICK_VINYL: (Ends.HANDED, of.CLICK_ENDS),
    PlankKind.LAMINATE: (Ends.HANDED, of.CLICK_ENDS),
    PlankKind.ENGINEERED_WOOD: (Ends.HANDED, of.TONGUE_ENDS),
    PlankKind.SOLID_STRIP: (Ends.HANDED, of.TONGUE_ENDS),
}
_CUT_STEP = _Length(1, 1, of.CUT_STEP)
_MIN_RIP = _inches(2, 50, of.ANY_RIP)
_LAMINATE_RIP = _inches(2, 50, of.LAMINATE_RIP)


def usual_rules(
    kind: PlankKind | None,
    unit: Unit,
    plank_length: Ticks,
    plank_width: Ticks,
    pattern: Pattern = Pattern.RANDOM,
) -> dict[str, UsualValue]:
    """Return the usual value of every rule by its job key.

    Without a ``kind`` only the rules that hold for every plank are there. Lengths are in ticks, round in the
    system of ``unit``. A plank too short or too narrow for the usual figure gets a smaller one, marked as derived.
    """
    usual = _general(unit, kind, plank_width)
    if kind is not None:
        ends, source = _ENDS[kind]
        usual["plank.ends"] = _value("plank.ends", ends, source)
        for key, lengths in _BY_KIND.items():
            usual[key] = lengths[kind].usual(key, unit)
        usual["rules.stagger"] = _stagger(kind, unit, plank_length, plank_width)
        for key in ("rules.stagger", "rules.min_piece"):
            usual[key] = _within_third(usual[key], plank_length, unit)
    if pattern is not Pattern.RANDOM:
        for key in ("rules.h_joint", "rules.stair_step"):
            usual[key] = _value(key, 0, of.FIXED_OFFSET)
    return usual


def rules_by_kind(
    unit: Unit, plank_length: Ticks, plank_width: Ticks
) -> dict[PlankKind, dict[str, UsualValue]]:
    """Return the usual rules of every kind side by side, for one size of plank (ticks)."""
    return {kind: usual_rules(kind, unit, plank_length, plank_width) for kind in PlankKind}


def _general(unit: Unit, kind: PlankKind | None, plank_width: Ticks) -> dict[str, UsualValue]:
    rip = _LAMINATE_RIP if kind is PlankKind.LAMINATE else _MIN_RIP
    values = (
        _within_half_width(rip.usual("rules.min_rip", unit), plank_width),
        _value("rules.pattern", Pattern.RANDOM, of.RANDOM_PATTERN),
        _CUT_STEP.usual("rules.cut_step", unit),
        _value("rules.max_waiting", 6, of.MAX_WAITING),
        _value("rules.fit", 0, of.NO_FIT),
        _value("rules.lay", Lay.LEFT_TO_RIGHT, of.LAY),
        _value("rules.share_offcuts", ShareOffcuts.JOB, of.SHARE),
        _value("rules.share_rips", ShareRips.YES, of.SHARE_RIPS),
        _value("order.culls", 0, of.NO_CULLS),
        _value("order.spare", 0, of.NO_SPARE),
    )
    return {value.key: value for value in values}


def _value(key: str, value: int | str, source: Source) -> UsualValue:
    return UsualValue(key=key, value=value, source=source.kind, citation=source.citation)


def _stagger(kind: PlankKind, unit: Unit, plank_length: Ticks, plank_width: Ticks) -> UsualValue:
    """Return the kind's stagger; wood goes by plank width, engineered wood by three widths where planks are long."""
    key = "rules.stagger"
    by_width = next(
        usual for below, usual in staggers_by_width(kind, unit) if below is None or plank_width < below
    )
    three_widths = _WIDTHS_APART * plank_width
    if kind is not PlankKind.ENGINEERED_WOOD:
        return by_width
    if by_width.number < three_widths and LONG_IN_WIDTHS * plank_width <= plank_length:
        return _value(key, three_widths, of.WOOD_THREE_WIDTHS)
    return by_width


def staggers_by_width(kind: PlankKind, unit: Unit) -> tuple[tuple[Ticks | None, UsualValue], ...]:
    """Return the stagger of a kind for planks under each width (ticks) in turn; ``None`` is for all others."""
    if kind in _STAGGER:
        lengths: tuple[tuple[Ticks | None, _Length], ...] = ((None, _STAGGER[kind]),)
    else:
        lengths = (*_WOOD_STAGGER_BY_WIDTH, (None, _WIDE_WOOD_STAGGER))
    return tuple((below, length.usual("rules.stagger", unit)) for below, length in lengths)


def _within_third(usual: UsualValue, plank_length: Ticks, unit: Unit) -> UsualValue:
    """Keep a length to a third of the plank, in whole cut steps: beyond it few rows can be laid."""
    if 3 * usual.number <= plank_length:
        return usual
    step = _CUT_STEP.usual("rules.cut_step", unit).number
    return replace(
        usual,
        value=plank_length // 3 // step * step,
        source=SourceKind.DERIVED,
        citation=f"a third of the plank, too short for the usual figure ({usual.citation})",
    )


def _within_half_width(usual: UsualValue, plank_width: Ticks) -> UsualValue:
    """Keep the minimum rip to half a plank width, the least that balancing two edges can give."""
    if 2 * usual.number <= plank_width:
        return usual
    return replace(
        usual,
        value=plank_width // 2,
        source=SourceKind.DERIVED,
        citation=f"half a plank, narrower than the usual figure asks for ({usual.citation})",
    )
