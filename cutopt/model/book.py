"""A page of the rule book: one rule as a person reads it, what is usual, why, and who says otherwise."""

from collections.abc import Mapping
from dataclasses import dataclass

from cutopt.model.job import PlankKind, SourceKind
from cutopt.units import Ticks, Unit

__all__ = ["Page", "Saying", "Setting", "Usually", "Why"]


@dataclass(frozen=True, slots=True)
class Saying:
    """What one source says of a rule: a figure or a statement, how strong the source is, and which it is."""

    says: str
    source: SourceKind
    citation: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """Why a rule exists, in a sentence or two, and where that comes from.

    ``contradictions`` is what sources say against one another, and against the usual value.
    """

    reason: str
    source: SourceKind
    citation: str = ""
    contradictions: tuple[Saying, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Usually:
    """The usual value of a rule for one kind of plank (``None``: for every kind), where it holds.

    ``value`` is as a person reads it; ``ticks`` are those of a length in each system, nothing for other values.
    """

    kind: PlankKind | None
    when: str
    value: str
    source: SourceKind
    citation: str
    ticks: Mapping[Unit, Ticks] | None = None


@dataclass(frozen=True, slots=True)
class Setting:
    """A command with its option, or a key of a job file, and what it does to a rule."""

    what: str
    does: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One rule: ``name`` is the trade's, ``key`` the job key, ``says`` its exact definition.

    ``takes`` tells what kind of value sets it, ``span`` the usual values in short, ``notes`` where they give
    way, ``example`` a line of a job file that sets it, and ``options`` what else bears on it.
    """

    key: str
    name: str
    says: str
    takes: str
    usual: tuple[Usually, ...]
    span: str
    notes: tuple[str, ...]
    why: Why
    example: str
    options: tuple[Setting, ...]

    @property
    def table(self) -> str:
        """The table of a job file that the rule is set in."""
        return self.key.partition(".")[0]
