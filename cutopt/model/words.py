"""What is told of a plan, block by block, before it is set on lines or pages."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

__all__ = ["Block", "Heading", "Labels", "Line", "Para", "Table"]


@dataclass(frozen=True, slots=True)
class Heading:
    """A section's heading."""

    text: str


@dataclass(frozen=True, slots=True)
class Para:
    """A paragraph of ``words``; lines end between them only.

    ``first`` stands before its first line, ``rest`` before those that follow: blanks, and the sign of an item
    of a list (``-``) or of a warning (``!!``).
    """

    words: tuple[str, ...]
    first: str = ""
    rest: str = ""

    @property
    def sign(self) -> str:
        """What marks the paragraph: ``-``, ``!!`` or nothing."""
        return self.first.strip()

    @property
    def indent(self) -> int:
        """How many blanks stand before its sign, or its text."""
        return len(self.first) - len(self.first.lstrip())


@dataclass(frozen=True, slots=True)
class Labels:
    """Labels with a text beside each, in words as in :class:`Para`."""

    rows: tuple[tuple[str, tuple[str, ...]], ...]
    indent: int = 2


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells, the column titles first. ``right``: the columns set to the right, from 0."""

    rows: tuple[Sequence[str], ...]
    right: frozenset[int] = frozenset()
    indent: int = 2


@dataclass(frozen=True, slots=True)
class Line:
    """A line that is set as it is; an empty one parts what stands before it from what follows."""

    text: str = ""


Block: TypeAlias = Heading | Para | Labels | Table | Line
