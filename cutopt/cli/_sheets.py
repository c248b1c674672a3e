"""One cut sheet for each type of a portfolio."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from cutopt.cli._errors import UnusableError, tell
from cutopt.cli._output import Target, note, write_files
from cutopt.cli._plan import sheet_of
from cutopt.errors import CutoptError, Problem
from cutopt.model.portfolio import Portfolio, PortfolioTotals
from cutopt.pipeline import Search, heaps, laid_alike, plan_job, plan_units
from cutopt.planner import Limits, Unwatched
from cutopt.sheet import render_sheet

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
    """Write the cut sheet of every type that can be planned, and of all units that share a heap of offcuts.

    A sheet is as ``cutopt plan`` prints it; in that of a heap the rooms are numbered unit by unit.
    """
    limits = Limits(seconds=search.seconds, seed=search.seed, searches=search.searches)
    sound = {one.name for one in totals.types if one.figure is not None}
    types = [one for one in portfolio.types if one.job is not None and one.name in sound]
    alone = {
        laid_alike(one.job): result.tally.planks
        for one, result in zip(portfolio.types, totals.types, strict=True)
        if one.job is not None and result.tally is not None
    }
    shared = heaps(portfolio)
    names = _names([*(one.name for one in types), *(" ".join(filter(None, heap.place)) for heap in shared)])
    for one in types:
        if one.job is not None:
            _write(folder, next(names), sheet_of(plan_job(one.job, limits, Unwatched())))
    for heap in shared:
        name = next(names)
        try:
            plan, floor = plan_units(heap.units, limits)
        except CutoptError as error:
            tell(error)
            continue
        if plan.totals.planks > sum(alone.get(laid_alike(job), 0) * times for job, times in heap.units):
            note(f"{name}: sharing offcuts saves nothing there, so it is laid by the sheets of its types")
            continue
        title = ", ".join(filter(None, (portfolio.title, *heap.place)))
        _write(folder, name, render_sheet(replace(plan, title=title), heap.units[0][0], floor))


def _write(folder: str, name: str, text: str) -> None:
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
