"""What an estimator adds to a job file: prices, what may go wrong, what is varied, and tables of rooms."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias

from cutopt.jobfile._layout import HALF_TURN, WAYS
from cutopt.jobfile._table import Table
from cutopt.model.job import Pattern, ShareOffcuts, ShareRips
from cutopt.model.pricing import (
    NO_RISK,
    NOT_PRICED,
    Choice,
    Pricing,
    RiskSpec,
    Shape,
    Steps,
    TableSpec,
    Varied,
)
from cutopt.units import Ticks

__all__ = [
    "ESTIMATOR_KEYS",
    "NOT_ESTIMATED",
    "VARIED",
    "EstimatorValues",
    "Told",
    "read_choices",
    "read_estimator",
]

ESTIMATOR_KEYS = ("price", "risk", "study", "waste_table")
_PRICE_KEYS = ("tax", "returnable", "return_fee", "return_least", "trip", "delay")
_RISK_KEYS = ("damage", "mismeasure", "trials")
VARIED = tuple(what for what in Varied if what is not Varied.PLANK)
_PLANKS = "planks"
_STUDY_KEYS = ("every", *VARIED, _PLANKS)
_TABLE_KEYS = ("along", "across", "shapes")
_WORDS: dict[Varied, tuple[str, ...]] = {
    Varied.PATTERN: tuple(Pattern),
    Varied.SHARE_RIPS: tuple(ShareRips),
    Varied.SHARE_OFFCUTS: tuple(ShareOffcuts),
}

_MOST_CHOICES = 200
_MOST_TRIALS = 2000
_PAIR = 2
_STEPS = 3

_DAMAGE_REMEDY = 'write it like "1%", or ["0%", "3%"] for anything between'
_STEPS_REMEDY = 'write the shortest, the longest and the step, such as ["8 ft", "20 ft", "1 ft"]'
_SHAPES_REMEDY = 'write shapes = ["rectangle", "L-room"]'
_PLANKS_REMEDY = 'name a CSV or TOML file of planks, such as "planks.csv"'
_LISTS = {
    Varied.STAGGER: "stagger = [6, 8, 12]",
    Varied.MIN_PIECE: "min_piece = [6, 8, 12]",
    Varied.PATTERN: 'pattern = ["random", "third"]',
    Varied.DIRECTION: "direction = [0, 90]",
    Varied.FIRST_WIDTH: "first_width = [3, 5]",
    Varied.KERF: 'kerf = [0, "1/8 in"]',
    Varied.SHARE_RIPS: 'share_rips = ["yes", "no"]',
    Varied.SHARE_OFFCUTS: 'share_offcuts = ["job", "room"]',
}

Told: TypeAlias = tuple[tuple[str, Choice], ...]
"""The values a thing is to take, each with its place in the file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EstimatorValues:
    """What the file says for an estimator.

    ``vary`` holds what a study varies in the order of the file; planks have no values there, but are those of the
    file that ``planks`` names.
    """

    pricing: Pricing = NOT_PRICED
    risk: RiskSpec = NO_RISK
    every: bool = False
    vary: tuple[tuple[Varied, Told], ...] = ()
    planks: str | None = None
    table: TableSpec | None = None


NOT_ESTIMATED = EstimatorValues()


def read_estimator(top: Table) -> EstimatorValues:
    """Return what is said in [price], [risk], [study] and [waste_table]; what is wrong is noted."""
    study = top.table("study", _STUDY_KEYS, "write a [study] table")
    return EstimatorValues(
        pricing=_pricing(top.table("price", _PRICE_KEYS, "write a [price] table")),
        risk=_risk(top.table("risk", _RISK_KEYS, "write a [risk] table")),
        every=bool(study.flag("every")),
        vary=tuple(_varied(study)),
        planks=_planks(study),
        table=_waste_table(top),
    )


def _pricing(table: Table) -> Pricing:
    returnable, least = table.flag("returnable"), table.count("return_least", least=1)
    return Pricing(
        tax=table.share("tax") or Fraction(0),
        returnable=returnable is not False,
        return_fee=table.price("return_fee") or Decimal(0),
        return_least=1 if least is None else least,
        trip=table.price("trip") or Decimal(0),
        delay=table.price("delay") or Decimal(0),
    )


def _risk(table: Table) -> RiskSpec:
    trials = table.count("trials", least=1)
    if trials is not None and trials > _MOST_TRIALS:
        table.wrong("trials", "is too many", f"give a whole number from 1 to {_MOST_TRIALS}")
    return RiskSpec(
        damage=_damage(table),
        mismeasure=table.length("mismeasure", above_zero=False) or 0,
        trials=NO_RISK.trials if trials is None else trials,
    )


def _damage(table: Table) -> tuple[Fraction, Fraction]:
    """Return the least and the most share of planks spoiled; a single figure is both."""
    if not table.has_list("damage"):
        share = table.share("damage") or Fraction(0)
        return share, share
    if table.entries("damage") != _PAIR:
        table.wrong("damage", "is not two shares", _DAMAGE_REMEDY)
        return NO_RISK.damage
    pair = table.listed("damage", _DAMAGE_REMEDY, most=_PAIR)
    return pair.share("1") or Fraction(0), pair.share("2") or Fraction(0)


def _varied(study: Table) -> Iterator[tuple[Varied, Told]]:
    for key in study:
        if key == _PLANKS:
            yield Varied.PLANK, ()
        elif key in VARIED:
            what = Varied(key)
            yield what, read_choices(study, what)


def read_choices(table: Table, what: Varied) -> Told:
    """Return the values listed under what is varied, each with its place; what is wrong is noted."""
    entries = table.listed(what, f"write it like {_LISTS[what]}", most=_MOST_CHOICES)
    found = ((entries.at(number), _choice(entries, number, what)) for number in entries)
    return tuple((place, choice) for place, choice in found if choice is not None)


def _choice(entries: Table, number: str, what: Varied) -> "Choice | None":
    if what in _WORDS:
        return entries.choice(number, _WORDS[what])
    if what is Varied.DIRECTION:
        return entries.degrees(number, WAYS, below=HALF_TURN)
    return entries.length(number, above_zero=what is Varied.FIRST_WIDTH)


def _planks(study: Table) -> str | None:
    name = study.text(_PLANKS)
    if name is None or name.strip():
        return name
    study.wrong(_PLANKS, "names no file", _PLANKS_REMEDY)
    return None


def _waste_table(top: Table) -> TableSpec | None:
    if "waste_table" not in top:
        return None
    table = top.table("waste_table", _TABLE_KEYS, "write a [waste_table] table")
    if top.has_table("waste_table"):
        table.require("along", _STEPS_REMEDY)
        table.require("across", _STEPS_REMEDY)
    along, across, shapes = _steps(table, "along"), _steps(table, "across"), tuple(_shapes(table))
    if along is None or across is None:
        return None
    return TableSpec(along=along, across=across, shapes=shapes or (Shape.RECTANGLE,))


def _steps(table: Table, key: str) -> Steps | None:
    if table.has_list(key) and table.entries(key) != _STEPS:
        table.wrong(key, "is not three lengths", _STEPS_REMEDY)
        return None
    entries = table.listed(key, _STEPS_REMEDY, most=_STEPS)
    lengths: list[Ticks | None] = [entries.length(number) for number in entries]
    match lengths:
        case [int(first), int(last), int(each)]:
            return Steps(first=first, last=last, step=each)
        case _:
            return None


def _shapes(table: Table) -> Iterator[Shape]:
    entries = table.listed("shapes", _SHAPES_REMEDY, most=_MOST_CHOICES)
    met: set[str] = set()
    for number in entries:
        word = entries.choice(number, tuple(Shape))
        if word in met:
            entries.wrong(number, "is told already", "name each shape once")
        elif word is not None:
            met.add(word)
            yield Shape(word)
