"""Every rule given its value: the file's, else the usual one."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from cutopt.jobfile._values import JobValues, PlankValues, RuleValue
from cutopt.model.job import Ends, Lay, Pattern, PlankSpec, Rules, ShareOffcuts, ShareRips
from cutopt.rulebook import UsualValue, usual_rules
from cutopt.units import Ticks, Unit

__all__ = ["Settled", "rules_of", "settle", "spec_of"]


@dataclass(frozen=True, slots=True)
class Settled:
    """What every rule came to, by job key, and the usual values behind those the file leaves open."""

    values: Mapping[str, RuleValue]
    usual: Mapping[str, UsualValue]

    def ticks(self, key: str) -> Ticks:
        """Return the value of a length or a count; 0 where it has none."""
        value = self.values.get(key, 0)
        if not isinstance(value, int):
            raise TypeError(f"{key} is not a number")
        return value

    def share(self, key: str) -> Fraction:
        """Return the value of a share."""
        return Fraction(self.values[key])

    def word(self, key: str) -> str:
        """Return the value of a rule that a word sets."""
        return str(self.values[key])


def settle(
    values: JobValues, unit: Unit, length: Ticks, width: Ticks, *, without: tuple[str, ...] = ()
) -> Settled:
    """Give every rule its value: the file's, else the usual one for a plank of this size, but for those ``without``.

    A fixed pattern turns two of them off.
    """
    pattern = Pattern(str(values.rules.get("rules.pattern", Pattern.RANDOM)))
    usual = usual_rules(values.plank.kind, unit, length, width, pattern)
    given = dict(values.rules)
    if pattern is not Pattern.RANDOM:
        given.pop("rules.h_joint", None)
        given.pop("rules.stair_step", None)
    for key in without:
        usual.pop(key, None)
    merged = {key: value.value for key, value in usual.items()} | given
    kept = {key: value for key, value in usual.items() if key not in given}
    return Settled(merged, kept)


def rules_of(settled: Settled) -> Rules:
    """Return the rules that the values come to."""
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


def spec_of(plank: PlankValues, settled: Settled, *, length: Ticks, width: Ticks, per_box: int) -> PlankSpec:
    """Return the plank that the values come to. Where nothing tells its ends they are square, which forbids least."""
    return PlankSpec(
        length=length,
        width=width if plank.pitch is None else plank.pitch.one,
        nominal_width=None if plank.pitch is None else width,
        width_tolerance=plank.width_tolerance or 0,
        thickness=plank.thickness,
        per_box=per_box,
        ends=Ends(str(settled.values.get("plank.ends", Ends.SQUARE))),
        kerf=settled.ticks("plank.kerf"),
        kind=plank.kind,
        box_coverage_mm2=plank.box_coverage_mm2,
        box_price=plank.box_price,
    )
