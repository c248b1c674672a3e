"""Names of sheets: legal in a workbook, and each there once."""

import re
from collections.abc import Iterable, Iterator
from itertools import chain, count

from cutopt.workbook._text import cut, legal, units16

__all__ = ["sheet_titles"]

_LONGEST = 31
_ILLEGAL = re.compile(r"[\[\]:*?/\\]")
_RESERVED = "history"
"""Kept by spreadsheet programs for themselves."""


def sheet_titles(names: Iterable[str]) -> list[str]:
    """Return a title for each name, in the same order: at most 31 letters, none twice, whatever their case.

    What a title may not hold becomes ``-``; one that is there already gets a number.
    """
    taken = {_RESERVED}
    titles = []
    for name in names:
        title = next(title for title in _tries(name) if title.lower() not in taken)
        taken.add(title.lower())
        titles.append(title)
    return titles


def _tries(name: str) -> Iterator[str]:
    wanted = _ILLEGAL.sub("-", legal(name)).strip("' ") or "Table"
    for after in chain([""], (f" ({nth})" for nth in count(2))):
        yield cut(wanted, _LONGEST - units16(after)).strip("' ") + after
