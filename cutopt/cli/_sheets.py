"""One cut sheet for each type of a portfolio."""

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from cutopt.cli._errors import UnusableError
from cutopt.cli._output import Target, write_files
from cutopt.cli._plan import sheet_of
from cutopt.errors import Problem
from cutopt.model.portfolio import Portfolio, PortfolioTotals
from cutopt.pipeline import Search, plan_job
from cutopt.planner import Limits, Unwatched

__all__ = ["check_folder", "write_sheets"]

_UNSAFE = re.compile(r"[^\w.-]+")


def check_folder(folder: str) -> None:
    """Refuse a folder for the sheets that is none and cannot be made."""
    path = Path(folder)
    try:
        path.mkdir(exist_ok=True)
    except OSError as error:
        raise UnusableError(
            Problem(
                what=f"cannot be made: {error.strerror}",
                where=f"--sheets {folder}",
                remedy="choose another folder",
            )
        ) from None


def write_sheets(portfolio: Portfolio, totals: PortfolioTotals, folder: str, search: Search) -> None:
    """Write the cut sheet of every type that can be planned, as ``cutopt plan`` prints it."""
    sound = {one.name for one in totals.types if one.figure is not None}
    names = _names([one.name for one in portfolio.types])
    for one, name in zip(portfolio.types, names, strict=True):
        if one.job is not None and one.name in sound:
            limits = Limits(seconds=search.seconds, seed=search.seed, searches=search.searches)
            text = sheet_of(plan_job(one.job, limits, Unwatched()))
            write_files([(Target(option="--sheets", file=str(Path(folder) / f"{name}.txt")), text)])


def _names(types: Sequence[str]) -> Iterator[str]:
    """Yield names for files: what stands in a type's name, as far as it is safe, and apart from those before."""
    seen: set[str] = set()
    for name in types:
        base = safe = _UNSAFE.sub("-", name)[:80].strip(".-") or "type"
        nth = 1
        while safe.casefold() in seen:
            nth += 1
            safe = f"{base}-{nth}"
        seen.add(safe.casefold())
        yield safe
