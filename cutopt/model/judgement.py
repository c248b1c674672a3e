"""A layout judged so that one learns from it: each breach explained, with a mend; habits; and the best there is."""

from dataclasses import dataclass
from fractions import Fraction

from cutopt.model.plan import Plan
from cutopt.units import Ticks

__all__ = ["AgainstBest", "Breach", "Habits", "Judgement", "Mend", "Repeat", "RuleVerdict"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """The smallest change found that takes a breach away and brings no new one.

    Run ``run`` of row ``row`` is to start with a piece of ``after`` instead of ``before``, in ticks; its end piece takes up the
    difference. ``also`` counts further breaches that it takes away. ``plan`` is the whole layout so mended.
    ``fresh`` planks are opened for it, where what is cut from what is told.
    """

    row: int
    run: int
    before: Ticks
    after: Ticks
    plan: Plan
    also: int = 0
    fresh: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Breach:
    """One breach: ``number`` keys it to its mark in the picture, ``rule`` is the trade's name of the rule.

    ``rows`` from the first laid; ``place`` along run ``run`` of row ``row`` from its left end, in ticks, ``None`` where it has none.
    ``found`` and ``wanted`` are as a person reads them, ``short`` by how much, nothing where it is no measure.
    ``must``: a rule that has to be kept; else a remark, which counts only when judged strictly. ``sought``: a mend
    was looked for.
    """

    number: int
    rule: str
    words: str
    rows: tuple[int, ...]
    row: int | None = None
    run: int | None = None
    place: Ticks | None = None
    found: str = ""
    wanted: str = ""
    short: str = ""
    must: bool = True
    mend: Mend | None = None
    sought: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleVerdict:
    """One rule for the whole floor: kept, broken so often, or (``untold``) not to be judged, and why not."""

    rule: str
    breaches: int = 0
    untold: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeat:
    """Rows whose joints come again every ``period`` rows, at least ``times`` over, from row ``first`` on."""

    period: int
    first: int
    times: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Habits:
    """What no rule forbids but the eye sees; formulas stand with the functions that compute them.

    ``clusters``: stretches of rows (first, last) with starters (or end pieces) of which three in any four are short. ``near`` is the share of joint
    pairs in neighbouring rows that are closer than one and a half times the stagger. ``regularity`` is 0 for shifts from row to row as even as
    chance and 1 for one shift throughout. ``alike`` is the share of rows whose joints lie where a row up to
    three before has them.
    """

    clusters: tuple[tuple[int, int, str], ...] = ()
    repeats: tuple[Repeat, ...] = ()
    near: Fraction | None = None
    regularity: Fraction | None = None
    alike: Fraction | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AgainstBest:
    """The layout beside the best plan found for the same rows and rules.

    ``first_saved`` is the first row where the layout opened a plank although one waiting would have done.
    """

    planks: int
    best: int
    bound: int
    waste: Fraction
    best_waste: Fraction
    waiting: int
    best_waiting: int
    cuts: int
    best_cuts: int
    first_saved: int | None = None
    saved_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """A layout judged: the verdict of every rule, every breach, and what else is to be learnt."""

    plan: Plan
    breaches: tuple[Breach, ...]
    verdicts: tuple[RuleVerdict, ...]
    habits: Habits
    best: AgainstBest | None = None

    @property
    def kept(self) -> bool:
        """Whether all rules that must be kept are."""
        return not any(breach.must for breach in self.breaches)
